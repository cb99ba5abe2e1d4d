//! The one table of reasons: when each holds, how bad it is, and what ends it.
//!
//! Source of every figure: common practice, no source. Makers and local codes
//! come first.

use super::doubt::{
    corrected, held, identity_contested, misfit, not_all_read, not_believed, place_contested,
    quarantined, record_gap, record_old, rented_twice, set_contested,
};
use super::facts::Facts;
use super::reason::{Reason, Told, ahead, some};
use crate::inspection::Verdict::{self, Hold, Ready, Retire, Watch};
use crate::measure::add_years;
use crate::policy::{
    AGE_NEAR_DAYS, DIVES_NEAR_PERCENT, INSPECTION_NEAR_DAYS, STORED_LONG_YEARS, Use,
};
use crate::record::{HoseRecord, Meant, OpenFinding};
use crate::words;

/// One row of the table of reasons.
pub struct ReasonRule {
    /// Its code; those of findings are `finding-` and the finding's word.
    pub code: &'static str,
    /// When it holds, in words.
    pub when: &'static str,
    /// How bad it is for a hose in personal use; some are worse by what they say.
    pub personal: Verdict,
    /// How bad it is for a hose of a rental set.
    pub rental: Verdict,
    /// What ends it, in words.
    pub ends: &'static str,
    find: fn(&Facts<'_>) -> Vec<Told>,
}

const fn row(
    code: &'static str,
    when: &'static str,
    (personal, rental): (Verdict, Verdict),
    ends: &'static str,
    find: fn(&Facts<'_>) -> Vec<Told>,
) -> ReasonRule {
    ReasonRule { code, when, personal, rental, ends, find }
}

const LIMITS: &str = "other limits; a description with a reason";

/// Every reason but the findings', which have a table of their own.
#[rustfmt::skip]
pub const REASONS: &[ReasonRule] = &[
    row("held", "somebody put it, or its set, on hold by hand", (Hold, Hold),
        "a release with a reason; after an incident the owner's", held),
    row("age-over", "older than its limit (made or in service)", (Hold, Hold), LIMITS, age_over),
    row("age-near", "within 90 days of a limit", (Watch, Watch), LIMITS, age_near),
    row("age-unknown", "neither made nor bought date is known", (Watch, Watch),
        "a description with a reason", age_unknown),
    row("stored-long", "never fitted, more than 2 years after it was made", (Watch, Watch),
        "its first fitting; a description with a reason", stored_long),
    row("dives-over", "over its dive limit", (Hold, Hold), LIMITS, dives_over),
    row("dives-near", "within 10 % of its dive limit", (Watch, Watch), LIMITS, dives_near),
    row("inspection-never", "no full inspection on record", (Hold, Hold), "a full inspection",
        inspection_never),
    row("inspection-over", "full inspection overdue", (Watch, Hold),
        "a full inspection; other limits", inspection_over),
    row("inspection-near", "full inspection due within 30 days", (Ready, Ready),
        "a full inspection; other limits", inspection_near),
    row("leak-test-due", "on a set, and fitted, moved or resealed since the last passed leak test, \
        or loosened by a swap that was given up", (Hold, Hold),
        "a passed leak test with enough pressure", leak_test_due),
    row("swap-open", "a swap of it, or in its set, was started and is not finished", (Hold, Hold),
        "the swap finished or given up", swap_open),
    row("recalled", "everything that a recall names is known of it and matches", (Hold, Hold),
        "the recall ended; checked off by the owner", recalled),
    row("recall-open", "a recall may cover it: something that it names is not known", (Hold, Hold),
        "a description with a reason; the recall ended; checked off by the owner", recall_open),
    row("retired", "retired by someone, with the reason", (Retire, Retire), "a withdrawal only",
        retired),
    row("corrected", "something against it was withdrawn or described differently",
        (Watch, Watch), "a full inspection", corrected),
    row("misfit", "in a port that its service or threads do not go with, or whose kind is not \
        known; an ordinary hose on a set cleaned for oxygen; a customer's on a set of another",
        (Hold, Hold),
        "a description with a reason; the set's ports or oxygen changed with a reason", misfit),
    row("tag-old", "the tag scanned was replaced or withdrawn", (Hold, Hold),
        "scanning its present tag", tag_old),
    row("tag-only", "no registration on this device", (Hold, Hold), "its registration", tag_only),
    row("place-contested", "two devices put it, or another hose in its port, in different places \
        while apart", (Watch, Watch), "a fitting, removal or confirmation that settles it",
        place_contested),
    row("set-quarantined", "its set is in quarantine", (Hold, Hold), "a release with a reason",
        quarantined),
    row("set-contested", "two devices changed its set differently", (Watch, Watch),
        "a change of the set that settles it", set_contested),
    row("identity-contested", "one tag names two hoses", (Hold, Hold),
        "a new tag for the hose in hand, with a full inspection", identity_contested),
    row("not-believed", "an entry about it is not believed and would make the answer worse",
        (Watch, Watch), "its writer admitted; a full inspection; dismissed by the owner",
        not_believed),
    row("not-all-read", "the record has an entry that this version cannot read", (Watch, Watch),
        "a newer program; what is missing of its set", not_all_read),
    row("record-gap", "entries of a device are known to be missing", (Watch, Watch),
        "the missing entries; the owner declares them lost", record_gap),
    row("record-old", "this device has met no other of its fleet for long", (Watch, Watch),
        "a meeting", record_old),
    row("clock-odd", "the device's date is before the newest record, or a record lies in the \
        future", (Watch, Watch), "the right date; a withdrawal", clock_odd),
    row("rented-twice", "handed out under two tickets while apart", (Watch, Watch),
        "both returned", rented_twice),
];

/// Every reason that holds, worst first, else in the order of the tables.
pub(super) fn all(facts: &Facts<'_>) -> Vec<Reason> {
    let mut reasons = findings(facts);
    reasons.extend(REASONS.iter().flat_map(|rule| told(rule, facts)));
    if super::doubt::after_incident(facts) {
        // Nothing is cut through while an accident is looked into.
        for reason in reasons.iter_mut().filter(|reason| reason.verdict == Retire) {
            words::KEEP_AS_IT_IS.clone_into(&mut reason.todo);
        }
    }
    reasons.sort_by_key(|reason| std::cmp::Reverse(reason.verdict));
    reasons
}

/// The reasons that hold on one day and not on another though no entry came in: those that
/// limits on time make. Of the others only what is about the whole record, or a scan, knows
/// the day.
pub(super) const BY_DAY: [&str; 5] =
    ["age-over", "age-near", "stored-long", "inspection-over", "inspection-near"];

/// Those of them that hold.
pub(super) fn by_day(facts: &Facts<'_>) -> impl Iterator<Item = Reason> {
    let rules = REASONS.iter().filter(|rule| BY_DAY.contains(&rule.code));
    rules.flat_map(|rule| told(rule, facts))
}

/// The reasons of a row.
fn told(rule: &ReasonRule, facts: &Facts<'_>) -> impl Iterator<Item = Reason> {
    let usual = match facts.in_use {
        Use::Personal => rule.personal,
        Use::Rental => rule.rental,
    };
    let code = rule.code;
    (rule.find)(facts).into_iter().map(move |told| Reason {
        code: code.to_owned(),
        verdict: told.verdict.unwrap_or(usual),
        words: told.said.words,
        todo: told.said.todo,
    })
}

/// The open findings; of the same at the same place the worst.
pub(super) fn worst_findings(record: &HoseRecord) -> Vec<&OpenFinding> {
    let badness = |open: &OpenFinding| {
        let verdict = record.rule(&open.seen).map_or(Watch, |rule| rule.verdict);
        (verdict, open.seen.count().unwrap_or(0), open.resealed.is_none())
    };
    let mut worst: Vec<&OpenFinding> = Vec::new();
    for open in &record.open {
        let same = |other: &&mut &OpenFinding| {
            (other.seen.place(), other.seen.finding()) == (open.seen.place(), open.seen.finding())
        };
        match worst.iter_mut().find(same) {
            Some(other) if badness(other) > badness(open) => {}
            Some(other) => *other = open,
            None => worst.push(open),
        }
    }
    worst
}

fn findings(facts: &Facts<'_>) -> Vec<Reason> {
    let record = facts.record();
    let reason = |open: &OpenFinding| {
        let rule = record.rule(&open.seen);
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
    worst_findings(record).into_iter().map(reason).collect()
}

fn age_over(facts: &Facts<'_>) -> Vec<Told> {
    let over = facts.age_limits().into_iter().filter(|limit| facts.days_to(limit.last_day) < 0);
    over.map(|limit| words::age_over(limit.from, limit.months, limit.last_day).into()).collect()
}

fn age_near(facts: &Facts<'_>) -> Vec<Told> {
    let limits = facts.age_limits().into_iter().map(|limit| (limit, facts.days_to(limit.last_day)));
    limits
        .filter(|(_, left)| (0..=AGE_NEAR_DAYS).contains(left))
        .map(|(limit, left)| words::age_near(limit.from, limit.months, limit.last_day, left).into())
        .collect()
}

fn age_unknown(facts: &Facts<'_>) -> Vec<Told> {
    // Of what is not known here at all its age is the least.
    let known = facts.is_of_tag() || facts.record().is_registered();
    some(known && facts.borns().iter().any(Option::is_none), words::age_unknown)
}

fn stored_long(facts: &Facts<'_>) -> Vec<Told> {
    let never = facts.in_service.is_none();
    let long = |from: &words::CountedFrom| {
        never && facts.today() > add_years(from.earliest(), STORED_LONG_YEARS)
    };
    let from = facts.borns().into_iter().flatten().filter(long);
    from.map(|from| words::stored_long(from, STORED_LONG_YEARS).into()).collect()
}

fn dives_over(facts: &Facts<'_>) -> Vec<Told> {
    let dives = facts.record().dives;
    let limit = facts.limits.dives.filter(|limit| dives > *limit);
    limit.map(|limit| words::dives_over(dives, limit).into()).into_iter().collect()
}

fn dives_near(facts: &Facts<'_>) -> Vec<Told> {
    let dives = facts.record().dives;
    let near = |limit: &u32| {
        dives <= *limit && u64::from(dives) * 100 >= u64::from(*limit) * DIVES_NEAR_PERCENT
    };
    let limit = facts.limits.dives.filter(near);
    limit.map(|limit| words::dives_near(dives, limit).into()).into_iter().collect()
}

fn inspection_never(facts: &Facts<'_>) -> Vec<Told> {
    // Of a hose that is not known here only a record could know it.
    let known = facts.record().is_registered() && !facts.is_of_tag();
    let never = facts.full_inspection().is_none() && known;
    some(never, words::inspection_never)
}

fn inspection_over(facts: &Facts<'_>) -> Vec<Told> {
    let over = facts.full_inspection().filter(|(_, last_day)| facts.days_to(*last_day) < 0);
    over.map(|(last, last_day)| words::inspection_over(last, last_day).into()).into_iter().collect()
}

fn inspection_near(facts: &Facts<'_>) -> Vec<Told> {
    let left = facts.full_inspection().map(|(_, last_day)| (last_day, facts.days_to(last_day)));
    left.filter(|(_, left)| (0..=INSPECTION_NEAR_DAYS).contains(left))
        .map(|(last_day, left)| words::inspection_near(last_day, left).into())
        .into_iter()
        .collect()
}

/// Said once, of what made it due last.
fn leak_test_due(facts: &Facts<'_>) -> Vec<Told> {
    let record = facts.record();
    let due = record.leak_due.iter().filter(|_| !facts.claimed.is_empty());
    due.max_by_key(|due| due.since)
        .map(|due| words::leak_test_due(*due).into())
        .into_iter()
        .collect()
}

fn swap_open(facts: &Facts<'_>) -> Vec<Told> {
    let record = facts.record();
    let mut told: Vec<Told> = Vec::new();
    for swap in &record.swaps {
        let seat = facts.asked.set(swap.slot).map_or_else(
            || swap.slot.port.to_string(),
            |set| words::seat(&set.name, swap.slot.port).to_string(),
        );
        told.push(words::swap_open(swap, &seat, swap.old == record.hose).into());
    }
    let own = |swap: &crate::record::OpenSwap| {
        record.swaps.iter().any(|own| own.entries.iter().any(|id| swap.entries.contains(id)))
    };
    for set in facts.sets() {
        let others = set.swaps.iter().filter(|swap| !own(swap));
        told.extend(others.map(|swap| words::swap_in_set(swap, &set.name).into()));
    }
    told
}

fn recalled(facts: &Facts<'_>) -> Vec<Told> {
    recalls(facts, Meant::Yes).map(|recall| words::recalled(recall).into()).collect()
}

fn recall_open(facts: &Facts<'_>) -> Vec<Told> {
    recalls(facts, Meant::Perhaps).map(|recall| words::recall_open(recall).into()).collect()
}

/// The recalls that mean a hose so, and that the owner did not check off.
fn recalls<'f>(
    facts: &'f Facts<'_>,
    meant: Meant,
) -> impl Iterator<Item = &'f crate::record::Recall> {
    let record = facts.record();
    let known = record.is_registered() || !record.descriptions.is_empty();
    facts.asked.fleet.recalls.iter().filter(move |recall| {
        known
            && !recall.disbelieved
            && recall.means(&record.origin, &record.alternatives) == meant
            && !record.checked_off.contains(&recall.entry)
    })
}

fn retired(facts: &Facts<'_>) -> Vec<Told> {
    facts.record().retired.iter().map(|end| words::retired(end).into()).collect()
}

fn tag_old(facts: &Facts<'_>) -> Vec<Told> {
    let record = facts.record();
    let scanned = facts.asked.scanned;
    let old = record.tags.iter().find(|tag| Some(tag.code) == scanned);
    let since = old.and_then(|tag| tag.withdrawn);
    since.map(|since| words::tag_old(since, &record.tag().to_string()).into()).into_iter().collect()
}

fn tag_only(facts: &Facts<'_>) -> Vec<Told> {
    some(facts.is_of_tag() || !facts.record().is_registered(), words::tag_only)
}

fn clock_odd(facts: &Facts<'_>) -> Vec<Told> {
    let newest = ahead(facts.record().newest_at, facts.asked.heard.newest_on, facts.today());
    let newest = newest.filter(|_| !facts.is_of_tag());
    newest.map(|newest| words::clock_odd(facts.today(), newest).into()).into_iter().collect()
}
