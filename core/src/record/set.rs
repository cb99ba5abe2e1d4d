//! A regulator set, folded from the entries about it.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use crate::event::{Event, Port, PortName};
use crate::hose::Label;
use crate::journal::{Believed, Entry, Trust};
use crate::policy::Use;
use crate::tag::Code;

/// A set that is with a hirer.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct HandOut {
    /// The hirer's ticket.
    pub ticket: Label,
    /// Since when.
    pub on: NaiveDate,
    /// Who handed it out.
    pub by: Label,
    /// The hoses that went with it.
    pub hoses: Vec<Code>,
    /// Why it went out although something spoke against it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub override_why: Option<Label>,
}

/// A first stage, its ports and what is in them.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct SetRecord {
    /// Its name.
    pub name: Label,
    /// Who dives with it.
    #[serde(rename = "use")]
    pub in_use: Use,
    /// Since when it is known.
    pub since: NaiveDate,
    /// Its ports, in the order in which they were given.
    pub ports: Vec<Port>,
    /// The hose in each port that has one; the others have a plug.
    pub hoses: BTreeMap<PortName, Code>,
    /// With whom it is, while it is out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub out: Option<HandOut>,
    /// When it last came back from a hirer.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub back_on: Option<NaiveDate>,
    /// Entries that this program cannot read.
    #[serde(default)]
    pub unread: u32,
}

impl SetRecord {
    /// The port of a name.
    #[must_use]
    pub fn port(&self, name: PortName) -> Option<&Port> {
        self.ports.iter().find(|port| port.name == name)
    }

    fn vacate(&mut self, port: PortName, hose: Code) {
        if self.hoses.get(&port) == Some(&hose) {
            self.hoses.remove(&port);
        }
    }

    fn apply(&mut self, entry: &Entry, event: &Event, trust: Trust) {
        match event {
            Event::Fitted { hose, set, port, from } => {
                if let Some(seat) = from.as_ref().filter(|seat| seat.set == self.name) {
                    self.vacate(seat.port, *hose);
                }
                if *set == self.name {
                    self.hoses.insert(*port, *hose);
                }
            }
            Event::Removed { hose, set, port } if *set == self.name && trust == Trust::Full => {
                self.vacate(*port, *hose);
            }
            Event::HandedOut { ticket, hoses, override_why, .. } => {
                // Two devices handed it out while apart: every hose that went
                // is out until the set comes back.
                let mut all = self.out.take().map(|out| out.hoses).unwrap_or_default();
                all.extend(
                    hoses.iter().filter(|hose| !all.contains(hose)).copied().collect::<Vec<_>>(),
                );
                self.out = Some(HandOut {
                    ticket: ticket.clone(),
                    on: entry.on,
                    by: entry.by.clone(),
                    hoses: all,
                    override_why: override_why.clone(),
                });
            }
            Event::Returned { .. } if trust == Trust::Full => {
                self.out = None;
                self.back_on = self.back_on.max(Some(entry.on));
            }
            _ => {}
        }
    }
}

/// Folds the entries about a set, which must be in the order of the fold;
/// nothing where no entry says what the set is.
#[must_use]
pub fn fold_set(name: &Label, entries: &[Believed]) -> Option<SetRecord> {
    let read: Vec<(&Believed, Option<Event>)> =
        entries.iter().map(|b| (b, b.entry.event())).collect();
    let made = read.iter().rev().find_map(|(believed, event)| match event {
        Some(Event::Assembled { in_use, ports, .. }) => {
            Some((believed.entry.on, *in_use, ports.clone()))
        }
        _ => None,
    });
    let (since, in_use, ports) = made?;
    let unread = read.iter().filter(|(_, event)| event.is_none()).count();
    let mut record = SetRecord {
        name: name.clone(),
        in_use,
        since,
        ports,
        hoses: BTreeMap::new(),
        out: None,
        back_on: None,
        unread: u32::try_from(unread).unwrap_or(u32::MAX),
    };
    for (believed, event) in &read {
        if let Some(event) = event {
            record.apply(&believed.entry, event, believed.trust);
        }
    }
    Some(record)
}
