//! The words of small forms about one hose.

use crate::hose::Label;
use crate::record::Hold;

/// A reason.
pub const WHY: &str = "Why";
/// How long it may be.
pub const WHY_HINT: &str = "At most 80 characters";
/// Ticked if a hold is after an accident.
pub const INCIDENT: &str = "After an accident or a suspected one";
/// Said if there is nothing to release.
pub const NOT_HELD: &str = "It is not on hold.";

/// What holds a hose or a set.
#[must_use]
pub fn held(hold: &Hold) -> String {
    let incident = if hold.incident { format!(". {INCIDENT}") } else { String::new() };
    format!("{} by {}: {}{incident}", hold.when.0, hold.by, hold.why)
}

/// The text of a barcode.
pub const BARCODE: &str = "What the barcode says: scan it into this field";

/// Asks for the end of a hose.
pub const WHICH_END: &str = "Which end?";
/// The first-stage end.
pub const END_A: &str = "At the first stage";
/// The far end.
pub const END_B: &str = "At the far end";
/// The end is missing.
pub const NO_END: &str = "Choose at which end.";
/// The size of an O-ring.
pub const SEAL_SIZE: &str = "O-ring size (dash number)";
/// Asks for the grease.
pub const GREASE: &str = "Grease on the O-rings";
/// Grease for oxygen.
pub const GREASE_OXYGEN: &str = "For oxygen";
/// Another grease.
pub const GREASE_OTHER: &str = "Another";

/// Over the form that fits a hose in a set.
#[must_use]
pub fn fit_in(set: &Label) -> String {
    format!("Fit it in a port: Set {set}")
}

/// A port.
pub const PORT: &str = "Port";
/// The button of that form.
pub const FIT: &str = "Fit";
