//! Days as the tables have them.

use chrono::{Datelike, NaiveDate};

/// The day of what was never done: before any other.
pub const NEVER: NaiveDate = NaiveDate::MIN;

/// A day as the tables have it.
pub(super) fn number(day: NaiveDate) -> i64 {
    day.num_days_from_ce().into()
}

/// A day of the tables.
pub(super) fn day(number: i64) -> NaiveDate {
    let number = i32::try_from(number).ok();
    number.and_then(NaiveDate::from_num_days_from_ce_opt).unwrap_or(NaiveDate::MAX)
}
