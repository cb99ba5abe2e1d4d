//! A hose, folded from the entries about it.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use crate::event::{Event, Seat};
use crate::hose::{End, Label, Origin, Specification};
use crate::inspection::{Ends, InspectionKind, Look, Observation, Place, Verdict};
use crate::journal::{Believed, Entry, Stamp, Trust};
use crate::photograph::PhotographName;
use crate::tag::{Code, Payload};

/// A tag that a hose has or had.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Tag {
    /// Its code.
    pub code: Code,
    /// Since when.
    pub since: NaiveDate,
    /// When another took its place.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub withdrawn: Option<NaiveDate>,
}

/// A finding that nothing has ended yet.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct OpenFinding {
    /// What was seen.
    pub seen: Observation,
    /// On which day.
    pub on: NaiveDate,
    /// By whom.
    pub by: Label,
    /// The count of the inspection before, where it was smaller.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub grown_from: Option<(u32, NaiveDate)>,
    /// Whether that end was resealed since, and a passed leak test will end it.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub resealed: bool,
}

/// The last inspection of a kind.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Seen {
    /// When.
    pub on: NaiveDate,
    /// By whom.
    pub by: Label,
    /// What was seen.
    pub look: Look,
    /// The photographs of it, at most one of each place.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub photographs: BTreeMap<Place, PhotographName>,
}

/// What made a leak test due.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum LeakDueBecause {
    /// It was put in a port.
    Fitted,
    /// It was moved to another port.
    Moved,
    /// It got new O-rings.
    Resealed,
    /// The last leak test failed.
    Failed,
}

/// A leak test that is due as soon as the hose is fitted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct LeakDue {
    /// Since when.
    pub since: NaiveDate,
    /// Why.
    pub because: LeakDueBecause,
}

/// The end of a hose's service.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Retirement {
    /// When.
    pub on: NaiveDate,
    /// By whom.
    pub by: Label,
    /// Why.
    pub why: Label,
}

/// A guided swap that was begun and is not finished: it can be taken up again
/// wherever the record is.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct OpenSwap {
    /// The hose that comes off.
    pub old: Code,
    /// The hose that goes on.
    pub new: Code,
    /// Where.
    pub seat: Seat,
    /// When it was begun.
    pub since: NaiveDate,
    /// The steps answered so far, in their order, each with its answer.
    pub steps: Vec<(Label, Label)>,
}

impl OpenSwap {
    /// The step whose answer ends a swap, finished or given up.
    pub const END: &'static str = "end";
}

/// Everything that answers need to know of a hose.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct HoseRecord {
    /// The hose: the code of its first tag.
    pub hose: Code,
    /// What it is; none while the entry that says so has not come.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub specification: Option<Specification>,
    /// Where it came from.
    #[serde(default)]
    pub origin: Origin,
    /// Its tags, oldest first; the last is its own.
    #[serde(default)]
    pub tags: Vec<Tag>,
    /// Makers' barcodes bound to it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub barcodes: Vec<Label>,
    /// The first day in a port.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub first_fitted: Option<NaiveDate>,
    /// Where it is; none is stock.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub seat: Option<Seat>,
    /// When it came there.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub seated_on: Option<NaiveDate>,
    /// Two devices put it in different places while apart.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub contested: bool,
    /// What was found and is not ended.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub open: Vec<OpenFinding>,
    /// The last inspection of each kind.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub seen: Vec<Seen>,
    /// When a finding that retires it was first seen.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub condemned: Option<NaiveDate>,
    /// A leak test that is due.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub leak_due: Option<LeakDue>,
    /// Dives made with it.
    #[serde(default)]
    pub dives: u32,
    /// The end of its service.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub retired: Option<Retirement>,
    /// The ticket on which it is out with its set.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub out: Option<Label>,
    /// The set with which it is out: its own, but for a hose that went along
    /// with another.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub out_with: Option<Label>,
    /// A swap that was begun and is not finished.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub swap: Option<OpenSwap>,
    /// The recalled lots for which it was found and set aside.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub set_aside: Vec<Label>,
    /// Entries that this program cannot read.
    #[serde(default)]
    pub unread: u32,
    /// The newest day that an entry is about.
    pub newest_on: NaiveDate,
    /// The newest clock reading of an entry.
    pub newest_at: Stamp,
}

impl HoseRecord {
    fn new(hose: Code) -> Self {
        Self {
            hose,
            specification: None,
            origin: Origin::default(),
            tags: Vec::new(),
            barcodes: Vec::new(),
            first_fitted: None,
            seat: None,
            seated_on: None,
            contested: false,
            open: Vec::new(),
            seen: Vec::new(),
            condemned: None,
            leak_due: None,
            dives: 0,
            retired: None,
            out: None,
            out_with: None,
            swap: None,
            set_aside: Vec::new(),
            unread: 0,
            newest_on: NaiveDate::MIN,
            newest_at: Stamp::default(),
        }
    }

    /// What a tag says of its hose, as the record of a phone that has none.
    #[must_use]
    pub fn of_tag(payload: &Payload) -> Self {
        let mut record = Self::new(payload.code);
        if let Some(passport) = payload.passport {
            let born = passport.born();
            let (made, bought) = if passport.born_is_made() { (born, None) } else { (None, born) };
            let in_service = passport.fitted();
            record.origin = Origin { made, bought, in_service, ..Origin::default() };
        }
        record
    }

    /// The tag that it carries now.
    #[must_use]
    pub fn tag(&self) -> Code {
        self.tags.last().map_or(self.hose, |tag| tag.code)
    }

    /// The last inspection of a kind.
    #[must_use]
    pub fn last(&self, kind: InspectionKind) -> Option<&Seen> {
        self.seen.iter().find(|seen| seen.look.kind == kind)
    }

    /// The day from which its service counts, and whether it was ever in use.
    #[must_use]
    pub fn in_service_since(&self) -> Option<NaiveDate> {
        let told = self.origin.in_service.map(crate::measure::PartialDate::earliest);
        [told, self.first_fitted].into_iter().flatten().min()
    }
}

/// Folds the entries about a hose, which must be in the order of the fold.
#[must_use]
pub fn fold_hose(hose: Code, entries: &[Believed]) -> Option<HoseRecord> {
    if entries.is_empty() {
        return None;
    }
    let read: Vec<(&Believed, Option<Event>)> =
        entries.iter().map(|b| (b, b.entry.event())).collect();
    let mut record = HoseRecord::new(hose);
    // What it is decides what a finding means, so that is settled first: it may
    // have been written down after things that happened earlier.
    for (_, event) in &read {
        if let Some(
            Event::Registered { specification, origin, .. }
            | Event::Described { specification, origin, .. },
        ) = event
        {
            record.specification = Some(specification.clone());
            record.origin = origin.clone();
        }
    }
    for (believed, event) in &read {
        record.take(&believed.entry, event.as_ref(), believed.trust);
    }
    Some(record)
}

impl HoseRecord {
    /// Takes in one entry more without folding the others again: possible where
    /// it sorts after all of them and does not change what the hose is. Tells
    /// whether it did.
    pub(super) fn take_last(&mut self, entry: &Entry) -> bool {
        let last = entry.on >= self.newest_on && entry.at > self.newest_at;
        let event = entry.event();
        let describes = matches!(event, Some(Event::Registered { .. } | Event::Described { .. }));
        if last && !describes {
            self.take(entry, event.as_ref(), Trust::Full);
        }
        last && !describes
    }

    fn take(&mut self, entry: &Entry, event: Option<&Event>, trust: Trust) {
        self.newest_on = self.newest_on.max(entry.on);
        self.newest_at = self.newest_at.max(entry.at);
        match event {
            Some(event) => self.apply(entry, event, trust),
            None => self.unread += 1,
        }
    }

    fn apply(&mut self, entry: &Entry, event: &Event, trust: Trust) {
        let on = entry.on;
        match event {
            Event::Registered { .. } => self.tagged(self.hose, on),
            Event::Tagged { tag, .. } => self.tagged(*tag, on),
            Event::Bound { barcode, .. } => {
                if !self.barcodes.contains(barcode) {
                    self.barcodes.push(barcode.clone());
                }
            }
            Event::Inspected { look, .. } => self.inspected(entry, look, trust),
            Event::Photographed { inspection, place, photograph, .. } => {
                let of = |seen: &&mut Seen| seen.look.kind == *inspection && seen.on == on;
                if let Some(seen) = self.seen.iter_mut().find(of) {
                    seen.photographs.insert(*place, photograph.name());
                }
            }
            Event::Resealed { end, .. } => self.resealed(*end, on, trust),
            Event::Cleaned { .. } if trust == Trust::Full => self.end_findings(Ends::Cleaning),
            Event::Fitted { set, port, from, .. } => {
                self.fitted(Seat { set: set.clone(), port: *port }, from.as_ref(), on);
            }
            Event::Removed { .. } if trust == Trust::Full => self.unseated(on),
            Event::Retired { why, .. } => self.retired(entry, why),
            Event::Dived { dives, .. } => self.dives = self.dives.saturating_add(*dives),
            Event::HandedOut { ticket, set, .. } => {
                self.out = Some(ticket.clone());
                self.out_with = Some(set.clone());
            }
            Event::Returned { .. } if trust == Trust::Full => {
                self.out = None;
                self.out_with = None;
            }
            Event::SetAside { lot, .. } if trust == Trust::Full => {
                if !self.set_aside.contains(lot) {
                    self.set_aside.push(lot.clone());
                }
            }
            Event::Swapped { hoses: [old, new], set, port, step, answer } => {
                let seat = Seat { set: set.clone(), port: *port };
                self.swapped((*old, *new), seat, (step, answer), on, trust);
            }
            Event::Described { .. }
            | Event::Returned { .. }
            | Event::SetAside { .. }
            | Event::Cleaned { .. }
            | Event::Removed { .. }
            | Event::Assembled { .. }
            | Event::Limited { .. }
            | Event::Enrolled { .. }
            | Event::Recalled { .. } => {}
        }
    }

    fn tagged(&mut self, code: Code, on: NaiveDate) {
        if self.tag() == code && !self.tags.is_empty() {
            return;
        }
        for tag in &mut self.tags {
            tag.withdrawn.get_or_insert(on);
        }
        self.tags.retain(|tag| tag.code != code);
        self.tags.push(Tag { code, since: on, withdrawn: None });
    }

    fn inspected(&mut self, entry: &Entry, look: &Look, trust: Trust) {
        let counts: Vec<(Place, u32, NaiveDate)> = self
            .open
            .iter()
            .filter_map(|open| Some((open.seen.place(), open.seen.count()?, open.on)))
            .collect();
        if trust == Trust::Full {
            self.what_it_clears(look);
        }
        for seen in &look.findings {
            let before = counts.iter().find(|(place, n, _)| {
                *place == seen.place() && seen.count().is_some_and(|now| now > *n)
            });
            let grown_from = before.map(|(_, n, on)| (*n, *on));
            self.add(OpenFinding {
                seen: *seen,
                on: entry.on,
                by: entry.by.clone(),
                grown_from,
                resealed: false,
            });
        }
        self.test_result(look, entry.on, trust);
        if trust == Trust::Full {
            self.seen.retain(|seen| seen.look.kind != look.kind);
            self.seen.push(Seen {
                on: entry.on,
                by: entry.by.clone(),
                look: look.clone(),
                photographs: BTreeMap::new(),
            });
            self.seen.sort_by_key(|seen| seen.look.kind);
        }
    }

    fn what_it_clears(&mut self, look: &Look) {
        if look.kind == InspectionKind::Full {
            self.end_findings(Ends::FullInspection);
        }
        if look.test.as_ref().is_some_and(|test| test.passed) {
            self.open.retain(|open| !open.resealed);
        }
    }

    fn test_result(&mut self, look: &Look, on: NaiveDate, trust: Trust) {
        match &look.test {
            Some(test) if test.passed && trust == Trust::Full => self.leak_due = None,
            Some(test) if !test.passed => {
                self.leak_due = Some(LeakDue { since: on, because: LeakDueBecause::Failed });
            }
            _ => {}
        }
    }

    /// Ends the open findings that a full inspection, or a cleaning, ends.
    fn end_findings(&mut self, by: Ends) {
        let hose = self.specification.as_ref();
        self.open.retain(|open| match open.seen.rule(hose).map(|rule| rule.ends) {
            Ok(Ends::Cleaning) => false,
            Ok(Ends::FullInspection) => by != Ends::FullInspection,
            Ok(Ends::Never | Ends::ResealAndTest) => true,
            // The description changed and the finding is now impossible: a full
            // look decides it.
            Err(_) => by != Ends::FullInspection,
        });
    }

    /// Adds a finding, or keeps the worse where the place has it already. One
    /// that needs a reseal is new again, since the last reseal did not cure it.
    fn add(&mut self, new: OpenFinding) {
        let same = |open: &&mut OpenFinding| {
            open.seen.place() == new.seen.place() && open.seen.finding() == new.seen.finding()
        };
        let hose = self.specification.clone();
        let badness = |open: &OpenFinding| badness(open, hose.as_ref());
        if badness(&new).0 == Verdict::Retire {
            self.condemned = Some(self.condemned.map_or(new.on, |first| first.min(new.on)));
        }
        match self.open.iter_mut().find(same) {
            Some(open) if badness(open) > badness(&new) => open.resealed = false,
            Some(open) => *open = new,
            None => self.open.push(new),
        }
    }

    fn resealed(&mut self, end: End, on: NaiveDate, trust: Trust) {
        let (metal, seal) = match end {
            End::A => (Place::EndA, Place::SealA),
            End::B => (Place::EndB, Place::SealB),
        };
        let hose = self.specification.clone();
        if trust == Trust::Full {
            for open in &mut self.open {
                let here = open.seen.place() == metal || open.seen.place() == seal;
                let rule = open.seen.rule(hose.as_ref());
                open.resealed |= here && rule.is_ok_and(|rule| rule.ends == Ends::ResealAndTest);
            }
        }
        self.leak_due = Some(LeakDue { since: on, because: LeakDueBecause::Resealed });
    }

    fn fitted(&mut self, seat: Seat, from: Option<&Seat>, on: NaiveDate) {
        // Who wrote this knew the hose to be elsewhere than it was: someone
        // else had moved it meanwhile, on a device that had not met this one.
        self.contested = self.seat.as_ref() != from && self.seat.as_ref() != Some(&seat);
        let because = if from.is_some() { LeakDueBecause::Moved } else { LeakDueBecause::Fitted };
        self.leak_due = Some(LeakDue { since: on, because });
        self.first_fitted = Some(self.first_fitted.map_or(on, |first| first.min(on)));
        self.seat = Some(seat);
        self.seated_on = Some(on);
    }

    fn unseated(&mut self, on: NaiveDate) {
        self.contested = false;
        self.seat = None;
        self.seated_on = Some(on);
    }

    fn swapped(
        &mut self,
        (old, new): (Code, Code),
        seat: Seat,
        (step, answer): (&Label, &Label),
        on: NaiveDate,
        trust: Trust,
    ) {
        if step.as_str() == OpenSwap::END {
            if trust == Trust::Full {
                self.swap = None;
            }
            return;
        }
        if self.swap.as_ref().is_none_or(|swap| (swap.old, swap.new) != (old, new)) {
            self.swap = Some(OpenSwap { old, new, seat, since: on, steps: Vec::new() });
        }
        if let Some(swap) = &mut self.swap {
            swap.steps.retain(|(earlier, _)| earlier != step);
            swap.steps.push((step.clone(), answer.clone()));
        }
    }

    fn retired(&mut self, entry: &Entry, why: &Label) {
        self.unseated(entry.on);
        self.retired.get_or_insert_with(|| Retirement {
            on: entry.on,
            by: entry.by.clone(),
            why: why.clone(),
        });
    }
}

/// Verdict first, then the count or the order of the grades in the table.
fn badness(open: &OpenFinding, hose: Option<&Specification>) -> (Verdict, u32) {
    let verdict = open.seen.rule(hose).map_or(Verdict::Watch, |rule| rule.verdict);
    (verdict, open.seen.count().unwrap_or(0))
}
