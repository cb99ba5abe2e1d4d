//! A PDF file that is written page by page, so that memory does not grow with
//! the number of pages. The same drawing always gives the same bytes.

use std::io::{self, Write};

use pdf_writer::{Chunk, Content, Filter, Finish, Name, Rect, Ref, Str};

use super::letters::win_ansi;

/// Points a millimetre: 72 points are an inch of 25.4 mm.
pub(crate) const POINTS_A_MM: f64 = 72.0 / 25.4;

const CATALOG: i32 = 1;
const PAGES: i32 = 2;
const PLAIN: i32 = 3;
const BOLD: i32 = 4;
const FIRST_FREE: i32 = 5;

/// A place on the page in millimetres: from the left edge, and up from the foot.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Place {
    pub(crate) left: f64,
    pub(crate) top: f64,
}

/// A file being written.
pub(crate) struct Document<W: Write> {
    out: W,
    at: u64,
    /// Where each object starts, by its number, from 1.
    starts: Vec<u64>,
    page: Rect,
    pages: Vec<Ref>,
}

impl<W: Write> Document<W> {
    /// Begins a file whose pages are so many millimetres wide and high.
    pub(crate) fn begin(out: W, width: f64, height: f64) -> io::Result<Self> {
        let page = Rect::new(0.0, 0.0, points(width), points(height));
        let starts = vec![0; usize::try_from(FIRST_FREE - 1).unwrap_or(0)];
        let mut document = Self { out, at: 0, starts, page, pages: Vec::new() };
        // The four bytes above 127 tell transfer programs that this is binary.
        document.raw(b"%PDF-1.7\n%\x80\x80\x80\x80\n\n")?;
        Ok(document)
    }

    /// Adds a page.
    pub(crate) fn page(&mut self, content: Content) -> io::Result<()> {
        self.page_with(content, &[])
    }

    /// Adds a picture, which pages after it show by its name.
    pub(crate) fn picture(&mut self, picture: &Jpeg<'_>) -> io::Result<Ref> {
        let name = self.next();
        let mut chunk = Chunk::new();
        let mut image = chunk.image_xobject(name, picture.bytes);
        image.filter(Filter::DctDecode);
        image.width(picture.width).height(picture.height);
        match picture.parts {
            1 => image.color_space().device_gray(),
            4 => image.color_space().device_cmyk(),
            _ => image.color_space().device_rgb(),
        }
        image.bits_per_component(8);
        image.finish();
        self.object(name, &chunk)?;
        Ok(name)
    }

    /// Adds a page that shows some pictures, each under the name of its number.
    pub(crate) fn page_with(&mut self, content: Content, pictures: &[Ref]) -> io::Result<()> {
        let (page, drawn) = (self.next(), self.next());
        let mut chunk = Chunk::new();
        let mut writer = chunk.page(page);
        writer.media_box(self.page).parent(Ref::new(PAGES)).contents(drawn);
        let mut resources = writer.resources();
        let mut fonts = resources.fonts();
        fonts.pair(Name(b"F"), Ref::new(PLAIN)).pair(Name(b"B"), Ref::new(BOLD));
        fonts.finish();
        if !pictures.is_empty() {
            let mut shown = resources.x_objects();
            for picture in pictures {
                shown.pair(Name(picture_name(*picture).as_bytes()), *picture);
            }
            shown.finish();
        }
        resources.finish();
        writer.finish();
        self.object(page, &chunk)?;
        let mut chunk = Chunk::new();
        chunk.stream(drawn, &content.finish());
        self.object(drawn, &chunk)?;
        self.pages.push(page);
        Ok(())
    }

    /// Writes what comes last, and flushes.
    pub(crate) fn finish(mut self) -> io::Result<()> {
        let mut chunk = Chunk::new();
        let count = i32::try_from(self.pages.len()).unwrap_or(i32::MAX);
        chunk.pages(Ref::new(PAGES)).kids(self.pages.iter().copied()).count(count);
        self.object(Ref::new(PAGES), &chunk)?;
        for (at, face) in [(PLAIN, &b"Helvetica"[..]), (BOLD, b"Helvetica-Bold")] {
            let mut chunk = Chunk::new();
            let mut font = chunk.type1_font(Ref::new(at));
            font.base_font(Name(face)).encoding_predefined(Name(b"WinAnsiEncoding"));
            font.finish();
            self.object(Ref::new(at), &chunk)?;
        }
        let mut chunk = Chunk::new();
        let mut catalog = chunk.indirect(Ref::new(CATALOG)).dict();
        catalog.pair(Name(b"Type"), Name(b"Catalog")).pair(Name(b"Pages"), Ref::new(PAGES));
        catalog.finish();
        self.object(Ref::new(CATALOG), &chunk)?;
        self.table()
    }

    fn table(&mut self) -> io::Result<()> {
        let table_at = self.at;
        let count = self.starts.len() + 1;
        self.raw(format!("xref\n0 {count}\n0000000000 65535 f\r\n").as_bytes())?;
        for start in std::mem::take(&mut self.starts) {
            self.raw(format!("{start:010} 00000 n\r\n").as_bytes())?;
        }
        let root = format!("<< /Size {count} /Root {CATALOG} 0 R >>");
        self.raw(format!("trailer\n{root}\nstartxref\n{table_at}\n%%EOF\n").as_bytes())?;
        self.out.flush()
    }

    fn next(&mut self) -> Ref {
        self.starts.push(0);
        Ref::new(i32::try_from(self.starts.len()).unwrap_or(i32::MAX))
    }

    fn object(&mut self, name: Ref, chunk: &Chunk) -> io::Result<()> {
        let number = usize::try_from(name.get()).unwrap_or(0);
        if let Some(start) = number.checked_sub(1).and_then(|n| self.starts.get_mut(n)) {
            *start = self.at;
        }
        self.raw(chunk.as_bytes())
    }

    fn raw(&mut self, bytes: &[u8]) -> io::Result<()> {
        self.at += u64::try_from(bytes.len()).unwrap_or(0);
        self.out.write_all(bytes)
    }
}

/// A JPEG file, with what has to be said beside it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Jpeg<'j> {
    bytes: &'j [u8],
    /// In pixels.
    pub(crate) width: i32,
    pub(crate) height: i32,
    /// How many colours each has: 1, 3 or 4.
    parts: u8,
}

impl<'j> Jpeg<'j> {
    /// Reads its frame header (ITU-T T.81, B.2.2); nothing if it has none.
    pub(crate) fn read(bytes: &'j [u8]) -> Option<Self> {
        let mut at = 2;
        loop {
            let [0xFF, marker] = *bytes.get(at..at + 2)? else { return None };
            let length = bytes.get(at + 2..at + 4)?;
            let length = usize::from(u16::from_be_bytes(length.try_into().ok()?));
            // C4, C8 and CC stand among the frames' markers and begin none.
            if matches!(marker, 0xC0..=0xCF) && !matches!(marker, 0xC4 | 0xC8 | 0xCC) {
                let side = |from: usize| {
                    let two = bytes.get(at + from..at + from + 2)?;
                    Some(i32::from(u16::from_be_bytes(two.try_into().ok()?)))
                };
                let (height, width) = (side(5)?, side(7)?);
                return Some(Self { bytes, width, height, parts: *bytes.get(at + 9)? });
            }
            at += 2 + length;
        }
    }
}

fn picture_name(picture: Ref) -> String {
    format!("P{}", picture.get())
}

/// Draws a picture: its lower left corner, width and height in mm.
pub(crate) fn draw(content: &mut Content, picture: Ref, corner: Place, width: f64, height: f64) {
    content.save_state();
    let (wide, high) = (points(width), points(height));
    content.transform([wide, 0.0, 0.0, high, points(corner.left), points(corner.top)]);
    content.x_object(Name(picture_name(picture).as_bytes()));
    content.restore_state();
}

/// Millimetres as points, in the precision of the format.
#[allow(clippy::cast_possible_truncation, reason = "the format's numbers are single precision")]
pub(crate) fn points(mm: f64) -> f32 {
    (mm * POINTS_A_MM) as f32
}

/// Adds a rectangle to the path: its lower left corner, width and height in mm.
pub(crate) fn rectangle(content: &mut Content, corner: Place, width: f64, height: f64) {
    content.rect(points(corner.left), points(corner.top), points(width), points(height));
}

/// Draws a line between two places, in mm.
pub(crate) fn line(content: &mut Content, from: Place, to: Place) {
    content.move_to(points(from.left), points(from.top));
    content.line_to(points(to.left), points(to.top));
    content.stroke();
}

/// Writes a text, its baseline starting at a place; the size is in points. The faces
/// are `F` (plain) and `B` (bold); a letter that they lack is left out.
pub(crate) fn text(content: &mut Content, face: &[u8], size: f64, at: Place, text: &str) {
    let size = points(size / POINTS_A_MM);
    content.begin_text().set_font(Name(face), size);
    content.next_line(points(at.left), points(at.top));
    let each = text.chars().filter_map(|c| win_ansi(c.encode_utf8(&mut [0; 4])));
    content.show(Str(&each.flatten().collect::<Vec<u8>>())).end_text();
}
