//! Blocks of text and pictures that flow from page to page: a block is cut only where a
//! whole page has no room for it.

use std::io::{self, Write};
use std::ops::Range;

use pdf_writer::Content;

use super::document::{Document, Jpeg, POINTS_A_MM, Place, draw, line, points, text};
use super::letters::{broken, spelled};

/// A4 (ISO 216), in mm.
const PAGE: (f64, f64) = (210.0, 297.0);
/// What stays white around a page, in mm.
const MARGIN: f64 = 18.0;
/// What the last line of a page takes, in mm.
const FOOT: f64 = 8.0;
/// From line to line, as a share of the type size.
const LEADING: f64 = 1.3;
/// What letters reach above their baseline, as a share of the type size.
const ASCENT: f64 = 0.95;
/// Between blocks, in mm.
const BETWEEN: f64 = 3.0;
/// The type size of a page's last line, in points.
const SMALL: f64 = 8.0;

/// How a text is set.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Style {
    /// The type size, in points.
    pub(crate) size: f64,
    pub(crate) bold: bool,
    /// From the left margin, in mm.
    pub(crate) indent: f64,
}

/// What stands under another on a page.
#[derive(Debug, Clone, PartialEq)]
enum Part {
    Line {
        words: String,
        style: Style,
    },
    /// A picture by its number, with its width and height in mm.
    Picture {
        number: usize,
        width: f64,
        height: f64,
        indent: f64,
    },
    /// A line across the page.
    Rule,
}

impl Part {
    /// How high it is, in mm.
    fn height(&self) -> f64 {
        match self {
            Self::Line { style, .. } => style.size * LEADING / POINTS_A_MM,
            Self::Picture { height, .. } => height + 2.0,
            Self::Rule => 2.0,
        }
    }
}

/// What belongs together.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct Block {
    parts: Vec<Part>,
}

impl Block {
    /// The same with a text under it, in as many lines as it takes.
    pub(crate) fn text(mut self, words: &str, style: Style) -> Self {
        let room = (PAGE.0 - 2.0 * MARGIN - style.indent) * POINTS_A_MM / style.size;
        let lines = broken(&spelled(words), room, true).into_iter();
        self.parts.extend(lines.map(|words| Part::Line { words, style }));
        self
    }

    /// The same with a picture under it: so wide and high at most, in mm.
    pub(crate) fn picture(
        mut self,
        number: usize,
        (width, height): (u32, u32),
        (most_wide, most_high): (f64, f64),
        indent: f64,
    ) -> Self {
        let (wide, high) = (f64::from(width.max(1)), f64::from(height.max(1)));
        let scale = (most_wide / wide).min(most_high / high);
        let (width, height) = (wide * scale, high * scale);
        self.parts.push(Part::Picture { number, width, height, indent });
        self
    }

    /// The same with a line across the page under it.
    pub(crate) fn rule(mut self) -> Self {
        self.parts.push(Part::Rule);
        self
    }

    fn height(&self) -> f64 {
        self.parts.iter().map(Part::height).sum()
    }
}

/// A part of a block on a page.
type Piece = (usize, Range<usize>);

/// Which parts of which blocks are on which page.
fn laid_out(blocks: &[Block], room: f64) -> Vec<Vec<Piece>> {
    let mut pages: Vec<Vec<Piece>> = vec![Vec::new()];
    let mut left = room;
    for (at, block) in blocks.iter().enumerate() {
        let high = block.height();
        if high > left && high <= room {
            pages.push(Vec::new());
            left = room;
        }
        let mut from = 0;
        for (nth, part) in block.parts.iter().enumerate() {
            if part.height() > left {
                put(&mut pages, (at, from..nth));
                pages.push(Vec::new());
                (left, from) = (room, nth);
            }
            left -= part.height();
        }
        put(&mut pages, (at, from..block.parts.len()));
        left -= BETWEEN;
    }
    pages.retain(|page| !page.is_empty());
    pages
}

fn put(pages: &mut [Vec<Piece>], piece: Piece) {
    if let Some(page) = pages.last_mut().filter(|_| !piece.1.is_empty()) {
        page.push(piece);
    }
}

/// Writes blocks as a file of A4 pages, each with a last line and its number, and returns
/// how many pages that is. `picture` gives the JPEG file of a number when its page is
/// written, so that memory has those of one page.
///
/// # Errors
/// What `picture` or `out` says.
pub(crate) fn flowed<E: From<io::Error>>(
    out: impl Write,
    blocks: &[Block],
    foot: &str,
    mut picture: impl FnMut(usize) -> Result<Option<Vec<u8>>, E>,
) -> Result<usize, E> {
    let pages = laid_out(blocks, PAGE.1 - 2.0 * MARGIN - FOOT);
    let mut document = Document::begin(out, PAGE.0, PAGE.1)?;
    for (nth, pieces) in pages.iter().enumerate() {
        let mut page = Page { content: Content::new(), top: PAGE.1 - MARGIN, shown: Vec::new() };
        for (block, range) in pieces {
            let parts = blocks.get(*block).and_then(|block| block.parts.get(range.clone()));
            for part in parts.unwrap_or_default() {
                page.add(part, &mut document, &mut picture)?;
            }
            page.top -= BETWEEN;
        }
        page.foot(foot, nth + 1, pages.len());
        document.page_with(page.content, &page.shown)?;
    }
    document.finish()?;
    Ok(pages.len())
}

/// A page as it is drawn, from the top down.
struct Page {
    content: Content,
    /// Where what comes next begins, in mm from the foot of the paper.
    top: f64,
    shown: Vec<pdf_writer::Ref>,
}

impl Page {
    fn add<W: Write, E: From<io::Error>>(
        &mut self,
        part: &Part,
        document: &mut Document<W>,
        picture: &mut impl FnMut(usize) -> Result<Option<Vec<u8>>, E>,
    ) -> Result<(), E> {
        match part {
            Part::Line { words, style } => self.line(words, *style),
            Part::Rule => {
                self.content.set_stroke_gray(0.4).set_line_width(points(0.2));
                let at = |left: f64| Place { left, top: self.top - 1.0 };
                line(&mut self.content, at(MARGIN), at(PAGE.0 - MARGIN));
            }
            Part::Picture { number, width, height, indent } => {
                let bytes = picture(*number)?.unwrap_or_default();
                if let Some(jpeg) = Jpeg::read(&bytes) {
                    let name = document.picture(&jpeg)?;
                    let corner = Place { left: MARGIN + indent, top: self.top - height - 1.0 };
                    draw(&mut self.content, name, corner, *width, *height);
                    self.shown.push(name);
                }
            }
        }
        self.top -= part.height();
        Ok(())
    }

    fn line(&mut self, words: &str, style: Style) {
        let face: &[u8] = if style.bold { b"B" } else { b"F" };
        let top = self.top - style.size * ASCENT / POINTS_A_MM;
        let at = Place { left: MARGIN + style.indent, top };
        text(&mut self.content, face, style.size, at, words);
    }

    fn foot(&mut self, words: &str, page: usize, of: usize) {
        let at = Place { left: MARGIN, top: MARGIN - 4.0 };
        let words = format!("{}   Page {page} of {of}", spelled(words));
        text(&mut self.content, b"F", SMALL, at, &words);
    }
}

/// The sides of a JPEG file in pixels; nothing if it is none.
pub(crate) fn sides(jpeg: &[u8]) -> Option<(u32, u32)> {
    let read = Jpeg::read(jpeg)?;
    Some((u32::try_from(read.width).ok()?, u32::try_from(read.height).ok()?))
}

#[cfg(test)]
mod tests {
    use super::*;

    const PLAIN: Style = Style { size: 10.0, bold: false, indent: 0.0 };

    /// A block of so many lines.
    fn lines(count: usize) -> Block {
        (0..count).fold(Block::default(), |block, _| block.text("a line", PLAIN))
    }

    #[test]
    fn a_block_is_cut_only_where_no_page_has_room_for_it() {
        let each = 10.0 * LEADING / POINTS_A_MM;
        let room = each * 10.0 + 1.0;
        // It fits to the last line; one more begins a page; what is longer is cut.
        assert_eq!(laid_out(&[lines(10)], room), [vec![(0, 0..10)]]);
        assert_eq!(laid_out(&[lines(6), lines(6)], room), [vec![(0, 0..6)], vec![(1, 0..6)]]);
        assert_eq!(laid_out(&[lines(23)], room).iter().map(Vec::len).sum::<usize>(), 3);
        let cut = laid_out(&[lines(2), lines(12)], room);
        let parts: usize = cut.iter().flatten().map(|(_, range)| range.len()).sum();
        assert_eq!((cut.len(), parts), (2, 14), "{cut:?}");
        assert!(laid_out(&[], room).is_empty());
    }

    #[test]
    fn no_line_is_wider_than_the_page() {
        let long = format!("{} end", "word ".repeat(60));
        let block = Block::default().text(&long, PLAIN).text(&"x".repeat(400), PLAIN);
        let room = (PAGE.0 - 2.0 * MARGIN) * POINTS_A_MM / PLAIN.size;
        assert!(block.parts.len() > 4);
        for part in &block.parts {
            let Part::Line { words, .. } = part else { unreachable!("lines") };
            assert!(super::super::letters::width_of(words) <= room, "{words}");
        }
    }

    #[test]
    fn a_picture_keeps_its_proportions() {
        for ((wide, high), (width, height)) in
            [((1280, 960), (80.0, 60.0)), ((60, 120), (30.0, 60.0))]
        {
            let block = Block::default().picture(0, (wide, high), (80.0, 60.0), 0.0);
            let part = Part::Picture { number: 0, width, height, indent: 0.0 };
            assert_eq!(block.parts, [part]);
        }
    }
}
