//! The headings and lines of the day's view.

use chrono::NaiveDate;

use super::{counted, day};
use crate::hose::Label;
use crate::record::HandOut;

/// The headings of the parts, and what is said of one that has nothing.
pub const OUT: [&str; 2] = ["Sets out", super::sets::NOTHING_OUT];
/// Of swaps that were begun.
pub const SWAPS: [&str; 2] = ["Swaps not finished", "No swap is half done."];
/// Of hoses on hold.
pub const HOLD: [&str; 2] = ["On hold", "No hose is on hold."];
/// Of what is due.
pub const DUE: [&str; 2] = ["Overdue or due this week", "Nothing is due this week."];
/// Of sets that can be handed out.
pub const READY: [&str; 2] = ["Sets ready to go", "No rental set is ready to go."];
/// Of devices that are missed.
pub const DEVICES: [&str; 2] =
    ["Devices not heard of for long", "Every other device was heard of lately."];

/// Of wrong PINs; said nowhere where there are none.
pub const WRONG_PINS: [&str; 2] = ["Wrong PINs", ""];

/// A set that is out: for how long, and on which ticket.
#[must_use]
pub fn out(out: &HandOut, today: NaiveDate) -> String {
    let days = (today - out.on).num_days();
    let long = match days {
        ..=0 => "out since today".to_owned(),
        _ => format!("out for {}", counted(days, "day")),
    };
    format!("{long}, ticket {}", out.ticket)
}

/// A swap that was begun: where, and when.
#[must_use]
pub fn swap(place: Option<&str>, since: NaiveDate, today: NaiveDate) -> String {
    let place = place.map(|place| format!("{place}, ")).unwrap_or_default();
    format!("{place}begun {}", day(since, today))
}

/// The two hoses of a swap.
#[must_use]
pub fn swapped(old: &str, new: &str) -> String {
    format!("{old} for {new}")
}

/// A set that can be handed out: with how many hoses.
#[must_use]
pub fn ready(hoses: usize) -> String {
    counted(i64::try_from(hoses).unwrap_or(i64::MAX), "hose")
}

/// A device: when it last wrote something that is here.
#[must_use]
pub fn device(newest: Option<NaiveDate>, today: NaiveDate) -> String {
    newest.map_or_else(
        || "nothing of it is here".to_owned(),
        |on| format!("newest entry of {}", day(on, today)),
    )
}

/// What a device is called: by its name, else by the beginning of its number.
#[must_use]
pub fn device_name(name: Option<&Label>, number: &str) -> String {
    let short = || number.chars().take(8).collect();
    name.map_or_else(short, ToString::to_string)
}
