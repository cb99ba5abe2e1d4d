//! Strips that wrap round a hose.

use std::f64::consts::PI;
use std::io::Write;

use pdf_writer::Content;
use uom::si::length::millimeter;

use super::beside::TagLabel;
use super::draw::{DrawError, HEIGHT, Plan, whole};
use super::sheet::{
    APART, BESIDE, Cells, HoseDiameter, LEAST_BESIDE, Printed, SheetOptions, draw_label,
    grey_hairline, left_out, pages,
};
use crate::pdf::{Place, points, rectangle, text};

/// Writes strips that wrap round a hose, one a tag, as PDF. The tag is on
/// each as often as the hose has room for, turned so that it runs along the hose
/// with its words beside it; the end that goes under is marked.
///
/// # Errors
/// As [`super::sheet::sheet`]; and [`DrawError::NoRoom`] if a tag would not go once round.
pub fn strips(
    out: impl Write,
    tags: impl IntoIterator<Item = impl Into<TagLabel>>,
    diameter: HoseDiameter,
    options: &SheetOptions,
) -> Result<Printed, DrawError> {
    let mut tags = tags.into_iter().map(Into::into).peekable();
    let bare = tags.peek().is_none_or(TagLabel::is_bare);
    let (round, size) = (diameter.mm() * PI, options.size.mm());
    let words = if bare { 0.0 } else { (size * BESIDE).max(LEAST_BESIDE) + APART };
    let (width, height) = (round + overlap(diameter), size + words);
    if size * HEIGHT > round {
        return Err(DrawError::NoRoom {
            asked: format!("a tag of {} does not go once round this hose", options.size),
            room: format!(
                "it is {round:.1} mm round, and a tag is {HEIGHT:.2} times as high as wide"
            ),
        });
    }
    let options = &SheetOptions { grid: None, labels: None, ..options.clone() };
    let cells = Cells::of(options, width, height)?.with_cuts();
    let (mut advice, mut lacking) = (None, 0);
    let draw = |content: &mut Content, plan: &Plan, label: &TagLabel, at: u32| {
        advice = advice.take().or_else(|| wrap_advice(plan, diameter));
        let corner = cells.middle(at, width, height);
        lacking += u32::from(draw_strip(content, plan, label, corner, (diameter, height)));
    };
    let printed = pages(out, tags, options, &cells, draw)?;
    let advice: Vec<String> = [advice, left_out(lacking)].into_iter().flatten().collect();
    let advice = Some(advice.join("; ")).filter(|advice| !advice.is_empty());
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
    label: &TagLabel,
    corner: Place,
    (diameter, height): (HoseDiameter, f64),
) -> bool {
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
    let mut lacks = false;
    for at in 0..count {
        // Turned a quarter to the left about its lower left corner.
        let left = foot.left + step * f64::from(at) + (step - width * HEIGHT) / 2.0;
        content.save_state();
        content.transform([0.0, 1.0, -1.0, 0.0, points(left), points(foot.top)]);
        let room = (height, width * HEIGHT);
        lacks |= draw_label(content, plan, label, Place { left: 0.0, top: 0.0 }, room);
        content.restore_state();
    }
    lacks
}
