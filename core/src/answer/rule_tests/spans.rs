//! What the spans say of a day is what the rules say of it, whatever happened.

use std::collections::BTreeSet;

use chrono::{Days, NaiveDate};
use proptest::prelude::*;

use super::deeds::{HOSES, step};
use super::worlds::{START, View, World};
use crate::answer::spans::{OF_THE_RECORD, Spans, Whole, fleet_settled_since, spans, use_of};
use crate::answer::{Heard, Reason};
use crate::inspection::Verdict;
use crate::journal::Stamp;
use crate::policy::Use;
use crate::story::{code, day};

/// What the rules say, but for the whole record.
fn ruled(reasons: &[Reason]) -> BTreeSet<(String, Verdict)> {
    let of_hose = reasons.iter().filter(|r| !OF_THE_RECORD.contains(&r.code.as_str()));
    of_hose.map(|reason| (reason.code.clone(), reason.verdict)).collect()
}

fn spanned(spans: &Spans, on: NaiveDate) -> BTreeSet<(String, Verdict)> {
    let covering = spans.reasons.iter().filter(|(_, _, span)| span.covers(on));
    covering.map(|(code, verdict, _)| (code.clone(), *verdict)).collect()
}

/// The days beside which something changes, and some between and beyond.
fn days(spans: &Spans, since: NaiveDate, some: &[u64]) -> BTreeSet<NaiveDate> {
    let all = spans.reasons.iter().map(|(_, _, span)| *span);
    let all = all.chain(spans.verdicts.iter().map(|(_, span)| *span));
    let borders = all.flat_map(|span| [span.first, span.last]).filter(|on| *on < NaiveDate::MAX);
    let beside = |on: NaiveDate| [on.pred_opt(), Some(on), on.succ_opt()];
    let drawn = some.iter().map(|days| since + Days::new(*days));
    let days = borders.flat_map(beside).flatten().chain(drawn);
    days.filter(|on| *on >= since).collect()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: super::histories(), ..ProptestConfig::default() })]

    #[test]
    fn spans_are_the_rules_asked_day_by_day(
        steps in prop::collection::vec(step(), 1..26),
        some in prop::collection::vec(0..5_000_u64, 8),
    ) {
        let mut world = World::default();
        steps.iter().for_each(|step| world.take(step));
        // The record once nothing lies ahead.
        let far = View::of(&world.all, day("2090-01-01"));
        for n in 1..=HOSES {
            let Some(spans) = far.asked(code(n), spans) else { continue };
            let since = spans.since.max(fleet_settled_since(&far.fleet())).max(day(START));
            for on in days(&spans, since, &some) {
                let then = View::of(&world.all, on);
                let Some(answer) = then.answer(code(n)) else { continue };
                prop_assert_eq!(
                    spanned(&spans, on), ruled(&answer.reasons), "hose {} on {}", n, on
                );
                let worst = ruled(&answer.reasons).into_iter().map(|(_, verdict)| verdict).max();
                prop_assert_eq!(spans.verdict(on), Some(worst.unwrap_or(Verdict::Ready)));
                // What is counted and listed by: no verdict becomes better by itself.
                prop_assert_eq!(Some(spans.worsening().on(on)), spans.verdict(on));
            }
        }
    }

    /// What is about the whole record is the same for each of its hoses.
    #[test]
    fn the_whole_record_is_the_same_for_each_hose(
        steps in prop::collection::vec(step(), 1..20),
        later in 0..2_000_u64,
        newest in -3..3_i64,
        met in prop::option::of(0..40_u64),
        gap in prop::option::of(-40..40_i64),
    ) {
        let mut world = World::default();
        steps.iter().for_each(|step| world.take(step));
        let today = day(START) + Days::new(later);
        let view = View::of(&world.all, today);
        let ms = today.and_time(chrono::NaiveTime::MIN).and_utc().timestamp_millis();
        let heard = Heard {
            newest_on: today + chrono::TimeDelta::days(newest),
            devices: 2,
            complete: gap.is_none(),
            forked: false,
            gap: gap.map(|days| Stamp(ms + days * 86_400_000, 0)),
            met_on: met.map(|days| today - Days::new(days)),
        };
        for n in 1..=HOSES {
            let found = view.asked(code(n), |asked| {
                let asked = crate::answer::Asked { heard, ..*asked };
                let settled = super::super::spans::settled_since(asked.record, asked.sets);
                let reasons = crate::answer::reasons(&asked);
                let of_record = reasons.iter().filter(|r| OF_THE_RECORD.contains(&r.code.as_str()));
                let worst = of_record.map(|reason| reason.verdict).max();
                let in_use: Use = use_of(&asked);
                let least = Whole::of(&heard, today).least(in_use, asked.record.registered_at);
                (settled <= today, worst.unwrap_or(Verdict::Ready), least)
            });
            if let Some((true, worst, least)) = found {
                prop_assert_eq!(worst, least, "hose {}", n);
            }
        }
    }
}
