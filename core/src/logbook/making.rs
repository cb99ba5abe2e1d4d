//! Sets that a list names and that are not on record: with the ports that its hoses need.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use rand_core::Rng;
use rusqlite::Connection;

use super::LogbookError;
use super::sets::check_name_free;
use super::sheet_report::NamedSet;
use crate::event::{Assembled, Event, Port, PortName, SetDetails, SetId};
use crate::hose::{End, Fitting, Label, Owner, PortKind, Pressure, Thread};
use crate::journal::Draft;
use crate::policy::Use;
use crate::record::{self, SetRecord};
use crate::spreadsheet::Row;

/// The most ports of a first stage.
const MOST_PORTS: usize = 16;

/// A set that a list names.
struct ToMake {
    name: Label,
    ports: Vec<Port>,
    details: SetDetails,
    in_use: Use,
    /// What it is made as, if it is made.
    id: Option<SetId>,
    /// Since when something is in it.
    since: Option<NaiveDate>,
}

/// The sets that a list names and that are not on record, in its order.
#[derive(Default)]
pub(super) struct SetsToMake(Vec<ToMake>);

impl SetsToMake {
    /// Those that rows name; they are made if there is a use for them.
    pub(super) fn named_in(
        work: &Connection,
        rows: &[&Row],
        make: Option<Use>,
        mut random: &mut dyn Rng,
    ) -> Result<Self, LogbookError> {
        let mut all: Vec<ToMake> = Vec::new();
        let mut of: BTreeMap<String, Vec<&Row>> = BTreeMap::new();
        let mut names: Vec<Label> = Vec::new();
        for row in rows {
            let Some(place) = &row.place else { continue };
            let key = folded(&place.set);
            if !of.contains_key(&key) {
                names.push(place.set.clone());
            }
            of.entry(key).or_default().push(row);
        }
        for name in names {
            // One that is there already, or can't be called so, is no set to make.
            if check_name_free(work, &name).is_err() {
                continue;
            }
            let rows = of.get(&folded(&name)).map(Vec::as_slice).unwrap_or_default();
            let ports = ports(rows);
            if ports.is_empty() || ports.len() > MOST_PORTS {
                continue;
            }
            let owner = owner(rows);
            // A customer's set is never handed out.
            let customers = owner.is_some();
            let details = SetDetails { owner, branch: branch(rows), ..SetDetails::default() };
            let mut id = None;
            while make.is_some() && id.is_none() {
                let set = SetId::draw(&mut random);
                id = (!record::is_known(work, set.code())?).then_some(set);
            }
            let in_use = if customers { Use::Personal } else { make.unwrap_or(Use::Rental) };
            all.push(ToMake { name, ports, details, in_use, id, since: None });
        }
        Ok(Self(all))
    }

    /// A set as it will be, if it is made.
    pub(super) fn made(&self, name: &Label) -> Option<SetRecord> {
        let set = self.0.iter().find(|set| folded(&set.name) == folded(name))?;
        let mut record = SetRecord::to_be(set.id?, set.name.clone(), set.in_use);
        record.ports.clone_from(&set.ports);
        record.owner = set.details.owner.clone().unwrap_or_default();
        record.owners = vec![record.owner.clone()];
        Some(record)
    }

    /// Something is in a set from a day on: it was there by then.
    pub(super) fn is_used(&mut self, set: SetId, on: NaiveDate) {
        for made in self.0.iter_mut().filter(|made| made.id == Some(set)) {
            made.since = Some(made.since.map_or(on, |since| since.min(on)));
        }
    }

    /// How they are made, and which they are.
    pub(super) fn finish(&mut self, today: NaiveDate) -> (Vec<Draft>, Vec<NamedSet>) {
        let (mut drafts, mut named) = (Vec::new(), Vec::new());
        for ToMake { name, ports, details, in_use, id, since } in std::mem::take(&mut self.0) {
            let listed: Vec<String> =
                ports.iter().map(|port| format!("{} ({})", port.name, port.thread)).collect();
            let (ports_in_words, code) = (listed.join(", "), id.map(|id| id.code()));
            named.push(NamedSet { name: name.clone(), ports: ports_in_words, code });
            if let Some(set) = id {
                let details = Box::new(details);
                let event = Event::Assembled(Assembled { set, name, in_use, ports, details });
                drafts.push(Draft { on: since.unwrap_or(today), event });
            }
        }
        (drafts, named)
    }
}

fn folded(name: &Label) -> String {
    name.as_str().to_lowercase()
}

/// The ports that hoses need: those that they name, and one more for each that names none.
/// A port has the thread of its hose; one that nothing is in, the usual one.
fn ports(rows: &[&Row]) -> Vec<Port> {
    let mut threads: BTreeMap<PortName, Thread> = BTreeMap::new();
    let mut nameless: Vec<(PortKind, Thread)> = Vec::new();
    for row in rows {
        let hose = &row.registration.specification;
        let Fitting::Thread(thread) = hose.fitting(End::A) else { continue };
        let pressure = hose.service().pressure();
        match row.place.as_ref().map(|place| &place.port) {
            // A port whose name is against the hose is no reason to make one.
            Some(Ok(port)) if port.pressure() == Some(pressure) => {
                threads.entry(*port).or_insert(*thread);
            }
            Some(Err(_)) => nameless.push((kind_of(pressure), *thread)),
            _ => {}
        }
    }
    for (kind, thread) in nameless {
        let free = (1..=u8::MAX).map(|number| PortName::of(kind, number));
        let next = free.into_iter().find(|port| !threads.contains_key(port));
        if let Some(port) = next {
            threads.insert(port, thread);
        }
    }
    let mut ports = Vec::new();
    for kind in [PortKind::High, PortKind::Low] {
        let own = threads.keys().filter(|port| port.kind() == kind);
        let last = own.map(|port| port.number()).max().unwrap_or(0);
        for number in 1..=last {
            let name = PortName::of(kind, number);
            let usual = if kind == PortKind::High { Thread::Unf7_16x20 } else { Thread::Unf3_8x24 };
            ports.push(Port::new(name, threads.get(&name).copied().unwrap_or(usual)));
        }
    }
    ports
}

const fn kind_of(pressure: Pressure) -> PortKind {
    match pressure {
        Pressure::High => PortKind::High,
        Pressure::Low => PortKind::Low,
    }
}

/// Whose a set is: a customer's, if all its hoses are in under one ticket.
fn owner(rows: &[&Row]) -> Option<Owner> {
    let mut owners = rows.iter().map(|row| row.registration.origin.own.owner());
    let first = owners.next().filter(|owner| owner.ticket().is_some())?;
    owners.all(|owner| owner == first).then_some(first)
}

/// Where a set works, if all its hoses work there.
fn branch(rows: &[&Row]) -> Option<Label> {
    let mut branches = rows.iter().map(|row| row.registration.origin.own.branch.clone());
    let first = branches.next()??;
    branches.all(|branch| branch.as_ref() == Some(&first)).then_some(first)
}

#[cfg(test)]
#[path = "making_tests.rs"]
mod tests;
