//! The words of small forms about one hose.

use crate::hose::Label;
use crate::record::Hold;

/// A reason.
pub const WHY: &str = "Why";
/// How long it may be.
pub const WHY_HINT: &str = "Up to a paragraph: at most 1,000 characters";
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

/// Over the form with dives, and on the button that leads to it.
pub const DIVE: &str = "Record dives";
/// How many.
pub const DIVES: &str = "Dives made";
/// They are missing.
pub const NO_DIVES: &str = "Enter how many dives were made.";
/// Beside the dives of a hose.
pub const DIVED: &str = "Dives of your own with this hose. Those of a rental are counted when it \
comes back.";
/// Puts a whole set on hold.
pub const HOLD_SET: &str = "Put the set on hold";
/// The way to dives with a whole set.
pub const DIVE_SET: &str = "Dives with the set";
/// Beside the dives of a set.
pub const SET_DIVED: &str = "Dives of your own with every hose that is in this set now. Those of a \
rental are counted when it comes back.";

/// Said when dives were recorded for a set.
#[must_use]
pub fn set_dived(set: &Label, dives: u32, hoses: usize) -> String {
    let dives = super::counted(i64::from(dives), "dive");
    let hoses = super::counted(i64::try_from(hoses).unwrap_or(i64::MAX), "hose");
    format!("{dives} each on record for {hoses} of set {set}.")
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

/// Over the form that says where a hose goes.
pub const PLACE: &str = "Fit or move";
/// Asks for a set.
pub const CHOOSE_SET: &str = "Choose the set";
/// It is missing.
pub const NO_SET: &str = "Choose the set that it goes into.";
/// Takes a hose off its set.
pub const TO_STOCK: &str = "Remove to stock";
/// A port.
pub const PORT: &str = "Port";
/// The button of that form.
pub const FIT: &str = "Fit";
