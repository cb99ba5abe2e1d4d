//! The second line of a hose's answer, and what a set's tag answers.

use super::super::SetEdit;
use super::super::rentals::tests::{TODAY, Wharf, good, look, moment, wharf};
use super::*;
use crate::event::Registration;
use crate::hose::{Construction, Origin, Service};
use crate::inspection::{InspectionKind, Verdict};
use crate::story::{code, hose, label};

fn line(wharf: &Wharf, hose: Code) -> crate::answer::SetLine {
    let answer = good(wharf.book.answer(&hose.to_string(), &moment(TODAY)));
    answer.set.unwrap_or_else(|| unreachable!("it is in a set"))
}

/// What is done, the line of the hose in LP2, the set's verdict and the worst hose.
#[test]
fn a_hose_says_how_its_set_stands_and_keeps_its_own_verdict() {
    type Row = (fn(&mut Wharf), &'static str, Verdict, Option<usize>);
    let rows: &[Row] = &[
        (|_| (), "This hose: ready. Set Heron: ready.", Verdict::Ready, None),
        (
            |w| look(&mut w.book, w.heron[1], InspectionKind::Quick, &["run:cut:cover"], TODAY),
            "This hose: ready. Set Heron: watch, LP1.",
            Verdict::Watch,
            Some(1),
        ),
        (
            |w| look(&mut w.book, w.heron[3], InspectionKind::Quick, &["run:bulge"], TODAY),
            "This hose: ready. Set Heron: retire, LP3.",
            Verdict::Retire,
            Some(3),
        ),
        (
            |w| {
                look(
                    &mut w.book,
                    w.heron[2],
                    InspectionKind::Quick,
                    &["seal-a:seal-damaged"],
                    TODAY,
                )
            },
            "This hose: hold. Set Heron: hold, LP2.",
            Verdict::Hold,
            Some(2),
        ),
        (
            |w| good(w.book.hold_set(&label("Heron"), label("doubt"), false, &moment(TODAY))),
            "This hose: hold. Set Heron: hold, the whole set.",
            Verdict::Hold,
            None,
        ),
    ];
    for (change, words, verdict, worst) in rows {
        let mut wharf = wharf();
        change(&mut wharf);
        let told = line(&wharf, wharf.heron[2]);
        assert_eq!((told.words.as_str(), told.verdict), (*words, *verdict));
        assert_eq!(told.worst.map(|hose| hose.code), worst.map(|at| wharf.heron[at]), "{words}");
        // A hose in stock has no such line, and lists do without it.
        let stock = good(wharf.book.answer(&wharf.stock.to_string(), &moment(TODAY)));
        assert_eq!(stock.set, None);
        let alone = crate::logbook::Found { hose: wharf.heron[2], tag: None };
        let alone = good(wharf.book.answer_alone(alone, &moment(TODAY)));
        let whole = good(wharf.book.answer(&wharf.heron[2].to_string(), &moment(TODAY)));
        assert_eq!((alone.verdict, &alone.set), (whole.verdict, &None));
    }
}

fn of_set(wharf: &Wharf, text: &str) -> SetAnswer {
    match good(wharf.book.answered(text, &moment(TODAY))) {
        Answered::Set(answer) => *answer,
        Answered::Hose(answer) => unreachable!("{text} answers for {}", answer.answer.code),
    }
}

#[test]
fn a_sets_tag_answers_the_whole_set() {
    let mut wharf = wharf();
    look(&mut wharf.book, wharf.heron[2], InspectionKind::Quick, &["run:bulge"], TODAY);
    good(wharf.book.hold_set(&label("Heron"), label("doubt"), false, &moment(TODAY)));
    let tag = good(wharf.book.set_tag(&label("Heron")));
    let compact = tag.code().to_string();
    for text in [tag.text(), tag.text().to_lowercase(), compact.clone(), compact[..8].to_owned()] {
        let answer = of_set(&wharf, &text);
        assert_eq!((answer.verdict, answer.code), (Verdict::Retire, tag.code()), "{text}");
        assert_eq!(answer.line(), "Set Heron: retire, LP2.");
        let hoses: Vec<Code> = answer.hoses.iter().map(|hose| hose.code).collect();
        assert_eq!(hoses, wharf.heron, "by port");
        let own: Vec<&str> = answer.reasons.iter().map(|reason| reason.code.as_str()).collect();
        assert_eq!(own, ["held"]);
    }
    let json = serde_json::to_value(of_set(&wharf, &compact)).unwrap_or_default();
    assert_eq!(json["set"]["name"], "Heron");
    assert_eq!(json["set"]["verdict"], "retire");
    assert_eq!(json["set"]["worst"]["code"], wharf.heron[2].to_string());
    assert_eq!(json["set"]["worst"]["port"], "LP2");
    // A hose's tag answers the hose.
    let hose = wharf.heron[0].to_string();
    assert!(matches!(wharf.book.answered(&hose, &moment(TODAY)), Ok(Answered::Hose(_))));
}

#[test]
fn a_sets_tag_that_is_not_known_here_is_on_hold() {
    let wharf = wharf();
    let answer = of_set(&wharf, &TagText::Set(code(900)).text());
    assert_eq!((answer.verdict, answer.set.clone()), (Verdict::Hold, None));
    assert_eq!(answer.reasons[0].code, "tag-only");
    assert!(answer.hoses.is_empty() && answer.line() == "not known here");
}

#[test]
fn a_new_tag_of_a_set_makes_the_old_one_old() {
    let mut wharf = wharf();
    let (set, now) = (label("Heron"), moment(TODAY));
    let old = good(wharf.book.set_tag(&set)).code();
    let blank = good(wharf.book.blank_tags(1))[0];
    assert_eq!(wharf.book.tag_set(&set, Some(blank), None, &now).ok(), Some(blank));
    assert_eq!(good(wharf.book.set_tag(&set)).code(), blank);
    // A blank tag says nothing of what it is on, and answers the set anyway.
    let blank_text = Payload { code: blank, passport: None }.text();
    for text in [blank.to_string(), blank_text, TagText::Set(blank).text()] {
        assert_eq!(of_set(&wharf, &text).verdict, Verdict::Ready, "{text}");
    }
    let answer = of_set(&wharf, &old.to_string());
    assert_eq!((answer.verdict, answer.reasons[0].code.as_str()), (Verdict::Hold, "tag-old"));
    assert!(answer.reasons[0].words.contains(&blank.to_string()), "{:?}", answer.reasons);
    // Neither is ever given again.
    for tag in [old, blank] {
        let again = wharf.book.tag_set(&label("Egret"), Some(tag), None, &now);
        assert!(matches!(again, Err(LogbookError::Naming(NamingError::TagInUse(_)))), "{tag}");
    }
    let early = wharf.book.tag_set(&set, None, Some(crate::story::day("2026-01-01")), &now);
    assert!(matches!(early, Err(LogbookError::Day(DayError::BeforeLastTag { .. }))));
    assert!(good(wharf.book.check(|_, _| ())).sound());
}

/// A set's tag is never given to a hose, and a hose's never to a set.
#[test]
fn tags_of_sets_and_hoses_are_never_mixed() {
    let mut wharf = wharf();
    let now = moment(TODAY);
    let (set, own) = (label("Heron"), wharf.heron[0]);
    let of_set = good(wharf.book.set_tag(&set));
    let given = good(wharf.book.tag_set(&label("Egret"), None, None, &now));
    for tag in [of_set.code(), given] {
        let specification = hose(Service::Gauge, Construction::Rubber);
        let new = Registration { specification, origin: Origin::default(), tag: Some(tag) };
        assert!(matches!(
            wharf.book.register(new, None, &now),
            Err(LogbookError::Naming(NamingError::TagInUse(_)))
        ));
        let retagged = wharf.book.retag(own, Some(tag), None, &now);
        assert!(matches!(retagged, Err(LogbookError::Naming(NamingError::TagInUse(_)))));
        let text = label(&TagText::Set(tag).text());
        let bound = wharf.book.bind(own, text, &now);
        assert!(matches!(bound, Err(LogbookError::Naming(NamingError::BarcodeLikeTag(_)))));
        let bound = wharf.book.bind(own, label(&tag.to_string()), &now);
        assert!(bound.is_err());
        let found = wharf.book.find(&tag.to_string());
        assert!(matches!(found, Err(LogbookError::Naming(NamingError::TagOfSet { .. }))));
        let found = wharf.book.find_typed(&TagText::Set(tag).text());
        assert!(found.is_err_and(|e| e.to_string().contains("tag of a set")));
    }
    let taken = wharf.book.tag_set(&set, Some(own), None, &now);
    assert!(matches!(taken, Err(LogbookError::Naming(NamingError::TagInUse(_)))));
    // At a hand-out it is no hose either.
    let mut scans = wharf.scans();
    scans.push(of_set.text());
    let check = wharf.check(&scans);
    assert!(!check.ready && check.foreign[0].words.contains("tag of a set"), "{check:#?}");
}

#[test]
fn what_is_written_about_a_set_shows_in_its_tags_answer() {
    let mut wharf = wharf();
    let now = moment(TODAY);
    let set = label("Heron");
    let tag = good(wharf.book.set_tag(&set)).code().to_string();
    let edit = SetEdit { name: Some(label("Crane")), ..SetEdit::default() };
    good(wharf.book.change_set(&set, edit, None, &now));
    assert_eq!(of_set(&wharf, &tag).line(), "Set Crane: ready.");
    let history = good(wharf.book.set_tag(&label("Crane")));
    assert_eq!(history.code().to_string(), tag, "the tag is the set's, and not its name's");
    let scans = wharf.scans();
    good(wharf.book.hand_out(&label("Crane"), label("T-1"), &scans, None, None, &now));
    let answer = of_set(&wharf, &tag);
    assert!(answer.out.is_some() && answer.words.contains("T-1"), "{}", answer.words);
}
