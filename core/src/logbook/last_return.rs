//! The last return of a set, as it is on record.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use super::returns::Written;
use super::{HistoryLine, Logbook, LogbookError, TakenBack};
use crate::event::{EntryId, Event, Fitted, PortName, Removed, Returned};
use crate::hose::Label;
use crate::inspection::Observation;
use crate::journal::Moment;
use crate::record::HandOut;
use crate::tag::Code;

/// The last return of a set.
pub(super) struct LastReturned {
    /// Its day.
    pub(super) on: NaiveDate,
    /// The hoses that were out.
    pub(super) hoses: Vec<Code>,
    /// What was found on each that came back, in order.
    pub(super) looks: BTreeMap<Code, Vec<Observation>>,
    /// The dives.
    pub(super) dives: u32,
    /// Nobody knew them.
    pub(super) estimated: bool,
    /// The hoses that did not come back, and the ports that they left.
    missing: Vec<(Code, Option<PortName>)>,
    tickets: Vec<Label>,
    hand_outs: Vec<EntryId>,
}

impl Logbook {
    /// How a set came back last, and how it stands since; none if it never did.
    ///
    /// # Errors
    /// [`LogbookError`] if there is no such set, or the store cannot be read.
    pub fn last_return(
        &self,
        set: &Label,
        moment: &Moment,
    ) -> Result<Option<TakenBack>, LogbookError> {
        let Some(last) = self.last_returned(set)? else { return Ok(None) };
        let lines = self.set_history(set)?;
        let out = lines.iter().find(|line| last.hand_outs.contains(&line.id));
        let (Some(ticket), Some(out)) = (last.tickets.last(), out) else { return Ok(None) };
        let out = HandOut {
            ticket: ticket.clone(),
            on: out.entry.on,
            by: out.entry.by.clone(),
            hoses: last.hoses,
            override_why: None,
            entries: last.hand_outs,
            tickets: last.tickets,
        };
        let found = last.looks.values().filter(|seen| !seen.is_empty()).count();
        let (dives, estimated, missing) = (last.dives, last.estimated, last.missing);
        let written = Written { out, dives, estimated, found, missing };
        self.taken_back(&self.set(set)?.name, &written, moment).map(Some)
    }

    pub(super) fn last_returned(&self, set: &Label) -> Result<Option<LastReturned>, LogbookError> {
        let lines = self.set_history(set)?;
        let returned =
            |line: &&HistoryLine| line.counts() && matches!(line.event, Some(Event::Returned(_)));
        let Some(line) = lines.iter().rev().find(returned) else { return Ok(None) };
        let Some(Event::Returned(Returned { hoses, tickets, dives, estimated, answers, .. })) =
            &line.event
        else {
            return Ok(None);
        };
        let mut last = LastReturned {
            on: line.entry.on,
            hoses: hoses.clone(),
            looks: BTreeMap::new(),
            dives: *dives,
            estimated: *estimated,
            missing: Vec::new(),
            tickets: tickets.clone(),
            hand_outs: answers.clone(),
        };
        let mut left: BTreeMap<Code, PortName> = BTreeMap::new();
        for together in self.act_of(line.id)? {
            match together.event {
                Some(Event::Inspected { hose, look, .. }) => {
                    let mut found = look.findings;
                    found.sort_by_key(ToString::to_string);
                    last.looks.insert(hose, found);
                }
                Some(Event::Removed(Removed { hose, answers, .. })) => {
                    left.extend(port_of(&lines, &answers).map(|port| (hose, port)));
                }
                _ => {}
            }
        }
        let gone = hoses.iter().filter(|hose| !last.looks.contains_key(hose));
        last.missing = gone.map(|hose| (*hose, left.get(hose).copied())).collect();
        Ok(Some(last))
    }
}

/// The port that one of these placings put a hose in.
fn port_of(lines: &[HistoryLine], placings: &[EntryId]) -> Option<PortName> {
    lines.iter().filter(|line| placings.contains(&line.id)).find_map(|line| match line.event {
        Some(Event::Fitted(Fitted { port, .. })) => Some(port),
        _ => None,
    })
}
