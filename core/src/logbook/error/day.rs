//! Why a day can't be right.

use thiserror::Error;

use crate::hose::Label;
use crate::tag::Code;
use chrono::NaiveDate;

/// A day can't be right.
#[derive(Debug, Error)]
pub enum DayError {
    /// The day is before the hose got the tag that it carries.
    #[error("{on} is before {since}, when it got the tag {tag}; correct the day")]
    BeforeLastTag {
        /// The day.
        on: NaiveDate,
        /// When it got it.
        since: NaiveDate,
        /// The tag.
        tag: Code,
    },
    /// The day is before the set went out.
    #[error("{on} is before {since}, when the set was handed out; correct the day")]
    BeforeHandOut {
        /// The day.
        on: NaiveDate,
        /// When it went out.
        since: NaiveDate,
    },
    /// The day is before the set last came back.
    #[error("{on} is before {back}, when set {set} last came back; correct the day")]
    BeforeReturn {
        /// The set.
        set: Label,
        /// The day.
        on: NaiveDate,
        /// When it came back.
        back: NaiveDate,
    },
    /// The day is after today.
    #[error("{on} is after today, {today}; nothing is recorded ahead of time")]
    FutureDay {
        /// The day.
        on: NaiveDate,
        /// Today.
        today: NaiveDate,
    },
    /// The day is before the hose was made.
    #[error("{on} is before the hose was made or bought, {born}; correct one of the two")]
    BeforeMade {
        /// The day.
        on: NaiveDate,
        /// The date it was made or bought.
        born: String,
    },
    /// The day is before the hose came where it is.
    #[error("{on} is before {since}, when the hose was last fitted or removed; correct the day")]
    BeforeLastPlace {
        /// The day.
        on: NaiveDate,
        /// When it was last moved.
        since: NaiveDate,
    },
}
