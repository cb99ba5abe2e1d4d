//! The words of the sheet that goes home with a customer's hose or set.

use chrono::NaiveDate;

use crate::hose::Label;

/// Over it, and on the way to it.
pub const TITLE: &str = "Service sheet";
/// Over what was found and done.
pub const DONE: &str = "Found and done";
/// Said if nothing was.
pub const NOTHING: &str = "Nothing is on record since it came in.";
/// Said of a set with no hose of a customer in it.
pub const NO_CUSTOMERS_HOSE: &str =
    "No customer's hose is in this set, so there is no work to put on a sheet.";
/// Over how the hose is now.
pub const NOW: &str = "Now";
/// Over what is due next.
pub const NEXT: &str = "Due next";
/// Where the technician signs.
pub const SIGNED: &str = "Technician";

/// Under which ticket it came in, and when.
#[must_use]
pub fn came_in(ticket: &Label, on: Option<NaiveDate>) -> String {
    let since = on.map(|on| format!(", in since {on}")).unwrap_or_default();
    format!("Ticket {ticket}{since}")
}
