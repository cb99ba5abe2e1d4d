//! How a set that came back differs from the one that went out.

use rusqlite::Connection;

use super::LogbookError;
use super::believed::{record_of, seat_of, set_of};
use crate::event::PortName;
use crate::hose::Label;
use crate::journal::Moment;
use crate::record::HandOut;
use crate::tag::Code;
use crate::words;

/// If the hoses that were out and the hoses of the set are not the same:
/// another device moved some in the meantime, or an objection was lifted.
pub(super) fn differences(
    store: &Connection,
    set: &Label,
    (out, missing): (&HandOut, &[(Code, Option<PortName>)]),
    moment: &Moment,
) -> Result<Vec<String>, LogbookError> {
    let record = set_of(store, set, moment.today)?;
    let (set, here) = (&record.name, record.hoses);
    let mut said = Vec::new();
    let is_missing = |hose: &Code| missing.iter().any(|(own, _)| own == hose);
    for (hose, port) in missing {
        let tag = record_of(store, *hose, moment.today)?.tag();
        said.push(words::returns::did_not_come_back(tag, *port));
    }
    let back = out.hoses.iter().filter(|hose| !is_missing(hose));
    for hose in back.filter(|hose| !here.values().any(|own| own == *hose)) {
        let record = record_of(store, *hose, moment.today)?;
        let retired = record.retired.is_some();
        let seat = record.seat.map(|slot| seat_of(store, slot)).transpose()?;
        let ticket = record.out().map(|out| &out.ticket);
        let place = words::whereabouts(seat.as_ref(), ticket, retired);
        said.push(words::returns::no_longer_in(set, record.tag(), &place));
    }
    for (port, hose) in here.iter().filter(|(_, hose)| !out.hoses.contains(hose)) {
        let tag = record_of(store, *hose, moment.today)?.tag();
        said.push(words::returns::was_not_out(set, *port, tag));
    }
    Ok(said)
}
