//! Folds a set from the entries about it.

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;

use super::ending::Matter;
use super::hand_outs::twice;
use super::hose_fold::{holds, homes, in_turn, swaps};
use super::ledger::{Ledger, Line};
use super::parts::{Tag, When};
use super::placing::{Placing, claims};
use super::set::{HandOut, Making, PortClaim, SetCorrection, SetRecord};
use super::versions::handed_out;
use crate::event::{EntryId, Event, OwnField, Port, PortName, SetDetails, SetId};
use crate::hose::{Label, Owner};
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
    record.holds = holds(&ledger, |event| matches!(event, Event::Held { set: Some(_), .. }));
    record.quarantines = holds(&ledger, |event| matches!(event, Event::Quarantined { .. }));
    record.swaps = swaps(&ledger).into_iter().filter(|s| sets.contains(&s.slot.set)).collect();
    record.tags = sets.iter().rev().flat_map(|part| tags(*part, &ledger)).collect();
    record.out = out(&ledger, &sets);
    record.rented_twice = twice(&ledger, |set| sets.contains(&set));
    record.back_on = back_on(&ledger);
    record.home = homes(&ledger, |event| match event {
        Event::GoneHome { set: Some(set), .. } => sets.contains(set),
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
    SetRecord {
        id,
        name,
        // A set whose making is not here is judged as rental.
        in_use: Use::Rental,
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
        Some(Event::Assembled { set: made, .. }) => *made == set,
        Some(Event::AssembledBefore(before)) => SetId::of_name(before.set.as_str()) == set,
        _ => false,
    })
}

/// What a making or a change says of a set, with what it leaves as it was.
#[derive(Clone)]
struct State {
    name: Label,
    in_use: Use,
    ports: Vec<Port>,
    dissolved: bool,
    details: SetDetails,
}

impl State {
    fn owner(&self) -> Owner {
        self.details.owner.clone().unwrap_or_default()
    }
}

/// The makings and changes of a set.
fn descriptions<'l, 'a>(ledger: &'l Ledger<'a>) -> Vec<&'l Line<'a>> {
    let says = |line: &&Line<'_>| {
        let event = line.event.as_ref();
        let describes = matches!(
            event,
            Some(Event::Assembled { .. } | Event::AssembledBefore(_) | Event::SetChanged { .. })
        );
        line.adds() && describes
    };
    ledger.lines.iter().filter(says).collect()
}

fn state(all: &[&Line<'_>], line: &Line<'_>) -> Option<State> {
    match line.event.as_ref()? {
        Event::Assembled { name, in_use, ports, details, .. } => Some(State {
            name: name.clone(),
            in_use: *in_use,
            ports: ports.clone(),
            dissolved: false,
            details: (**details).clone(),
        }),
        Event::AssembledBefore(before) => Some(State {
            name: before.set.clone(),
            in_use: before.in_use,
            ports: before.ports.clone(),
            dissolved: false,
            details: SetDetails::default(),
        }),
        Event::SetChanged { changes, answers, .. } => {
            // Only what was there before it can be named, so this ends.
            let named = all.iter().rfind(|other| answers.contains(&other.id))?;
            let before = state(all, named)?;
            let named = all.iter().filter(|other| answers.contains(&other.id));
            let mut clean = named.filter_map(|other| state(all, other));
            let clean = clean.any(|state| state.details.oxygen);
            let cleared = changes.details.cleared.contains(&OwnField::Branch);
            let kept_branch = before.details.branch.filter(|_| !cleared);
            Some(State {
                name: changes.name.clone().unwrap_or(before.name),
                in_use: changes.in_use.unwrap_or(before.in_use),
                ports: changes.ports.clone().unwrap_or(before.ports),
                dissolved: changes.dissolved,
                details: SetDetails {
                    oxygen: changes.details.oxygen.unwrap_or(clean),
                    owner: changes.details.owner.clone().or(before.details.owner),
                    devices: changes.details.devices.clone().unwrap_or(before.details.devices),
                    branch: changes.details.branch.clone().or(kept_branch),
                },
            })
        }
        _ => None,
    }
}

/// Whether a change takes the place of another making or change: with a reason
/// it does, and so does one that touches neither use, ports nor oxygen. Others are
/// judged beside what they name.
fn replaces(line: &Line<'_>, other: &Line<'_>) -> bool {
    let Some(Event::SetChanged { changes, why, .. }) = &line.event else { return false };
    let oxygen = changes.details.oxygen;
    let harmless = changes.in_use.is_none() && changes.ports.is_none() && oxygen.is_none();
    line.ends(Matter::SetAsItIs, other) && (why.is_some() || harmless)
}

fn describe(record: &mut SetRecord, ledger: &Ledger<'_>) {
    let all = descriptions(ledger);
    let heads: Vec<&&Line<'_>> =
        all.iter().filter(|line| !all.iter().any(|other| replaces(other, line))).collect();
    let states: Vec<(&Line<'_>, State)> =
        heads.iter().filter_map(|line| Some((**line, state(&all, line)?))).collect();
    record.descriptions = heads.iter().map(|line| line.id).collect();
    let made = all.iter().find(|line| !matches!(line.event, Some(Event::SetChanged { .. })));
    record.made = made.map(|line| Making { on: line.entry.on, by: line.entry.by.clone() });
    let Some((_, shown)) = states.iter().rfind(|(line, _)| line.counts()).or(states.last()) else {
        return;
    };
    record.since = record.made.as_ref().map_or(NaiveDate::MIN, |made| made.on);
    record.name = shown.name.clone();
    record.dissolved = shown.dissolved;
    let rental = states.iter().any(|(_, state)| state.in_use == Use::Rental);
    record.in_use = if rental || record.unmade { Use::Rental } else { Use::Personal };
    record.oxygen = states.iter().any(|(_, state)| state.details.oxygen);
    record.owner = shown.owner();
    record.owners = owners(&states);
    record.devices = shown.details.devices.clone();
    record.branch = shown.details.branch.clone();
    record.contested = are_apart(&states);
    ports(record, &states);
    record.corrections = set_corrections(&all, ledger);
}

/// Whether two of what is said now know nothing of one another and differ.
fn are_apart(states: &[(&Line<'_>, State)]) -> bool {
    states.iter().any(|(one, a)| {
        states.iter().any(|(other, b)| {
            let knows = |x: &Line<'_>, y: &Line<'_>| {
                x.event.as_ref().and_then(Event::answers).is_some_and(|ids| ids.contains(&y.id))
            };
            let same = a.in_use == b.in_use
                && a.ports == b.ports
                && a.dissolved == b.dissolved
                && a.details.oxygen == b.details.oxygen
                && a.owner() == b.owner();
            !same && !knows(one, other) && !knows(other, one)
        })
    })
}

/// Each owner that is said, once.
fn owners(states: &[(&Line<'_>, State)]) -> Vec<Owner> {
    let all: BTreeSet<Owner> = states.iter().map(|(_, state)| state.owner()).collect();
    all.into_iter().collect()
}

/// A port counts only if all agree.
fn ports(record: &mut SetRecord, states: &[(&Line<'_>, State)]) {
    for (_, state) in states.iter().rev() {
        for port in &state.ports {
            if record.port(port.name).is_none() {
                record.ports.push(*port);
            }
        }
    }
    let contested = record.contested;
    let agreed = |port: &Port| {
        states.iter().all(|(_, state)| {
            let own = state.ports.iter().find(|own| own.name == port.name);
            own.map_or(!contested, |own| own == port)
        })
    };
    record.disputed =
        record.ports.iter().filter(|port| !agreed(port)).map(|port| port.name).collect();
}

/// The changes of ports or oxygen for a reason, with the ports that they changed.
fn set_corrections(all: &[&Line<'_>], ledger: &Ledger<'_>) -> Vec<SetCorrection> {
    let changes = all.iter().filter(|line| line.counts()).filter_map(|line| {
        let Some(Event::SetChanged { changes, why: Some(why), answers, .. }) = &line.event else {
            return None;
        };
        let new = changes.ports.as_deref().unwrap_or_default();
        let before = answers.iter().filter_map(|id| state(all, ledger.line(id)?));
        let before: Vec<State> = before.collect();
        let is_other = |port: &&Port| !before.iter().all(|state| state.ports.contains(port));
        let ports: Vec<PortName> = new.iter().filter(is_other).map(|port| port.name).collect();
        let was_clean = before.iter().any(|state| state.details.oxygen);
        let oxygen = was_clean && changes.details.oxygen == Some(false);
        (!ports.is_empty() || oxygen).then(|| SetCorrection {
            entry: line.id,
            when: When(line.entry.on, line.entry.at),
            by: line.entry.by.clone(),
            why: why.clone(),
            ports,
            oxygen,
        })
    });
    changes.collect()
}

/// The tags of one set. A tag whose giving was taken back is not given again: it
/// stays as an old one.
fn tags(set: SetId, ledger: &Ledger<'_>) -> Vec<Tag> {
    let tag = |line: &Line<'_>| match &line.event {
        Some(Event::Assembled { set: made, .. }) if *made == set => Some(set.code()),
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
        Event::Fitted { hose, .. } | Event::Removed { hose, .. } => vec![*hose],
        Event::FittedBefore(before) => vec![before.hose],
        Event::RemovedBefore(before) => vec![before.hose],
        Event::PlaceConfirmed { hose, hoses, .. } => {
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
            Event::HandedOut { hoses, override_why, .. } => (hoses, override_why),
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
    (hoses, override_why): (&[Code], Option<Label>),
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
        line.counts() && matches!(event, Some(Event::Returned { .. } | Event::ReturnedBefore(_)))
    };
    ledger.lines.iter().filter(back).map(|line| line.entry.on).max()
}
