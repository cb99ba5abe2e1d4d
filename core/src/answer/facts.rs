//! What the rules judge: the record, the day, and what follows from them.

use chrono::NaiveDate;

use super::Born;
use crate::measure::add_months;
use crate::policy::{Limits, Use};
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
    /// Whether a device was copied: one number of its entries stands for two.
    pub forked: bool,
}

/// A question about a hose and everything that its answer depends on.
#[derive(Debug, Clone, Copy)]
pub struct Asked<'a> {
    /// The hose's record.
    pub record: &'a HoseRecord,
    /// The set that it is in.
    pub set: Option<&'a SetRecord>,
    /// Limits and recalls.
    pub fleet: &'a FleetRecord,
    /// Today.
    pub today: NaiveDate,
    /// The tag that was scanned, where one was.
    pub scanned: Option<Code>,
    /// The tag, where all that is known of the hose stands on it.
    pub tag_only: Option<&'a Payload>,
    /// What the store has heard.
    pub heard: Heard,
}

/// A limit on an age: from when, how long, and its last good day.
#[derive(Debug, Clone, Copy)]
pub(super) struct AgeLimit {
    pub(super) from: CountedFrom,
    pub(super) months: u32,
    pub(super) last_day: NaiveDate,
}

/// A question with what follows from it worked out once.
pub(super) struct Facts<'a> {
    pub(super) asked: Asked<'a>,
    pub(super) in_use: Use,
    pub(super) limits: Limits,
    pub(super) born: Born,
    pub(super) in_service: Option<NaiveDate>,
}

impl<'a> Facts<'a> {
    pub(super) fn of(asked: &Asked<'a>) -> Self {
        let record = asked.record;
        // A hose in no set is judged as its owner's own.
        let in_use = asked.set.map_or(Use::Personal, |set| set.in_use);
        let limits = asked.fleet.policy().limits(record.specification.as_ref(), in_use);
        Self {
            asked: *asked,
            in_use,
            limits,
            born: record.origin.born(),
            in_service: record.in_service_since(),
        }
    }

    pub(super) fn record(&self) -> &'a HoseRecord {
        self.asked.record
    }

    pub(super) fn today(&self) -> NaiveDate {
        self.asked.today
    }

    /// Days until a last good day; below 0 after it.
    pub(super) fn days_to(&self, last_day: NaiveDate) -> i64 {
        (last_day - self.asked.today).num_days()
    }

    /// Where the age from made is counted from.
    pub(super) fn born_from(&self) -> Option<CountedFrom> {
        let origin = &self.asked.record.origin;
        origin.made.map(CountedFrom::Made).or_else(|| origin.bought.map(CountedFrom::Bought))
    }

    /// The limits on its age, from made and in service. A partly known date
    /// counts from the earliest day it can be.
    pub(super) fn age_limits(&self) -> Vec<AgeLimit> {
        let made = self.born_from().zip(self.born).map(|(from, date)| {
            self.age_limit(from, date.earliest(), self.limits.from_made_months)
        });
        let service = self.in_service.map(|day| {
            self.age_limit(CountedFrom::Service(day), day, self.limits.in_service_months)
        });
        made.into_iter().chain(service).collect()
    }

    fn age_limit(&self, from: CountedFrom, origin: NaiveDate, months: u32) -> AgeLimit {
        AgeLimit { from, months, last_day: add_months(origin, months) }
    }

    /// The last full inspection and the last good day before the next.
    pub(super) fn full_inspection(&self) -> Option<(NaiveDate, NaiveDate)> {
        let last = self.record().last(crate::inspection::InspectionKind::Full)?.on;
        Some((last, add_months(last, self.limits.full_inspection_months)))
    }
}
