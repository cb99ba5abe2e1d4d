//! The words of a withdrawal.

use chrono::NaiveDate;

use crate::hose::Label;

/// On the way to it, and over its form.
pub const WITHDRAW: &str = "Withdraw";
/// Of several entries.
pub const TOGETHER: &str = "These were recorded together and are withdrawn together.";
/// What it does.
pub const LEAD: &str = "Nothing is erased: the history shows both.";
/// Of several entries, only one.
pub const ALONE: &str = "Only the chosen one";
/// Beside that one.
pub const CHOSEN: &str = "Chosen";
/// Sends the form.
pub const GO: &str = "Withdraw it";
/// Said when it is done.
pub const DONE: &str = "Withdrawn; the history shows both.";

/// What is withdrawn.
#[must_use]
pub fn line(on: NaiveDate, by: &Label, what: &str, chosen: bool) -> String {
    let chosen = if chosen { format!(" ({CHOSEN})") } else { String::new() };
    format!("{on} {by}: {what}{chosen}")
}
