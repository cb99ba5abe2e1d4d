//! The words of the list of what is due, set by set, on paper.

use chrono::NaiveDate;

use super::{capital, counted};
use crate::hose::Label;

/// What the list is called.
pub const TITLE: &str = "What is due, set by set";
/// The way to it.
pub const OPEN: &str = "Set by set, to print";
/// Prints it.
pub const PRINT: &str = "Print";
/// Said while nothing is due.
pub const NOTHING: &str = "Nothing is due up to";

/// A set as a heading.
#[must_use]
pub fn set(name: &Label) -> String {
    format!("Set {name}")
}

/// A place as a heading.
#[must_use]
pub fn place(place: &str) -> String {
    capital(place)
}

/// What stands over the list.
#[must_use]
pub fn heading((hoses, things): (usize, usize), until: NaiveDate, today: NaiveDate) -> String {
    let count = |n: usize, unit: &str| counted(i64::try_from(n).unwrap_or(i64::MAX), unit);
    format!(
        "{} due for {} up to {until}. Printed on {today}.",
        count(things, "thing"),
        count(hoses, "hose")
    )
}

/// A thing that is due.
#[must_use]
pub fn thing(words: &str, on: NaiveDate, overdue: bool) -> String {
    let late = if overdue { ", overdue" } else { "" };
    format!("{on} {words}{late}")
}

/// What is not on the list.
#[must_use]
pub fn more(left: u64) -> String {
    let things = counted(i64::try_from(left).unwrap_or(i64::MAX), "more thing");
    let are = if left == 1 { "is" } else { "are" };
    format!("{things} {are} due and not on this list: look less far ahead.")
}
