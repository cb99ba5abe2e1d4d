//! Questions about what looks like a slip.

use super::counted;
use crate::hose::{End, Prose};
use crate::measure::{HoseLength, PartialDate};
use crate::tag::Code;

/// A question about one of several hoses.
#[must_use]
pub fn of_hose(hose: Code, question: &str) -> String {
    format!("{hose}: {question}")
}

/// A hose is taken out of service for good.
#[must_use]
pub fn retire(hose: Code, why: &Prose) -> String {
    let why = why.phrase();
    format!("{hose} is retired for good: {why}. Nothing but a withdrawal brings it back.")
}

/// A hose gets a new tag.
#[must_use]
pub fn retag(hose: Code) -> String {
    format!("{hose} gets a new tag; anyone who scans the old one after that sees hold.")
}

/// A length that hardly any hose has.
#[must_use]
pub fn length(length: &HoseLength) -> String {
    format!("{length} is an unusual length for a regulator hose.")
}

/// A hose that is very old.
#[must_use]
pub fn made(made: PartialDate) -> String {
    format!("Made {made}: hardly any hose in use is that old.")
}

/// O-rings at the wrong end, perhaps.
#[must_use]
pub fn reseal(end: End) -> String {
    let (this, other) = match end {
        End::A => ("first-stage end", "far end"),
        End::B => ("far end", "first-stage end"),
    };
    format!("Nothing was found at the {this}; it is the {other} that needs new O-rings.")
}

/// More dives than anybody makes.
#[must_use]
pub fn dives(dives: u32, days: u32) -> String {
    format!("{dives} dives in {} is a lot.", counted(i64::from(days) + 1, "day"))
}

/// Entries that are taken back.
#[must_use]
pub fn withdrawn(lines: &[String]) -> String {
    format!("Taken back, and shown as withdrawn from now on: {}.", lines.join("; "))
}

/// What is asked after what looks like a slip.
pub const ALL_THE_SAME: &str = "Save it anyway?";
/// The answer that saves it.
pub const YES: &str = "Yes, save it";
