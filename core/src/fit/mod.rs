//! What fits what: which thread this is, which spanner takes this nut, how
//! tight, which seal, and which hose.
//!
//! These rooms compute and never look anything up: the tables are here, each
//! with its source or the plain statement that it has none.

pub mod replacement;
pub mod seal;
pub mod thread;
pub mod tool;
pub mod torque;

use serde::Serializer;
use thiserror::Error;
use uom::si::f64::Length;
use uom::si::length::{micrometer, millimeter};

use crate::measure::MeasureError;

/// Said wherever a joint is turned.
pub const DEPRESSURISE: &str = "Never turn a joint of a regulator under pressure: shut the valve, purge, take it off the cylinder.";

/// Said wherever an O-ring is greased.
pub const OXYGEN: &str = "Silicone grease is not for oxygen service: there, use only what is approved for it, on clean parts.";

/// Said wherever something is decided at the bench.
pub const TECHNICIAN: &str =
    "In doubt, stop and ask a licensed technician; the maker's instructions come first.";

/// What to say beside a hose that goes into a port, or comes out of one.
pub const FIT_CAUTIONS: &[&str] = &[DEPRESSURISE, OXYGEN, TECHNICIAN];

/// Why a question about threads, tools, torque or seals has no answer.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum FitError {
    /// What was typed is not the measure that was asked for, or lies outside
    /// of what can be meant.
    #[error(transparent)]
    Measure(#[from] MeasureError),
    /// More force than any joint of a regulator hose takes.
    #[error("{typed} is too tight for a hose joint, which takes {most} at the very most. {why}")]
    TooTight {
        /// The torque as typed.
        typed: String,
        /// The most that is accepted.
        most: &'static str,
        /// What too much of it does.
        why: &'static str,
    },
    /// A crowfoot longer than half of the wrench that turns it.
    #[error(
        "a crowfoot of {crowfoot} is too long for a wrench of {wrench}: measure the wrench from its square to the middle of the grip, and use a crowfoot of at most half that"
    )]
    CrowfootTooLong {
        /// The crowfoot's length.
        crowfoot: String,
        /// The wrench's length.
        wrench: String,
    },
    /// A dash size that the table does not have.
    #[error("“{typed}” is not an O-ring size that is used here; understood are {known}")]
    UnknownDash {
        /// What was typed.
        typed: String,
        /// The sizes of the table.
        known: String,
    },
    /// A joint that no hose or plug of the trade makes.
    #[error("“{typed}” is not a joint whose seals are known; understood are {known}")]
    UnknownJoint {
        /// What was typed.
        typed: String,
        /// The joints of the table.
        known: String,
    },
    /// A seal of the same thread from another trade.
    #[error(
        "“{typed}” is a hydraulic port seal (SAE J1926, for {thread}): right thread, wrong ring; understood are {known}"
    )]
    HydraulicSeal {
        /// What was typed.
        typed: String,
        /// The thread whose hydraulic port it seals.
        thread: &'static str,
        /// The sizes of the table.
        known: String,
    },
}

/// A length in millimetres as people read it, to a hundredth.
pub(crate) fn in_mm(length: Length) -> String {
    format!("{:.2} mm", length.get::<millimeter>())
}

/// A length for programs: millimetres to a thousandth, finer than any caliper.
pub(crate) fn as_millimetres<S: Serializer>(
    length: &Length,
    serializer: S,
) -> Result<S::Ok, S::Error> {
    let thousandths = length.get::<micrometer>().round();
    // Adding nothing turns -0.0 into 0.0, which prints without its sign.
    serializer.serialize_f64(thousandths / 1000.0 + 0.0)
}

/// A length that lies between two bounds, both in millimetres and both good.
pub(crate) fn within(
    length: Length,
    typed: &str,
    what: &'static str,
    bounds: (f64, f64),
    words: (&'static str, &'static str),
) -> Result<Length, MeasureError> {
    let mm = length.get::<millimeter>();
    if (bounds.0..=bounds.1).contains(&mm) {
        return Ok(length);
    }
    Err(MeasureError::OutOfRange {
        typed: typed.trim().to_owned(),
        what,
        least: words.0,
        most: words.1,
    })
}
