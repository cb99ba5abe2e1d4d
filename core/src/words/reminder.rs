//! A reminder of what is due, in words.

use chrono::NaiveDate;

use super::{counted, day};

/// Over it.
pub const TITLE: &str = "Hoses: what is due";
/// What is switched on.
pub const ASKED: &str = "Remind me of what is due";
/// When it comes.
pub const WHEN: &str =
    "A week before the last good day, and on that day. It names the hose, also on a locked screen.";

/// What is due first, and how much more is by then; said on the day of the reminder.
#[must_use]
pub fn due(hose: &str, what: &str, (until, on): (NaiveDate, NaiveDate), more: usize) -> String {
    let when = match (until - on).num_days() {
        0 => "today is the last good day".to_owned(),
        _ => format!("due by {}", day(until, on)),
    };
    let more = match more {
        0 => String::new(),
        n => format!(" {} more by then.", counted(i64::try_from(n).unwrap_or(i64::MAX), "thing")),
    };
    format!("{hose}: {what}, {when}.{more}")
}
