//! Entries as the folds take them in: read, in order, with what is withdrawn
//! left out, and with who names whom.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use super::ending::{Act, Matter};
use crate::event::{EntryId, Event};
use crate::hose::{Label, Prose};
use crate::journal::{Believed, Entry, Trust};

/// An entry that counts as written.
pub(super) struct Line<'a> {
    /// Its place in the fold.
    pub(super) place: usize,
    /// By what others name it.
    pub(super) id: EntryId,
    pub(super) entry: &'a Entry,
    /// What happened; nothing for what this program cannot read.
    pub(super) event: Option<Event>,
    pub(super) trust: Trust,
    /// What it may end, if it may end anything: only what is wholly believed
    /// does.
    act: Option<Act>,
}

impl Line<'_> {
    /// Whether it is believed at least so far that it adds.
    pub(super) const fn adds(&self) -> bool {
        !matches!(self.trust, Trust::Disbelieved)
    }

    /// Whether it may end and move things.
    pub(super) const fn counts(&self) -> bool {
        matches!(self.trust, Trust::Full)
    }

    /// Whether it was written together with another.
    pub(super) fn is_of_act(&self, other: &Line<'_>) -> bool {
        let (own, others) = (self.entry, other.entry);
        own.device == others.device && own.act().is_some() && own.act() == others.act()
    }

    /// Whether it names another. Entries of earlier programs name what lies
    /// before them.
    pub(super) fn names(&self, other: &Line<'_>) -> bool {
        match self.event.as_ref().and_then(Event::answers) {
            Some(answers) => answers.contains(&other.id),
            None => other.place < self.place,
        }
    }

    /// Whether it ends what another raised: its row of the table has the matter,
    /// and it names the other.
    pub(super) fn ends(&self, matter: Matter, other: &Line<'_>) -> bool {
        self.act.is_some_and(|act| act.ends().contains(&matter)) && self.names(other)
    }
}

/// The entries about a hose, a set or the fleet, in the order of the fold.
pub(super) struct Ledger<'a> {
    /// What counts as written.
    pub(super) lines: Vec<Line<'a>>,
    /// What was taken back.
    pub(super) withdrawn: Vec<Line<'a>>,
}

impl<'a> Ledger<'a> {
    /// Reads entries that are in the order of the fold.
    pub(super) fn read(entries: &'a [Believed]) -> Self {
        let read = entries.iter().enumerate().map(|(place, believed)| {
            let Believed { id, entry, trust } = believed;
            let event = entry.event();
            Line { place, id: *id, entry, event, trust: *trust, act: None }
        });
        let all: Vec<Line<'_>> = read.collect();
        let taken_back = TakenBack::of(&all);
        let (mut lines, mut withdrawn) = (Vec::with_capacity(all.len()), Vec::new());
        for mut line in all {
            match taken_back.get(&line.id) {
                Some(Trust::Full) => withdrawn.push(line),
                // A withdrawal that is itself in doubt counts only if it makes
                // things worse: what it names ends nothing any more.
                Some(_) => {
                    // Sets that are one have what speaks against either: doubt parts
                    // none of them.
                    if !matches!(line.event, Some(Event::SetsJoined { .. })) {
                        line.trust = line.trust.min(Trust::AddsOnly);
                    }
                    lines.push(line);
                }
                None => {
                    line.act = line.event.as_ref().and_then(Act::of).filter(|_| line.counts());
                    lines.push(line);
                }
            }
        }
        Self { lines, withdrawn }
    }

    /// Whether anything ends what a line raised.
    pub(super) fn is_ended(&self, matter: Matter, line: &Line<'_>) -> bool {
        self.enders(matter, line).next().is_some()
    }

    /// What ends what a line raised.
    pub(super) fn enders<'s>(
        &'s self,
        matter: Matter,
        line: &'s Line<'_>,
    ) -> impl Iterator<Item = &'s Line<'a>> {
        self.lines.iter().filter(move |other| other.ends(matter, line))
    }

    /// The line of an entry, if it counts as written.
    pub(super) fn line(&self, id: &EntryId) -> Option<&Line<'a>> {
        self.lines.iter().find(|line| line.id == *id)
    }
}

/// A withdrawal that counts.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Withdrawal {
    /// On which day.
    pub on: NaiveDate,
    /// By whom.
    pub by: Label,
    /// Why.
    pub why: Prose,
}

/// Which of some entries, in the order of the fold, are taken back, and by what.
#[must_use]
pub fn taken_back(entries: &[Believed]) -> BTreeMap<EntryId, Withdrawal> {
    let ledger = Ledger::read(entries);
    let mut all = BTreeMap::new();
    for line in ledger.lines.iter().filter(|line| line.counts()) {
        if let Some(Event::Withdrawn { answers, why, .. }) = &line.event {
            let gone = |id: &&EntryId| ledger.withdrawn.iter().any(|other| other.id == **id);
            for id in answers.iter().filter(gone) {
                let (on, by, why) = (line.entry.on, line.entry.by.clone(), why.clone());
                all.insert(*id, Withdrawal { on, by, why });
            }
        }
    }
    all
}

/// Which entries are taken back, and how surely.
struct TakenBack<'a> {
    /// The withdrawals that name an entry.
    by: BTreeMap<EntryId, Vec<&'a Line<'a>>>,
}

impl<'a> TakenBack<'a> {
    fn of(all: &'a [Line<'a>]) -> BTreeMap<EntryId, Trust> {
        let mut by: BTreeMap<EntryId, Vec<&Line<'_>>> = BTreeMap::new();
        for line in all.iter().filter(|line| line.adds()) {
            if let Some(Event::Withdrawn { answers, .. }) = &line.event {
                for target in answers {
                    by.entry(*target).or_default().push(line);
                }
            }
        }
        let found = TakenBack { by };
        let taken = all.iter().filter(|line| can_be_withdrawn(line.event.as_ref()));
        taken.filter_map(|line| Some((line.id, found.trust(&line.id)?))).collect()
    }

    /// How surely an entry is taken back. A withdrawal can only name what was
    /// there before it, so this ends.
    fn trust(&self, id: &EntryId) -> Option<Trust> {
        let by = self.by.get(id)?.iter();
        by.filter_map(|line| match self.trust(&line.id) {
            Some(Trust::Full) => None,
            Some(_) => Some(Trust::AddsOnly),
            None => Some(line.trust),
        })
        .max()
    }
}

/// A hold is released, and the owner's words on devices and unsigned entries are
/// taken back by new ones.
fn can_be_withdrawn(event: Option<&Event>) -> bool {
    !matches!(
        event,
        Some(
            Event::Held(_)
                | Event::Enrolled { .. }
                | Event::Succeeded { .. }
                | Event::Admitted { .. }
        )
    )
}
