//! Many tags on paper: a grid to cut up, or strips that wrap round a hose.
//!
//! Pages are written one by one, so a thousand tags take no more memory than a
//! page of them, and the same tags always give the same bytes.

use std::io::Write;

use pdf_writer::Content;
use uom::si::f64::Length;
use uom::si::length::millimeter;

use super::beside::{Set, TagLabel};
use super::draw::{
    DrawError, HEIGHT, Level, Plan, PrinterDpi, TagSize, draw_tag, plan_with_base, svg_many, whole,
};
use super::paper::{FOOT, MARGIN};
use super::payload::Base;
use super::stock::{LabelSheet, RollLabel};
use crate::pdf::{Document, Place, line, points, text};

pub use super::paper::{Grid, HoseDiameter, Paper};

/// The least space between tags, in mm: room for scissors.
const GAP: f64 = 3.0;
const HAIRLINE: f64 = 0.15;
/// What is kept free inside a label that is cut already, in mm: printers and paper are
/// a little off (common practice, no source).
const INSIDE: f64 = 1.5;
/// Between a symbol and the words beside it, in mm: the symbol has a quiet zone too.
pub(super) const APART: f64 = 0.5;
/// Words stand beside a symbol where so many mm are left, else under it.
pub(super) const LEAST_BESIDE: f64 = 12.0;
/// The room for words under a tag, and beside one on a strip, in widths of the tag.
const UNDER: f64 = 0.45;
pub(super) const BESIDE: f64 = 1.4;
/// The least room for words under a tag, in mm: four lines of the smallest type.
const LEAST_UNDER: f64 = 9.0;

/// Where a tag is tied, what it and its tie are of: printed on every sheet that has
/// room, and shown where tags are printed (common practice, no source).
pub const TYING: [&str; 2] = [
    "Tie it on the straight run of the hose: never on a sleeve or a bend, and where it hides no \
     damage. In salt water polyester or polypropylene labels last,",
    "engraved acetal and 316 stainless steel longer; paper and plain steel do not. Ties: \
     UV-stable nylon or 316 wire, cut flush, loose on the hose. Common practice, no source.",
];

/// How tags are put on paper.
#[derive(Debug, Clone, Default)]
pub struct SheetOptions {
    /// The paper.
    pub paper: Paper,
    /// The grid, such as that of a sheet of labels; as many as fit where `None`.
    pub grid: Option<Grid>,
    /// Labels that are cut already, which say the paper and the grid.
    pub labels: Option<LabelSheet>,
    /// The label of a roll; as large as its tag where `None`.
    pub roll: Option<RollLabel>,
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
    fn plan(&self, label: &TagLabel) -> Result<Plan, DrawError> {
        plan_with_base(self.size, self.dpi, self.level, label.text, self.base.as_ref())
    }

    /// The same with tags that fit a label that is cut already.
    fn within(&self, (width, height): (f64, f64)) -> Result<Self, DrawError> {
        let most = (width - 2.0 * INSIDE).min((height - 2.0 * INSIDE) / HEIGHT);
        let size = TagSize::new(Length::new::<millimeter>(most.min(self.size.mm())))?;
        Ok(Self { size, ..self.clone() })
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
pub(super) struct Cells {
    grid: Grid,
    left: f64,
    top: f64,
    /// From one cell to the next.
    step: (f64, f64),
    /// What is printed on of each.
    cell: (f64, f64),
    /// Where no scissors go.
    cut: bool,
    /// Whether there is room for a last line.
    foot: bool,
    paper: Paper,
}

impl Cells {
    /// The same with marks where to cut.
    pub(super) fn with_cuts(self) -> Self {
        Self { cut: true, ..self }
    }

    /// Lays out cells that each take something so wide and high.
    pub(super) fn of(options: &SheetOptions, width: f64, height: f64) -> Result<Self, DrawError> {
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
        let step = (spread(room_w, grid.columns, width), spread(room_h, grid.rows, height));
        let left = (paper.mm().0 - step.0 * f64::from(grid.columns)) / 2.0;
        let top = paper.mm().1 - MARGIN;
        Ok(Self { grid, left, top, step, cell: step, cut: false, foot: true, paper })
    }

    /// Labels that are cut already. A last line needs the border that printers leave.
    fn of_labels(labels: LabelSheet) -> Self {
        let (paper, (left, above)) = (labels.paper, labels.border());
        let (grid, step, cell) = (labels.grid(), labels.step(), labels.label);
        let top = paper.mm().1 - above;
        Self { grid, left, top, step, cell, cut: true, foot: above >= MARGIN + FOOT, paper }
    }

    fn corner(&self, column: u32, row: u32) -> Place {
        let left = self.left + self.step.0 * f64::from(column);
        Place { left, top: self.top - self.step.1 * f64::from(row) }
    }

    /// The upper left corner of something that is in the middle of a cell.
    pub(super) fn middle(&self, at: u32, width: f64, height: f64) -> Place {
        let corner = self.corner(at % self.grid.columns, at / self.grid.columns);
        let left = corner.left + (self.cell.0 - width) / 2.0;
        Place { left, top: corner.top - (self.cell.1 - height) / 2.0 }
    }

    /// A small cross at every corner of a cell that is to be cut.
    fn cut_marks(&self, content: &mut Content) {
        if self.cut {
            return;
        }
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

/// Draws a tag with its words in a room whose upper left corner is at a place: the
/// words beside the tag or under it, where there is more room. Returns whether
/// words were left out.
pub(super) fn draw_label(
    content: &mut Content,
    plan: &Plan,
    label: &TagLabel,
    corner: Place,
    (width, height): (f64, f64),
) -> bool {
    let own = plan.width().get::<millimeter>();
    let high = own * HEIGHT;
    let beside = width - own - APART;
    let across = beside >= LEAST_BESIDE || label.is_bare();
    let under = (width - 2.0 * APART, height - high - APART);
    let room = if across { (beside, height) } else { under };
    let set = Set::of(label, room.0, room.1);
    if label.is_bare() || !across {
        let over = (height - high - if across { 0.0 } else { APART + set.height() }) / 2.0;
        let top = corner.top - over.max(0.0);
        let left = corner.left + (width - own) / 2.0;
        draw_tag(content, plan, Place { left, top });
        let place = Place { left: corner.left + APART, top: top - high - APART };
        set.draw(content, place);
    } else {
        draw_tag(
            content,
            plan,
            Place { left: corner.left, top: corner.top - (height - high) / 2.0 },
        );
        let top = corner.top - (height - set.height()) / 2.0;
        set.draw(content, Place { left: corner.left + own + APART, top });
    }
    set.left_out
}

/// What to know of tags of which so many have not all their words.
pub(super) fn left_out(tags: u32) -> Option<String> {
    (tags > 0).then(|| {
        format!(
            "{tags} of the tags lack some of their words: there is no room for them, or this \
             print lacks their letters"
        )
    })
}

/// Writes a sheet of tags in a grid, with cut marks or on labels that are cut already,
/// as PDF. The words of a tag are beside it or under it.
///
/// # Errors
/// [`DrawError`] if there is no tag, one would not read, the grid does not
/// fit, or the file cannot be written.
pub fn sheet(
    out: impl Write,
    tags: impl IntoIterator<Item = impl Into<TagLabel>>,
    options: &SheetOptions,
) -> Result<Printed, DrawError> {
    let mut tags = tags.into_iter().map(Into::into).peekable();
    let bare = tags.peek().is_none_or(TagLabel::is_bare);
    let width = options.size.mm();
    // A grid that was asked for says itself how much room there is.
    let words = !bare && options.grid.is_none();
    let under = if words { (width * UNDER).max(LEAST_UNDER) } else { 0.0 };
    let (cells, options) = match options.labels {
        Some(labels) => (Cells::of_labels(labels), &options.within(labels.label)?),
        None => (Cells::of(options, width, width * HEIGHT + under)?, options),
    };
    let inside = if cells.cut { INSIDE } else { GAP / 2.0 };
    let room = (cells.cell.0 - 2.0 * inside, cells.cell.1 - 2.0 * inside);
    let mut lacking = 0;
    let draw = |content: &mut Content, plan: &Plan, label: &TagLabel, at: u32| {
        let corner = cells.middle(at, room.0, room.1);
        lacking += u32::from(draw_label(content, plan, label, corner, room));
    };
    let printed = pages(out, tags, options, &cells, draw)?;
    Ok(Printed { advice: left_out(lacking), ..printed })
}

/// Writes labels for a roll as PDF: each tag on a page of its own, as large as the
/// label, or as the tag with its words where none was named.
///
/// # Errors
/// [`DrawError`] if there is no tag, one would not read, or the file cannot
/// be written.
pub fn roll(
    out: impl Write,
    tags: impl IntoIterator<Item = impl Into<TagLabel>>,
    options: &SheetOptions,
) -> Result<Printed, DrawError> {
    let mut tags = tags.into_iter().map(Into::into).peekable();
    let bare = tags.peek().is_none_or(TagLabel::is_bare);
    let size = options.size.mm();
    let under = if bare { 0.0 } else { (size * UNDER).max(LEAST_UNDER) };
    let (inside, page, options) = match options.roll {
        Some(label) => (INSIDE, label.mm(), &options.within(label.mm())?),
        None => (0.0, (size, size * HEIGHT + under), options),
    };
    let mut document = Document::begin(out, page.0, page.1)?;
    let mut printed = Printed { tags: 0, pages: 0, advice: None };
    let mut lacking = 0;
    for label in tags {
        let plan = options.plan(&label)?;
        let mut content = Content::new();
        let corner = Place { left: inside, top: page.1 - inside };
        let room = (page.0 - 2.0 * inside, page.1 - 2.0 * inside);
        lacking += u32::from(draw_label(&mut content, &plan, &label, corner, room));
        document.page(content)?;
        printed.tags += 1;
        printed.pages += 1;
    }
    if printed.tags == 0 {
        return Err(DrawError::NoTags);
    }
    document.finish()?;
    Ok(Printed { advice: left_out(lacking), ..printed })
}

/// Writes every tag in one SVG, in millimetres, for an engraver.
///
/// # Errors
/// [`DrawError`] if there is no tag, one would not read, or the file cannot be written.
pub fn svg_sheet(
    out: impl Write,
    tags: impl IntoIterator<Item = impl Into<TagLabel>>,
    options: &SheetOptions,
) -> Result<Printed, DrawError> {
    let plans = tags.into_iter().map(|tag| options.plan(&tag.into()));
    let plans = plans.collect::<Result<Vec<Plan>, DrawError>>()?;
    if plans.is_empty() {
        return Err(DrawError::NoTags);
    }
    svg_many(out, &plans, GAP)?;
    let tags = u32::try_from(plans.len()).unwrap_or(u32::MAX);
    Ok(Printed { tags, pages: 1, advice: None })
}

/// Draws tags one after the other, a new page whenever one is full.
pub(super) fn pages(
    out: impl Write,
    tags: impl Iterator<Item = TagLabel>,
    options: &SheetOptions,
    cells: &Cells,
    mut draw: impl FnMut(&mut Content, &Plan, &TagLabel, u32),
) -> Result<Printed, DrawError> {
    let (width, height) = cells.paper.mm();
    let mut document = Document::begin(out, width, height)?;
    let mut tags = tags.peekable();
    let mut printed = Printed { tags: 0, pages: 0, advice: None };
    while tags.peek().is_some() {
        let mut content = Content::new();
        cells.cut_marks(&mut content);
        for at in 0..cells.grid.count() {
            let Some(label) = tags.next() else { break };
            draw(&mut content, &options.plan(&label)?, &label, at);
            printed.tags += 1;
        }
        printed.pages += 1;
        if cells.foot {
            foot(&mut content, width, printed.pages);
        }
        document.page(content)?;
    }
    if printed.tags == 0 {
        return Err(DrawError::NoTags);
    }
    document.finish()?;
    Ok(printed)
}

/// The last lines of a page: how tags are tied on, a measure that shows whether the
/// printer has changed the size, and the page's number.
fn foot(content: &mut Content, width: f64, page: u32) {
    for (words, top) in TYING.into_iter().zip([MARGIN + 7.1, MARGIN + 4.7]) {
        text(content, b"F", 6.0, Place { left: MARGIN, top }, words);
    }
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

pub(super) fn grey_hairline(content: &mut Content) {
    content.set_stroke_gray(0.55).set_line_width(points(HAIRLINE));
}

#[cfg(test)]
#[path = "sheet_tests.rs"]
mod tests;
