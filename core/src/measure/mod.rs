//! Measures as people write them: lengths, torques, pressures, and dates that
//! may be known only to the year, the quarter, the month or the week.
//!
//! Everything here parses at the edge and is exact inside: what was typed is
//! kept beside the quantity, so a record never says `55.88 cm` to a shop that
//! wrote `22 in`. Who reads in other units is shown those, with what was written.

mod calendar;
mod number;
mod partial_date;
mod quantity;
mod torque;
mod typed_date;
mod units;

pub use calendar::{Period, add_months, add_years};
pub use partial_date::{AgeRange, PartialDate};
pub use quantity::{HoseLength, TestPressure, parse_length, parse_pressure};
pub use torque::{KILOGRAM_FORCE_CENTIMETRE, POUND_FORCE_FOOT, POUND_FORCE_INCH, parse_torque};
pub use units::Units;

use thiserror::Error;

/// Why something typed is not the measure or date that was asked for.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum MeasureError {
    /// There is no number to read.
    #[error("“{typed}” does not start with a number; write {what} such as {examples}")]
    NotANumber {
        /// What was typed.
        typed: String,
        /// The kind of measure asked for, with its article.
        what: &'static str,
        /// Forms that are understood.
        examples: &'static str,
    },
    /// The number has no unit behind it.
    #[error("“{typed}” has no unit; understood are {units}")]
    NoUnit {
        /// What was typed.
        typed: String,
        /// The units understood.
        units: String,
    },
    /// The unit is not one we know.
    #[error("“{unit}” is not a unit of {quantity}; understood are {units}")]
    UnknownUnit {
        /// The unit as typed.
        unit: String,
        /// What the unit should measure.
        quantity: &'static str,
        /// The units understood.
        units: String,
    },
    /// The measure lies outside of what can be meant.
    #[error("{typed} is not a sensible {what}: it must be between {least} and {most}")]
    OutOfRange {
        /// What was typed.
        typed: String,
        /// What it should measure.
        what: &'static str,
        /// The least value accepted.
        least: &'static str,
        /// The greatest value accepted.
        most: &'static str,
    },
    /// There are no such units.
    #[error("“{typed}” are no units that can be shown; write as-written, metric or us")]
    UnknownUnits {
        /// What was typed.
        typed: String,
    },
    /// The text is no date.
    #[error("“{typed}” is not a date; write a day 2022-03-14, a month 2022-03 or a year 2022")]
    NotADate {
        /// What was typed.
        typed: String,
    },
    /// The text has the form of a date that the calendar does not have.
    #[error("there is no day “{typed}” in the calendar")]
    NoSuchDay {
        /// What was typed.
        typed: String,
    },
    /// A day and a month that could be read either way round.
    #[error("“{typed}” could be {one} or {other}; write it as 2022-03-14")]
    AmbiguousDate {
        /// What was typed.
        typed: String,
        /// The first reading.
        one: String,
        /// The second reading.
        other: String,
    },
    /// A mark that could be a month, a quarter or a week.
    #[error("“{typed}” could be {readings}; write the one that is meant")]
    SeveralDates {
        /// What was typed.
        typed: String,
        /// The readings.
        readings: String,
    },
}
