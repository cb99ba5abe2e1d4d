//! Folds a set from the entries about it.

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;

use super::ending::Matter;
use super::hand_outs::twice;
use super::hose_fold::{holds, homes, in_turn, swaps};
use super::ledger::{Ledger, Line};
use super::packed::packed;
use super::parts::Tag;
use super::placing::{Placing, claims};
use super::set::{HandOut, PortClaim, SetRecord};
use super::set_described::describe;
use super::versions::handed_out;
use crate::event::{
    Assembled, EntryId, Event, Fitted, GoneHome, HandedOut, Held, PlaceConfirmed, Removed, SetId,
};
use crate::hose::{Label, Owner, Prose};
use crate::journal::{Believed, Stamp};
use crate::policy::Use;
use crate::tag::Code;

/// Folds the entries about a set and those that are one with it, which must be
/// in the order of the fold; nothing if there are none.
#[must_use]
pub fn fold_set(set: SetId, entries: &[Believed]) -> Option<SetRecord> {
    if entries.is_empty() {
        return None;
    }
    let ledger = Ledger::read(entries);
    let mut record = empty(set, name_in(&ledger, set));
    let sets = parts(set, &ledger);
    record.unmade = sets.iter().any(|part| !is_surely_made(*part, &ledger));
    describe(&mut record, &ledger);
    record.claims = port_claims(&sets, &ledger);
    record.joined = sets.iter().copied().filter(|part| *part != set).collect();
    for claim in record.claims.iter().filter(|claim| !claim.doubtful) {
        record.hoses.insert(claim.port, claim.hose);
    }
    // A hose fitted into a set that is gone makes it stand again.
    record.contested |= record.dissolved && !record.claims.is_empty();
    record.dissolved &= record.claims.is_empty();
    record.holds = holds(&ledger, |event| matches!(event, Event::Held(Held { set: Some(_), .. })));
    record.quarantines = holds(&ledger, |event| matches!(event, Event::Quarantined { .. }));
    record.swaps = swaps(&ledger).into_iter().filter(|s| sets.contains(&s.slot.set)).collect();
    record.tags = sets.iter().rev().flat_map(|part| tags(*part, &ledger)).collect();
    record.out = out(&ledger, &sets);
    record.packed = packed(&ledger, &sets);
    record.rented_twice = twice(&ledger, |set| sets.contains(&set));
    record.back_on = back_on(&ledger);
    record.home = homes(&ledger, |event| match event {
        Event::GoneHome(GoneHome { set: Some(set), .. }) => sets.contains(set),
        _ => false,
    });
    for line in ledger.lines.iter().filter(|line| line.adds()) {
        record.newest_on = record.newest_on.max(line.entry.on);
        record.newest_at = record.newest_at.max(line.entry.at);
        record.unread += u32::from(line.event.is_none());
    }
    Some(record)
}

fn empty(id: SetId, name: Label) -> SetRecord {
    // A set whose making is not here is judged as rental.
    SetRecord::to_be(id, name, Use::Rental)
}

impl SetRecord {
    /// A set that nothing is written of yet.
    #[must_use]
    pub fn to_be(id: SetId, name: Label, in_use: Use) -> Self {
        Self {
            id,
            name,
            in_use,
            since: NaiveDate::MIN,
            made: None,
            unmade: false,
            descriptions: Vec::new(),
            contested: false,
            dissolved: false,
            ports: Vec::new(),
            disputed: Vec::new(),
            hoses: BTreeMap::new(),
            claims: Vec::new(),
            tags: Vec::new(),
            out: None,
            packed: None,
            rented_twice: Vec::new(),
            back_on: None,
            holds: Vec::new(),
            quarantines: Vec::new(),
            swaps: Vec::new(),
            corrections: Vec::new(),
            oxygen: false,
            owner: Owner::default(),
            owners: Vec::new(),
            home: None,
            devices: BTreeMap::new(),
            branch: None,
            joined: Vec::new(),
            unread: 0,
            newest_on: NaiveDate::MIN,
            newest_at: Stamp::default(),
        }
    }
}

/// The name by which earlier programs knew it, else its code.
fn name_in(ledger: &Ledger<'_>, set: SetId) -> Label {
    let named = ledger.lines.iter().find_map(|line| match &line.event {
        Some(Event::FittedBefore(before)) => Some(&before.set),
        Some(Event::HandedOutBefore(before)) => Some(&before.set),
        _ => None,
    });
    let named = named.filter(|name| SetId::of_name(name.as_str()) == set).cloned();
    named.unwrap_or_else(|| set.into())
}

/// The sets that are one with a set, itself included.
pub(super) fn parts(set: SetId, ledger: &Ledger<'_>) -> BTreeSet<SetId> {
    let mut all = BTreeSet::from([set]);
    loop {
        let before = all.len();
        for line in ledger.lines.iter().filter(|line| line.counts()) {
            if let Some(Event::SetsJoined { sets, .. }) = &line.event
                && sets.iter().any(|set| all.contains(set))
            {
                all.extend(sets);
            }
        }
        if all.len() == before {
            return all;
        }
    }
}

/// Whether anybody who is wholly believed made a set.
fn is_surely_made(set: SetId, ledger: &Ledger<'_>) -> bool {
    ledger.lines.iter().filter(|line| line.counts()).any(|line| match &line.event {
        Some(Event::Assembled(Assembled { set: made, .. })) => *made == set,
        Some(Event::AssembledBefore(before)) => SetId::of_name(before.set.as_str()) == set,
        _ => false,
    })
}

/// The tags of one set. A tag whose giving was taken back is not given again: it
/// stays as an old one.
fn tags(set: SetId, ledger: &Ledger<'_>) -> Vec<Tag> {
    let tag = |line: &Line<'_>| match &line.event {
        Some(Event::Assembled(Assembled { set: made, .. })) if *made == set => Some(set.code()),
        Some(Event::SetTagged { set: of, tag }) if *of == set => Some(*tag),
        _ => None,
    };
    let adds = ledger.lines.iter().filter(|line| line.adds());
    let given: Vec<(Code, NaiveDate)> =
        adds.filter_map(|line| Some((tag(line)?, line.entry.on))).collect();
    let mut tags = in_turn(&given);
    for line in &ledger.withdrawn {
        let code = tag(line).filter(|code| !tags.iter().any(|tag| tag.code == *code));
        let since = line.entry.on;
        tags.extend(code.map(|code| Tag { code, since, withdrawn: Some(since) }));
    }
    // Its own is last.
    tags.sort_by_key(|tag| tag.withdrawn.is_none());
    tags
}

/// The hoses that a placing is about.
fn placed(event: &Event) -> Vec<Code> {
    match event {
        Event::Fitted(Fitted { hose, .. }) | Event::Removed(Removed { hose, .. }) => vec![*hose],
        Event::FittedBefore(before) => vec![before.hose],
        Event::RemovedBefore(before) => vec![before.hose],
        Event::PlaceConfirmed(PlaceConfirmed { hose, hoses, .. }) => {
            std::iter::once(hose).chain(hoses).copied().collect()
        }
        _ => Vec::new(),
    }
}

fn port_claims(sets: &BTreeSet<SetId>, ledger: &Ledger<'_>) -> Vec<PortClaim> {
    let placings = || ledger.lines.iter().filter_map(|line| Some(placed(line.event.as_ref()?)));
    let hoses: BTreeSet<Code> = placings().flatten().collect();
    let mut all = Vec::new();
    for hose in hoses {
        let mut own = Placing::all(hose, ledger);
        own.retain(|placing| {
            placing.line.event.as_ref().is_some_and(|event| placed(event).contains(&hose))
        });
        for claim in claims(&own) {
            if let Some(slot) = claim.slot.filter(|slot| sets.contains(&slot.set)) {
                let (entry, doubtful, port) = (claim.entry, claim.doubtful, slot.port);
                all.push((claim.when, PortClaim { port, hose, entry, doubtful }));
            }
        }
    }
    // By when they were written, as the fold has it.
    all.sort_by_key(|(when, claim)| (*when, claim.entry));
    all.into_iter().map(|(_, claim)| claim).collect()
}

/// Every hand-out that is not over: all that went is out until it comes back.
fn out(ledger: &Ledger<'_>, sets: &BTreeSet<SetId>) -> Option<HandOut> {
    let mut all: Option<HandOut> = None;
    for line in ledger.lines.iter().filter(|line| line.counts()) {
        let Some(event) = line.event.as_ref() else { continue };
        let Some((set, ticket)) = handed_out(event).filter(|(set, _)| sets.contains(set)) else {
            continue;
        };
        let back = |line: &Line<'_>| match &line.event {
            Some(Event::ReturnedBefore(before)) => {
                before.ticket == *ticket && SetId::of_name(before.set.as_str()) == set
            }
            _ => true,
        };
        if ledger.enders(Matter::RentedTwice, line).any(back) {
            continue;
        }
        let (hoses, override_why) = match event {
            Event::HandedOut(HandedOut { hoses, override_why, .. }) => (hoses, override_why),
            Event::HandedOutBefore(before) => (&before.hoses, &before.override_why),
            _ => continue,
        };
        let (entry, on, by) = (line.id, line.entry.on, line.entry.by.clone());
        all = Some(joined(all, entry, (ticket, on, by), (hoses, override_why.clone())));
    }
    all
}

fn joined(
    before: Option<HandOut>,
    entry: EntryId,
    (ticket, on, by): (&Label, NaiveDate, Label),
    (hoses, override_why): (&[Code], Option<Prose>),
) -> HandOut {
    let (mut entries, mut tickets, mut all) =
        before.map(|out| (out.entries, out.tickets, out.hoses)).unwrap_or_default();
    entries.push(entry);
    tickets.push(ticket.clone());
    for hose in hoses {
        if !all.contains(hose) {
            all.push(*hose);
        }
    }
    HandOut { ticket: ticket.clone(), on, by, hoses: all, override_why, entries, tickets }
}

fn back_on(ledger: &Ledger<'_>) -> Option<NaiveDate> {
    let back = |line: &&Line<'_>| {
        let event = line.event.as_ref();
        line.counts() && matches!(event, Some(Event::Returned(_) | Event::ReturnedBefore(_)))
    };
    ledger.lines.iter().filter(back).map(|line| line.entry.on).max()
}
