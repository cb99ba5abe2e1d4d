//! One tag as SVG, PNG and PDF: the symbol with its quiet zone, and under it the
//! code in two lines for anyone who has to type it.

use std::fmt::Write as _;
use std::io::{self, Write};

use pdf_writer::Content;
use uom::si::length::millimeter;

use super::super::code::Code;
use super::super::glyphs;
use super::error::DrawError;
use super::plan::{Plan, QUIET_ZONE, whole};
use crate::pdf::{Document, POINTS_A_MM, Place, rectangle, text};

/// The height of a line's letters, of the type itself, and of a line, as shares
/// of the tag's width.
const TYPE: f64 = 0.135;
const CAPITAL: f64 = 0.72 * TYPE;
const LINE: f64 = 1.12 * TYPE;

/// Where things are on a tag, in units of its width.
pub(in crate::tag) struct Face {
    /// The two lines of the code.
    pub(in crate::tag) lines: [String; 2],
    /// The baselines from the top.
    pub(in crate::tag) baselines: [f64; 2],
    /// The type size.
    pub(in crate::tag) size: f64,
}

/// How high a tag is, in units of its width.
pub(in crate::tag) const HEIGHT: f64 = 1.0 + CAPITAL + LINE + 0.05;

impl Face {
    pub(in crate::tag) fn of(code: Code) -> Self {
        let lines = two_lines(code);
        let widest = lines.iter().map(|l| glyphs::helvetica_bold(l)).fold(1.0, f64::max);
        let size = TYPE.min(0.94 / widest);
        Self { lines, baselines: [1.0 + CAPITAL, 1.0 + CAPITAL + LINE], size }
    }
}

/// `XXXX-XXXX` and `XXXX-C`.
pub(in crate::tag) fn two_lines(code: Code) -> [String; 2] {
    let text = code.to_string();
    let (first, second) = text.split_at_checked(9).unwrap_or((&text, ""));
    [first.to_owned(), second.trim_start_matches('-').to_owned()]
}

/// Many tags in one SVG, in millimetres, so far apart and five in a row.
pub(in crate::tag) fn svg_many(mut out: impl Write, plans: &[Plan], gap: f64) -> io::Result<()> {
    const IN_A_ROW: usize = 5;
    let width = plans.iter().map(|plan| plan.width().get::<millimeter>()).fold(0.0, f64::max);
    let (across, down) = (width + gap, width * HEIGHT + gap);
    let count = |n: usize| f64::from(u32::try_from(n).unwrap_or(u32::MAX));
    let (columns, rows) = (plans.len().min(IN_A_ROW), plans.len().div_ceil(IN_A_ROW));
    let (all_w, all_h) = (count(columns) * across, count(rows) * down);
    writeln!(
        out,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{all_w:.3}mm\" \
         height=\"{all_h:.3}mm\" viewBox=\"0 0 {all_w:.3} {all_h:.3}\">"
    )?;
    for (at, plan) in plans.iter().enumerate() {
        let (x, y) = (count(at % IN_A_ROW) * across, count(at / IN_A_ROW) * down);
        // A drawing in a drawing: it keeps its own units.
        let placed = svg(plan).replacen("<svg ", &format!("<svg x=\"{x:.3}\" y=\"{y:.3}\" "), 1);
        out.write_all(placed.replace("mm\"", "\"").as_bytes())?;
    }
    writeln!(out, "</svg>")
}

/// The tag as an SVG file, in millimetres.
#[must_use]
pub fn svg(plan: &Plan) -> String {
    let side = f64::from(plan.symbol().side());
    let width = plan.width().get::<millimeter>();
    let face = Face::of(plan.code());
    let path = plan.symbol().path();
    let mut words = String::new();
    for (line, baseline) in face.lines.iter().zip(face.baselines) {
        let (x, y) = (side / 2.0, baseline * side);
        let _ = writeln!(words, "<text x=\"{x:.3}\" y=\"{y:.3}\">{line}</text>");
    }
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width:.3}mm\" height=\"{:.3}mm\" \
         viewBox=\"0 0 {side} {:.3}\">\n<title>{}</title>\n\
         <rect width=\"100%\" height=\"100%\" fill=\"#fff\"/>\n\
         <path d=\"{path}\" fill=\"#000\" shape-rendering=\"crispEdges\"/>\n\
         <g fill=\"#000\" font-family=\"Helvetica, Arial, sans-serif\" font-weight=\"bold\" \
         font-size=\"{:.3}\" text-anchor=\"middle\">\n{words}</g>\n</svg>\n",
        width * HEIGHT,
        side * HEIGHT,
        plan.code(),
        face.size * side,
    )
}

/// A picture in dots: `true` is dark, row by row.
#[derive(Debug, Clone)]
struct Raster {
    width: u32,
    height: u32,
    dark: Vec<bool>,
}

impl Raster {
    fn new(width: u32, height: u32) -> Self {
        let dots = usize::try_from(u64::from(width) * u64::from(height)).unwrap_or(0);
        Self { width, height, dark: vec![false; dots] }
    }

    fn at(&self, x: u32, y: u32) -> Option<usize> {
        let inside = x < self.width && y < self.height;
        usize::try_from(u64::from(y) * u64::from(self.width) + u64::from(x)).ok().filter(|_| inside)
    }

    fn square(&mut self, x: u32, y: u32, side: u32) {
        for (dx, dy) in (0..side).flat_map(|dy| (0..side).map(move |dx| (dx, dy))) {
            let at = self.at(x + dx, y + dy);
            if let Some(dot) = at.and_then(|at| self.dark.get_mut(at)) {
                *dot = true;
            }
        }
    }

    fn words(&mut self, text: &str, top: u32, scale: u32) {
        let columns = glyphs::width(text) * scale;
        let mut left = self.width.saturating_sub(columns) / 2;
        for character in text.chars() {
            for (column, row) in glyphs::dots(character) {
                self.square(left + column * scale, top + row * scale, scale + scale / 4);
            }
            left += glyphs::STEP * scale;
        }
    }

    /// Eight dots a byte, light as 1, each row filled up to whole bytes.
    fn packed(&self) -> Vec<u8> {
        let row = usize::try_from(self.width).unwrap_or(1).max(1);
        let pack = |dots: &[bool]| {
            dots.iter().enumerate().fold(0_u8, |b, (at, dark)| b | u8::from(!dark) << (7 - at))
        };
        self.dark.chunks(row).flat_map(|row| row.chunks(8).map(pack)).collect()
    }
}

/// The tag at so many dots a module.
fn raster(plan: &Plan, dots: u32) -> Raster {
    let symbol = plan.symbol();
    let side = symbol.side() * dots;
    let lines = two_lines(plan.code());
    let widest = lines.iter().map(|l| glyphs::width(l)).max().unwrap_or(1);
    let scale = (side * 9 / 10 / widest).max(1);
    let line = (glyphs::HEIGHT + 2) * scale;
    let mut raster = Raster::new(side, side + 2 * line + scale);
    for (column, row, length) in symbol.runs() {
        for along in column..column + length {
            raster.square((along + QUIET_ZONE) * dots, (row + QUIET_ZONE) * dots, dots);
        }
    }
    for (text, top) in lines.iter().zip([side, side + line]) {
        raster.words(text, top, scale);
    }
    raster
}

/// The tag at so many dots a module: dots a row, and whether each dot is dark.
#[cfg(feature = "photo")]
pub(in crate::tag) fn label(plan: &Plan, dots: u32) -> (usize, Vec<bool>) {
    let raster = raster(plan, dots);
    (usize::try_from(raster.width).unwrap_or(0), raster.dark)
}

/// The tag as a PNG file in whole printer dots; it says its resolution, so that
/// a print at its own size comes out as planned.
///
/// # Errors
/// [`DrawError::Write`]; not to be expected, since it is written to memory.
pub fn png(plan: &Plan) -> Result<Vec<u8>, DrawError> {
    let raster = raster(plan, plan.dots());
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, raster.width, raster.height);
    encoder.set_color(png::ColorType::Grayscale);
    encoder.set_depth(png::BitDepth::One);
    let a_metre = whole((f64::from(plan.dpi().get()) / 0.0254).round());
    let unit = png::Unit::Meter;
    encoder.set_pixel_dims(Some(png::PixelDimensions { xppu: a_metre, yppu: a_metre, unit }));
    let written = encoder.write_header().and_then(|mut w| w.write_image_data(&raster.packed()));
    written.map_err(std::io::Error::other)?;
    Ok(bytes)
}

/// The tag as a PDF file with one page of its own size.
///
/// # Errors
/// [`DrawError::Write`]; not to be expected, since it is written to memory.
pub fn pdf(plan: &Plan) -> Result<Vec<u8>, DrawError> {
    let width = plan.width().get::<millimeter>();
    let height = width * HEIGHT;
    let mut bytes = Vec::new();
    let mut document = Document::begin(&mut bytes, width, height)?;
    let mut content = Content::new();
    draw_tag(&mut content, plan, Place { left: 0.0, top: height });
    document.page(content)?;
    document.finish()?;
    Ok(bytes)
}

/// Draws a tag whose upper left corner is at a place of the page.
pub(in crate::tag) fn draw_tag(content: &mut Content, plan: &Plan, place: Place) {
    let width = plan.width().get::<millimeter>();
    draw_symbol(content, plan, place);
    let face = Face::of(plan.code());
    for (line, baseline) in face.lines.iter().zip(face.baselines) {
        let size = face.size * width;
        let left = place.left + (width - glyphs::helvetica_bold(line) * size) / 2.0;
        let at = Place { left, top: place.top - baseline * width };
        text(content, b"B", size * POINTS_A_MM, at, line);
    }
}

/// Draws a symbol; all its modules are one path, so that no seam shows.
pub(in crate::tag) fn draw_symbol(content: &mut Content, plan: &Plan, place: Place) {
    let module = plan.module().get::<millimeter>();
    for (column, row, length) in plan.symbol().runs() {
        let left = place.left + f64::from(column + QUIET_ZONE) * module;
        let top = place.top - f64::from(row + QUIET_ZONE) * module;
        let corner = Place { left, top: top - module };
        rectangle(content, corner, f64::from(length) * module, module);
    }
    content.fill_nonzero();
}
