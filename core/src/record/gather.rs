//! The entries that a record is folded from, gathered from the journal.

use std::collections::BTreeMap;
use std::collections::btree_map::Entry;

use rusqlite::Connection;

use super::ledger::Ledger;
use super::set_fold::parts;
use crate::event::{Event, SetId};
use crate::journal::{Believed, StoreError, Trust, entries_of_hose, entries_of_set};
use crate::tag::Code;

/// The entries about a hose, in the order of the fold. A hose that got an
/// identity of its own, because its tag named two, has those of the old tag too:
/// they add, and end nothing, but for its own registration.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn entries_about(connection: &Connection, hose: Code) -> Result<Vec<Believed>, StoreError> {
    let mut all = entries_of_hose(connection, hose)?;
    let mut shared = Vec::new();
    for believed in all.iter().filter(|believed| believed.entry.kind == "identified") {
        if let Some(Event::Identified { hose: own, hoses: [old], answers: [registration] }) =
            believed.entry.event()
            && own == hose
            && believed.trust > Trust::Disbelieved
        {
            for mut of_old in entries_of_hose(connection, old)? {
                if of_old.id != registration {
                    of_old.trust = of_old.trust.min(Trust::AddsOnly);
                }
                shared.push(of_old);
            }
        }
    }
    shared.retain(|of_old| !all.iter().any(|own| own.id == of_old.id));
    if !shared.is_empty() {
        all.extend(shared);
        all.sort_by_cached_key(|believed| believed.entry.place(*believed.id.hash()));
    }
    Ok(all)
}

/// The other hoses that, by entries about one, got an identity of their own out of a tag
/// that named two.
pub fn identified_in(entries: &[Believed], hose: Code) -> Vec<Code> {
    let identified = entries.iter().filter(|believed| believed.entry.kind == "identified");
    let own = identified.filter_map(|believed| match believed.entry.event() {
        Some(Event::Identified { hose, .. }) => Some(hose),
        _ => None,
    });
    own.filter(|own| *own != hose).collect()
}

/// The sets that are one with a set, itself included, each with the entries about it.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn parts_of(
    connection: &Connection,
    set: SetId,
) -> Result<BTreeMap<SetId, Vec<Believed>>, StoreError> {
    let mut all = BTreeMap::new();
    let mut next = vec![set];
    while let Some(set) = next.pop() {
        if let Entry::Vacant(place) = all.entry(set) {
            let entries = entries_of_set(connection, set)?;
            next.extend(parts(set, &Ledger::read(&entries)));
            place.insert(entries);
        }
    }
    Ok(all)
}

/// The entries about a set and those that are one with it, in the order of the
/// fold.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn gathered(connection: &Connection, set: SetId) -> Result<Vec<Believed>, StoreError> {
    Ok(together(parts_of(connection, set)?))
}

/// The entries about sets that are one, in the order of the fold.
pub fn together(parts: BTreeMap<SetId, Vec<Believed>>) -> Vec<Believed> {
    let one = parts.len() == 1;
    let mut all: Vec<Believed> = parts.into_values().flatten().collect();
    // Those of one set come in that order.
    if !one {
        all.sort_by_cached_key(|believed| believed.entry.place(*believed.id.hash()));
        all.dedup_by(|a, b| a.id == b.id);
    }
    all
}
