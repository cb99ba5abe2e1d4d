//! The line that a hose's answer has for the set that it is in.

use super::LogbookError;
use super::around::Around;
use crate::answer::{Answer, AskedOfSet, InPort, Reason, reasons, set_line, set_reasons};
use crate::event::PortName;
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
pub(super) fn own_reasons(around: &Around<'_>, set: &SetRecord) -> Vec<Reason> {
    let (fleet, today, heard) = (around.fleet(), around.today(), around.heard());
    set_reasons(&AskedOfSet { set, fleet, today, heard })
}

/// The hoses of a set with their reasons, each once; the record of one of them is here.
fn in_ports(
    around: &mut Around<'_>,
    set: &SetRecord,
    here: &HoseRecord,
) -> Result<Vec<InPort>, LogbookError> {
    let mut all: Vec<InPort> = Vec::new();
    for (port, hose) in claimed(set) {
        let read = if hose == here.hose { None } else { Some(around.record_of(hose)?) };
        let record = read.as_ref().unwrap_or(here);
        let code = record.tag();
        if !all.iter().any(|known| known.code == code) {
            all.push(InPort { port, code, reasons: around.ask(record, reasons)? });
        }
    }
    Ok(all)
}

/// A hose's answer with the line for its set.
pub(super) fn with_set_line(
    around: &mut Around<'_>,
    mut answer: Answer,
    record: &HoseRecord,
) -> Result<Answer, LogbookError> {
    // Of a hose that is not on record nothing is claimed, its place neither.
    let Some(slot) = record.seat.filter(|_| record.is_registered()) else { return Ok(answer) };
    if let Some(set) = around.set(slot.set)?.cloned() {
        let (own, hoses) = (own_reasons(around, &set), in_ports(around, &set, record)?);
        answer.set = Some(set_line(Some(answer.verdict), &set, &own, &hoses));
    }
    Ok(answer)
}
