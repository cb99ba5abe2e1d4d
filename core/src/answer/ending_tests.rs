//! What ends each reason in section 3 of the trade's rules, and what does not: the
//! rows that no other test here holds at their border. Source: common practice,
//! no source.

use super::asked_tests::{TODAY, good, held, in_set};
use crate::event::{About, Changes, Event, PlaceConfirmed, SetChanges, Swapped};
use crate::hose::{Construction, End, Label, Origin, Prose, Service, Specification, Thread};
use crate::inspection::Verdict::{self, Hold, Ready, Retire, Watch};
use crate::measure::PartialDate;
use crate::policy::{Change, Scope, Use};
use crate::story::{Story, code, hose, label, ports, set_id};

fn limited(story: Story, on: &str, in_use: Option<Use>, limits: Change) -> Story {
    let scope = Scope { in_use, ..Scope::default() };
    story.then(on, Event::Limited { scope, limits })
}

/// In service, from made, dives, full inspection, the first three as months.
fn limits(service: u32, made: u32, dives: u32, full: u32) -> Change {
    Change::new(Some(service), Some(made), Some(Some(dives)), Some(full)).unwrap_or_default()
}

/// A description that names what was said before.
fn described(story: Story, on: &str, changes: Changes, why: Option<&str>) -> Story {
    let answers = if why.is_some() { story.record(on).descriptions } else { Vec::new() };
    let (hose, why, changes) = (story.hose, why.map(label), Box::new(changes));
    story.then(on, Event::Described { hose, changes, why, answers })
}

fn made(text: &str) -> Changes {
    let origin = Origin { made: PartialDate::parse(text).ok(), ..Origin::default() };
    Changes { origin, ..Changes::default() }
}

fn is(specification: Specification) -> Changes {
    Changes { specification: Some(specification), ..Changes::default() }
}

fn off(story: Story) -> Story {
    story.removed("2026-06-14", "Heron", "LP1")
}

/// A story, a reason in it, and how bad that is.
type Row = (&'static str, Story, Verdict);

/// Each reason that the owner's limits give: other limits end it, from their day on.
#[test]
fn other_limits_end_what_limits_gave_from_their_day_on() {
    let rented = || in_set(Use::Rental);
    let strict = |change| limited(rented().dived("2026-05-02", 100), "2026-05-02", None, change);
    let rows: [Row; 6] = [
        ("age-over", strict(limits(12, 600, 500, 6)), Hold),
        ("age-near", strict(limits(18, 600, 500, 6)), Watch),
        ("dives-over", strict(limits(600, 600, 99, 6)), Hold),
        ("dives-near", strict(limits(600, 600, 100, 6)), Watch),
        ("inspection-over", strict(limits(600, 600, 500, 1)), Hold),
        ("inspection-near", strict(limits(600, 600, 500, 2)), Ready),
    ];
    for (reason, story, verdict) in rows {
        assert_eq!(story.reason(TODAY, reason), Some(verdict), "{reason}");
        let wide = limited(story, "2026-06-15", None, limits(600, 600, 5_000, 60));
        assert_eq!(wide.reason("2026-06-14", reason), Some(verdict), "{reason}: the day before");
        assert_eq!(wide.reason(TODAY, reason), None, "{reason}");
    }
}

/// A stricter use is that of the set: a hose that leaves it leaves its limits too.
#[test]
fn what_a_sets_use_makes_stricter_ends_with_the_place() {
    let rental = Some(Use::Rental);
    let set = |change| limited(in_set(Use::Rental).dived("2026-05-02", 100), TODAY, rental, change);
    let rows: [Row; 6] = [
        ("age-over", set(limits(12, 600, 500, 6)), Hold),
        ("age-near", set(limits(18, 600, 500, 6)), Watch),
        ("dives-over", set(limits(600, 600, 99, 6)), Hold),
        ("dives-near", set(limits(600, 600, 100, 6)), Watch),
        ("inspection-over", set(limits(600, 600, 500, 1)), Hold),
        ("inspection-near", set(limits(600, 600, 500, 2)), Ready),
    ];
    for (reason, story, verdict) in rows {
        assert_eq!(story.reason(TODAY, reason), Some(verdict), "{reason}");
        assert_eq!(off(story).reason(TODAY, reason), None, "{reason}: in stock");
    }
}

/// What rests on what a hose is ends by a description with a reason, and stands
/// beside one without.
#[test]
fn a_description_ends_with_a_reason_alone() {
    let (rubber, braid) = (Construction::Rubber, Construction::Braided);
    let lp = |construction| hose(Service::SecondStage, construction);
    let of = |made| Story::of(lp(rubber), "2025-01-10", made).full("2026-05-01", &[]);
    // Rubber has a limit that braids do not have.
    let scoped = |story: Story, limits| {
        let scope = Scope { construction: Some(rubber), ..Scope::default() };
        story.dived("2026-05-02", 100).then("2026-05-02", Event::Limited { scope, limits })
    };
    let wide = || {
        let (a, b) = (Thread::Unf1_2x20, Thread::Unf9_16x18);
        let ends = [a, b].map(crate::hose::Fitting::Thread);
        let [a, b] = ends;
        let length = lp(rubber).length().clone();
        Specification::new(Service::SecondStage, rubber, length, a, b, false)
            .unwrap_or_else(|e| unreachable!("{e}"))
    };
    let misfit = {
        let story = Story::of(wide(), "2025-01-10", "2025-01").full("2026-05-01", &[]);
        story.assembled("2025-01-11", "Heron", Use::Personal).fitted(
            "2025-01-11",
            "Heron",
            "LP1",
            None,
        )
    };
    let rows: [(&str, Story, Changes, Verdict); 10] = [
        ("age-over", of("2010"), made("2025-01"), Hold),
        ("age-near", of("2016-07"), made("2025-01"), Watch),
        ("age-unknown", of(""), made("2025-01"), Watch),
        ("stored-long", of("2024-01"), made("2025-01"), Watch),
        ("dives-over", scoped(good(), limits(600, 600, 99, 60)), is(lp(braid)), Hold),
        ("dives-near", scoped(good(), limits(600, 600, 100, 60)), is(lp(braid)), Watch),
        ("inspection-over", scoped(good(), limits(600, 600, 500, 1)), is(lp(braid)), Watch),
        ("inspection-near", scoped(good(), limits(600, 600, 500, 2)), is(lp(braid)), Ready),
        ("finding-bubbles", of("2025").quick(TODAY, &["run:bubbles"]), is(lp(rubber)), Retire),
        ("misfit", misfit, is(lp(rubber)), Hold),
    ];
    for (reason, story, changes, verdict) in rows {
        assert_eq!(story.reason(TODAY, reason), Some(verdict), "{reason}");
        let beside = described(story.clone(), TODAY, changes.clone(), None);
        assert_eq!(beside.reason(TODAY, reason), Some(verdict), "{reason}: without a reason");
        let replaced = described(story, TODAY, changes, Some("read off the hose"));
        // What was found is still so of a hose that can have it.
        let left = (reason == "finding-bubbles").then_some(verdict);
        assert_eq!(replaced.reason(TODAY, reason), left, "{reason}");
    }
}

/// Only a withdrawal brings a retired hose back, and that is looked at.
#[test]
fn what_is_retired_stays_so_until_that_is_withdrawn() {
    let story = in_set(Use::Personal).retired("2026-06-01", "worn");
    let entry = story.last();
    let later = story
        .full("2026-06-02", &[])
        .cleaned("2026-06-02")
        .removed("2026-06-02", "Heron", "LP1")
        .resealed("2026-06-02", End::A)
        .fitted("2026-06-03", "Heron", "LP2", None)
        .leak_test("2026-06-03", true);
    assert_eq!(later.reason(TODAY, "retired"), Some(Retire));
    let back = later.withdrawn("2026-06-04", vec![entry]);
    assert_eq!(back.told(TODAY), (Hold, vec!["corrected".to_owned()]));
    assert_eq!(back.full("2026-06-05", &[]).told(TODAY), (Ready, vec![]));
}

/// Until the day before its full inspection counts, and by nothing else.
#[test]
fn never_inspected_ends_by_a_full_inspection_alone() {
    let never = |story: &Story, day: &str| story.reason(day, "inspection-never");
    let story = Story::lp("2026-01-10")
        .quick("2026-06-01", &[])
        .cleaned("2026-06-01")
        .assembled("2026-06-01", "Heron", Use::Rental)
        .fitted("2026-06-01", "Heron", "LP1", None)
        .leak_test("2026-06-01", true);
    assert_eq!(never(&story, TODAY), Some(Hold));
    let looked = story.full("2026-06-14", &[]);
    assert_eq!((never(&looked, "2026-06-13"), never(&looked, "2026-06-14")), (Some(Hold), None));
}

/// Each reason of a place goes with the place, and not before.
#[test]
fn a_hose_leaves_the_reasons_of_its_place_there() {
    let ported = |ports: Vec<crate::event::Port>, other: Vec<crate::event::Port>| {
        let story = in_set(Use::Personal);
        let made: Vec<_> =
            story.entries.get(2).map(crate::journal::Entry::id).into_iter().collect();
        let change = |story: Story, ports| {
            let changes = SetChanges { ports: Some(ports), ..SetChanges::default() };
            let (set, why, answers) = (set_id("Heron"), Some(label("counted")), made.clone());
            story.then("2026-06-01", Event::SetChanged { set, changes, why, answers })
        };
        change(change(story, ports).on_device(2), other)
    };
    let mut wide = ports();
    wide.iter_mut().for_each(|port| port.thread = Thread::Unf1_2x20);
    let few = || ports().into_iter().take(2).collect();
    let unread = {
        let mut story = in_set(Use::Rental);
        let body = format!("{{\"set\":\"{}\"}}", set_id("Heron"));
        story.written("2026-06-01", "polished", 1, body);
        story
    };
    let quarantine = Event::Quarantined { set: set_id("Heron"), why: label("a bulge") };
    let swap = {
        let crate::event::Slot { set, port } = crate::story::slot("Heron", "LP3");
        let (hoses, step, answer) = ([code(3), code(2)], label("depressurised"), label("done"));
        Event::Swapped(Swapped {
            hoses,
            set,
            port,
            step,
            answer,
            loosened: false,
            answers: vec![],
            instead: None,
        })
    };
    let rows: [Row; 8] = [
        ("held", held(in_set(Use::Rental), "2026-06-01", false), Hold),
        ("swap-open", in_set(Use::Rental).then("2026-06-01", swap), Hold),
        ("set-quarantined", in_set(Use::Rental).then("2026-06-01", quarantine), Hold),
        ("set-contested", ported(few(), ports()), Watch),
        ("misfit", ported(wide.clone(), wide), Hold),
        ("not-all-read", unread, Watch),
        ("leak-test-due", in_set(Use::Rental).resealed("2026-06-01", End::A), Hold),
        ("not-all-read", good().fitted("2026-06-01", "Heron", "LP1", None), Watch),
    ];
    for (reason, story, verdict) in rows {
        let looked = story.clone().full("2026-06-02", &[]);
        assert_eq!(looked.reason(TODAY, reason), Some(verdict), "{reason}");
        assert_eq!(off(looked).reason(TODAY, reason), None, "{reason}: off");
    }
}

/// A swap of the hose itself ends by being finished or given up, wherever it goes.
#[test]
fn a_swap_stands_until_its_end_names_it() {
    let swapped = |story: Story, step: &str, answer: &str, answers| {
        let crate::event::Slot { set, port } = crate::story::slot("Heron", "LP1");
        let (hoses, step, answer) = ([code(1), code(2)], label(step), label::<Label>(answer));
        let loosened = answer.as_str() == "given-up";
        story.then(
            "2026-06-14",
            Event::Swapped(Swapped {
                hoses,
                set,
                port,
                step,
                answer,
                loosened,
                answers,
                instead: None,
            }),
        )
    };
    let open = swapped(in_set(Use::Rental), "depressurised", "done", vec![]);
    let begun = vec![open.last()];
    assert_eq!(off(open.clone()).reason(TODAY, "swap-open"), Some(Hold));
    let unnamed = swapped(open.clone(), "end", "finished", vec![]);
    assert_eq!(unnamed.reason(TODAY, "swap-open"), Some(Hold));
    let finished = swapped(open.clone(), "end", "finished", begun.clone());
    assert_eq!(finished.reason(TODAY, "swap-open"), None);
    let given_up = swapped(open, "end", "given-up", begun);
    assert_eq!(given_up.told(TODAY), (Hold, vec!["leak-test-due".to_owned()]));
    assert_eq!(given_up.leak_test(TODAY, true).told(TODAY), (Ready, vec![]));
}

/// In a dispute the reasons of every place claimed count, and the strictest use.
#[test]
fn in_a_dispute_every_place_that_is_claimed_counts() {
    let own = in_set(Use::Personal).dived("2026-06-01", 501).assembled(
        "2026-06-01",
        "Egret",
        Use::Rental,
    );
    assert_eq!(own.told(TODAY), (Ready, vec![]));
    let quarantine = Event::Quarantined { set: set_id("Egret"), why: label("a bulge") };
    let twice = own.then("2026-06-01", quarantine).on_device(2);
    let twice = twice.fitted("2026-06-02", "Egret", "LP1", None).leak_test("2026-06-02", true);
    assert_eq!(twice.reason(TODAY, "place-contested"), Some(Watch));
    assert_eq!(twice.reason(TODAY, "dives-over"), Some(Hold));
    assert_eq!(twice.reason(TODAY, "set-quarantined"), Some(Hold));
    // One that does not name all of them settles nothing; one that does, all.
    let confirmed = |answers| {
        let (hose, at) = (twice.hose, Some(crate::story::slot("Heron", "LP1")));
        let sets = vec![set_id("Heron"), set_id("Egret")];
        let event =
            Event::PlaceConfirmed(PlaceConfirmed { hose, at, hoses: vec![], sets, answers });
        twice.clone().then("2026-06-03", event)
    };
    let all: Vec<_> = twice.record(TODAY).claims.iter().map(|claim| claim.entry).collect();
    let one = confirmed(all.iter().copied().take(1).collect());
    assert_eq!(one.reason(TODAY, "place-contested"), Some(Watch));
    assert_eq!(one.reason(TODAY, "set-quarantined"), Some(Hold));
    let settled = confirmed(all).leak_test("2026-06-03", true);
    assert_eq!(settled.told(TODAY), (Ready, vec![]));
}

/// What was not here comes: a set's making, a hose's registration.
#[test]
fn what_was_missing_ends_what_stood_for_want_of_it() {
    let unmade = good().dived("2026-06-01", 501).fitted("2026-06-02", "Heron", "LP1", None);
    let made = |in_use| unmade.clone().assembled("2026-06-03", "Heron", in_use);
    for (reason, verdict) in [("not-all-read", Watch), ("dives-over", Hold)] {
        assert_eq!(unmade.reason(TODAY, reason), Some(verdict), "{reason}");
        assert_eq!(made(Use::Personal).reason(TODAY, reason), None, "{reason}");
    }
    assert_eq!(made(Use::Rental).reason(TODAY, "dives-over"), Some(Hold));
    let mut unregistered = good();
    let registered = unregistered.entries.remove(0);
    assert_eq!(unregistered.reason(TODAY, "tag-only"), Some(Hold));
    unregistered.entries.push(registered);
    assert_eq!(unregistered.told(TODAY), (Ready, vec![]));
}

/// What is written in the future is odd until it is past, or taken back.
#[test]
fn an_odd_clock_is_right_once_what_it_wrote_is_taken_back() {
    let ahead = good().dived("2026-06-18", 1);
    let odd = |story: &Story, day: &str| story.reason(day, "clock-odd");
    assert_eq!(odd(&ahead, "2026-06-17"), Some(Watch));
    assert_eq!(odd(&ahead, "2026-06-18"), None);
    let entry = ahead.last();
    let back = ahead.withdrawn(TODAY, vec![entry]);
    let heard = |story: &Story| {
        // The store passes over what is taken back, as the fold does.
        let today = crate::story::day(TODAY);
        story.asked(TODAY, |asked| asked.heard.newest_on = today)
    };
    let codes = |answer: super::Answer| {
        answer.reasons.into_iter().map(|reason| reason.code).collect::<Vec<_>>()
    };
    assert!(!codes(heard(&back)).contains(&"clock-odd".to_owned()));
}

/// What leaves nothing to look at: a date that is filled in, and a recall, limits
/// or a quarantine that are taken back.
#[test]
fn what_takes_no_finding_away_leaves_no_correction() {
    let filled = described(
        Story::of(hose(Service::SecondStage, Construction::Rubber), "2025-01-10", "")
            .full("2026-05-01", &[]),
        "2026-06-01",
        made("2025-01"),
        Some("read off the hose"),
    );
    assert_eq!(filled.told(TODAY), (Ready, vec![]));
    let (lot, why) = (label::<Label>("L-7"), label::<Prose>("crimps slip"));
    let scope = Scope::default();
    let quarantine = Event::Quarantined { set: set_id("Heron"), why: why.clone() };
    let rows = [
        ("recall-open", Event::Recalled { lot, maker: None, why }),
        ("age-over", Event::Limited { scope, limits: limits(12, 12, 500, 6) }),
        ("set-quarantined", quarantine),
    ];
    for (reason, event) in rows {
        let story = in_set(Use::Rental).then("2026-06-01", event);
        assert_eq!(story.reason(TODAY, reason), Some(Hold), "{reason}");
        let answers = vec![story.last()];
        let about = About { sets: vec![set_id("Heron")], fleet: true, ..About::default() };
        let back =
            story.then("2026-06-02", Event::Withdrawn { about, why: label("a slip"), answers });
        assert_eq!(back.told(TODAY), (Ready, vec![]), "{reason}");
    }
}

/// A recall means what is known of a hose, registered here or not.
#[test]
fn a_recall_means_a_hose_that_is_described_and_not_registered() {
    let lot = |lot: &str| {
        let origin = Origin { lot: Some(label(lot)), ..Origin::default() };
        Changes { origin, ..Changes::default() }
    };
    let (of, why) = (label("L-7"), label("crimps slip"));
    let recall = Event::Recalled { lot: of, maker: None, why };
    let mut story = good().then("2026-05-01", recall);
    story.entries.remove(0);
    let of_lot = |text| described(story.clone(), "2026-05-02", lot(text), None);
    assert_eq!(of_lot("l-7").reason(TODAY, "recalled"), Some(Hold));
    assert_eq!(of_lot("L-8").reason(TODAY, "recalled"), None);
    // Of one of which nothing is said at all it says nothing.
    for reason in ["recalled", "recall-open"] {
        assert_eq!(story.reason(TODAY, reason), None, "{reason}");
    }
}
