//! The rule of doubt (section 12 of the trade's rules): take any record, one more
//! entry, any hose, and the verdict after it is at least as bad as the worst of
//! the reasons that stood before and are not in the entry's row. The same for two
//! records that meet. Histories are of several devices that know of one another
//! what they have heard, with every kind of entry, any clock and any order.

mod deeds;
mod pieces;
mod spans;
mod worlds;
mod writing;

use chrono::Days;
use proptest::prelude::*;

use self::deeds::{HOSES, SETS, step};
use self::worlds::{START, View, World};
use super::{InPort, Standing};
use crate::event::{EntryId, Event, SetId};
use crate::inspection::{Damage, InspectionKind, Observation, Verdict};
use crate::journal::{Believed, Trust};
use crate::record::{Act, OpenFinding};
use crate::story::{code, day, set_id};
use crate::tag::Code;

/// Whether something that happened may settle an open finding, beside its row:
/// damage is settled where it is answered for, and bubbles that nobody said where
/// from where someone says it.
fn may_settle(event: Option<&Event>, open: &OpenFinding) -> bool {
    let from_anywhere = open.seen.is_bubbles_from_anywhere();
    match event {
        Some(Event::Inspected { look, .. }) if look.kind == InspectionKind::Full => {
            let damage = Damage::of(&open.seen).is_none_or(|damage| look.answers_for(damage));
            let says = |seen: &Observation| {
                seen.place() == open.seen.place() && seen.says_where_bubbles_come_from()
            };
            damage && (!from_anywhere || look.findings.iter().any(says))
        }
        Some(
            Event::Inspected { .. }
            | Event::Cleaned { .. }
            | Event::Resealed { .. }
            | Event::Recoupled { .. },
        ) => Damage::of(&open.seen).is_none() && !from_anywhere,
        _ => true,
    }
}

/// Whether an entry may end reasons of a code on a day.
fn may_end(view: &View, id: EntryId, code: &str) -> bool {
    let Some(believed) = view.entries.iter().find(|b| b.id == id) else { return false };
    let whole = believed.trust == Trust::Full;
    let act = believed.entry.event().as_ref().and_then(Act::of);
    whole && act.is_some_and(|act| act.may_end(code))
}

fn told(view: &View, hose: Code) -> Vec<(String, Verdict)> {
    let answer = view.answer(hose);
    answer.into_iter().flat_map(|a| a.reasons).map(|r| (r.code, r.verdict)).collect()
}

fn verdict(view: &View, hose: Code) -> Verdict {
    view.answer(hose).map_or(Verdict::Ready, |answer| answer.verdict)
}

/// What stood for a set's tag before, with what may not have ended: the set's own
/// reasons, and those of hoses that are in it both before and after.
fn lost_of_set(
    (then, now): (&View, &View),
    set: SetId,
    may_end: impl Fn(&str) -> bool,
) -> Option<String> {
    let (own, before) = then.standing(set)?;
    let (own_after, after) = now.standing(set)?;
    let standing = Standing::of(&own_after, &after);
    let stays = |hose: &&InPort| after.iter().any(|other| other.code == hose.code);
    let hoses = before.iter().filter(stays).flat_map(|hose| &hose.reasons);
    let mut lost = own
        .iter()
        .chain(hoses)
        .filter(|reason| !may_end(&reason.code) && standing.verdict < reason.verdict);
    lost.next().map(|reason| format!("{} ({}): {own_after:?}", reason.code, reason.verdict))
}

fn histories() -> u32 {
    std::env::var("HOSEWRIGHT_HISTORIES").ok().and_then(|n| n.parse().ok()).unwrap_or(400)
}

/// Whether what came in may end reasons of a code. Sets that become one make count
/// for both what was written for either, so their joining has those rows too.
fn may_any_end(now: &View, came: &[Believed], all: &[Believed], code: &str) -> bool {
    let joined = |b: &Believed| matches!(b.entry.event(), Some(Event::SetsJoined { .. }));
    let rows = if came.iter().any(joined) { all } else { came };
    rows.iter().any(|b| may_end(now, b.id, code))
}

fn days() -> impl Strategy<Value = u64> {
    prop_oneof![3 => 0..900_u64, 1 => 0..5_000_u64]
}

proptest! {
    #![proptest_config(ProptestConfig { cases: histories(), ..ProptestConfig::default() })]

    #[test]
    fn one_entry_more_ends_only_what_is_in_its_row(
        steps in prop::collection::vec(step(), 1..22),
        last in step(),
        later in days(),
    ) {
        let mut world = World::default();
        steps.iter().for_each(|step| world.take(step));
        let before = world.all.clone();
        world.take(&last);
        let Some(more) = world.all.get(before.len()).cloned() else { return Ok(()) };
        let today = day(START) + Days::new(later);
        let (then, now) = (View::of(&before, today), View::of(&world.all, today));
        for name in SETS {
            let lost = lost_of_set((&then, &now), set_id(name), |c| {
                may_any_end(&now, std::slice::from_ref(&more), &world.all, c)
            });
            prop_assert!(lost.is_none(), "of set {name} by {more:?}: {lost:?}");
        }
        for n in 1..=HOSES {
            let after = verdict(&now, code(n));
            let open = |view: &View| view.hose(code(n)).map(|record| record.open).unwrap_or_default();
            for before in open(&then) {
                let same = |open: &OpenFinding| (open.entry, open.seen) == (before.entry, before.seen);
                prop_assert!(
                    may_settle(more.entry.event().as_ref(), &before) || open(&now).iter().any(same),
                    "{} of hose {n} was settled by {:?}", before.seen, more
                );
            }
            for (reason, verdict) in told(&then, code(n)) {
                let came = std::slice::from_ref(&more);
                let ended = may_any_end(&now, came, &world.all, &reason);
                prop_assert!(
                    ended || after >= verdict,
                    "{reason} ({verdict}) of hose {n} went by {:?}: {:?} -> {:?}",
                    more, told(&then, code(n)), told(&now, code(n))
                );
            }
            let taken_back = matches!(more.entry.event(), Some(Event::Withdrawn { .. }));
            if taken_back && may_end(&now, more.id, "corrected") {
                let Some(Event::Withdrawn { answers, .. }) = more.entry.event() else { continue };
                let without: Vec<Believed> =
                    before.iter().filter(|b| !answers.contains(&b.id)).cloned().collect();
                let without = View::of(&without, today);
                // Who stands by what was taken back is not asked for it any more.
                let by_itself = told(&without, code(n));
                for (reason, verdict) in by_itself {
                    prop_assert!(
                        after >= verdict || is_unwithdrawable(&before, &answers),
                        "{reason} of hose {n} without {answers:?}: {:?}", told(&now, code(n))
                    );
                }
            }
        }
    }

    #[test]
    fn two_records_that_meet_end_only_what_is_in_their_rows(
        steps in prop::collection::vec(step(), 1..26),
        later in days(),
        split in any::<u64>(),
    ) {
        let mut world = World::default();
        steps.iter().for_each(|step| world.take(step));
        let today = day(START) + Days::new(later);
        let side = |mine: bool| -> Vec<Believed> {
            let all = world.all.iter().enumerate();
            all.filter(|(at, _)| (split >> (at % 64)) & 1 == u64::from(mine)).map(|(_, b)| b.clone()).collect()
        };
        let now = View::of(&world.all, today);
        for (own, other) in [(side(true), side(false)), (side(false), side(true))] {
            let then = View::of(&own, today);
            for name in SETS {
                let ended = |code: &str| may_any_end(&now, &other, &world.all, code);
                let lost = lost_of_set((&then, &now), set_id(name), ended);
                prop_assert!(lost.is_none(), "of set {name}: {lost:?}");
            }
            for n in 1..=HOSES {
                let after = verdict(&now, code(n));
                for (reason, verdict) in told(&then, code(n)) {
                    // The rows of all that came in; what names what was not here may
                    // be in either half.
                    let ended = may_any_end(&now, &other, &world.all, &reason);
                    prop_assert!(ended || after >= verdict, "{reason} of hose {n}");
                }
            }
        }
    }
}

/// Whether entries are of a kind that is never taken back.
fn is_unwithdrawable(all: &[Believed], ids: &[EntryId]) -> bool {
    let named = all.iter().filter(|b| ids.contains(&b.id));
    named.into_iter().any(|b| matches!(b.entry.event(), Some(Event::Held(_))))
}
