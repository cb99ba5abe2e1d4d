//! Where a hose is, in words.

use super::returns::missing_since;
use crate::event::{PortName, Seat, Slot};
use crate::hose::Label;
use crate::record::{HoseRecord, SetRecord};

/// A port of a set, for people.
#[must_use]
pub fn seat(set: &Label, port: PortName) -> Seat {
    Seat { set: set.clone(), port }
}

/// A port in words; of a set that nobody here knows by its code.
#[must_use]
pub fn seat_of(slot: Slot, set: Option<&SetRecord>) -> String {
    let name = set.map_or_else(|| Label::from(slot.set), |set| set.name.clone());
    seat(&name, slot.port).to_string()
}

/// Where a hose is, in words.
#[must_use]
pub fn whereabouts(seat: Option<&Seat>, out: Option<&Label>, retired: bool) -> String {
    match (seat, out, retired) {
        (_, _, true) => "out of service".to_owned(),
        (Some(seat), Some(ticket), false) => format!("out on ticket {ticket}; its place is {seat}"),
        (None, Some(ticket), false) => format!("out on ticket {ticket}; it is in no set"),
        (Some(seat), None, false) => format!("{seat}"),
        (None, None, false) => "in stock".to_owned(),
    }
}

/// Where a hose is, in words, at home with its customer and missing too.
pub(crate) fn place_of(record: &HoseRecord, seat: Option<&Seat>) -> String {
    let ticket = record.out().map(|out| &out.ticket);
    let place = whereabouts(seat, ticket, record.retired.is_some());
    let away = match (&record.home, &record.missing) {
        (Some(home), _) => format!("at home with its customer since {}", home.since),
        (None, Some(gone)) => missing_since(gone.since, &gone.ticket),
        (None, None) if seat.is_some() || ticket.is_some() || record.retired.is_some() => {
            return place;
        }
        (None, None) => {
            let branch = record.origin.own.branch.as_ref();
            return branch.map_or(place.clone(), |branch| format!("{place}, branch {branch}"));
        }
    };
    let place = seat.map(|_| format!("; its place is {place}")).unwrap_or_default();
    format!("{away}{place}")
}
