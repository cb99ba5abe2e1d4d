//! Entries as a case file tells them, each with what came of it.

use std::collections::{BTreeMap, BTreeSet};

use rusqlite::Connection;

use super::case_limits::{before, in_force};
use crate::case::CaseLine;
use crate::event::{EntryId, Event, HandedOut, SetId};
use crate::hose::{Label, Specification};
use crate::journal::{Believed, Entry, Listed, Members, StoreError};
use crate::policy::Use;
use crate::record::{self, Withdrawal, taken_back};
use crate::tag::Code;
use crate::words::{self, case as say, meeting};

/// The kind of an entry with a picture.
const PHOTOGRAPHED: &str = "photographed";

/// A hose as it is named, and what it is.
type Known = (String, Option<Specification>);

/// What it takes to tell entries.
pub(super) struct Teller<'t> {
    store: &'t Connection,
    members: Members,
    /// The codes of the one hose that it is about; empty for a set.
    own: BTreeSet<Code>,
    /// What set limits.
    limits: &'t [Believed],
    failing: &'t BTreeSet<EntryId>,
    hoses: BTreeMap<Code, Known>,
    sets: BTreeMap<SetId, Label>,
}

/// How the entries of a file name one another.
struct Named {
    numbers: BTreeMap<EntryId, usize>,
    judged: BTreeMap<EntryId, Vec<usize>>,
    back: BTreeMap<EntryId, Withdrawal>,
}

impl Named {
    fn of(all: &[&Believed]) -> Self {
        let numbers: BTreeMap<EntryId, usize> = all.iter().map(|b| b.id).zip(1..).collect();
        let mut judged: BTreeMap<EntryId, Vec<usize>> = BTreeMap::new();
        for (believed, number) in all.iter().zip(1..) {
            for id in answers(believed) {
                judged.entry(id).or_default().push(number);
            }
        }
        let owned: Vec<Believed> = all.iter().map(|believed| bare(believed)).collect();
        Self { numbers, judged, back: taken_back(&owned) }
    }
}

/// An entry without its photograph: nothing but the picture itself is large.
fn bare(Believed { entry, id, trust }: &Believed) -> Believed {
    let large = entry.kind == PHOTOGRAPHED;
    let entry = Entry {
        device: entry.device,
        seq: entry.seq,
        on: entry.on,
        at: entry.at,
        by: entry.by.clone(),
        kind: entry.kind.clone(),
        version: entry.version,
        body: if large { String::new() } else { entry.body.clone() },
        previous: entry.previous,
        signature: entry.signature,
    };
    Believed { entry, id: *id, trust: *trust }
}

fn answers(believed: &Believed) -> Vec<EntryId> {
    let event = believed.entry.event();
    event.as_ref().and_then(Event::answers).unwrap_or_default().to_vec()
}

/// Which entries of the file an entry deals with, and which deal with it.
fn links(believed: &Believed, named: &Named) -> Vec<String> {
    let own = answers(believed);
    let mut own: Vec<usize> = own.iter().filter_map(|id| named.numbers.get(id).copied()).collect();
    own.sort_unstable();
    let judges = (!own.is_empty()).then(|| say::judges(&own));
    let judged = named.judged.get(&believed.id).map(|numbers| say::judged(numbers));
    [judges, judged].into_iter().flatten().collect()
}

impl<'t> Teller<'t> {
    /// One that knows nothing yet.
    pub(super) fn new(
        store: &'t Connection,
        own: BTreeSet<Code>,
        limits: &'t [Believed],
        failing: &'t BTreeSet<EntryId>,
    ) -> Result<Self, StoreError> {
        let members = Members::load(store)?;
        let (hoses, sets) = (BTreeMap::new(), BTreeMap::new());
        Ok(Self { store, members, own, limits, failing, hoses, sets })
    }

    /// Tells entries, and then those that set limits. Each is let go once it is told.
    pub(super) fn told(
        &mut self,
        entries: Vec<Believed>,
    ) -> Result<(Vec<CaseLine>, Vec<CaseLine>), StoreError> {
        let limits = self.limits;
        let named = Named::of(&entries.iter().chain(limits).collect::<Vec<_>>());
        let mut lines = Vec::with_capacity(entries.len());
        for believed in entries {
            lines.push(self.line(&believed, &named)?);
        }
        let set = limits.iter().map(|believed| self.line(believed, &named));
        Ok((lines, set.collect::<Result<_, _>>()?))
    }

    fn line(&mut self, believed: &Believed, named: &Named) -> Result<CaseLine, StoreError> {
        let Believed { entry, id, .. } = believed;
        let event = entry.event();
        let (about, of) = self.about(entry)?;
        let said = event.as_ref().map_or_else(
            || words::UNREAD_ENTRY.to_owned(),
            |event| words::event(event, of.as_ref(), &|set| self.set_name(set)),
        );
        let (shown, limits) = match &event {
            Some(Event::HandedOut(out)) => (self.shown(out)?, self.limits_then(out, believed)?),
            Some(Event::HandedOutBefore(_)) => (vec![say::NOT_KEPT.to_owned()], Vec::new()),
            _ => (Vec::new(), Vec::new()),
        };
        let photograph = match &event {
            Some(Event::Photographed { photograph, .. }) => crate::pdf::sides(photograph.jpeg()),
            _ => None,
        };
        let word = self.members.newest(&entry.device);
        Ok(CaseLine {
            number: named.numbers.get(id).copied().unwrap_or_default(),
            entry: Listed { device: entry.device, seq: entry.seq, id: *id },
            on: entry.on,
            written: entry.at.time(),
            by: entry.by.clone(),
            device: meeting::named(&entry.device, word.and_then(|word| word.name.as_ref())),
            about,
            words: said,
            notes: self.notes(believed, named),
            links: links(believed, named),
            shown,
            limits,
            photograph,
        })
    }

    /// That an entry was taken back, and how far it is believed.
    fn notes(&self, believed: &Believed, named: &Named) -> Vec<String> {
        let id = &believed.id;
        let back = named.back.get(id);
        let back = back.map(|back| say::withdrawn(back.on, &back.by, &back.why));
        let believes = say::believed(believed.trust).map(ToOwned::to_owned);
        let forged = self.failing.contains(id).then(|| say::DOES_NOT_HOLD.to_owned());
        [back, believes, forged].into_iter().flatten().collect()
    }

    /// What the desk was shown of the hoses that this file is about.
    fn shown(&mut self, out: &HandedOut) -> Result<Vec<String>, StoreError> {
        let mut all = Vec::new();
        for then in &out.shown {
            if self.own.is_empty() || self.own.contains(&then.hose) {
                all.push(say::shown_then(&self.hose(then.hose)?.0, then));
            }
        }
        if all.is_empty() {
            return Ok(vec![say::NOT_KEPT.to_owned()]);
        }
        all.insert(0, say::SHOWN.to_owned());
        Ok(all)
    }

    /// The limits of then of the hoses that went out: only rental sets go out.
    fn limits_then(&mut self, out: &HandedOut, then: &Believed) -> Result<Vec<String>, StoreError> {
        let mut kinds = Vec::new();
        for hose in &out.hoses {
            if self.own.is_empty() || self.own.contains(hose) {
                kinds.push((self.hose(*hose)?.1, vec![Use::Rental]));
            }
        }
        let lines = in_force(&before(self.limits, then), &kinds);
        Ok(lines.into_iter().map(|line| format!("{} {line}", say::LIMITS_THEN)).collect())
    }

    /// Whom an entry is about, and what the first of its hoses is.
    fn about(&mut self, entry: &Entry) -> Result<(String, Option<Specification>), StoreError> {
        let touched = entry.touched();
        let (mut hoses, mut sets, mut first) = (Vec::new(), Vec::new(), None);
        for set in touched.sets {
            if !self.sets.contains_key(&set) {
                let record = record::load_set(self.store, set)?;
                let name = record.map_or_else(|| set.into(), |record| record.name);
                self.sets.insert(set, name);
            }
            sets.push(self.set_name(set));
        }
        for hose in touched.hoses {
            let (name, of) = self.hose(hose)?;
            first = first.or(of);
            hoses.push(name);
        }
        Ok((say::about(&sets, &hoses), first))
    }

    fn set_name(&self, set: SetId) -> Label {
        self.sets.get(&set).cloned().unwrap_or_else(|| set.into())
    }

    fn hose(&mut self, hose: Code) -> Result<Known, StoreError> {
        if let Some(known) = self.hoses.get(&hose) {
            return Ok(known.clone());
        }
        let own = record::find_tag(self.store, hose)?.unwrap_or(hose);
        let record = record::load_hose(self.store, own)?;
        let known = record.map_or_else(
            || (hose.to_string(), None),
            |record| {
                let number = record.origin.own.number.as_ref();
                (words::by_number(number, record.tag()), record.specification.clone())
            },
        );
        self.hoses.insert(hose, known.clone());
        Ok(known)
    }
}
