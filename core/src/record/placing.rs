//! Where a hose is. Each placing names those that it replaces; what nothing has
//! replaced is claimed, and two claims that differ are a contest.

use super::hose::HoseRecord;
use super::ledger::{Ledger, Line};
use super::parts::{Claim, Stay, When};
use crate::event::{Event, Fitted, PlaceConfirmed, SetId, Slot};
use crate::tag::Code;

/// Where an entry says that a hose is: `Some(None)` is stock.
pub(super) fn placing_of(hose: Code, event: &Event) -> Option<Option<Slot>> {
    Some(match event {
        Event::Fitted(Fitted { set, port, .. }) => Some(Slot { set: *set, port: *port }),
        Event::FittedBefore(fitted) => {
            Some(Slot { set: SetId::of_name(fitted.set.as_str()), port: fitted.port })
        }
        Event::Removed(_) | Event::RemovedBefore(_) => None,
        // The other hoses of a dispute are in stock.
        Event::PlaceConfirmed(PlaceConfirmed { hose: found, at, .. }) => {
            at.filter(|_| *found == hose)
        }
        _ => return None,
    })
}

/// The place that a placing of an earlier program says it replaces; nothing for
/// one that names entries.
fn before(event: &Event) -> Option<Option<Slot>> {
    match event {
        Event::FittedBefore(fitted) => Some(
            fitted
                .from
                .as_ref()
                .map(|seat| Slot { set: SetId::of_name(seat.set.as_str()), port: seat.port }),
        ),
        Event::RemovedBefore(removed) => {
            Some(Some(Slot { set: SetId::of_name(removed.set.as_str()), port: removed.port }))
        }
        _ => None,
    }
}

/// A placing of a hose.
pub(super) struct Placing<'l, 'a> {
    pub(super) line: &'l Line<'a>,
    pub(super) slot: Option<Slot>,
}

impl<'l, 'a> Placing<'l, 'a> {
    /// Every placing of a hose that is believed at least in part.
    pub(super) fn all(hose: Code, ledger: &'l Ledger<'a>) -> Vec<Self> {
        let adds = ledger.lines.iter().filter(|line| line.adds());
        let placed = adds
            .filter_map(|line| Some(Self { line, slot: placing_of(hose, line.event.as_ref()?)? }));
        placed.collect()
    }

    /// Whether it replaces another: only what is wholly believed moves anything.
    fn replaces(&self, other: &Self) -> bool {
        let Some(event) = self.line.event.as_ref().filter(|_| self.line.counts()) else {
            return false;
        };
        match before(event) {
            Some(from) => other.line.place < self.line.place && other.slot == from,
            None => event.answers().is_some_and(|names| names.contains(&other.line.id)),
        }
    }

    fn when(&self) -> When {
        When(self.line.entry.on, self.line.entry.at)
    }
}

/// The placings that nothing has replaced.
pub(super) fn claims(all: &[Placing<'_, '_>]) -> Vec<Claim> {
    let open = all.iter().filter(|placing| !all.iter().any(|other| other.replaces(placing)));
    let claim = open.map(|placing| Claim {
        entry: placing.line.id,
        slot: placing.slot,
        when: placing.when(),
        doubtful: !placing.line.counts(),
    });
    // A removal in doubt moves nothing and adds nothing.
    claim.filter(|claim| !claim.doubtful || claim.slot.is_some()).collect()
}

/// Folds where a hose is and was.
pub(super) fn place(record: &mut HoseRecord, ledger: &Ledger<'_>) {
    let all = Placing::all(record.hose, ledger);
    record.claims = claims(&all);
    let last = record.claims.iter().rfind(|claim| !claim.doubtful);
    record.seat = last.and_then(|claim| claim.slot);
    record.seated_on = last.map(|claim| claim.when.0);
    let fitted = || all.iter().filter(|placing| placing.slot.is_some());
    record.first_fitted = fitted().map(|placing| placing.line.entry.on).min();
    for placing in fitted() {
        let Some(slot) = placing.slot else { continue };
        let left = all.iter().filter(|other| other.replaces(placing));
        let until = left.map(Placing::when).max();
        match record.stays.iter_mut().find(|stay| stay.set == slot.set) {
            // It lasts as long as the longest of them.
            Some(stay) => stay.until = stay.until.zip(until).map(|(a, b)| a.max(b)),
            None => record.stays.push(Stay { set: slot.set, until }),
        }
    }
}
