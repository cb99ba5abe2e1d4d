//! The one thing to do next, by the worst reason, a story a row.

use super::{NextKind, Reason, lines, next};
use crate::event::Event;
use crate::hose::{Construction, End, Service};
use crate::inspection::{Place, Verdict};
use crate::policy::Use;
use crate::story::{Story, code, hose, label};

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

fn of(story: &Story) -> Option<(NextKind, Option<End>)> {
    let record = story.record(TODAY);
    next(&story.answer(TODAY), Some(&record)).map(|next| (next.what, next.end))
}

#[test]
fn the_worst_reason_says_what_is_next() {
    let swapping = |story: Story| {
        let hoses = [story.hose, code(2)];
        let (step, answer) = (label("depressurised"), label("done"));
        let crate::event::Slot { set, port } = crate::story::slot("Heron", "LP1");
        let (loosened, answers) = (false, Vec::new());
        let swapped = Event::Swapped { hoses, set, port, step, answer, loosened, answers };
        story.then("2026-06-01", swapped)
    };
    let rows = [
        (good(), Some((NextKind::QuickLook, None))),
        (fitted(good()), Some((NextKind::QuickLook, None))),
        (Story::lp("2025-01-10"), Some((NextKind::FullInspection, None))),
        (
            good().assembled("2026-06-01", "Heron", Use::Personal).fitted(
                "2026-06-01",
                "Heron",
                "LP1",
                None,
            ),
            Some((NextKind::LeakTest, None)),
        ),
        (fitted(Story::lp("2010-01-01").full("2026-05-01", &[])), Some((NextKind::Swap, None))),
        // In stock there is nothing to swap it for, and age alone is no end.
        (Story::lp("2010-01-01").full("2026-05-01", &[]), None),
        (good().quick("2026-06-01", &["run:bulge"]), Some((NextKind::Retire, None))),
        (fitted(good()).quick("2026-06-01", &["run:bulge"]), Some((NextKind::Swap, None))),
        (good().quick("2026-06-01", &["end-a:salt"]), Some((NextKind::Clean, None))),
        (good().quick("2026-06-01", &["run:cut:cover"]), Some((NextKind::FullInspection, None))),
        (
            good().quick("2026-06-01", &["seal-b:seal-missing"]),
            Some((NextKind::Reseal, Some(End::B))),
        ),
        (
            fitted(good())
                .quick("2026-06-01", &["seal-a:seal-damaged"])
                .resealed("2026-06-02", End::A),
            Some((NextKind::LeakTest, None)),
        ),
        (swapping(fitted(good())), Some((NextKind::TakeUpSwap, None))),
        (good().retired("2026-06-01", "cut in half"), None),
    ];
    for (number, (story, expected)) in rows.into_iter().enumerate() {
        let said = story.told(TODAY);
        assert_eq!(of(&story), expected, "row {number}: {said:?}");
    }
}

#[test]
fn doubt_is_ended_where_something_here_ends_it() {
    use NextKind::{FullInspection, QuickLook, TakeInRecord};
    let record = good().record(TODAY);
    for (code, expected) in [
        ("corrected", FullInspection),
        ("not-believed", FullInspection),
        ("not-all-read", TakeInRecord),
        ("record-gap", TakeInRecord),
        ("record-old", TakeInRecord),
        ("set-contested", QuickLook),
    ] {
        let mut answer = good().answer(TODAY);
        answer.verdict = Verdict::Watch;
        let (code, words) = (code.to_owned(), String::new());
        let reason = Reason { code, verdict: Verdict::Watch, words: words.clone(), todo: words };
        answer.reasons = vec![reason];
        let said = next(&answer, Some(&record)).map(|next| next.what);
        assert_eq!(said, Some(expected), "{}", answer.reasons[0].code);
    }
}

#[test]
fn nothing_is_done_to_what_is_held_after_an_incident() {
    let held = |incident| {
        let story = fitted(good()).quick("2026-06-01", &["run:bulge"]);
        let (hose, why) = (Some(story.hose), label("a diver was hurt"));
        let hoses = Vec::new();
        story.then("2026-06-02", Event::Held { hose, set: None, hoses, why, incident })
    };
    assert_eq!(of(&held(true)), None);
    assert_eq!(of(&held(false)), Some((NextKind::Swap, None)));
}

#[test]
fn an_old_tag_comes_before_the_rest() {
    let story = good().then("2026-06-01", Event::Tagged { hose: code(1), tag: code(9) });
    let answer = story.scanned(TODAY, Some(code(1)));
    let record = story.record(TODAY);
    assert_eq!(next(&answer, Some(&record)).map(|n| n.what), Some(NextKind::ScanOwnTag));
}

#[test]
fn without_a_record_one_is_brought_in_first() {
    let answer = Story::lp("2010-01-01").answer(TODAY);
    assert_eq!(next(&answer, None).map(|n| n.what), Some(NextKind::TakeInRecord));
}

#[test]
fn every_next_thing_has_words() {
    for what in NextKind::ALL {
        for end in [None, Some(End::A), Some(End::B)] {
            assert!(super::Next { what: *what, end }.in_words().len() > 8, "{what}");
        }
    }
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
