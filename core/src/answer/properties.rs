//! What must hold of every history, drawn at random.

use chrono::{Days, NaiveDate};
use proptest::prelude::*;

use crate::hose::{Construction, End, Origin, Service};
use crate::inspection::{Finding, Grade, GradeWord, Observation, Place};
use crate::measure::PartialDate;
use crate::policy::Use;
use crate::story::{Story, day, hose};

const START: &str = "2016-01-01";
/// The largest count that is drawn: past the three strands that retire a hose.
const MOST_COUNTED: u32 = 6;

/// One thing that happens, some days after the one before.
#[derive(Debug, Clone)]
enum Step {
    Quick(Vec<Observation>),
    Full(Vec<Observation>),
    Clean,
    Reseal(End),
    Recouple,
    LeakTest(bool),
    Dives(u32),
}

/// Everything that can be seen on a kind of hose: whatever is taken of all that could
/// be written, with each grade and some counts.
fn sights(service: Service, construction: Construction) -> Vec<Observation> {
    let spec = hose(service, construction);
    let words = GradeWord::ALL.iter().map(|word| Some(Grade::Word(*word)));
    let counts = (0..=MOST_COUNTED).map(|count| Some(Grade::Count(count)));
    let grades: Vec<Option<Grade>> = std::iter::once(None).chain(words).chain(counts).collect();
    let mut all = Vec::new();
    for finding in Finding::ALL {
        for place in Place::ALL {
            let seen = grades.iter().map(|grade| Observation::new(*place, *finding, *grade));
            all.extend(seen.flatten().filter(|seen| seen.rule(Some(&spec)).is_ok()));
        }
    }
    all.dedup();
    all
}

fn steps(sights: Vec<Observation>) -> impl Strategy<Value = Vec<(u64, Step)>> {
    let seen = prop::collection::vec(prop::sample::select(sights), 0..3);
    let step = prop_oneof![
        seen.clone().prop_map(Step::Quick),
        seen.prop_map(Step::Full),
        Just(Step::Clean),
        prop::sample::select(vec![End::A, End::B]).prop_map(Step::Reseal),
        Just(Step::Recouple),
        any::<bool>().prop_map(Step::LeakTest),
        (1..200_u32).prop_map(Step::Dives),
    ];
    prop::collection::vec((0..200_u64, step), 0..12)
}

fn kinds() -> impl Strategy<Value = (Service, Construction)> {
    (prop::sample::select(Service::ALL), prop::sample::select(Construction::ALL))
        .prop_map(|(s, c)| (s, c))
}

fn texts(seen: &[Observation]) -> Vec<String> {
    let mut once: Vec<&Observation> = Vec::new();
    for one in seen {
        if !once.iter().any(|o| o.place() == one.place() && o.finding() == one.finding()) {
            once.push(one);
        }
    }
    once.into_iter().map(ToString::to_string).collect()
}

fn tell(mut story: Story, steps: &[(u64, Step)]) -> (Story, NaiveDate) {
    let mut on = day(START);
    for (days, step) in steps {
        on = on + Days::new(*days);
        let at = on.to_string();
        story = match step {
            Step::Quick(seen) => story.quick(&at, &refs(&texts(seen))),
            Step::Full(seen) => {
                let seen = texts(seen);
                story.full_saying(&at, &refs(&seen), &refs(&not_found(&seen)))
            }
            Step::Clean => story.cleaned(&at),
            Step::Reseal(end) => story.resealed(&at, *end),
            Step::Recouple => story.recoupled(&at),
            Step::LeakTest(passed) => story.leak_test(&at, *passed),
            Step::Dives(dives) => story.dived(&at, *dives),
        };
    }
    (story, on)
}

/// All damage that was not found, said to be gone.
fn not_found(seen: &[String]) -> Vec<String> {
    let damage = Finding::ALL.iter().filter(|finding| finding.is_damage());
    let all = damage.flat_map(|finding| Place::ALL.iter().map(move |at| format!("{at}:{finding}")));
    all.filter(|damage| !seen.iter().any(|seen| seen.starts_with(damage))).collect()
}

fn refs(texts: &[String]) -> Vec<&str> {
    texts.iter().map(String::as_str).collect()
}

fn begin(kind: (Service, Construction), made: PartialDate, in_use: Use) -> Story {
    let origin = Origin { made: Some(made), ..Origin::default() };
    let port = if kind.0 == Service::Gauge { "HP1" } else { "LP1" };
    Story::with_origin(hose(kind.0, kind.1), START, origin)
        .assembled(START, "Heron", in_use)
        .fitted(START, "Heron", port, None)
}

fn uses() -> impl Strategy<Value = Use> {
    prop::sample::select(Use::ALL)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    /// Seeing one thing more, at whatever place and however bad, never makes
    /// the verdict better, then or later.
    #[test]
    fn a_finding_more_never_improves_a_verdict(
        (kind, history, extra, in_use, wait) in kinds().prop_flat_map(|kind| {
            let sights = sights(kind.0, kind.1);
            (Just(kind), steps(sights.clone()), prop::sample::select(sights), uses(), 0..900_u64)
        })
    ) {
        let (story, on) = tell(begin(kind, PartialDate::Day(day(START)), in_use), &history);
        let seen = story.clone().quick(&on.to_string(), &[&extra.to_string()]);
        let today = (on + Days::new(wait)).to_string();
        prop_assert!(seen.told(&today).0 >= story.told(&today).0);
    }

    /// The same hose, made earlier, never gets the better verdict.
    #[test]
    fn an_older_hose_never_gets_a_better_verdict(
        (kind, history, in_use) in kinds().prop_flat_map(|kind| {
            (Just(kind), steps(sights(kind.0, kind.1)), uses())
        }),
        younger in 0..3_000_u64,
        older in 0..3_000_u64,
        wait in 0..2_500_u64,
    ) {
        let made = |days| PartialDate::Day(day(START) - Days::new(days));
        let (young, on) = tell(begin(kind, made(younger), in_use), &history);
        let (old, _) = tell(begin(kind, made(younger + older), in_use), &history);
        let today = (on + Days::new(wait)).to_string();
        prop_assert!(old.told(&today).0 >= young.told(&today).0);
    }

    /// With nothing done to it, a hose does not get better by waiting.
    #[test]
    fn waiting_never_improves_a_verdict(
        (kind, history, in_use) in kinds().prop_flat_map(|kind| {
            (Just(kind), steps(sights(kind.0, kind.1)), uses())
        }),
        first in 0..2_000_u64,
        then in 0..2_000_u64,
    ) {
        let (story, on) = tell(begin(kind, PartialDate::Day(day(START)), in_use), &history);
        let told = |days| story.told(&(on + Days::new(days)).to_string()).0;
        prop_assert!(told(first + then) >= told(first));
    }

    /// Entries fold by their day and clock, not by how they arrived.
    #[test]
    fn a_record_does_not_depend_on_arrival(
        (kind, history, in_use) in kinds().prop_flat_map(|kind| {
            (Just(kind), steps(sights(kind.0, kind.1)), uses())
        }),
        seed in any::<u64>(),
    ) {
        let (story, on) = tell(begin(kind, PartialDate::Year(2015), in_use), &history);
        let mut mixed = story.clone();
        let mut state = seed;
        for at in (1..mixed.entries.len()).rev() {
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            mixed.entries.swap(at, usize::try_from(state >> 33).unwrap_or(0) % (at + 1));
        }
        let today = on.to_string();
        prop_assert_eq!(story.answer(&today), mixed.answer(&today));
    }
}
