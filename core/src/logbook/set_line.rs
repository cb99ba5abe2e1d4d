//! The line that a hose's answer has for the set that it is in.

use rusqlite::Connection;

use super::LogbookError;
use super::believed::{fleet_on, heard, record_of, set_on, with_asked};
use crate::answer::{Answer, AskedOfSet, InPort, Reason, reasons, set_line, set_reasons};
use crate::event::PortName;
use crate::journal::Moment;
use crate::record::{HoseRecord, SetRecord};
use crate::tag::Code;

/// Every hose that is claimed for a port of a set, by port: also those of which it
/// is in doubt.
pub(super) fn claimed(set: &SetRecord) -> Vec<(PortName, Code)> {
    let mut all: Vec<_> = set.claims.iter().map(|claim| (claim.port, claim.hose)).collect();
    all.sort_unstable();
    all
}

/// The reasons that a set has by itself.
pub(super) fn own_reasons(
    store: &Connection,
    set: &SetRecord,
    moment: &Moment,
) -> Result<Vec<Reason>, LogbookError> {
    let (fleet, today) = (fleet_on(store, moment.today)?, moment.today);
    Ok(set_reasons(&AskedOfSet { set, fleet: &fleet, today, heard: heard(store)? }))
}

/// The hoses of a set with their reasons, each once.
fn in_ports(
    store: &Connection,
    set: &SetRecord,
    moment: &Moment,
) -> Result<Vec<InPort>, LogbookError> {
    let mut all: Vec<InPort> = Vec::new();
    for (port, hose) in claimed(set) {
        let record = record_of(store, hose, moment.today)?;
        let code = record.tag();
        if !all.iter().any(|known| known.code == code) {
            let reasons = with_asked(store, &record, moment.today, reasons)?;
            all.push(InPort { port, code, reasons });
        }
    }
    Ok(all)
}

/// A hose's answer with the line for its set.
pub(super) fn with_set_line(
    store: &Connection,
    mut answer: Answer,
    record: &HoseRecord,
    moment: &Moment,
) -> Result<Answer, LogbookError> {
    // Of a hose that is not on record nothing is claimed, its place neither.
    let Some(slot) = record.seat.filter(|_| record.is_registered()) else { return Ok(answer) };
    if let Some(set) = set_on(store, slot.set, moment.today)? {
        let (own, hoses) = (own_reasons(store, &set, moment)?, in_ports(store, &set, moment)?);
        answer.set = Some(set_line(Some(answer.verdict), &set, &own, &hoses));
    }
    Ok(answer)
}
