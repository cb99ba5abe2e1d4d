//! What ends a finding or a due test, and what doesn't. Source: common practice, no source.

use super::tests::{TODAY, good, in_set};
use crate::event::Event;
use crate::hose::{Construction, End, Service};
use crate::inspection::Verdict::{Hold, Ready, Retire, Watch};
use crate::policy::Use;
use crate::story::{Story, code, hose};

#[test]
fn fitting_moving_and_resealing_make_a_leak_test_due() {
    let fitted = good().assembled("2026-05-02", "Heron", Use::Personal).fitted(
        "2026-05-02",
        "Heron",
        "LP1",
        None,
    );
    let due = |story: &Story| story.reason(TODAY, "leak-test-due");
    assert_eq!(due(&fitted), Some(Hold));
    let passed = fitted.clone().leak_test("2026-05-02", true);
    assert_eq!(due(&passed), None);
    assert_eq!(due(&fitted.clone().leak_test("2026-05-02", false)), Some(Hold));
    let moved = passed.clone().fitted("2026-05-03", "Heron", "LP2", Some(("Heron", "LP1")));
    assert_eq!(due(&moved), Some(Hold));
    assert_eq!(due(&moved.leak_test("2026-05-03", true)), None);
    let resealed = passed.clone().resealed("2026-05-04", End::A);
    assert_eq!(due(&resealed), Some(Hold));
    assert_eq!(due(&resealed.clone().full("2026-05-05", &[])), Some(Hold));
    assert_eq!(due(&resealed.removed("2026-05-05", "Heron", "LP1")), None);
    let failed = passed.leak_test("2026-05-06", false);
    assert_eq!(due(&failed), Some(Hold));
}

#[test]
fn resealed_in_stock_is_tested_once_fitted() {
    let story = good().resealed("2026-05-04", End::B);
    assert_eq!(story.reason(TODAY, "leak-test-due"), None);
}

#[test]
fn an_old_tag_is_held_and_the_new_one_is_not() {
    let tag = code(9);
    let story = good();
    let first = story.hose;
    let story = story.then("2026-06-01", Event::Tagged { hose: first, tag });
    let verdict = |scanned| {
        let answer = story.scanned(TODAY, Some(scanned));
        (answer.verdict, answer.code)
    };
    assert_eq!(verdict(first), (Hold, tag));
    assert_eq!(verdict(tag), (Ready, tag));
    assert_eq!(story.scanned(TODAY, Some(first)).reasons[0].code, "tag-old");
}

#[test]
fn a_full_inspection_replaces_what_was_open_but_what_retires_or_seals() {
    let before = good().quick(
        "2026-05-10",
        &["run:cut:cover", "run:kink:springs-back", "end-b:verdigris:light", "seal-a:seal-dirty"],
    );
    assert_eq!(before.told(TODAY).0, Watch);
    assert_eq!(before.clone().full("2026-05-11", &[]).told(TODAY), (Ready, vec![]));
    let told = before.full("2026-05-11", &["run:cut:cover"]).told(TODAY);
    assert_eq!(told, (Watch, vec!["finding-cut".to_owned()]));
    for seen in ["run:bulge", "run:cut:deep", "end-a:crack", "run:perished"] {
        let story = good().quick("2026-05-10", &[seen]).full("2026-05-11", &[]);
        assert_eq!(story.told(TODAY).0, Retire, "{seen}");
    }
    for seen in ["seal-a:seal-missing", "seal-a:seal-damaged", "end-a:bubbles:joint"] {
        let story =
            good().quick("2026-05-10", &[seen]).full("2026-05-11", &[]).cleaned("2026-05-12");
        assert_eq!(story.told(TODAY).0, Hold, "{seen}");
    }
}

#[test]
fn a_quick_inspection_clears_nothing_and_keeps_the_worse_grade() {
    let story = good().quick("2026-05-10", &["run:cut:cover"]).quick("2026-05-11", &[]);
    assert_eq!(story.told(TODAY).0, Watch);
    let worse =
        story.quick("2026-05-12", &["run:cut:deep"]).quick("2026-05-13", &["run:cut:cover"]);
    assert_eq!(worse.told(TODAY), (Retire, vec!["finding-cut".to_owned()]));
    let seal = good().quick("2026-05-10", &["seal-a:seal-missing"]).look(
        "2026-05-11",
        crate::inspection::InspectionKind::Quick,
        &["seal-a:seal-dirty"],
    );
    assert_eq!(seal.told(TODAY).0, Hold);
}

#[test]
fn cleaning_clears_salt_dirt_and_light_verdigris_and_nothing_else() {
    for seen in ["run:salt", "seal-b:seal-dirty", "end-a:verdigris:light"] {
        let story = good().quick("2026-05-10", &[seen]);
        assert_eq!(story.told(TODAY).0, Watch, "{seen}");
        assert_eq!(story.cleaned("2026-05-11").told(TODAY), (Ready, vec![]), "{seen}");
    }
    let rows = [
        ("run:cut:cover", Watch),
        ("end-b:nut-rounded", Watch),
        ("end-a:verdigris:heavy", Retire),
        ("seal-a:seal-missing", Hold),
    ];
    for (seen, verdict) in rows {
        let story = good().quick("2026-05-10", &[seen]).cleaned("2026-05-11");
        assert_eq!(story.told(TODAY).0, verdict, "{seen}");
    }
}

/// A seal's hold ends with a reseal of that end, then a passed leak test: in
/// that order, at that end, and nothing less.
#[test]
fn a_reseal_and_then_a_passed_leak_test_end_a_seals_hold() {
    let start = || in_set(good(), Use::Personal);
    for (seen, end) in [
        ("seal-a:seal-missing", End::A),
        ("seal-a:seal-damaged", End::A),
        ("end-b:bubbles:joint", End::B),
    ] {
        let found = start().quick("2026-05-10", &[seen]);
        let held = |story: &Story| story.told(TODAY).0;
        assert_eq!(held(&found.clone().resealed("2026-05-11", end)), Hold, "{seen}");
        let cured = found.clone().resealed("2026-05-11", end).leak_test("2026-05-11", true);
        assert_eq!(cured.told(TODAY), (Ready, vec![]), "{seen}");
        let untested = found.clone().leak_test("2026-05-11", true);
        assert_eq!(held(&untested), Hold, "{seen}: no reseal");
        let other = found.clone().resealed("2026-05-11", end.other()).leak_test("2026-05-11", true);
        assert_eq!(held(&other), Hold, "{seen}: the other end");
        let failed = found.clone().resealed("2026-05-11", end).leak_test("2026-05-11", false);
        assert_eq!(held(&failed), Hold, "{seen}: failed");
        let order = found.clone().leak_test("2026-05-11", true).resealed("2026-05-11", end);
        assert_eq!(held(&order), Hold, "{seen}: tested before the reseal");
        let again = found.resealed("2026-05-11", end).quick("2026-05-12", &[seen]);
        assert_eq!(held(&again.leak_test("2026-05-13", true)), Hold, "{seen}: found again");
    }
}

/// An inspection that is written up later counts on its day.
#[test]
fn things_are_judged_in_the_order_of_their_days() {
    let story =
        Story::lp("2025-01-10").quick("2026-04-01", &["run:cut:cover"]).full("2026-03-01", &[]);
    assert_eq!(story.told(TODAY), (Watch, vec!["finding-cut".to_owned()]));
    let same_day =
        Story::lp("2025-01-10").quick("2026-04-01", &["run:cut:cover"]).full("2026-04-01", &[]);
    assert_eq!(same_day.told(TODAY), (Ready, vec![]));
    let other_way =
        Story::lp("2025-01-10").full("2026-04-01", &[]).quick("2026-04-01", &["run:cut:cover"]);
    assert_eq!(other_way.told(TODAY).0, Watch);
}

#[test]
fn strands_that_grow_are_said() {
    let braid = hose(Service::SecondStage, Construction::Braided);
    let story = Story::of(braid, "2025-01-10", "2025-01")
        .full("2026-05-01", &["run:strands:1"])
        .full("2026-06-01", &["run:strands:3"]);
    let answer = story.answer(TODAY);
    assert_eq!((answer.verdict, answer.reasons.len()), (Watch, 1));
    assert_eq!(
        answer.reasons[0].words,
        "On the run: broken strands in the braid (3), up from 1 on 2026-05-01, seen on 2026-06-01 \
         by Tern."
    );
    let steady = story.full("2026-06-02", &["run:strands:3"]).answer(TODAY);
    assert!(!steady.reasons[0].words.contains("up from"));
}

#[test]
fn a_record_from_the_future_is_odd_and_clears_nothing() {
    let story = good().quick("2026-05-10", &["run:cut:cover"]).full("2031-01-01", &[]);
    let (verdict, codes) = story.told(TODAY);
    assert_eq!((verdict, codes), (Watch, vec!["finding-cut".to_owned(), "clock-odd".to_owned()]));
    let worse = good().quick("2031-01-01", &["run:bulge"]);
    assert_eq!(worse.told(TODAY).0, Retire);
    assert_eq!(good().reason("2026-04-30", "clock-odd"), Some(Watch));
    assert_eq!(good().reason("2026-05-01", "clock-odd"), None);
}
