//! The units in which people read lengths and pressures.

use crate::measure::Units;

/// What is chosen.
pub const TITLE: &str = "Lengths and pressures";
/// What becomes of what was written.
pub const HINT: &str = "What was written in other units stands beside it, and stays as it is.";

/// Units in words.
#[must_use]
pub const fn of(units: Units) -> &'static str {
    match units {
        Units::AsWritten => "As written",
        Units::Metric => "Metric: cm and bar",
        Units::Us => "US: inches and psi",
    }
}
