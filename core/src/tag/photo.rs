//! A photo of a tag that was never taken: for trying things out and for tests.

use hosewright_reader::photo::Label;
pub use hosewright_reader::photo::{Chance, Conditions, Rows, empty_scene};
use image::GrayImage;

use super::draw::{Plan, QUIET_ZONE, Symbol, label};

/// A photo of a tag.
#[must_use]
pub fn photograph(plan: &Plan, conditions: &Conditions) -> GrayImage {
    let (width, dark) = label(plan, DOTS);
    let side = f64::from(plan.symbol().side());
    let label = Label { width, dark, side, dots: f64::from(DOTS) };
    hosewright_reader::photo::photograph(&label, conditions)
}

/// A photo of a screen that goes from one symbol to the next.
#[must_use]
pub fn photograph_screen(
    symbols: [&Symbol; 2],
    rows: &Rows<'_>,
    conditions: &Conditions,
) -> GrayImage {
    let [first, second] = symbols.map(shown);
    hosewright_reader::photo::photograph_between([&first, &second], rows, conditions)
}

/// A symbol with its quiet zone, a dot a module.
fn shown(symbol: &Symbol) -> Label {
    let side = symbol.side();
    let places = (0..side).flat_map(|y| (0..side).map(move |x| (x, y)));
    let dark = |(x, y): (u32, u32)| {
        let inside = x.checked_sub(QUIET_ZONE).zip(y.checked_sub(QUIET_ZONE));
        inside.is_some_and(|(x, y)| symbol.is_dark(x, y))
    };
    Label {
        width: usize::try_from(side).unwrap_or(0),
        dark: places.map(dark).collect(),
        side: f64::from(side),
        dots: 1.0,
    }
}

/// Dots a module in the label that is photographed.
const DOTS: u32 = 8;

#[cfg(test)]
#[path = "photo_tests.rs"]
mod tests;
