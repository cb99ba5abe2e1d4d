//! Findings that stay, and what ends those that do not: damage does not heal,
//! bubbles come from somewhere, and a coupling is repaired (sections 3, 5 and 12
//! of the trade's rules, each at its border).

use crate::event::{Event, InspectedBefore};
use crate::hose::{Construction, End, Service};
use crate::inspection::InspectionKind::Full;
use crate::inspection::Look;
use crate::inspection::Verdict::{Hold, Ready, Retire, Watch};
use crate::policy::Use;
use crate::story::{Story, day, hose};

const TODAY: &str = "2026-06-15";
const BEFORE: &str = "2026-05-10";

fn inflator() -> Story {
    let hose = hose(Service::Inflator, Construction::Rubber);
    fitted(Story::of(hose, "2026-01-10", "2026-01").full("2026-05-01", &[]))
}

fn braid() -> Story {
    let hose = hose(Service::SecondStage, Construction::Braided);
    Story::of(hose, "2026-01-10", "2026-01").full("2026-05-01", &[])
}

fn fitted(story: Story) -> Story {
    story
        .assembled("2026-05-02", "Heron", Use::Personal)
        .fitted("2026-05-02", "Heron", "LP1", None)
        .leak_test("2026-05-02", true)
}

fn codes(story: &Story) -> Vec<String> {
    story.told(TODAY).1
}

const DAMAGE: &[(&str, &str)] = &[
    ("run:cut:cover", "run:cut"),
    ("end-b:cut:cover", "end-b:cut"),
    ("run:crack:fine", "run:crack"),
    ("run:kink:springs-back", "run:kink"),
    ("run:strands:1", "run:strands"),
    ("run:strands:3", "run:strands"),
    ("end-a:nut-rounded", "end-a:nut-rounded"),
];

/// A full inspection ends damage where it is found again or said to be gone: the
/// fold does not take its form's word for what it leaves out.
#[test]
fn damage_stays_until_a_full_inspection_says_how_it_is() {
    for (seen, damage) in DAMAGE {
        let found = braid().quick(BEFORE, &[seen]);
        let told = |story: Story| story.told(TODAY).0;
        let on = "2026-06-01";
        assert_eq!(told(found.clone().full_saying(on, &[], &[])), Watch, "{seen}: left out");
        let other = found.clone().full_saying(on, &[], &["end-b:kink"]);
        assert_eq!(told(other), Watch, "{seen}: other damage is gone");
        let gone = found.clone().full_saying(on, &[], &[damage]);
        assert_eq!(gone.told(TODAY), (Ready, vec![]), "{seen}");
        let same = found.clone().full_saying(on, &[seen], &[]);
        let answer = same.answer(TODAY);
        assert_eq!((answer.verdict, answer.reasons.len()), (Watch, 1), "{seen}");
        assert!(answer.reasons[0].words.contains(on), "{seen}: {}", answer.reasons[0].words);
        // One of a day before it says nothing of it.
        let early = found.full_saying("2026-05-09", &[], &[damage]);
        assert_eq!(told(early), Watch, "{seen}: before it was seen");
    }
}

#[test]
fn no_strands_is_no_count_of_the_damage() {
    let found = braid().quick(BEFORE, &["run:strands:2"]);
    let none = found.clone().full_saying("2026-06-01", &["run:strands:0"], &[]);
    assert_eq!(none.told(TODAY).0, Watch);
    let fewer = found.clone().full_saying("2026-06-01", &["run:strands:1"], &[]);
    assert_eq!(fewer.record(TODAY).open.len(), 1);
    let grown = found.full_saying("2026-06-01", &["run:strands:4"], &[]);
    assert_eq!(grown.told(TODAY), (Retire, vec!["finding-strands".to_owned()]));
    assert!(grown.answer(TODAY).reasons[0].words.contains("up from 2"));
}

/// What retires stays for good: nobody has to answer for it, and saying that it
/// is gone ends nothing.
#[test]
fn what_retires_wants_no_answer_and_does_not_go() {
    for (seen, damage) in [("run:cut:deep", "run:cut"), ("run:strands:4", "run:strands")] {
        let found = braid().quick(BEFORE, &[seen]);
        assert!(found.record(TODAY).wants_answers(day(TODAY)).is_empty(), "{seen}");
        assert_eq!(found.full_saying("2026-06-01", &[], &[damage]).told(TODAY).0, Retire);
    }
}

/// What another device saw and this one did not know stays, whatever its form
/// says.
#[test]
fn a_full_inspection_ends_nothing_that_its_device_did_not_know() {
    let known = braid().full_saying("2026-06-01", &[], &["run:cut"]);
    let later = known.on_device(2).quick(BEFORE, &["run:cut:cover"]);
    assert_eq!(later.told(TODAY), (Watch, vec!["finding-cut".to_owned()]));
}

/// Full inspections of earlier programs end what they name, and those before
/// them what is before them.
#[test]
fn inspections_of_earlier_programs_end_what_they_name() {
    let found = braid().quick(BEFORE, &["run:cut:cover", "run:strands:2"]);
    let hose = found.hose;
    let mut look = Look::of(Full, Vec::new());
    look.gone = None;
    let answers = found.record(TODAY).judged_by(Full, day("2026-06-01"));
    let named = Event::Inspected { hose, look: look.clone(), at: None, answers };
    assert_eq!(found.clone().then("2026-06-01", named).told(TODAY), (Ready, vec![]));
    let unnamed = Event::Inspected { hose, look: look.clone(), at: None, answers: Vec::new() };
    assert_eq!(found.clone().then("2026-06-01", unnamed).told(TODAY).0, Watch);
    let first = Event::InspectedBefore(InspectedBefore { hose, look });
    assert_eq!(found.then("2026-06-01", first).told(TODAY), (Ready, vec![]));
}

/// What the form asks: of the same at the same place once, and the most.
#[test]
fn the_form_asks_once_for_each_damage() {
    let story = braid()
        .quick(BEFORE, &["run:strands:2", "end-a:salt", "run:scuff", "end-b:bubbles"])
        .quick("2026-05-11", &["run:strands:1", "run:cut:cover", "seal-a:seal-damaged"]);
    let asked = |on: &str| -> Vec<String> {
        let known = story.record(TODAY).wants_answers(day(on));
        known.iter().map(|known| known.seen.to_string()).collect()
    };
    assert_eq!(asked(TODAY), ["run:cut:cover", "run:strands:2", "end-b:bubbles"]);
    assert_eq!(asked(BEFORE), ["run:strands:2", "end-b:bubbles"]);
    assert!(asked("2026-05-09").is_empty());
}

/// Nobody said where they come from: new O-rings settle nothing until a full
/// inspection says it.
#[test]
fn bubbles_that_nobody_said_from_where_wait_for_a_full_inspection() {
    let found = fitted(braid()).quick(BEFORE, &["end-b:bubbles"]);
    let told = |story: &Story| story.told(TODAY);
    let bubbles = || vec!["finding-bubbles".to_owned()];
    assert_eq!(told(&found), (Hold, bubbles()));
    let resealed = found.clone().resealed("2026-05-11", End::B).leak_test("2026-05-11", true);
    assert_eq!(told(&resealed), (Hold, bubbles()));
    let silent = resealed.clone().full_saying("2026-05-12", &[], &[]);
    assert_eq!(told(&silent), (Hold, bubbles()));
    let elsewhere = found.clone().full_saying("2026-05-12", &["end-a:bubbles:joint"], &[]);
    assert_eq!(elsewhere.record(TODAY).open.len(), 2);
    // The joint takes its place, and what was done before counts for nothing.
    let joint = resealed.full_saying("2026-05-12", &["end-b:bubbles:joint"], &[]);
    let answer = joint.answer(TODAY);
    assert_eq!((answer.verdict, answer.reasons.len()), (Hold, 1));
    assert!(answer.reasons[0].words.contains("the joint"), "{}", answer.reasons[0].words);
    assert_eq!(told(&joint.clone().leak_test("2026-05-13", true)).0, Hold);
    let cured = joint.resealed("2026-05-13", End::B).leak_test("2026-05-13", true);
    assert_eq!(told(&cured), (Ready, vec![]));
    let sleeve = found.clone().full_saying("2026-05-12", &["end-b:bubbles:sleeve"], &[]);
    assert_eq!(told(&sleeve), (Retire, bubbles()));
    let nothing = sleeve.resealed("2026-05-13", End::B).leak_test("2026-05-13", true);
    assert_eq!(told(&nothing).0, Retire);
    // A quick inspection that says it takes nothing's place.
    let quick = found.quick("2026-05-12", &["end-b:bubbles:joint"]);
    let cured = quick.resealed("2026-05-13", End::B).leak_test("2026-05-13", true);
    assert_eq!(told(&cured), (Hold, bubbles()));
}

#[test]
fn a_coupling_is_repaired_and_then_tested() {
    for seen in ["end-b:coupling-leaks", "end-b:coupling-sticks"] {
        let code = format!("finding-{}", seen.trim_start_matches("end-b:"));
        let found = inflator().quick(BEFORE, &[seen]);
        assert_eq!(found.told(TODAY), (Hold, vec![code.clone()]), "{seen}");
        let held = |story: &Story| story.reason(TODAY, &code) == Some(Hold);
        assert!(held(&found.clone().full("2026-05-11", &[])), "{seen}: looked at");
        assert!(held(&found.clone().leak_test("2026-05-11", true)), "{seen}: no repair");
        let o_rings = found.clone().resealed("2026-05-11", End::B).leak_test("2026-05-11", true);
        assert!(held(&o_rings), "{seen}: O-rings are no coupling");
        let repaired = found.clone().recoupled("2026-05-11");
        assert_eq!(codes(&repaired), [code.as_str(), "leak-test-due"], "{seen}");
        let words = &repaired.answer(TODAY).reasons[0].words;
        assert!(words.contains("coupling since, not leak-tested yet"), "{words}");
        assert!(held(&repaired.clone().leak_test("2026-05-12", false)), "{seen}: failed");
        let cured = repaired.leak_test("2026-05-12", true);
        assert_eq!(cured.told(TODAY), (Ready, vec![]), "{seen}");
        let order = found.leak_test("2026-05-11", true).recoupled("2026-05-11");
        assert!(held(&order), "{seen}: tested before");
        assert!(held(&cured.quick("2026-05-13", &[seen])), "{seen}: again");
    }
}

/// A new coupling is no O-ring: what was seen in one inspection is repaired each
/// by its own.
#[test]
fn a_new_coupling_ends_no_finding_of_a_seal() {
    let seen = ["end-b:coupling-leaks", "seal-b:seal-damaged"];
    let found = inflator().quick(BEFORE, &seen);
    let coupling = found.clone().recoupled("2026-05-11").leak_test("2026-05-12", true);
    assert_eq!(codes(&coupling), ["finding-seal-damaged"]);
    let seal = found.clone().resealed("2026-05-11", End::B).leak_test("2026-05-12", true);
    assert_eq!(codes(&seal), ["finding-coupling-leaks"]);
    let both = found.resealed("2026-05-11", End::B).recoupled("2026-05-11");
    assert_eq!(both.leak_test("2026-05-12", true).told(TODAY), (Ready, vec![]));
}

#[test]
fn a_hose_that_is_hard_to_breathe_through_is_never_dived_again() {
    let found = fitted(braid()).quick(BEFORE, &["end-b:flow-poor"]);
    let later = found.full("2026-05-11", &[]).resealed("2026-05-11", End::B);
    let told = later.leak_test("2026-05-12", true).told(TODAY);
    assert_eq!(told, (Retire, vec!["finding-flow-poor".to_owned()]));
}
