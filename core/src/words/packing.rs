//! The sentences about sets that are packed and wait to go out.

use chrono::NaiveDate;

use crate::event::{Packed, PortName};
use crate::hose::Label;
use crate::record::PackedSet;

/// Over the sets of the day's view that are packed, and said where none is.
pub const TODAY: [&str; 2] = ["Packed, to go out", "No set is packed."];
/// The button that packs a set whose hoses were scanned.
pub const PACK: &str = "Pack it for later";
/// The button that takes it out of the bag again.
pub const UNPACK: &str = "Unpack it";
/// The button that hands a packed set out.
pub const GO: &str = "Hand it out";
/// Over what is new since a set was packed.
pub const NEW_SINCE: &str = "New since it was packed";
/// What is to be done then.
pub const SCAN_AGAIN: &str = "Scan every hose, and hand it out as usual.";
/// The way to the usual hand-out.
pub const AS_USUAL: &str = "Hand it out as usual";
/// Said over what an override lifted.
pub const OVER_THESE: &str =
    "It is packed over these objections. They are asked about again when it goes out:";
/// Said of a set whose name, use or ports are others.
pub const SET_CHANGED: &str = "The set's name, use or ports were changed.";

/// When, as people say it the day after.
fn when(on: NaiveDate, today: NaiveDate) -> String {
    match (today - on).num_days() {
        0 => "today".to_owned(),
        1 => "last night".to_owned(),
        _ => format!("on {}", super::day(on, today)),
    }
}

/// A packed set: for which ticket, since when and by whom.
#[must_use]
pub fn packed(packed: &PackedSet, today: NaiveDate) -> String {
    let over = packed.override_why.as_ref();
    let over = over.map(|why| format!(", over the objections: {why}")).unwrap_or_default();
    let on = when(packed.on, today);
    format!("Packed for ticket {} {on} by {}{over}.", packed.ticket, packed.by)
}

/// The same in the few words that a list has room for.
#[must_use]
pub fn briefly(ticket: &Label) -> String {
    format!("packed for ticket {ticket}")
}

/// The same in the day's view.
#[must_use]
pub fn row(packed: &PackedSet, today: NaiveDate) -> String {
    format!("ticket {}, packed {}", packed.ticket, when(packed.on, today))
}

/// Said when a set was packed.
#[must_use]
pub fn done(set: &Label, ticket: &Label, hoses: usize) -> String {
    let hoses = super::counted(i64::try_from(hoses).unwrap_or(i64::MAX), "hose");
    format!("Set {set} is packed for ticket {ticket}, with {hoses}.")
}

/// Said when a set was unpacked.
#[must_use]
pub fn unpacked(set: &Label) -> String {
    format!("Set {set} is unpacked.")
}

/// A packing in a history.
#[must_use]
pub(super) fn told(packed: &Packed, set: &Label) -> String {
    let why = packed.override_why.as_ref();
    let why = why.map(|why| format!(", over the objections: {why}")).unwrap_or_default();
    format!("packed with set {set} for ticket {}{why}", packed.ticket)
}

/// An unpacking in a history.
#[must_use]
pub(super) fn undone(set: &Label) -> String {
    format!("unpacked with set {set}")
}

/// Packed by two devices that had not met, for several hirers.
#[must_use]
pub fn twice(tickets: &[Label]) -> String {
    let tickets: Vec<&str> = tickets.iter().map(Label::as_str).collect();
    format!("It is packed for several tickets: {}. Unpack it first.", tickets.join(" and "))
}

/// A hose that is in a port since.
#[must_use]
pub fn came(port: PortName, hose: &str) -> String {
    format!("{port}: {hose} was not there.")
}

/// A hose that left its port since.
#[must_use]
pub fn left(port: PortName, hose: &str) -> String {
    format!("{port}: {hose} is no longer there.")
}

/// Something that was not said of a hose then.
#[must_use]
pub fn now(hose: &str, port: Option<PortName>, reason: &str) -> String {
    let port = port.map(|port| format!("{port}, ")).unwrap_or_default();
    format!("{port}{hose}: {reason}")
}
