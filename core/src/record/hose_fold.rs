//! Folds a hose from the entries about it. Each entry raises what it says, and
//! the table of [`super::ending`] alone decides what ends it; so one entry more
//! can end only what is in its row.

use chrono::NaiveDate;

use super::doubt::{corrections, disbelieved};
use super::ending::Matter;
use super::findings::{Findings, passes};
use super::hose::HoseRecord;
use super::ledger::{Ledger, Line};
use super::parts::{
    Claim, Hold, Home, LeakDue, LeakDueBecause, Missing, OpenSwap, Out, Retirement, Seen, Tag, When,
};
use super::placing::placing_of;
use super::versions::{Answered, answered, handed_out, look_of};
use super::{description, hand_outs, placing};
use crate::event::{
    EntryId, Event, Fitted, GoneHome, Held, PlaceConfirmed, Released, Returned, SetId, Swapped,
};
use crate::inspection::{InspectionKind, Look};
use crate::journal::Believed;
use crate::tag::Code;

/// Folds the entries about a hose, which must be in the order of the fold;
/// nothing if there are none.
#[must_use]
pub fn fold_hose(hose: Code, entries: &[Believed]) -> Option<HoseRecord> {
    if entries.is_empty() {
        return None;
    }
    let ledger = Ledger::read(entries);
    let mut record = HoseRecord::new(hose);
    description::describe(&mut record, &ledger);
    placing::place(&mut record, &ledger);
    tags(&mut record, &ledger);
    Findings::of(&ledger, &record).put(&mut record);
    record.leak_due = leak_tests(&record, &ledger);
    record.swaps = swaps(&ledger);
    record.outs = outs(&ledger);
    record.rented_twice = hand_outs::twice(&ledger, |_| true);
    record.dives = dives(&ledger);
    record.home = homes(&ledger, |event| match event {
        Event::GoneHome(GoneHome { hose: own, hoses, .. }) => {
            *own == Some(hose) || hoses.contains(&hose)
        }
        _ => false,
    });
    record.holds = holds(&ledger, |event| match event {
        Event::Held(Held { hose: Some(_), .. }) => true,
        // It stays with every hose that was in the set when it was written.
        Event::Held(Held { incident: true, hoses, .. }) => hoses.contains(&hose),
        _ => false,
    });
    record.missing = missing(&record, &ledger);
    record.corrections = corrections(&record, &ledger);
    record.disbelieved = disbelieved(&record, &ledger);
    for line in ledger.lines.iter().filter(|line| line.adds()) {
        record.newest_on = record.newest_on.max(line.entry.on);
        record.newest_at = record.newest_at.max(line.entry.at);
        match &line.event {
            Some(event) => take(&mut record, &ledger, line, event),
            None => record.unread += 1,
        }
    }
    Some(record)
}

/// What needs nothing but the entry itself.
fn take(record: &mut HoseRecord, ledger: &Ledger<'_>, line: &Line<'_>, event: &Event) {
    let (entry, on) = (line.id, line.entry.on);
    match event {
        Event::Bound { barcode, .. } if !record.barcodes.contains(barcode) => {
            record.barcodes.push(barcode.clone());
        }
        Event::Retired { why, .. } => {
            let (by, why) = (line.entry.by.clone(), why.clone());
            record.retired.get_or_insert(Retirement { entry, on, by, why });
        }
        Event::SetAside { lot, .. } if line.counts() && !record.set_aside.contains(lot) => {
            record.set_aside.push(lot.clone());
        }
        Event::SetAsideFor { answers, .. } if line.counts() => record.set_aside_for.extend(answers),
        Event::CheckedOff { answers, .. } if line.counts() => record.checked_off.extend(answers),
        Event::Photographed { inspection, place, photograph, .. } => {
            let of = |seen: &&mut Seen| seen.look.kind == *inspection && seen.on == on;
            if let Some(seen) = record.seen.iter_mut().find(of) {
                seen.photographs.insert(*place, photograph.name());
            }
        }
        _ => {
            if let Some(look) = look_of(event).filter(|_| line.counts()) {
                inspected(record, ledger, line, look);
            }
        }
    }
}

fn inspected(record: &mut HoseRecord, ledger: &Ledger<'_>, line: &Line<'_>, look: &Look) {
    record.seen.retain(|seen| seen.look.kind != look.kind);
    record.seen.push(Seen {
        on: line.entry.on,
        by: line.entry.by.clone(),
        look: look.clone(),
        photographs: std::collections::BTreeMap::new(),
    });
    record.seen.sort_by_key(|seen| seen.look.kind);
    if look.kind == InspectionKind::Full && look.list.is_none() {
        let named = line.event.as_ref().and_then(Event::answers).unwrap_or_default();
        let foreign = named.iter().filter(|id| ledger.line(id).is_none());
        record.looked_at.extend(foreign.map(|id| (*id, line.entry.on)));
    }
}

/// A tag is the hose's own for as long as no other was given after it; it never
/// becomes its own again.
fn tags(record: &mut HoseRecord, ledger: &Ledger<'_>) {
    let mut given: Vec<(Code, NaiveDate)> = Vec::new();
    for line in ledger.lines.iter().filter(|line| line.adds()) {
        let code = match &line.event {
            Some(Event::Registered { .. } | Event::Identified { .. }) => record.hose,
            Some(Event::Tagged { tag, .. }) => *tag,
            _ => continue,
        };
        given.push((code, line.entry.on));
    }
    record.tags = in_turn(&given);
}

/// Tags in the order in which they were given, with when another was given after
/// each; the one that was given last is last.
pub(super) fn in_turn(given: &[(Code, NaiveDate)]) -> Vec<Tag> {
    let mut tags: Vec<Tag> = Vec::new();
    for (at, (code, since)) in given.iter().enumerate() {
        let mut later = given.iter().skip(at + 1).filter(|(other, _)| other != code);
        let withdrawn = later.next().map(|(_, on)| *on);
        match tags.iter_mut().find(|tag| tag.code == *code) {
            Some(tag) => tag.withdrawn = tag.withdrawn.or(withdrawn),
            None => tags.push(Tag { code: *code, since: *since, withdrawn }),
        }
    }
    if let Some((last, _)) = given.last() {
        tags.sort_by_key(|tag| tag.code == *last);
    }
    tags
}

/// The leak tests that are due.
fn leak_tests(record: &HoseRecord, ledger: &Ledger<'_>) -> Vec<LeakDue> {
    let high_pressure = description::may_be_high_pressure(ledger);
    let due = ledger.lines.iter().filter(|line| line.adds()).filter_map(|line| {
        let because = because(record, ledger, line)?;
        let passed = ledger
            .enders(Matter::LeakTestDue, line)
            .any(|test| passes(high_pressure, test) && test.place > line.place);
        (!passed).then_some(LeakDue { entry: line.id, since: line.entry.on, because })
    });
    due.collect()
}

fn because(record: &HoseRecord, ledger: &Ledger<'_>, line: &Line<'_>) -> Option<LeakDueBecause> {
    let event = line.event.as_ref()?;
    let fitted = |moved: bool| if moved { LeakDueBecause::Moved } else { LeakDueBecause::Fitted };
    Some(match event {
        Event::Fitted(Fitted { answers, .. }) => {
            // Out of another port, not out of stock.
            let was = |id| ledger.line(id)?.event.as_ref().and_then(|e| placing_of(record.hose, e));
            fitted(answers.iter().any(|id| was(id).flatten().is_some()))
        }
        Event::FittedBefore(before) => fitted(before.from.is_some()),
        Event::PlaceConfirmed(PlaceConfirmed { hose, at: Some(_), .. }) if *hose == record.hose => {
            fitted(false)
        }
        Event::Resealed { .. } => LeakDueBecause::Resealed,
        Event::Recoupled { .. } => LeakDueBecause::Recoupled,
        Event::Swapped(Swapped { loosened: true, .. }) => LeakDueBecause::Loosened,
        event => {
            let failed = |look: &Look| look.test.as_ref().is_some_and(|test| !test.passed);
            return look_of(event).is_some_and(failed).then_some(LeakDueBecause::Failed);
        }
    })
}

/// Hand-outs that are not over.
fn outs(ledger: &Ledger<'_>) -> Vec<Out> {
    let out = ledger.lines.iter().filter(|line| line.adds()).filter_map(|line| {
        let (set, ticket) = handed_out(line.event.as_ref()?)?;
        let back = |line: &&Line<'_>| match &line.event {
            Some(Event::ReturnedBefore(b)) => {
                b.ticket == *ticket && SetId::of_name(b.set.as_str()) == set
            }
            _ => true,
        };
        let over = ledger.enders(Matter::RentedTwice, line).any(|end| back(&end));
        let (entry, doubtful) = (line.id, !line.counts());
        (!over).then(|| Out { entry, ticket: ticket.clone(), set, doubtful })
    });
    out.collect()
}

/// Dives by themselves, and those of each hand-out once: two devices may have
/// taken it back while apart, and the greater number counts. A return of two
/// hand-outs is of the first: no return makes fewer of what others counted.
fn dives(ledger: &Ledger<'_>) -> u32 {
    let mut of_hand_outs: Vec<(EntryId, u32)> = Vec::new();
    let mut all: u32 = 0;
    for line in ledger.lines.iter().filter(|line| line.adds()) {
        match &line.event {
            Some(Event::Dived { dives, .. }) => all = all.saturating_add(*dives),
            Some(Event::Returned(Returned { dives, answers, .. })) => {
                let Some(hand_out) = answers.iter().min() else {
                    all = all.saturating_add(*dives);
                    continue;
                };
                match of_hand_outs.iter_mut().find(|(id, _)| id == hand_out) {
                    Some((_, most)) => *most = (*most).max(*dives),
                    None => of_hand_outs.push((*hand_out, *dives)),
                }
            }
            _ => {}
        }
    }
    of_hand_outs.iter().fold(all, |sum, (_, dives)| sum.saturating_add(*dives))
}

/// The holds that nobody has released; after an incident the owner alone does.
pub(super) fn holds(ledger: &Ledger<'_>, of: impl Fn(&Event) -> bool) -> Vec<Hold> {
    let held = ledger.lines.iter().filter(|line| line.adds()).filter_map(|line| {
        let event = line.event.as_ref().filter(|event| of(event))?;
        let (why, incident, matter) = match event {
            Event::Held(Held { why, incident, .. }) => (why.clone(), *incident, Matter::Hold),
            Event::Quarantined { why, .. } => (why.clone(), false, Matter::Quarantine),
            _ => return None,
        };
        let released = ledger.enders(matter, line).any(|release| {
            let owner =
                matches!(release.event, Some(Event::Released(Released { incident: true, .. })));
            owner || !incident
        });
        let when = When(line.entry.on, line.entry.at);
        let by = line.entry.by.clone();
        let return_withdrawn = ledger
            .withdrawn
            .iter()
            .any(|other| matches!(other.event, Some(Event::Returned(_))) && other.is_of_act(line));
        let hold = Hold { entry: line.id, when, by, why, incident, return_withdrawn };
        (!released).then_some(hold)
    });
    held.collect()
}

/// Since when it is missing: as long as the hold that its return left lasts,
/// and nobody has put it in a port since.
fn missing(record: &HoseRecord, ledger: &Ledger<'_>) -> Option<Missing> {
    let held = |line: &Line<'_>| {
        let mut holds = record.holds.iter().filter_map(|hold| ledger.line(&hold.entry));
        holds.any(|hold| hold.is_of_act(line))
    };
    let fitted = |line: &Line<'_>| {
        let placed = |claim: &Claim| claim.slot.and_then(|_| ledger.line(&claim.entry));
        record.claims.iter().filter_map(placed).any(|other| other.place > line.place)
    };
    ledger.lines.iter().rev().filter(|line| line.adds()).find_map(|line| {
        let Some(Event::Returned(Returned { missing, tickets, .. })) = &line.event else {
            return None;
        };
        let gone = missing.contains(&record.hose) && held(line) && !fitted(line);
        let ticket = tickets.last().filter(|_| gone)?.clone();
        Some(Missing { since: line.entry.on, ticket })
    })
}

/// The last going home that no coming-in names.
pub(super) fn homes(ledger: &Ledger<'_>, of: impl Fn(&Event) -> bool) -> Option<Home> {
    let gone = ledger.lines.iter().filter(|line| line.adds()).filter_map(|line| {
        let event = line.event.as_ref().filter(|event| of(event))?;
        let Event::GoneHome(GoneHome { ticket, .. }) = event else { return None };
        let back = ledger.lines.iter().any(|other| {
            let came = matches!(other.event, Some(Event::CameIn(_)));
            came && other.counts() && other.names(line)
        });
        let home = Home { entry: line.id, since: line.entry.on, ticket: ticket.clone() };
        (!back).then_some(home)
    });
    gone.last()
}

/// The swaps that nothing has ended.
pub(super) fn swaps(ledger: &Ledger<'_>) -> Vec<OpenSwap> {
    let mut open: Vec<OpenSwap> = Vec::new();
    for line in ledger.lines.iter().filter(|line| line.adds()) {
        let Some(said) = line.event.as_ref().and_then(answered) else { continue };
        if said.step.as_str() == OpenSwap::END || is_over(ledger, line, &said) {
            continue;
        }
        let begun = line.event.as_ref().and_then(Event::answers).and_then(|names| names.first());
        let begun = begun.copied().unwrap_or(line.id);
        let before = line.event.as_ref().is_some_and(|event| event.answers().is_none());
        let same = |swap: &&mut OpenSwap| {
            swap.entries.contains(&begun) || before && (swap.old, swap.new) == (said.old, said.new)
        };
        let step = (said.step.clone(), said.answer.clone());
        match open.iter_mut().find(same) {
            Some(swap) if said.step.as_str() == OpenSwap::BACK => {
                swap.steps.retain(|(earlier, _)| earlier != said.answer);
            }
            Some(swap) => {
                swap.steps.retain(|(earlier, _)| earlier != said.step);
                swap.steps.push(step);
                if before {
                    swap.entries.push(line.id);
                }
            }
            None => open.push(OpenSwap {
                entries: vec![begun],
                old: said.old,
                new: said.new,
                slot: said.slot,
                since: line.entry.on,
                steps: vec![step],
                instead: said.instead,
            }),
        }
    }
    open
}

/// Whether an end names the swap's beginning, or a step of an earlier program.
fn is_over(ledger: &Ledger<'_>, line: &Line<'_>, said: &Answered<'_>) -> bool {
    let begun = line.event.as_ref().and_then(Event::answers).and_then(|names| names.first());
    ledger.lines.iter().any(|end| {
        let Some(event) = end.event.as_ref().filter(|_| end.counts()) else { return false };
        let same =
            answered(event).is_some_and(|other| (other.old, other.new) == (said.old, said.new));
        let named = end.ends(Matter::Swap, line)
            || begun.is_some_and(|id| event.answers().is_some_and(|names| names.contains(id)));
        let is_end = answered(event).is_some_and(|other| other.step.as_str() == OpenSwap::END);
        same && is_end && named
    })
}
