//! How findings are written, asked for and refused.

use super::tests::hose;
use super::{
    Checkpoint, Ends, Finding, FindingError, Form, Grade, GradeWord, Graded, InspectionKind,
    LeakTest, LeastPressure, Observation, OnHose, Place, Where, rule_for, rules_at,
};
use crate::hose::{Construction, Prose, Service};

fn seen(text: &str) -> Observation {
    text.parse().unwrap_or_else(|e| unreachable!("{e}"))
}

#[test]
fn what_is_found_of_an_o_ring_is_of_its_seal() {
    for finding in ["seal-missing", "seal-damaged", "seal-dirty"] {
        for (typed, place) in [
            ("end-a", Place::SealA),
            ("end-b", Place::SealB),
            ("seal-a", Place::SealA),
            ("seal-b", Place::SealB),
        ] {
            let read = seen(&format!("{typed}:{finding}"));
            assert_eq!(read.place(), place, "{typed}:{finding}");
            assert_eq!(read.to_string(), format!("{place}:{finding}"));
        }
    }
    assert_eq!(seen("end-a:salt").place(), Place::EndA);
    assert_eq!(seen("end-b:salt").place(), Place::EndB);
}

#[test]
fn a_count_is_a_number_and_no_word() {
    assert_eq!((seen("run:strands:2").count(), seen("run:cut:cover").count()), (Some(2), None));
    assert_eq!(seen("run:scuff").count(), None);
    assert_eq!(seen("run:strands:2").grade(), Some(Grade::Count(2)));
    assert_eq!(seen("run:cut:cover").grade(), Some(Grade::Word(GradeWord::Cover)));
    assert_eq!(String::from(seen(" run : strands : 2 ")), "run:strands:2");
    assert_eq!(Observation::try_from("run:scuff".to_owned()), Ok(seen("run:scuff")));
}

#[test]
fn a_row_holds_where_and_on_what_it_says() {
    use Place::{EndA, EndB, Run, SealA, SealB};
    let rows = [
        (Where::Run, vec![Run], "run"),
        (Where::Ends, vec![EndA, EndB], "ends"),
        (Where::Cover, vec![Run, EndA, EndB], "run and ends"),
        (Where::Seals, vec![SealA, SealB], "seals"),
        (Where::Anywhere, vec![Run, EndA, EndB, SealA, SealB], "anywhere"),
    ];
    for (at, places, words) in rows {
        let has: Vec<Place> = Place::ALL.iter().copied().filter(|p| at.has(*p)).collect();
        assert_eq!((has, at.in_words()), (places, words));
    }
    let (rubber, braided) = (Construction::Rubber, Construction::Braided);
    let kinds = [
        (Service::SecondStage, rubber),
        (Service::SecondStage, braided),
        (Service::Gauge, rubber),
        (Service::Gauge, braided),
    ];
    let rows = [
        (OnHose::Any, [true; 4], "any hose"),
        (OnHose::Braided, [false, true, false, true], "braided"),
        (OnHose::Pinpricked, [false, false, true, false], "HP rubber"),
        (OnHose::NotPinpricked, [true, true, false, true], "all but HP rubber"),
    ];
    for (on, expected, words) in rows {
        let has = kinds.map(|(service, made)| on.has(Some(&hose(service, made, false))));
        assert_eq!((has, on.in_words()), (expected, words));
        assert!(on.has(None), "a hose that nobody has described may be any");
    }
}

#[test]
fn grades_are_read_as_people_say_them() {
    let rows = [
        (Graded::Plain, ""),
        (Graded::Any, "any"),
        (Graded::Word(GradeWord::Deep), "deep"),
        (Graded::Count(0, 0), "0"),
        (Graded::Count(1, 3), "1 to 3"),
        (Graded::Count(4, u32::MAX), "more than 3"),
    ];
    for (grade, words) in rows {
        assert_eq!(grade.in_words(), words);
    }
}

/// Of a hose that nobody has described the worst row that could hold is taken.
#[test]
fn an_unknown_hose_is_taken_at_its_worst() {
    let steady = Some(Grade::Word(GradeWord::Steady));
    let rule = rule_for(None, Place::Run, Finding::Bubbles, steady);
    assert_eq!(rule.map(|rule| rule.verdict), Ok(super::Verdict::Retire));
    assert_eq!(rules_at(None, Place::SealA, Finding::Cut).count(), 0);
    let lp = hose(Service::SecondStage, Construction::Rubber, false);
    assert_eq!(rules_at(Some(&lp), Place::Run, Finding::Cut).count(), 2);
    assert_eq!(rules_at(Some(&lp), Place::Run, Finding::Strands).count(), 0);
    // Without a grade the refusal is of the hose as well, if it has no row.
    let refused = rule_for(Some(&lp), Place::Run, Finding::Weep, None);
    assert!(matches!(refused, Err(FindingError::NotOnThisHose { .. })), "{refused:?}");
    let refused = rule_for(Some(&lp), Place::Run, Finding::Cut, Some(Grade::Count(1)));
    assert!(matches!(refused, Err(FindingError::Grade { .. })), "{refused:?}");
}

#[test]
fn a_form_keeps_what_was_found_tested_and_noted() {
    let lp = hose(Service::SecondStage, Construction::Rubber, true);
    let mut form = Form::new(InspectionKind::LeakTest, &lp);
    assert_eq!(form.open(), [], "a leak test asks for no checkpoint");
    let note = Prose::new("a note", "in the pool").unwrap_or_else(|e| unreachable!("{e}"));
    form.note(note.clone());
    form.tested(LeakTest::new(false, None));
    assert_eq!(form.found(seen("end-a:bubbles")), Ok(()));
    assert_eq!(form.found(seen("end-b:bubbles")), Ok(()), "the same at another place");
    let twice = form.found(seen("end-b:bubbles"));
    assert_eq!(twice, Err(FindingError::Twice("end-b:bubbles".to_owned())));
    let look = form.finish().unwrap_or_else(|e| unreachable!("{e}"));
    assert_eq!((look.kind, look.note), (InspectionKind::LeakTest, Some(note)));
    assert_eq!(look.findings, [seen("end-a:bubbles"), seen("end-b:bubbles")]);
    assert_eq!(look.test, Some(LeakTest::new(false, None)));
    assert_eq!(LeastPressure::default(), LeastPressure { low_bar: 50, high_bar: 150 });
    // Each place that is found at counts as looked at.
    let mut full = Form::new(InspectionKind::Full, &lp);
    for (text, left) in [("run:scuff", 5), ("end-a:salt", 4), ("end-b:salt", 3), ("seal-a:salt", 2)]
    {
        assert_eq!(full.found(seen(text)), Ok(()));
        assert_eq!(full.open().len(), left, "{text}");
    }
    assert_eq!(full.open(), [Checkpoint::Protector, Checkpoint::SealB]);
    full.clear_rest();
    assert_eq!(full.open(), []);
    let mut braided = Form::new(InspectionKind::Quick, &lp);
    assert!(braided.found(seen("run:strands:2")).is_err());
}

#[test]
fn each_checkpoint_says_what_to_do_and_where() {
    for (checkpoint, place, word) in [
        (Checkpoint::Protector, None, "protector"),
        (Checkpoint::Run, Some(Place::Run), "whole length"),
        (Checkpoint::EndA, Some(Place::EndA), "first-stage end"),
        (Checkpoint::EndB, Some(Place::EndB), "far end"),
        (Checkpoint::SealA, Some(Place::SealA), "O-ring at the first stage"),
        (Checkpoint::SealB, Some(Place::SealB), "O-ring at the far end"),
    ] {
        assert_eq!(checkpoint.place(), place);
        let todo = checkpoint.todo(&hose(Service::SecondStage, Construction::Rubber, false));
        assert!(todo.contains(word), "{todo}");
    }
    // A coupling is connected and disconnected.
    let far = |service| Checkpoint::EndB.todo(&hose(service, Construction::Rubber, false));
    assert!(far(Service::Inflator).contains("coupling"));
    assert!(!far(Service::SecondStage).contains("coupling"));
}

#[test]
fn what_ends_a_finding_is_said_in_words() {
    for (ends, words) in [
        (Ends::Never, "nothing"),
        (Ends::FullInspection, "a full inspection"),
        (Ends::Cleaning, "cleaning; a full inspection"),
        (Ends::ResealAndTest, "new O-rings there, then a passed leak test"),
        (Ends::CouplingAndTest, "a new valve core or coupling, then a passed leak test"),
        (Ends::OnceSaid, "a full inspection that says joint or sleeve"),
    ] {
        assert_eq!(ends.in_words(), words);
    }
}
