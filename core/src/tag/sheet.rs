//! Many tags on paper: a grid to cut up, or strips that wrap round a hose.
//!
//! Pages are written one by one, so a thousand tags take no more memory than a
//! page of them, and the same tags always give the same bytes.

use std::f64::consts::PI;
use std::io::Write;

use pdf_writer::Content;
use uom::si::length::millimeter;

use super::draw::{
    DrawError, HEIGHT, Level, Plan, PrinterDpi, TagSize, draw_tag, plan_with_base, whole,
};
use super::paper::MARGIN;
use super::payload::{Base, TagText};
use super::pdf::{Document, Place, line, points, rectangle, text};

pub use super::paper::{Grid, HoseDiameter, Paper};

/// The least space between tags, in mm: room for scissors.
const GAP: f64 = 3.0;
const HAIRLINE: f64 = 0.15;

/// How tags are put on paper.
#[derive(Debug, Clone, Default)]
pub struct SheetOptions {
    /// The paper.
    pub paper: Paper,
    /// The grid, such as that of a sheet of labels; as many as fit where `None`.
    pub grid: Option<Grid>,
    /// How wide each tag is at most.
    pub size: TagSize,
    /// The printer's resolution.
    pub dpi: PrinterDpi,
    /// The error correction level.
    pub level: Level,
    /// What is before each text.
    pub base: Option<Base>,
}

impl SheetOptions {
    fn plan(&self, tag: impl Into<TagText>) -> Result<Plan, DrawError> {
        plan_with_base(self.size, self.dpi, self.level, tag, self.base.as_ref())
    }
}

/// What was printed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Printed {
    /// How many tags.
    pub tags: u32,
    /// On how many pages.
    pub pages: u32,
    /// What to know before they are used, if there is something.
    pub advice: Option<String>,
}

/// A grid on its paper, in mm.
struct Cells {
    grid: Grid,
    left: f64,
    top: f64,
    width: f64,
    height: f64,
}

impl Cells {
    /// Lays out cells that each take something so wide and high.
    fn of(options: &SheetOptions, width: f64, height: f64) -> Result<Self, DrawError> {
        let paper = options.paper;
        let (room_w, room_h) = paper.room();
        let most = [room_w / (width + GAP), room_h / (height + GAP)].map(|n| whole(n + 1e-9));
        let none = || DrawError::NoRoom {
            asked: format!("{width:.1} mm by {height:.1} mm do not fit {paper}"),
            room: format!("it leaves {room_w:.0} mm by {room_h:.0} mm"),
        };
        let fitting = Grid::new(most[0].min(50), most[1].min(50)).map_err(|_| none())?;
        let grid = options.grid.unwrap_or(fitting);
        if grid.columns > most[0] || grid.rows > most[1] {
            return Err(DrawError::NoRoom {
                asked: format!("a grid of {grid} does not fit {paper} with tags of this size"),
                room: format!("there is room for {fitting}"),
            });
        }
        // A grid that was asked for fills the page, as sheets of labels do.
        let spread = |room: f64, count: u32, each: f64| match options.grid {
            Some(_) => room / f64::from(count),
            None => each + GAP,
        };
        let width = spread(room_w, grid.columns, width);
        let height = spread(room_h, grid.rows, height);
        let left = (paper.mm().0 - width * f64::from(grid.columns)) / 2.0;
        Ok(Self { grid, left, top: paper.mm().1 - MARGIN, width, height })
    }

    fn corner(&self, column: u32, row: u32) -> Place {
        let left = self.left + self.width * f64::from(column);
        Place { left, top: self.top - self.height * f64::from(row) }
    }

    /// The upper left corner of something that is in the middle of a cell.
    fn middle(&self, at: u32, width: f64, height: f64) -> Place {
        let corner = self.corner(at % self.grid.columns, at / self.grid.columns);
        let left = corner.left + (self.width - width) / 2.0;
        Place { left, top: corner.top - (self.height - height) / 2.0 }
    }

    /// A small cross at every corner of a cell.
    fn cut_marks(&self, content: &mut Content) {
        grey_hairline(content);
        for (column, row) in (0..=self.grid.rows)
            .flat_map(|row| (0..=self.grid.columns).map(move |column| (column, row)))
        {
            let Place { left, top } = self.corner(column, row);
            line(content, Place { left: left - 1.5, top }, Place { left: left + 1.5, top });
            line(content, Place { left, top: top - 1.5 }, Place { left, top: top + 1.5 });
        }
    }
}

/// Writes a sheet of tags in a grid, with cut marks, as PDF.
///
/// # Errors
/// [`DrawError`] if there is no tag, one would not read, the grid does not
/// fit, or the file cannot be written.
pub fn sheet(
    out: impl Write,
    tags: impl IntoIterator<Item = impl Into<TagText>>,
    options: &SheetOptions,
) -> Result<Printed, DrawError> {
    let width = options.size.mm();
    let cells = Cells::of(options, width, width * HEIGHT)?;
    let draw = |content: &mut Content, plan: &Plan, at: u32| {
        let width = plan.width().get::<millimeter>();
        draw_tag(content, plan, cells.middle(at, width, width * HEIGHT));
    };
    pages(out, tags, options, &cells, Cells::cut_marks, draw)
}

/// Writes labels for a roll as PDF: each tag on a page of its own, as wide as
/// the size asked for.
///
/// # Errors
/// [`DrawError`] if there is no tag, one would not read, or the file cannot
/// be written.
pub fn roll(
    out: impl Write,
    tags: impl IntoIterator<Item = impl Into<TagText>>,
    options: &SheetOptions,
) -> Result<Printed, DrawError> {
    let (width, height) = (options.size.mm(), options.size.mm() * HEIGHT);
    let mut document = Document::begin(out, width, height)?;
    let mut printed = Printed { tags: 0, pages: 0, advice: None };
    for tag in tags {
        let plan = options.plan(tag)?;
        let own = plan.width().get::<millimeter>();
        let (left, over) = ((width - own) / 2.0, (height - own * HEIGHT) / 2.0);
        let mut content = Content::new();
        draw_tag(&mut content, &plan, Place { left, top: height - over });
        document.page(content)?;
        printed.tags += 1;
        printed.pages += 1;
    }
    if printed.tags == 0 {
        return Err(DrawError::NoTags);
    }
    document.finish()?;
    Ok(printed)
}

/// Writes strips that wrap round a hose, one a tag, as PDF. The tag is on
/// each as often as the hose has room for, turned so that its words run along
/// the hose; the end that goes under is marked.
///
/// # Errors
/// As [`sheet`]; and [`DrawError::NoRoom`] if a tag would not go once round.
pub fn strips(
    out: impl Write,
    tags: impl IntoIterator<Item = impl Into<TagText>>,
    diameter: HoseDiameter,
    options: &SheetOptions,
) -> Result<Printed, DrawError> {
    let round = diameter.mm() * PI;
    let (width, height) = (round + overlap(diameter), options.size.mm());
    if height * HEIGHT > round {
        return Err(DrawError::NoRoom {
            asked: format!("a tag of {} does not go once round this hose", options.size),
            room: format!(
                "it is {round:.1} mm round, and a tag is {HEIGHT:.2} times as high as wide"
            ),
        });
    }
    let options = &SheetOptions { grid: None, ..options.clone() };
    let cells = Cells::of(options, width, height)?;
    let mut advice = None;
    let draw = |content: &mut Content, plan: &Plan, at: u32| {
        advice = advice.take().or_else(|| wrap_advice(plan, diameter));
        draw_strip(content, plan, cells.middle(at, width, height), diameter, height);
    };
    let printed = pages(out, tags, options, &cells, |_, _| (), draw)?;
    Ok(Printed { advice, ..printed })
}

/// How much of a strip goes under its other end, in mm: a quarter of the way
/// round, and at least 8 mm to hold (common practice, no source).
fn overlap(diameter: HoseDiameter) -> f64 {
    (diameter.mm() * PI / 4.0).max(8.0)
}

/// What to know about a symbol that is bent round a hose; `None` if it is
/// narrow enough. A symbol wider than half the hose is thick reads badly
/// (common practice, no source).
#[must_use]
pub fn wrap_advice(plan: &Plan, diameter: HoseDiameter) -> Option<String> {
    let module = plan.module().get::<millimeter>();
    let symbol = module * f64::from(plan.symbol().modules());
    let half = diameter.mm() / 2.0;
    (symbol > half).then(|| {
        format!(
            "the symbol is {symbol:.1} mm wide on a hose {:.1} mm thick; above {half:.1} mm it is \
             bent so far that many phones will not read it: print it smaller, or as a flat tag \
             that stands off the hose",
            diameter.mm()
        )
    })
}

fn draw_strip(
    content: &mut Content,
    plan: &Plan,
    corner: Place,
    diameter: HoseDiameter,
    height: f64,
) {
    let round = diameter.mm() * PI;
    let width = plan.width().get::<millimeter>();
    let foot = Place { left: corner.left, top: corner.top - height };
    let under = Place { left: foot.left + round, top: foot.top };
    content.set_fill_gray(0.9);
    rectangle(content, under, overlap(diameter), height);
    content.fill_nonzero().set_fill_gray(0.0);
    grey_hairline(content);
    rectangle(content, foot, round + overlap(diameter), height);
    content.stroke();
    let note = Place { left: under.left + 1.0, top: foot.top + height / 2.0 - 0.8 };
    text(content, b"F", 6.0, note, "glue");
    let count = whole(round / (width * HEIGHT)).max(1);
    let step = round / f64::from(count);
    for at in 0..count {
        // Turned a quarter to the left about its lower left corner.
        let left = foot.left + step * f64::from(at) + (step - width * HEIGHT) / 2.0;
        let low = foot.top + (height - width) / 2.0;
        content.save_state();
        content.transform([0.0, 1.0, -1.0, 0.0, points(left), points(low)]);
        draw_tag(content, plan, Place { left: 0.0, top: 0.0 });
        content.restore_state();
    }
}

/// Draws tags one after the other, a new page whenever one is full.
fn pages(
    out: impl Write,
    tags: impl IntoIterator<Item = impl Into<TagText>>,
    options: &SheetOptions,
    cells: &Cells,
    marks: impl Fn(&Cells, &mut Content),
    mut draw: impl FnMut(&mut Content, &Plan, u32),
) -> Result<Printed, DrawError> {
    let (width, height) = options.paper.mm();
    let mut document = Document::begin(out, width, height)?;
    let mut tags = tags.into_iter().peekable();
    let mut printed = Printed { tags: 0, pages: 0, advice: None };
    while tags.peek().is_some() {
        let mut content = Content::new();
        marks(cells, &mut content);
        for at in 0..cells.grid.count() {
            let Some(tag) = tags.next() else { break };
            draw(&mut content, &options.plan(tag)?, at);
            printed.tags += 1;
        }
        printed.pages += 1;
        foot(&mut content, width, printed.pages);
        document.page(content)?;
    }
    if printed.tags == 0 {
        return Err(DrawError::NoTags);
    }
    document.finish()?;
    Ok(printed)
}

/// The last line of a page: a measure that shows whether the printer has
/// changed the size, and the page's number.
fn foot(content: &mut Content, width: f64, page: u32) {
    let (left, top) = (MARGIN, MARGIN + 2.0);
    content.set_stroke_gray(0.0).set_line_width(points(HAIRLINE * 2.0));
    line(content, Place { left, top }, Place { left: left + 50.0, top });
    for end in [left, left + 50.0] {
        line(content, Place { left: end, top: top - 1.2 }, Place { left: end, top: top + 1.2 });
    }
    let beside = Place { left: left + 53.0, top: top - 0.9 };
    let says = "This line is 50 mm long when printed at 100 %, not fitted to the page.";
    text(content, b"F", 7.5, beside, says);
    let right = Place { left: width - MARGIN - 14.0, top: top - 0.9 };
    text(content, b"F", 7.5, right, &format!("Page {page}"));
}

fn grey_hairline(content: &mut Content) {
    content.set_stroke_gray(0.55).set_line_width(points(HAIRLINE));
}

#[cfg(test)]
#[path = "sheet_tests.rs"]
mod tests;
