//! What a set is: its name, use, ports and details, as makings and changes say.

use std::collections::BTreeSet;

use chrono::NaiveDate;

use super::ending::Matter;
use super::ledger::{Ledger, Line};
use super::parts::When;
use super::set::{Making, SetCorrection, SetRecord};
use crate::event::{Assembled, Event, OwnField, Port, PortName, SetDetails};
use crate::hose::{Label, Owner};
use crate::policy::Use;

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
            Some(Event::Assembled(_) | Event::AssembledBefore(_) | Event::SetChanged { .. })
        );
        line.adds() && describes
    };
    ledger.lines.iter().filter(says).collect()
}

fn state(all: &[&Line<'_>], line: &Line<'_>) -> Option<State> {
    match line.event.as_ref()? {
        Event::Assembled(Assembled { name, in_use, ports, details, .. }) => Some(State {
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

pub(super) fn describe(record: &mut SetRecord, ledger: &Ledger<'_>) {
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
