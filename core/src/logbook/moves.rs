//! A hose's moves as they are written: off one set and on another.

use std::collections::BTreeSet;

use crate::event::{Event, Fitted, Removed, Slot};
use crate::record::HoseRecord;

/// A hose's removal from wherever it is claimed.
pub(super) fn removal(record: &HoseRecord) -> Event {
    let sets = named(record.slots().map(|slot| slot.set));
    let answers = record.claims.iter().map(|claim| claim.entry).collect();
    Event::Removed(Removed { hose: record.hose, sets, answers })
}

/// A hose's fitting, out of wherever it is claimed.
pub(super) fn fitting(record: &HoseRecord, slot: Slot) -> Event {
    let left = record.slots().map(|slot| slot.set).filter(|set| *set != slot.set);
    Event::Fitted(Fitted {
        hose: record.hose,
        set: slot.set,
        port: slot.port,
        sets: named(left),
        answers: record.claims.iter().map(|claim| claim.entry).collect(),
    })
}

/// Each once, in a stable order.
pub(super) fn named<T: Ord>(all: impl Iterator<Item = T>) -> Vec<T> {
    let all: BTreeSet<T> = all.collect();
    all.into_iter().collect()
}
