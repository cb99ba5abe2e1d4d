//! The one thing to do next, by the worst reason, a story a row.

use super::action::{actions, of_reason};
use super::{Action, next};
use crate::answer::{REASONS, Reason, lines};
use crate::event::{Event, Held, Swapped};
use crate::hose::{Construction, End, Service};
use crate::inspection::{InspectionKind, Place, Verdict};
use crate::policy::Use;
use crate::story::{Story, code, hose, label, set_id};

const TODAY: &str = "2026-06-15";

fn good() -> Story {
    Story::lp("2025-01-10").full("2026-05-01", &[])
}

fn fitted(story: Story) -> Story {
    story
        .assembled("2025-01-11", "Heron", Use::Personal)
        .fitted("2025-01-11", "Heron", "LP1", None)
        .leak_test("2025-01-11", true)
}

fn of(story: &Story) -> Action {
    next(&story.answer(TODAY), Some(&story.record(TODAY)))
}

fn inspect(kind: InspectionKind) -> Action {
    Action::Inspect { hose: code(1), kind }
}

#[test]
fn the_worst_reason_says_what_is_next() {
    use InspectionKind::{Full, LeakTest, Quick};
    let swapping = |story: Story| {
        let hoses = [story.hose, code(2)];
        let (step, answer) = (label("depressurised"), label("done"));
        let crate::event::Slot { set, port } = crate::story::slot("Heron", "LP1");
        let (loosened, answers) = (false, Vec::new());
        let swapped = Event::Swapped(Swapped {
            hoses,
            set,
            port,
            step,
            answer,
            loosened,
            answers,
            instead: None,
        });
        story.then("2026-06-01", swapped)
    };
    let newly = good().assembled("2026-06-01", "Heron", Use::Personal);
    let newly = newly.fitted("2026-06-01", "Heron", "LP1", None);
    let hose = code(1);
    let rows = [
        (good(), inspect(Quick)),
        (fitted(good()), inspect(Quick)),
        (Story::lp("2025-01-10"), inspect(Full)),
        (newly, inspect(LeakTest)),
        (fitted(Story::lp("2010-01-01").full("2026-05-01", &[])), Action::Swap { hose }),
        // In stock there is nothing to swap it for.
        (Story::lp("2010-01-01").full("2026-05-01", &[]), Action::Retire { hose }),
        (good().quick("2026-06-01", &["run:bulge"]), Action::Retire { hose }),
        (fitted(good()).quick("2026-06-01", &["run:bulge"]), Action::Swap { hose }),
        (good().quick("2026-06-01", &["end-a:salt"]), Action::Clean { hose }),
        // Where bubbles come from is said by a full inspection.
        (good().quick("2026-06-01", &["end-a:bubbles"]), inspect(Full)),
        // A cut of the cover is compared at the next look.
        (good().quick("2026-06-01", &["run:cut:cover"]), inspect(Quick)),
        (
            good().quick("2026-06-01", &["seal-b:seal-missing"]),
            Action::Reseal { hose, end: Some(End::B) },
        ),
        (
            fitted(good())
                .quick("2026-06-01", &["seal-a:seal-damaged"])
                .resealed("2026-06-02", End::A),
            inspect(LeakTest),
        ),
        // Without a port nothing is put under pressure.
        (
            good().quick("2026-06-01", &["seal-a:seal-damaged"]).resealed("2026-06-02", End::A),
            Action::Place { hose },
        ),
        (swapping(fitted(good())), Action::ContinueSwap { old: hose, new: code(2) }),
        (good().retired("2026-06-01", "cut in half"), Action::ScanAnother),
    ];
    for (number, (story, expected)) in rows.into_iter().enumerate() {
        assert_eq!(of(&story), expected, "row {number}: {:?}", story.told(TODAY));
    }
}

/// What helps against each reason, for a hose in a port and for one in stock.
#[test]
fn each_reason_has_its_action_or_is_known_to_have_none() {
    use InspectionKind::{Full, LeakTest};
    let (hose, set) = (code(1), set_id("Heron"));
    let both = |action| (Some(action), Some(action));
    let expected = |code: &str| match code {
        "age-over" | "dives-over" => (Some(Action::Swap { hose }), Some(Action::Retire { hose })),
        "recalled" => (Some(Action::Swap { hose }), Some(Action::SetAside { hose })),
        "inspection-never" | "inspection-over" | "stored-long" | "corrected" | "not-believed" => {
            both(inspect(Full))
        }
        "leak-test-due" => both(inspect(LeakTest)),
        "age-unknown" | "recall-open" => both(Action::Describe { hose }),
        "held" => both(Action::Release { hose }),
        "retired" => both(Action::ScanAnother),
        "misfit" => both(Action::Place { hose }),
        "place-contested" => both(Action::ConfirmPlace { hose }),
        "identity-contested" => both(Action::Identify { hose }),
        "tag-old" => both(Action::ScanOwnTag { hose }),
        "tag-only" | "not-all-read" | "record-gap" | "record-old" => both(Action::ImportRecord),
        "set-quarantined" => (Some(Action::ReleaseSet { set }), None),
        "set-contested" => (Some(Action::ChangeSet { set }), None),
        "rented-twice" => (Some(Action::TakeBack { set }), None),
        // These only ask to plan ahead or to set a clock, and no swap is open here.
        "age-near" | "dives-near" | "inspection-near" | "clock-odd" | "swap-open" => (None, None),
        other => unreachable!("{other} has no row here"),
    };
    for rule in REASONS {
        let reason = Reason {
            code: rule.code.to_owned(),
            verdict: rule.rental,
            words: String::new(),
            todo: String::new(),
        };
        let asked = |story: Story| of_reason(&reason, hose, &story.record(TODAY));
        assert_eq!((asked(fitted(good())), asked(good())), expected(rule.code), "{}", rule.code);
    }
}

/// A recalled hose in stock that was set aside already waits for the maker.
#[test]
fn what_was_set_aside_is_not_set_aside_again() {
    let lot = crate::event::RecallOf { lot: Some(label("B17")), ..Default::default() };
    let aside = Event::SetAside { hose: code(1), lot: label("B17") };
    let reason = Reason {
        code: "recalled".to_owned(),
        verdict: Verdict::Hold,
        words: lot.to_string(),
        todo: String::new(),
    };
    let record = good().then("2026-06-01", aside).record(TODAY);
    assert_eq!(of_reason(&reason, code(1), &record), None);
}

/// What is good for a lesser reason does not help against the worst.
#[test]
fn the_next_thing_is_against_the_worst() {
    let story = fitted(good());
    let record = story.record(TODAY);
    let mut answer = story.answer(TODAY);
    let reason = |code: &str, verdict| Reason {
        code: code.to_owned(),
        verdict,
        words: String::new(),
        todo: String::new(),
    };
    answer.verdict = Verdict::Hold;
    answer.reasons = vec![reason("clock-odd", Verdict::Hold), reason("corrected", Verdict::Watch)];
    assert_eq!(next(&answer, Some(&record)), Action::ScanAnother);
    for (verdict, quick) in [
        (Verdict::Ready, true),
        (Verdict::Watch, true),
        (Verdict::Hold, false),
        (Verdict::Retire, false),
    ] {
        (answer.verdict, answer.reasons) = (verdict, vec![]);
        let said = next(&answer, Some(&record));
        assert_eq!(said == inspect(InspectionKind::Quick), quick, "{verdict}");
    }
}

#[test]
fn nothing_is_done_to_what_is_held_after_an_incident() {
    let held = |incident| {
        let story = fitted(good()).quick("2026-06-01", &["run:bulge"]);
        let (hose, why) = (Some(story.hose), label("a diver was hurt"));
        let hoses = Vec::new();
        story.then("2026-06-02", Event::Held(Held { hose, set: None, hoses, why, incident }))
    };
    assert_eq!(of(&held(true)), Action::ScanAnother);
    let all = actions(&held(true).answer(TODAY), &held(true).record(TODAY));
    let (hose, look) = (code(1), inspect(InspectionKind::Quick));
    assert_eq!(all, [look, Action::Hold { hose }, Action::Release { hose }]);
    assert_eq!(of(&held(false)), Action::Swap { hose: code(1) });
    // The incident of its set is its own.
    let (hose, set, hoses) = (None, Some(set_id("Heron")), Vec::new());
    let why = label("a diver was hurt");
    let held = Event::Held(Held { hose, set, hoses, why, incident: true });
    let story = fitted(good()).quick("2026-06-01", &["run:bulge"]).then("2026-06-02", held);
    assert_eq!(of(&story), Action::ScanAnother);
}

#[test]
fn an_old_tag_comes_before_the_rest() {
    let story = good().then("2026-06-01", Event::Tagged { hose: code(1), tag: code(9) });
    let answer = story.scanned(TODAY, Some(code(1)));
    let record = story.record(TODAY);
    assert_eq!(next(&answer, Some(&record)), Action::ScanOwnTag { hose: code(9) });
}

/// A printed tag has a record somewhere; a blank one waits for its hose.
#[test]
fn without_a_record_one_is_imported_or_the_hose_registered() {
    let story = Story::lp("2010-01-01");
    let mut answer = story.answer(TODAY);
    assert_eq!(next(&answer, None), Action::ImportRecord);
    answer.hose.specification = None;
    assert_eq!(next(&answer, None), Action::Register { tag: Some(code(1)) });
}

#[test]
fn everything_that_can_be_done_is_offered_once() {
    let record = |story: &Story| actions(&story.answer(TODAY), &story.record(TODAY));
    let stock = record(&good());
    let words: std::collections::BTreeSet<_> = stock.iter().map(|a| a.in_words()).collect();
    assert_eq!(words.len(), stock.len(), "{stock:?}");
    assert!(!stock.contains(&Action::Swap { hose: code(1) }), "nothing to swap: {stock:?}");
    assert!(!stock.contains(&Action::ReplaceCoupling { hose: code(1) }), "{stock:?}");
    assert!(record(&fitted(good())).contains(&Action::Swap { hose: code(1) }));
    let inflator =
        Story::of(hose(Service::Inflator, Construction::Rubber), "2025-01-10", "2025-01");
    assert!(record(&inflator).contains(&Action::ReplaceCoupling { hose: code(1) }));
    assert_eq!(record(&good().retired("2026-06-01", "cut in half")), []);
}

#[test]
fn what_is_spoken_is_the_verdict_first_and_then_why() {
    let spoken = lines::spoken(&good().quick("2026-06-01", &["run:bulge"]).answer(TODAY));
    assert!(spoken.starts_with("RETIRE. Never to be dived again: cut it through. On"), "{spoken}");
    assert_eq!(
        lines::spoken(&good().answer(TODAY)),
        "READY. Nothing is known against diving this hose."
    );
}

#[test]
fn what_was_seen_before_stands_at_its_place() {
    let spec = hose(Service::SecondStage, Construction::Braided);
    let story = Story::of(spec, "2025-01-10", "2025-01")
        .full("2026-05-01", &["run:strands:2", "end-a:salt"])
        .quick("2026-06-01", &["run:scuff"]);
    let before = |place| lines::seen_before(&story.answer(TODAY), place);
    assert_eq!(before(Place::Run).len(), 2);
    assert!(before(Place::EndA)[0].contains("salt crystals"), "{:?}", before(Place::EndA));
    assert_eq!(before(Place::SealB), Vec::<String>::new());
}
