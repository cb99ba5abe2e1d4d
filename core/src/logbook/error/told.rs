//! The sentences of refusals that take more than a line.

use crate::event::EntryId;
use crate::rental::HandOutCheck;
use crate::words::sets::{OVERRIDE_DOES_NOT_LIFT, OVERRIDE_LIFTS};

pub(super) fn briefly(entries: &[EntryId]) -> String {
    let digits: Vec<String> = entries.iter().map(|entry| format!("{entry:.16}")).collect();
    digits.join(", ")
}

pub(super) fn own_lot(own: Option<&String>) -> String {
    own.map_or_else(
        || "its record says so, or says too little; edit its details first".to_owned(),
        |own| format!("it is of {own}"),
    )
}

/// The line, and what stops it, each with what to do.
pub(super) fn stopped(check: &HandOutCheck) -> String {
    let stops = check.stops.iter().map(|stop| format!(" {} {}", stop.words, stop.todo));
    let lifts = if check.can_be_lifted() { OVERRIDE_LIFTS } else { OVERRIDE_DOES_NOT_LIFT };
    format!("{}{} {lifts}", check.words, stops.collect::<String>())
}

pub(super) fn known_sets(known: &[String]) -> String {
    if known.is_empty() {
        return "there are none yet".to_owned();
    }
    format!("there are {}", known.join(", "))
}
