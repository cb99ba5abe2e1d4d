//! A PDF file that is written page by page, so that memory does not grow with
//! the number of tags. The same drawing always gives the same bytes.

use std::io::{self, Write};

use pdf_writer::{Chunk, Content, Finish, Name, Rect, Ref, Str};

/// Points a millimetre: 72 points are an inch of 25.4 mm.
pub(super) const POINTS_A_MM: f64 = 72.0 / 25.4;

const CATALOG: i32 = 1;
const PAGES: i32 = 2;
const PLAIN: i32 = 3;
const BOLD: i32 = 4;
const FIRST_FREE: i32 = 5;

/// A place on the page in millimetres: from the left edge, and up from the foot.
#[derive(Debug, Clone, Copy)]
pub(super) struct Place {
    pub(super) left: f64,
    pub(super) top: f64,
}

/// A file being written.
pub(super) struct Document<W: Write> {
    out: W,
    at: u64,
    /// Where each object starts, by its number, from 1.
    starts: Vec<u64>,
    page: Rect,
    pages: Vec<Ref>,
}

impl<W: Write> Document<W> {
    /// Begins a file whose pages are so many millimetres wide and high.
    pub(super) fn begin(out: W, width: f64, height: f64) -> io::Result<Self> {
        let page = Rect::new(0.0, 0.0, points(width), points(height));
        let starts = vec![0; usize::try_from(FIRST_FREE - 1).unwrap_or(0)];
        let mut document = Self { out, at: 0, starts, page, pages: Vec::new() };
        // The four bytes above 127 tell transfer programs that this is binary.
        document.raw(b"%PDF-1.7\n%\x80\x80\x80\x80\n\n")?;
        Ok(document)
    }

    /// Adds a page.
    pub(super) fn page(&mut self, content: Content) -> io::Result<()> {
        let (page, drawn) = (self.next(), self.next());
        let mut chunk = Chunk::new();
        let mut writer = chunk.page(page);
        writer.media_box(self.page).parent(Ref::new(PAGES)).contents(drawn);
        let mut resources = writer.resources();
        let mut fonts = resources.fonts();
        fonts.pair(Name(b"F"), Ref::new(PLAIN)).pair(Name(b"B"), Ref::new(BOLD));
        fonts.finish();
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
    pub(super) fn finish(mut self) -> io::Result<()> {
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

/// Millimetres as points, in the precision of the format.
#[allow(clippy::cast_possible_truncation, reason = "the format's numbers are single precision")]
pub(super) fn points(mm: f64) -> f32 {
    (mm * POINTS_A_MM) as f32
}

/// Adds a rectangle to the path: its lower left corner, width and height in mm.
pub(super) fn rectangle(content: &mut Content, corner: Place, width: f64, height: f64) {
    content.rect(points(corner.left), points(corner.top), points(width), points(height));
}

/// Draws a line between two places, in mm.
pub(super) fn line(content: &mut Content, from: Place, to: Place) {
    content.move_to(points(from.left), points(from.top));
    content.line_to(points(to.left), points(to.top));
    content.stroke();
}

/// A text in the encoding of the faces; nothing if it has a letter that they lack.
pub(super) fn win_ansi(text: &str) -> Option<Vec<u8>> {
    text.chars()
        .map(|c| match u8::try_from(u32::from(c)) {
            Ok(byte @ (32..=126 | 160..=255)) => Some(byte),
            _ => HIGH.iter().find(|(letter, _)| *letter == c).map(|(_, byte)| *byte),
        })
        .collect()
}

/// What the encoding has beyond Latin-1 (ISO 32000-1, annex D.2).
const HIGH: [(char, u8); 27] = [
    ('€', 0x80),
    ('‚', 0x82),
    ('ƒ', 0x83),
    ('„', 0x84),
    ('…', 0x85),
    ('†', 0x86),
    ('‡', 0x87),
    ('ˆ', 0x88),
    ('‰', 0x89),
    ('Š', 0x8A),
    ('‹', 0x8B),
    ('Œ', 0x8C),
    ('Ž', 0x8E),
    ('‘', 0x91),
    ('’', 0x92),
    ('“', 0x93),
    ('”', 0x94),
    ('•', 0x95),
    ('–', 0x96),
    ('—', 0x97),
    ('˜', 0x98),
    ('™', 0x99),
    ('š', 0x9A),
    ('›', 0x9B),
    ('œ', 0x9C),
    ('ž', 0x9E),
    ('Ÿ', 0x9F),
];

/// Writes a text, its baseline starting at a place; the size is in points. The faces
/// are `F` (plain) and `B` (bold); a letter that they lack is left out.
pub(super) fn text(content: &mut Content, face: &[u8], size: f64, at: Place, text: &str) {
    let size = points(size / POINTS_A_MM);
    content.begin_text().set_font(Name(face), size);
    content.next_line(points(at.left), points(at.top));
    let each = text.chars().filter_map(|c| win_ansi(c.encode_utf8(&mut [0; 4])));
    content.show(Str(&each.flatten().collect::<Vec<u8>>())).end_text();
}
