//! The words of the calendar of what is due: in other people's calendar programs each
//! event stands alone, so each says all of it.

use chrono::NaiveDate;

use super::{CAUTION, by_number, called, capital, counted};
use crate::hose::Label;
use crate::tag::Code;

/// What the calendar is called.
pub const NAME: &str = "Hoses: what is due";
/// What its screen is called.
pub const TITLE: &str = "Calendar of what is due";
/// What it is for.
pub const LEAD: &str = "What falls due, in the calendar program on your phone or computer.";
/// What the secret address is.
pub const ADDRESS_LEAD: &str = "Subscribe to this address in a calendar program: each thing that \
    falls due within a year is a day in it, and the calendar keeps itself up to date.";
/// What the address gives away.
pub const ADDRESS_SECRET: &str = "Whoever has this address can read it without a pass phrase: own \
    numbers or codes, what is due and when. It shows nothing else.";
/// Where it answers.
pub const ADDRESS_REACH: &str = "It answers while this desk is running, on this computer and, if \
    the desk is open to the network, in the shop's network. Many calendar programs take an address \
    there only if an authority vouches for the desk's certificate.";
/// Said while there is no address.
pub const OFF: &str = "The calendar is off: no address shows what is due.";
/// Makes the first address.
pub const ON_GO: &str = "Make an address";
/// Over the form for another address.
pub const NEW: &str = "New address";
/// What that does.
pub const NEW_LEAD: &str = "The old address stops at once. Calendars that use it have to subscribe \
    again.";
/// Over the form that ends it.
pub const END: &str = "Switch the calendar off";
/// What that does.
pub const END_LEAD: &str = "The address stops at once.";
/// The button of a file with the same.
pub const FILE: &str = "Download as a calendar file";
/// Said where another device asks for the address.
pub const AT_THE_DESK: &str = "The address is shown and changed on the desk's own computer.";

/// What an event is called.
#[must_use]
pub fn summary(number: Option<&Label>, code: Code, what: &str, overdue: bool) -> String {
    let late = if overdue { ", overdue" } else { "" };
    format!("{}: {what}{late}", called(number, code))
}

/// What an event says, with the caution.
#[must_use]
pub fn description(number: Option<&Label>, code: Code, what: &str, on: NaiveDate) -> String {
    let (hose, what) = (by_number(number, code), capital(what));
    format!("{hose}. {what}: due by {on}.\n{CAUTION}")
}

/// The one event of a calendar in which nothing is due.
#[must_use]
pub fn nothing(until: NaiveDate) -> String {
    format!("No hose has anything due up to {until}")
}

/// The event for what a calendar leaves out.
#[must_use]
pub fn more(left: u64) -> String {
    let left = counted(i64::try_from(left).unwrap_or(i64::MAX), "more thing");
    format!("{left} due: see the list of what is due")
}
