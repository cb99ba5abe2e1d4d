//! What the rules judge: the record, the day, and what follows from them.

use chrono::NaiveDate;

use crate::event::Slot;
use crate::journal::Stamp;
use crate::measure::{PartialDate, add_months};
use crate::policy::{Limits, Policy, Use};
use crate::record::{FleetRecord, HoseRecord, SetRecord};
use crate::tag::{Code, Payload};
use crate::words::CountedFrom;

/// What this store has heard, and from how many devices.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Heard {
    /// The newest day that any entry is about.
    pub newest_on: NaiveDate,
    /// How many devices wrote here.
    pub devices: usize,
    /// Whether no device's numbering has a gap.
    pub complete: bool,
    /// Whether a device was copied: one number of its entries names two.
    pub forked: bool,
    /// The clock of the first entry after a gap, the latest where there are
    /// several: what is missing may be about any hose that was registered before.
    pub gap: Option<Stamp>,
    /// When this device last met another of its fleet, if it has others; a
    /// device that never did counts from when it joined.
    pub met_on: Option<NaiveDate>,
}

/// A question about a hose and everything that its answer depends on.
#[derive(Debug, Clone, Copy)]
pub struct Asked<'a> {
    /// The hose's record.
    pub record: &'a HoseRecord,
    /// Every set that it is claimed for or ever was in.
    pub sets: &'a [&'a SetRecord],
    /// Limits and recalls.
    pub fleet: &'a FleetRecord,
    /// Today.
    pub today: NaiveDate,
    /// The tag that was scanned, if one was.
    pub scanned: Option<Code>,
    /// Whether its tag names another hose too.
    pub tag_shared: bool,
    /// It is judged as if it were used so, in whatever set.
    pub as_used: Option<Use>,
    /// The tag, where all that is known of the hose is on it.
    pub tag_only: Option<&'a Payload>,
    /// What the store has heard.
    pub heard: Heard,
}

impl<'a> Asked<'a> {
    /// A set by its identity.
    #[must_use]
    pub fn set(&self, slot: Slot) -> Option<&'a SetRecord> {
        let of = |set: &&&SetRecord| set.id == slot.set || set.joined.contains(&slot.set);
        self.sets.iter().find(of).copied()
    }

    /// The set that it is in.
    #[must_use]
    pub fn own_set(&self) -> Option<&'a SetRecord> {
        self.set(self.record.seat?)
    }
}

/// The date that an age is counted from, with its precision.
pub(super) type Born = Option<PartialDate>;

/// A limit on an age: from when, how long, and its last good day.
#[derive(Debug, Clone, Copy)]
pub(super) struct AgeLimit {
    pub(super) from: CountedFrom,
    pub(super) months: u32,
    pub(super) last_day: NaiveDate,
}

/// A place that is claimed for the hose, with its set if that is here.
#[derive(Clone, Copy)]
pub(super) struct Claimed<'a> {
    pub(super) slot: Slot,
    pub(super) set: Option<&'a SetRecord>,
}

/// A question with what follows from it worked out once.
pub(super) struct Facts<'a> {
    pub(super) asked: Asked<'a>,
    /// The places that are claimed for it.
    pub(super) claimed: Vec<Claimed<'a>>,
    /// Who dives with it: the stricter if that is in doubt.
    pub(super) in_use: Use,
    /// The strictest that may hold for it.
    pub(super) limits: Limits,
    pub(super) born: Born,
    pub(super) in_service: Option<NaiveDate>,
}

impl<'a> Facts<'a> {
    pub(super) fn of(asked: &Asked<'a>) -> Self {
        let record = asked.record;
        let mut claimed: Vec<Claimed<'a>> = Vec::new();
        for slot in record.slots() {
            if !claimed.iter().any(|other| other.slot == slot) {
                claimed.push(Claimed { slot, set: asked.set(slot) });
            }
        }
        // A hose in no set is judged as its owner's own, and one in a set that
        // nobody here knows as rental.
        let use_of = |claimed: &Claimed<'_>| claimed.set.map_or(Use::Rental, |set| set.in_use);
        let uses: Vec<Use> = claimed.iter().map(use_of).collect();
        let uses = if uses.is_empty() { vec![Use::Personal] } else { uses };
        let uses = asked.as_used.map_or(uses, |used| vec![used]);
        let in_use = if uses.contains(&Use::Rental) { Use::Rental } else { Use::Personal };
        let kinds: Vec<_> = record.specifications().map(Some).collect();
        let kinds = if kinds.is_empty() { vec![None] } else { kinds };
        let limits = asked.fleet.strictest(&kinds, &uses);
        let limits = limits.unwrap_or_else(|| Policy::default().limits(None, in_use));
        let born = record.origin.born();
        let in_service = record.in_service_since();
        Self { asked: *asked, claimed, in_use, limits, born, in_service }
    }

    pub(super) fn record(&self) -> &'a HoseRecord {
        self.asked.record
    }

    pub(super) fn today(&self) -> NaiveDate {
        self.asked.today
    }

    /// The sets that it may be in.
    pub(super) fn sets(&self) -> impl Iterator<Item = &'a SetRecord> {
        self.claimed.iter().filter_map(|claimed| claimed.set)
    }

    /// Days until a last good day; below 0 after it.
    pub(super) fn days_to(&self, last_day: NaiveDate) -> i64 {
        (last_day - self.asked.today).num_days()
    }

    /// From where its age from made may be counted: a made date, else the bought
    /// date, in every way in which it is described; nothing if one of them
    /// knows neither.
    pub(super) fn borns(&self) -> Vec<Option<CountedFrom>> {
        let record = self.record();
        let (origin, others) = (&record.origin, &record.alternatives);
        let made = std::iter::once(origin.made).chain(others.made.iter().copied());
        let bought = || std::iter::once(origin.bought).chain(others.bought.iter().copied());
        let mut all = Vec::new();
        for made in made {
            match made {
                Some(made) => all.push(Some(CountedFrom::Made(made))),
                None => all.extend(bought().map(|date| date.map(CountedFrom::Bought))),
            }
        }
        all.dedup();
        all
    }

    /// The limits on its age, from made and in service. A partly known date
    /// counts from the earliest day it can be.
    pub(super) fn age_limits(&self) -> Vec<AgeLimit> {
        let made = self.borns().into_iter().flatten().map(|from| {
            let earliest = from.earliest();
            self.age_limit(from, earliest, self.limits.from_made_months)
        });
        let service = self.in_service.map(|day| {
            self.age_limit(CountedFrom::Service(day), day, self.limits.in_service_months)
        });
        made.chain(service).collect()
    }

    fn age_limit(&self, from: CountedFrom, origin: NaiveDate, months: u32) -> AgeLimit {
        AgeLimit { from, months, last_day: add_months(origin, months) }
    }

    /// The last full inspection and the last good day before the next.
    pub(super) fn full_inspection(&self) -> Option<(NaiveDate, NaiveDate)> {
        let last = self.record().last(crate::inspection::InspectionKind::Full)?.on;
        Some((last, add_months(last, self.limits.full_inspection_months)))
    }

    /// The hose as its answer shows it comes from its tag alone.
    pub(super) const fn is_of_tag(&self) -> bool {
        self.asked.tag_only.is_some()
    }
}

impl CountedFrom {
    /// The earliest day that it can be.
    pub(super) fn earliest(self) -> NaiveDate {
        match self {
            Self::Made(date) | Self::Bought(date) => PartialDate::earliest(date),
            Self::Service(day) => day,
        }
    }
}
