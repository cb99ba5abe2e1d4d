//! From which day to which each reason for a hose's verdict holds. But for the day,
//! nearly everything that a verdict depends on changes only when an entry comes in;
//! so the days on which it changes by itself are known in advance, and what holds on
//! a day is what covers that day.
//!
//! Left out is what is about the whole record ([`Whole`]), and about a scan.

use std::collections::{BTreeMap, BTreeSet};

use chrono::{Days, NaiveDate};

use super::doubt::RECORD_OLD_DAYS;
use super::facts::{Asked, Facts, Heard};
use super::reasons;
use crate::inspection::Verdict;
use crate::journal::Stamp;
use crate::measure::add_years;
use crate::policy::{AGE_NEAR_DAYS, INSPECTION_NEAR_DAYS, Limits, STORED_LONG_YEARS, Use};
use crate::record::{FleetRecord, HoseRecord, SetRecord};

/// The reasons that are about the whole record: when they hold does not depend on
/// the hose alone.
pub const OF_THE_RECORD: [&str; 3] = ["record-gap", "record-old", "clock-odd"];

/// The days on which something holds, both included.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Span {
    /// The first.
    pub first: NaiveDate,
    /// The last; [`NaiveDate::MAX`] if it does not end by itself.
    pub last: NaiveDate,
}

impl Span {
    /// Whether it covers a day.
    #[must_use]
    pub fn covers(&self, day: NaiveDate) -> bool {
        self.first <= day && day <= self.last
    }
}

/// When what holds for a hose.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Spans {
    /// The first day that they are good for: on earlier ones an entry lies ahead, and
    /// the rules have to be asked.
    pub since: NaiveDate,
    /// Each reason's code and verdict, and when it holds; in order.
    pub reasons: Vec<(String, Verdict, Span)>,
    /// The worst of the reasons, day by day from `since` on, without a gap.
    pub verdicts: Vec<(Verdict, Span)>,
}

impl Spans {
    /// The verdict on a day, but for what is about the whole record; nothing before
    /// the first day that they are good for.
    #[must_use]
    pub fn verdict(&self, day: NaiveDate) -> Option<Verdict> {
        self.verdicts.iter().find(|(_, span)| span.covers(day)).map(|(verdict, _)| *verdict)
    }

    /// From when its verdict is how bad.
    #[must_use]
    pub fn worsening(&self) -> Worsening {
        let from = |least: Verdict| {
            let first = self.verdicts.iter().find(|(verdict, _)| *verdict >= least);
            let first = first.map_or(NaiveDate::MAX, |(_, span)| span.first);
            if first <= self.since { NaiveDate::MIN } else { first }
        };
        Worsening {
            watch: from(Verdict::Watch),
            hold: from(Verdict::Hold),
            retire: from(Verdict::Retire),
        }
    }
}

/// The first day on which a verdict is at least so bad, without another entry: by
/// itself none becomes better. The first day there is where it is so from the
/// beginning, the last where it never is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Worsening {
    /// At least `watch`.
    pub watch: NaiveDate,
    /// At least `hold`.
    pub hold: NaiveDate,
    /// `retire`.
    pub retire: NaiveDate,
}

impl Worsening {
    /// `ready` for ever.
    pub const NEVER: Self =
        Self { watch: NaiveDate::MAX, hold: NaiveDate::MAX, retire: NaiveDate::MAX };

    /// The verdict on a day.
    #[must_use]
    pub fn on(&self, day: NaiveDate) -> Verdict {
        let worse = [
            (self.retire, Verdict::Retire),
            (self.hold, Verdict::Hold),
            (self.watch, Verdict::Watch),
        ];
        let worst = worse.into_iter().find(|(first, _)| *first <= day);
        worst.map_or(Verdict::Ready, |(_, verdict)| verdict)
    }
}

/// Works out when what holds. What is asked is the hose's record with its sets and
/// limits as they are once no entry lies ahead; its day does not matter.
#[must_use]
pub fn spans(asked: &Asked<'_>) -> Spans {
    let since = settled_since(asked.record, asked.sets);
    let quiet = Asked { heard: QUIET, scanned: None, today: since, ..*asked };
    let mut facts = Facts::of(&quiet);
    let starts: Vec<NaiveDate> = starts(&facts).range(since..).copied().collect();
    let last = NaiveDate::MAX;
    let mut found = Spans { since, reasons: Vec::new(), verdicts: Vec::new() };
    // What the day does not change is worked out once.
    let always: BTreeSet<(String, Verdict)> = reasons::all(&facts)
        .into_iter()
        .filter(|reason| !reasons::BY_DAY.contains(&reason.code.as_str()))
        .map(|reason| (reason.code, reason.verdict))
        .collect();
    let least = always.iter().map(|(_, verdict)| *verdict).max().unwrap_or(Verdict::Ready);
    let span = Span { first: since, last };
    found.reasons.extend(always.into_iter().map(|(code, verdict)| (code, verdict, span)));
    let mut open: BTreeMap<(String, Verdict), NaiveDate> = BTreeMap::new();
    let mut begun: Option<(Verdict, NaiveDate)> = None;
    for first in starts {
        let before = first.pred_opt().unwrap_or(first);
        facts.asked.today = first;
        let holding: BTreeSet<(String, Verdict)> =
            reasons::by_day(&facts).map(|reason| (reason.code, reason.verdict)).collect();
        open.retain(|reason, since| {
            let holds = holding.contains(reason);
            if !holds {
                let span = Span { first: *since, last: before };
                found.reasons.push((reason.0.clone(), reason.1, span));
            }
            holds
        });
        let verdict = holding.iter().map(|(_, verdict)| *verdict).max().unwrap_or(least).max(least);
        for reason in holding {
            open.entry(reason).or_insert(first);
        }
        match begun {
            Some((same, _)) if same == verdict => {}
            other => {
                let ended = other.map(|(v, first)| (v, Span { first, last: before }));
                found.verdicts.extend(ended);
                begun = Some((verdict, first));
            }
        }
    }
    let ongoing = open.into_iter().map(|((code, v), first)| (code, v, Span { first, last }));
    found.reasons.extend(ongoing);
    found.reasons.sort();
    found.verdicts.extend(begun.map(|(verdict, first)| (verdict, Span { first, last })));
    found
}

/// The first day on which no entry about a hose and its sets lies ahead.
#[must_use]
pub fn settled_since(record: &HoseRecord, sets: &[&SetRecord]) -> NaiveDate {
    let of_sets = sets.iter().map(|set| settled(set.newest_on, set.newest_at)).max();
    settled(record.newest_on, record.newest_at).max(of_sets.unwrap_or(NaiveDate::MIN))
}

/// The first day on which no entry about limits and recalls lies ahead.
#[must_use]
pub fn fleet_settled_since(fleet: &FleetRecord) -> NaiveDate {
    settled(fleet.newest_on, fleet.newest_at)
}

/// A clock a day ahead may only be east of here.
fn settled(newest_on: NaiveDate, newest_at: Stamp) -> NaiveDate {
    let written = newest_at.time().date_naive();
    newest_on.max(written.pred_opt().unwrap_or(written))
}

/// What makes no reason about the whole record hold.
const QUIET: Heard = Heard {
    newest_on: NaiveDate::MIN,
    devices: 1,
    complete: true,
    forked: false,
    gap: None,
    met_on: None,
};

/// The days on which something may be another than the day before: the first that
/// the spans are good for, and those that the limits make.
fn starts(facts: &Facts<'_>) -> BTreeSet<NaiveDate> {
    let before = |day: NaiveDate, days: i64| {
        day.checked_sub_days(Days::new(days.unsigned_abs())).unwrap_or(NaiveDate::MIN)
    };
    let after = |day: NaiveDate| day.succ_opt().unwrap_or(day);
    let mut all = BTreeSet::from([facts.asked.today]);
    for limit in facts.age_limits() {
        all.extend([before(limit.last_day, AGE_NEAR_DAYS), after(limit.last_day)]);
    }
    if let Some((_, last_day)) = facts.full_inspection() {
        all.extend([before(last_day, INSPECTION_NEAR_DAYS), after(last_day)]);
    }
    let borns = facts.borns().into_iter().flatten();
    all.extend(borns.map(|from| after(add_years(from.earliest(), STORED_LONG_YEARS))));
    all
}

/// What holds for the whole record on a day, and for which of its hoses.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Whole {
    /// The date is odd: for every hose.
    pub clock_odd: bool,
    /// This device has met no other for long: for hoses of rental sets.
    pub old_for_rental: bool,
    /// The same for others.
    pub old_for_personal: bool,
    /// Entries are missing: for hoses that were registered before this, or by nobody.
    pub gap: Option<Stamp>,
}

impl Whole {
    /// What holds on a day.
    #[must_use]
    pub fn of(heard: &Heard, today: NaiveDate) -> Self {
        let old = |days: u64| {
            let last = heard.met_on.and_then(|met| met.checked_add_days(Days::new(days)));
            last.is_some_and(|last| today > last)
        };
        Self {
            clock_odd: heard.newest_on > today,
            old_for_rental: old(RECORD_OLD_DAYS.0),
            old_for_personal: old(RECORD_OLD_DAYS.1),
            gap: heard.gap,
        }
    }

    /// The least verdict that it leaves a hose.
    #[must_use]
    pub fn least(&self, in_use: Use, registered_at: Option<Stamp>) -> Verdict {
        let old = match in_use {
            Use::Rental => self.old_for_rental,
            Use::Personal => self.old_for_personal,
        };
        let gap = self.gap.is_some_and(|gap| registered_at.is_none_or(|at| at < gap));
        if self.clock_odd || old || gap { Verdict::Watch } else { Verdict::Ready }
    }
}

/// Who dives with a hose: the stricter if that is in doubt.
#[must_use]
pub fn use_of(asked: &Asked<'_>) -> Use {
    Facts::of(asked).in_use
}

/// The limits that a hose is held to: the strictest if its kind or its use is in doubt.
#[must_use]
pub fn limits_of(asked: &Asked<'_>) -> Limits {
    Facts::of(asked).limits
}
