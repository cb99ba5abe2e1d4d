//! The limits of a case file: what the owner set, what is in force, and what was then.

use std::collections::BTreeSet;

use crate::event::{EntryId, Event};
use crate::hose::Specification;
use crate::journal::Believed;
use crate::policy::Use;
use crate::record::FleetRecord;
use crate::words::case as say;

/// The entries that set limits, and those that take one of them back.
pub(super) fn limits_set(fleet: Vec<Believed>) -> Vec<Believed> {
    let set: BTreeSet<EntryId> =
        fleet.iter().filter(|b| b.entry.kind == "limited").map(|b| b.id).collect();
    let names = |believed: &Believed| {
        let event = believed.entry.event();
        let names = event.as_ref().and_then(Event::answers).unwrap_or_default();
        believed.entry.kind == "withdrawn" && names.iter().any(|id| set.contains(id))
    };
    fleet.into_iter().filter(|believed| set.contains(&believed.id) || names(believed)).collect()
}

/// The limits of some hoses, each line once.
pub(super) fn in_force(
    fleet: &FleetRecord,
    kinds: &[(Option<Specification>, Vec<Use>)],
) -> Vec<String> {
    let mut all = Vec::new();
    for (kind, uses) in kinds {
        for in_use in uses {
            all.extend(limits_line(fleet, kind.as_ref(), *in_use));
        }
    }
    let mut seen = BTreeSet::new();
    all.retain(|line: &String| seen.insert(line.clone()));
    all
}

/// The limits that were in force when an entry was written, as far as what was set before
/// it says.
pub(super) fn before(limits: &[Believed], then: &Believed) -> FleetRecord {
    let place = |believed: &Believed| believed.entry.place(*believed.id.hash());
    let earlier = limits.iter().filter(|set| place(set) < place(then));
    FleetRecord::fold(&earlier.cloned().collect::<Vec<_>>())
}

/// The limits of a hose in a use, in one line.
fn limits_line(fleet: &FleetRecord, kind: Option<&Specification>, in_use: Use) -> Option<String> {
    let policy = fleet.policy();
    let held = fleet.strictest(&[kind], &[in_use])?;
    Some(say::limits_of(in_use, &held, |limit| policy.source(kind, in_use, limit)))
}
