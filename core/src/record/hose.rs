//! A hose, as it is folded from the entries about it.

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use super::parts::{
    Alternatives, Claim, Correction, Disbelieved, Hold, Home, LeakDue, Missing, OpenFinding,
    OpenSwap, Out, Retirement, Seen, Stay, Tag,
};
use crate::event::{EntryId, Slot};
use crate::hose::{Label, Origin, Owner, Specification};
use crate::inspection::{Damage, Ends, FindingRule, InspectionKind, Known, Observation};
use crate::journal::Stamp;
use crate::measure::{PartialDate, Units};
use crate::tag::{Code, Payload};

/// Everything that answers need to know of a hose.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct HoseRecord {
    /// The hose: the code of its first tag.
    pub hose: Code,
    /// Its registrations: more than one is two hoses of one tag.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub registrations: Vec<EntryId>,
    /// Whether one of them is wholly believed.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub registered: bool,
    /// The earliest clock of them.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub registered_at: Option<Stamp>,
    /// What it is; none while the entry that says so has not come.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub specification: Option<Specification>,
    /// Where it came from.
    #[serde(default)]
    pub origin: Origin,
    /// The registration and descriptions that say so.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub descriptions: Vec<EntryId>,
    /// Someone who is believed described it again, with a reason: what was found and
    /// it cannot have is then no more than looked at.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub redescribed: bool,
    /// What else they say.
    #[serde(default, skip_serializing_if = "Alternatives::is_empty")]
    pub alternatives: Alternatives,
    /// Its tags, oldest first; the last is its own.
    #[serde(default)]
    pub tags: Vec<Tag>,
    /// Makers' barcodes bound to it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub barcodes: Vec<Label>,
    /// The first day in a port.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub first_fitted: Option<NaiveDate>,
    /// Where it is, as the last says who is believed; none is stock.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub seat: Option<Slot>,
    /// When it came there.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub seated_on: Option<NaiveDate>,
    /// Every place that is claimed for it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub claims: Vec<Claim>,
    /// The sets that it was ever in.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub stays: Vec<Stay>,
    /// What was found and is not ended.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub open: Vec<OpenFinding>,
    /// The last inspection of each kind.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub seen: Vec<Seen>,
    /// When a finding that retires it was first seen.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub condemned: Option<NaiveDate>,
    /// The leak tests that are due.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub leak_due: Vec<LeakDue>,
    /// Dives made with it.
    #[serde(default)]
    pub dives: u32,
    /// The end of its service.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub retired: Option<Retirement>,
    /// The hand-outs that are not over.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub outs: Vec<Out>,
    /// The tickets under which it was handed out while it was out already, until
    /// all of them are back.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub rented_twice: Vec<Label>,
    /// It is at home with its customer.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub home: Option<Home>,
    /// It did not come back with its set, and nobody has found it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub missing: Option<Missing>,
    /// The swaps that were started and are not finished.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub swaps: Vec<OpenSwap>,
    /// Holds by hand.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub holds: Vec<Hold>,
    /// What was corrected and not looked at since.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub corrections: Vec<Correction>,
    /// Entries that are not believed.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub disbelieved: Vec<Disbelieved>,
    /// Entries of other records that its full inspections named, each with the day of
    /// the inspection.
    #[serde(default, rename = "looked_at_on", skip_serializing_if = "Vec::is_empty")]
    pub looked_at: Vec<(EntryId, NaiveDate)>,
    /// The recalls that do not mean it, as the owner found.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub checked_off: Vec<EntryId>,
    /// The recalled lots for which it was found and set aside.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub set_aside: Vec<Label>,
    /// The recalls of more than a lot for which it was found and set aside.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub set_aside_for: Vec<EntryId>,
    /// Entries that this program cannot read.
    #[serde(default)]
    pub unread: u32,
    /// The newest day that an entry is about.
    pub newest_on: NaiveDate,
    /// The newest clock reading of an entry.
    pub newest_at: Stamp,
}

impl HoseRecord {
    /// The same, with its length and the pressures of its tests shown in these units.
    #[must_use]
    pub fn in_units(mut self, units: Units) -> Self {
        self.specification = self.specification.map(|hose| hose.in_units(units));
        for test in self.seen.iter_mut().filter_map(|seen| seen.look.test.as_mut()) {
            test.pressure = test.pressure.take().map(|pressure| pressure.in_units(units));
        }
        self
    }

    pub(super) fn new(hose: Code) -> Self {
        Self {
            hose,
            registrations: Vec::new(),
            registered: false,
            registered_at: None,
            specification: None,
            origin: Origin::default(),
            descriptions: Vec::new(),
            redescribed: false,
            alternatives: Alternatives::default(),
            tags: Vec::new(),
            barcodes: Vec::new(),
            first_fitted: None,
            seat: None,
            seated_on: None,
            claims: Vec::new(),
            stays: Vec::new(),
            open: Vec::new(),
            seen: Vec::new(),
            condemned: None,
            leak_due: Vec::new(),
            dives: 0,
            retired: None,
            outs: Vec::new(),
            rented_twice: Vec::new(),
            home: None,
            missing: None,
            swaps: Vec::new(),
            holds: Vec::new(),
            corrections: Vec::new(),
            disbelieved: Vec::new(),
            looked_at: Vec::new(),
            checked_off: Vec::new(),
            set_aside: Vec::new(),
            set_aside_for: Vec::new(),
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

    /// Whether anybody who is wholly believed registered it.
    #[must_use]
    pub const fn is_registered(&self) -> bool {
        self.registered
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
        let told =
            std::iter::once(self.origin.in_service).chain(self.alternatives.in_service.clone());
        let told = told.flatten().map(PartialDate::earliest);
        told.chain(self.first_fitted).min()
    }

    /// Whether two devices put it in different places while apart.
    #[must_use]
    pub fn contested(&self) -> bool {
        let mut places = self.claims.iter().filter(|claim| !claim.doubtful);
        let first = places.next();
        first.is_some_and(|first| places.any(|other| other.slot != first.slot))
    }

    /// The ports that are claimed for it.
    pub fn slots(&self) -> impl Iterator<Item = Slot> {
        self.claims.iter().filter_map(|claim| claim.slot)
    }

    /// The hand-out that it is out on.
    #[must_use]
    pub fn out(&self) -> Option<&Out> {
        self.outs.iter().rev().find(|out| !out.doubtful)
    }

    /// Whose it is, as anybody says whose word nothing replaced.
    #[must_use]
    pub fn owners(&self) -> Vec<Owner> {
        match self.alternatives.owners.as_slice() {
            [] => vec![self.origin.own.owner()],
            several => several.to_vec(),
        }
    }

    /// Whether it is a customer's.
    #[must_use]
    pub fn is_customers(&self) -> bool {
        self.origin.own.owner().ticket().is_some()
    }

    /// The swap that is open with it.
    #[must_use]
    pub fn swap(&self) -> Option<&OpenSwap> {
        self.swaps.last()
    }

    /// Everything that it may be: what is shown, then what else was said.
    pub fn specifications(&self) -> impl Iterator<Item = &Specification> {
        self.specification.iter().chain(&self.alternatives.specifications)
    }

    /// What an inspection that is written now judges: all that its form shows, of
    /// days not after its own.
    #[must_use]
    pub fn judged_by(&self, kind: InspectionKind, on: NaiveDate) -> Vec<EntryId> {
        let findings = self.open.iter().filter(|open| open.on <= on);
        let mut named: Vec<EntryId> = match kind {
            InspectionKind::Quick => Vec::new(),
            InspectionKind::Full => {
                let corrections = self.corrections.iter().filter(|c| c.on <= on).map(|c| c.entry);
                let disbelieved = self.disbelieved.iter().filter(|d| d.on <= on).map(|d| d.entry);
                findings.map(|open| open.entry).chain(corrections).chain(disbelieved).collect()
            }
            InspectionKind::LeakTest => {
                let due = self.leak_due.iter().filter(|due| due.since <= on).map(|due| due.entry);
                let repaired = findings.filter_map(|open| Some([open.entry, open.resealed?]));
                due.chain(repaired.flatten()).collect()
            }
        };
        named.sort_unstable();
        named.dedup();
        named
    }

    /// What a full inspection that is written now has to answer for, of days not
    /// after its own: open damage, and bubbles at an end that nobody said where
    /// from. Of the same at the same place the most.
    #[must_use]
    pub fn wants_answers(&self, on: NaiveDate) -> Vec<Known> {
        let mut all: Vec<Known> = Vec::new();
        for open in self.open.iter().filter(|open| open.on <= on) {
            let rule = self.rule(&open.seen);
            let wanted = match rule.map_or(Ends::FullInspection, |rule| rule.ends) {
                Ends::FullInspection => Damage::of(&open.seen).is_some(),
                Ends::OnceSaid => true,
                _ => false,
            };
            if !wanted {
                continue;
            }
            let words = rule.map_or("", |rule| rule.seen);
            let known = Known { seen: open.seen, on: open.on, words };
            let same = |other: &&mut Known| {
                let of = |seen: &Observation| (seen.place(), seen.finding());
                of(&other.seen) == of(&known.seen)
            };
            match all.iter_mut().find(same) {
                Some(other) if other.seen.count() > known.seen.count() => {}
                Some(other) => *other = known,
                None => all.push(known),
            }
        }
        all.sort_by_key(|known| (known.seen.place(), known.seen.finding()));
        all
    }

    /// The findings that a cleaning that is written now ends.
    #[must_use]
    pub fn cleaned_by(&self, on: NaiveDate) -> Vec<EntryId> {
        let cleanable = self.open.iter().filter(|open| {
            open.on <= on && self.rule(&open.seen).is_some_and(|rule| rule.ends == Ends::Cleaning)
        });
        let mut named: Vec<EntryId> = cleanable.map(|open| open.entry).collect();
        named.sort_unstable();
        named.dedup();
        named
    }

    /// The row of the table of findings that counts for something seen: the
    /// worst of all that the hose may be. What none of these can have is taken at its
    /// worst, as of a hose that nobody has described, until someone describes the
    /// hose with a reason: a registration that comes later ends no finding.
    #[must_use]
    pub fn rule(&self, seen: &Observation) -> Option<&'static FindingRule> {
        let rule = worst_rule(seen, &self.specifications().collect::<Vec<_>>());
        rule.or_else(|| seen.rule(None).ok().filter(|_| !self.redescribed))
    }
}

/// The worst row for something seen on a hose that may be one of several kinds;
/// nothing if none of them can have it.
pub(super) fn worst_rule(
    seen: &Observation,
    kinds: &[&Specification],
) -> Option<&'static FindingRule> {
    if kinds.is_empty() {
        return seen.rule(None).ok();
    }
    let rules = kinds.iter().filter_map(|hose| seen.rule(Some(hose)).ok());
    // The worst, and of two that are as bad the one that is harder to end.
    rules.max_by_key(|rule| (rule.verdict, hardness(rule.ends)))
}

const fn hardness(ends: Ends) -> u8 {
    match ends {
        Ends::Cleaning => 0,
        Ends::FullInspection => 1,
        Ends::ResealAndTest | Ends::CouplingAndTest => 2,
        Ends::OnceSaid => 3,
        Ends::Never => 4,
    }
}
