//! A photo of a tag that was never taken: for trying things out and for tests.

use hosewright_reader::photo::Label;
pub use hosewright_reader::photo::{Chance, Conditions, empty_scene};
use image::GrayImage;

use super::draw::{Plan, label};

/// A photo of a tag.
#[must_use]
pub fn photograph(plan: &Plan, conditions: &Conditions) -> GrayImage {
    let (width, dark) = label(plan, DOTS);
    let side = f64::from(plan.symbol().side());
    let label = Label { width, dark, side, dots: f64::from(DOTS) };
    hosewright_reader::photo::photograph(&label, conditions)
}

/// Dots a module in the label that is photographed.
const DOTS: u32 = 8;

#[cfg(test)]
#[path = "photo_tests.rs"]
mod tests;
