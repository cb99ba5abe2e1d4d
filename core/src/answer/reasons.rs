//! The one table of reasons: when each holds, and how bad it is.
//!
//! Source of every figure: common practice, no source. Makers and local codes
//! come first.

use super::Reason;
use super::facts::Facts;
use crate::inspection::Verdict::{self, Hold, Ready, Retire, Watch};
use crate::measure::add_years;
use crate::policy::{
    AGE_NEAR_DAYS, DIVES_NEAR_PERCENT, INSPECTION_NEAR_DAYS, STORED_LONG_YEARS, Use,
};
use crate::words::{self, Said};

/// One row of the table of reasons.
pub struct ReasonRule {
    /// Its code; those of findings are `finding-` and the finding's word.
    pub code: &'static str,
    /// When it holds, in words.
    pub when: &'static str,
    /// How bad it is for a hose in personal use.
    pub personal: Verdict,
    /// How bad it is for a hose of a rental set.
    pub rental: Verdict,
    find: fn(&Facts<'_>) -> Vec<Said>,
}

const fn row(
    code: &'static str,
    when: &'static str,
    personal: Verdict,
    rental: Verdict,
    find: fn(&Facts<'_>) -> Vec<Said>,
) -> ReasonRule {
    ReasonRule { code, when, personal, rental, find }
}

/// Every reason but the findings', which have a table of their own.
#[rustfmt::skip]
pub const REASONS: &[ReasonRule] = &[
    row("age-over", "older than its limit (made or in service)", Hold, Hold, age_over),
    row("age-near", "within 90 days of a limit", Watch, Watch, age_near),
    row("age-unknown", "neither made nor bought date is known", Watch, Watch, age_unknown),
    row("stored-long", "never fitted, more than 2 years after it was made", Watch, Watch, stored_long),
    row("dives-over", "over its dive limit", Hold, Hold, dives_over),
    row("dives-near", "within 10 % of its dive limit", Watch, Watch, dives_near),
    row("inspection-never", "no full inspection on record", Hold, Hold, inspection_never),
    row("inspection-over", "full inspection overdue", Watch, Hold, inspection_over),
    row("inspection-near", "full inspection due within 30 days", Ready, Ready, inspection_near),
    row("leak-test-due", "on a set, and fitted, moved or resealed since the last passed leak test",
        Hold, Hold, leak_test_due),
    row("swap-open", "a swap with another hose was begun and is not finished", Hold, Hold, swap_open),
    row("recalled", "its lot is under a recall", Hold, Hold, recalled),
    row("retired", "retired by someone, with the reason", Retire, Retire, retired),
    row("tag-old", "the tag scanned was replaced or withdrawn", Hold, Hold, tag_old),
    row("tag-only", "no record on this device", Watch, Watch, tag_only),
    row("place-contested", "two devices put it, or another hose in its port, in different places \
        while apart", Watch, Watch, place_contested),
    row("not-all-read", "the record has an entry that this version cannot read", Watch, Watch,
        not_all_read),
    row("clock-odd", "the device's date lies before the newest record, or a record lies in the \
        future", Watch, Watch, clock_odd),
];

/// Every reason that holds, worst first, else in the order of the tables.
pub(super) fn all(facts: &Facts<'_>) -> Vec<Reason> {
    let mut reasons = findings(facts);
    for rule in REASONS {
        let verdict = match facts.in_use {
            Use::Personal => rule.personal,
            Use::Rental => rule.rental,
        };
        reasons.extend((rule.find)(facts).into_iter().map(|said| Reason {
            code: rule.code.to_owned(),
            verdict,
            words: said.words,
            todo: said.todo,
        }));
    }
    reasons.sort_by_key(|reason| std::cmp::Reverse(reason.verdict));
    reasons
}

fn findings(facts: &Facts<'_>) -> Vec<Reason> {
    let hose = facts.record().specification.as_ref();
    let reason = |open: &crate::record::OpenFinding| {
        let rule = open.seen.rule(hose).ok();
        let (seen, todo) = rule.map_or(
            ("a finding that this kind of hose cannot have", "Give it a full inspection."),
            |rule| (rule.seen, rule.todo),
        );
        let said = words::finding(open, seen, todo);
        Reason {
            code: format!("finding-{}", open.seen.finding()),
            verdict: rule.map_or(Watch, |rule| rule.verdict),
            words: said.words,
            todo: said.todo,
        }
    };
    facts.record().open.iter().map(reason).collect()
}

fn age_over(facts: &Facts<'_>) -> Vec<Said> {
    let over = facts.age_limits().into_iter().filter(|limit| facts.days_to(limit.last_day) < 0);
    over.map(|limit| words::age_over(limit.from, limit.months, limit.last_day)).collect()
}

fn age_near(facts: &Facts<'_>) -> Vec<Said> {
    let limits = facts.age_limits().into_iter().map(|limit| (limit, facts.days_to(limit.last_day)));
    limits
        .filter(|(_, left)| (0..=AGE_NEAR_DAYS).contains(left))
        .map(|(limit, left)| words::age_near(limit.from, limit.months, limit.last_day, left))
        .collect()
}

fn age_unknown(facts: &Facts<'_>) -> Vec<Said> {
    some(facts.born.is_none(), words::age_unknown)
}

fn stored_long(facts: &Facts<'_>) -> Vec<Said> {
    let from = facts.born_from().zip(facts.born).filter(|(_, born)| {
        facts.in_service.is_none() && facts.today() > add_years(born.earliest(), STORED_LONG_YEARS)
    });
    from.map(|(from, _)| words::stored_long(from, STORED_LONG_YEARS)).into_iter().collect()
}

fn dives_over(facts: &Facts<'_>) -> Vec<Said> {
    let dives = facts.record().dives;
    let limit = facts.limits.dives.filter(|limit| dives > *limit);
    limit.map(|limit| words::dives_over(dives, limit)).into_iter().collect()
}

fn dives_near(facts: &Facts<'_>) -> Vec<Said> {
    let dives = facts.record().dives;
    let near = |limit: &u32| {
        dives <= *limit && u64::from(dives) * 100 >= u64::from(*limit) * DIVES_NEAR_PERCENT
    };
    let limit = facts.limits.dives.filter(near);
    limit.map(|limit| words::dives_near(dives, limit)).into_iter().collect()
}

fn inspection_never(facts: &Facts<'_>) -> Vec<Said> {
    let never = facts.full_inspection().is_none() && facts.asked.tag_only.is_none();
    some(never, words::inspection_never)
}

fn inspection_over(facts: &Facts<'_>) -> Vec<Said> {
    let over = facts.full_inspection().filter(|(_, last_day)| facts.days_to(*last_day) < 0);
    over.map(|(last, last_day)| words::inspection_over(last, last_day)).into_iter().collect()
}

fn inspection_near(facts: &Facts<'_>) -> Vec<Said> {
    let left = facts.full_inspection().map(|(_, last_day)| (last_day, facts.days_to(last_day)));
    left.filter(|(_, left)| (0..=INSPECTION_NEAR_DAYS).contains(left))
        .map(|(last_day, left)| words::inspection_near(last_day, left))
        .into_iter()
        .collect()
}

fn leak_test_due(facts: &Facts<'_>) -> Vec<Said> {
    let record = facts.record();
    let due = record.leak_due.filter(|_| record.seat.is_some());
    due.map(words::leak_test_due).into_iter().collect()
}

fn swap_open(facts: &Facts<'_>) -> Vec<Said> {
    let record = facts.record();
    let swap = record.swap.as_ref();
    swap.map(|swap| words::swap_open(swap, swap.old == record.hose)).into_iter().collect()
}

fn recalled(facts: &Facts<'_>) -> Vec<Said> {
    let recalls = facts.asked.fleet.recalls.iter();
    recalls.filter(|r| r.covers(&facts.record().origin)).map(words::recalled).collect()
}

fn retired(facts: &Facts<'_>) -> Vec<Said> {
    facts.record().retired.iter().map(words::retired).collect()
}

fn tag_old(facts: &Facts<'_>) -> Vec<Said> {
    let record = facts.record();
    let scanned = facts.asked.scanned;
    let old = record.tags.iter().find(|tag| Some(tag.code) == scanned);
    let since = old.and_then(|tag| tag.withdrawn);
    since.map(|since| words::tag_old(since, &record.tag().to_string())).into_iter().collect()
}

fn tag_only(facts: &Facts<'_>) -> Vec<Said> {
    some(facts.asked.tag_only.is_some(), words::tag_only)
}

fn place_contested(facts: &Facts<'_>) -> Vec<Said> {
    let record = facts.record();
    let holder = record.seat.as_ref().zip(facts.asked.set).and_then(|(seat, set)| {
        set.hoses.get(&seat.port).filter(|hose| **hose != record.hose).map(ToString::to_string)
    });
    let contested = record.contested || holder.is_some();
    some(contested, || words::place_contested(holder.as_deref()))
}

fn not_all_read(facts: &Facts<'_>) -> Vec<Said> {
    let record = facts.record();
    let unread = record.unread + facts.asked.set.map_or(0, |set| set.unread);
    let untold = record.specification.is_none() && facts.asked.tag_only.is_none();
    some(unread > 0 || untold, || words::not_all_read(unread))
}

fn clock_odd(facts: &Facts<'_>) -> Vec<Said> {
    let record = facts.record();
    let written = record.newest_at.time().date_naive();
    // A clock a day ahead may only be east of here.
    let ahead = (written > facts.today() + chrono::Days::new(1)).then_some(written);
    let about =
        (facts.asked.heard.newest_on > facts.today()).then_some(facts.asked.heard.newest_on);
    let newest =
        [ahead, about].into_iter().flatten().max().filter(|_| facts.asked.tag_only.is_none());
    newest.map(|newest| words::clock_odd(facts.today(), newest)).into_iter().collect()
}

fn some(holds: bool, said: impl FnOnce() -> Said) -> Vec<Said> {
    holds.then(said).into_iter().collect()
}
