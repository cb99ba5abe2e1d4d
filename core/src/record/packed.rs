//! A set that was packed for a hirer and waits to go out.

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use super::ledger::{Ledger, Line};
use super::versions::handed_out;
use crate::event::{EntryId, Event, Packed, PortName, SetId, ShownThen, Unpacked};
use crate::hose::{Label, Prose};
use crate::tag::Code;

/// A set that was packed, with what was shown then. It speaks neither for the set nor
/// against it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct PackedSet {
    /// The hirer's ticket.
    pub ticket: Label,
    /// On which day.
    pub on: NaiveDate,
    /// Who packed it.
    pub by: Label,
    /// The hoses that were scanned.
    pub hoses: Vec<Code>,
    /// Why it was packed although something spoke against it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub override_why: Option<Prose>,
    /// How each hose stood, as it was shown.
    pub shown: Vec<ShownThen>,
    /// The hose that was in each port.
    pub ports: BTreeMap<PortName, Code>,
    /// The set's making and the changes that counted.
    pub described: Vec<EntryId>,
    /// Every packing that is not over: more than one if two devices packed it while
    /// apart.
    pub entries: Vec<EntryId>,
    /// Their tickets, each once.
    pub tickets: Vec<Label>,
}

/// The last packing that nothing is after: no unpacking, and no hand-out or return.
pub(super) fn packed(ledger: &Ledger<'_>, sets: &BTreeSet<SetId>) -> Option<PackedSet> {
    let mut all: Option<PackedSet> = None;
    for line in ledger.lines.iter().filter(|line| line.counts()) {
        let Some(Event::Packed(packed)) = &line.event else { continue };
        if sets.contains(&packed.set) && !ledger.lines.iter().any(|after| ends(after, line)) {
            all = Some(with(all, line, packed));
        }
    }
    all
}

fn with(before: Option<PackedSet>, line: &Line<'_>, packed: &Packed) -> PackedSet {
    let (mut entries, mut tickets) =
        before.map(|before| (before.entries, before.tickets)).unwrap_or_default();
    entries.push(line.id);
    if !tickets.contains(&packed.ticket) {
        tickets.push(packed.ticket.clone());
    }
    let Packed { hoses, ticket, override_why, shown, ports, described, .. } = packed.clone();
    let (on, by) = (line.entry.on, line.entry.by.clone());
    PackedSet { ticket, on, by, hoses, override_why, shown, ports, described, entries, tickets }
}

/// Whether a packing is over. What is in doubt ends it too: then the hoses are scanned
/// once more, which is never worse.
fn ends(after: &Line<'_>, packing: &Line<'_>) -> bool {
    let Some(event) = after.event.as_ref().filter(|_| after.adds()) else { return false };
    match event {
        Event::Unpacked(Unpacked { answers, .. }) => answers.contains(&packing.id),
        Event::Returned(_) | Event::ReturnedBefore(_) => after.place > packing.place,
        other => handed_out(other).is_some() && after.place > packing.place,
    }
}
