//! What is corrected, dismissed or not believed, and how bad that is.
//! Source: common practice, no source.

use super::CorrectedThing;
use super::tale_tests::{
    HOSE, Tale, braid, codes, date, described, fitted, found, gauge, inspected, known, of_origin,
    registered, registration, removed, rubber, tested, withdrawn,
};
use crate::event::{About, Changes, Event};
use crate::hose::{Construction, End, Origin, Service, Specification};
use crate::inspection::{InspectionKind, Verdict};
use crate::journal::Trust;
use crate::story::{code, day, label};

/// What is taken away is looked at: how bad, by what it was.
#[test]
fn a_withdrawal_is_as_grave_as_what_it_took_away() {
    use InspectionKind::{Full, Quick};
    let retired = || Event::Retired { hose: code(HOSE), why: label("worn") };
    let bound = || Event::Bound { hose: code(HOSE), barcode: label("8710") };
    let dived = || Event::Dived { hoses: codes(&[HOSE]), dives: 3, list: None };
    let rows = [
        (retired(), Some(Verdict::Hold)),
        (found("run:bulge"), Some(Verdict::Hold)),
        (found("seal-a:seal-missing"), Some(Verdict::Hold)),
        (found("run:salt"), Some(Verdict::Watch)),
        (inspected(Quick, &[], vec![]), Some(Verdict::Watch)),
        (registration(braid(), known()), Some(Verdict::Hold)),
        (dived(), Some(Verdict::Watch)),
        (bound(), None),
    ];
    for (event, expected) in rows {
        let (mut tale, _) = registered();
        let entry = tale.tell("2026-02-01", event.clone());
        let withdrawal = tale.tell("2026-02-02", withdrawn(&[HOSE], &[], vec![entry]));
        let said: Vec<_> = tale.hose(HOSE).corrections;
        assert_eq!(
            said.iter().map(|c| c.verdict).collect::<Vec<_>>(),
            expected.into_iter().collect::<Vec<_>>(),
            "{event:?}"
        );
        for one in &said {
            let what = (one.entry, one.on, one.by.as_str(), one.why.as_str(), one.what);
            let thing = CorrectedThing::Withdrawal;
            assert_eq!(what, (withdrawal, day("2026-02-02"), "Tern", "a slip", thing));
        }
        let mut looked = tale.clone();
        looked.tell("2026-02-03", inspected(Full, &[], vec![withdrawal]));
        assert_eq!(looked.hose(HOSE).corrections, []);
        tale.tell("2026-02-03", inspected(Full, &[], vec![]));
        assert_eq!(tale.hose(HOSE).corrections.len(), said.len());
    }
    let (mut tale, first) = registered();
    tale.tell("2026-02-02", withdrawn(&[HOSE], &[], vec![first]));
    let of_one: Vec<_> = tale.hose(HOSE).corrections.iter().map(|c| c.verdict).collect();
    assert_eq!(of_one, [Verdict::Watch], "of the only registration");
    let (mut tale, _) = registered();
    let body = format!("{{\"hose\":\"{}\"}}", code(HOSE));
    let unread = tale.unknown("2026-02-01", Trust::Full, &body);
    tale.tell("2026-02-02", withdrawn(&[HOSE], &[], vec![unread]));
    assert_eq!(tale.hose(HOSE).corrections.len(), 1);
}

#[test]
fn a_description_with_a_reason_corrects_what_was_known_otherwise() {
    let origin = |change: fn(&mut Origin)| {
        let mut origin = Origin::default();
        change(&mut origin);
        of_origin(origin)
    };
    let kind = |specification| Changes { specification: Some(specification), ..Changes::default() };
    let longer = || {
        let length =
            crate::measure::HoseLength::parse("90 cm").unwrap_or_else(|e| unreachable!("{e}"));
        let end = |end| rubber().fitting(end).clone();
        let (service, construction) = (Service::SecondStage, Construction::Rubber);
        Specification::new(service, construction, length, end(End::A), end(End::B), false)
            .unwrap_or_else(|e| unreachable!("{e}"))
    };
    let rows = [
        ("made", origin(|o| o.made = date("2019")), Some(Verdict::Watch)),
        ("bought", origin(|o| o.bought = date("2019")), Some(Verdict::Watch)),
        ("in service", origin(|o| o.in_service = date("2019")), Some(Verdict::Watch)),
        ("maker", origin(|o| o.maker = Some(label("Marrow"))), Some(Verdict::Watch)),
        ("lot", origin(|o| o.lot = Some(label("L-8"))), Some(Verdict::Watch)),
        ("made as before", origin(|o| o.made = date("2020")), None),
        ("nothing", origin(|_| ()), None),
        ("another kind", kind(braid()), Some(Verdict::Watch)),
        ("another service", kind(gauge()), Some(Verdict::Watch)),
        ("the same kind", kind(rubber()), None),
        ("its length", kind(longer()), None),
    ];
    for (what, changes, expected) in rows {
        let (mut tale, first) = registered();
        let entry =
            tale.tell("2026-02-01", described(changes.clone(), Some("read off"), vec![first]));
        let said: Vec<_> =
            tale.hose(HOSE).corrections.iter().map(|c| (c.entry, c.verdict)).collect();
        assert_eq!(said, expected.map(|v| (entry, v)).into_iter().collect::<Vec<_>>(), "{what}");
        let (mut doubtful, first) = registered();
        let event = described(changes, Some("read off"), vec![first]);
        doubtful.told("2026-02-01", Trust::AddsOnly, event);
        assert_eq!(doubtful.hose(HOSE).corrections, [], "{what}, in doubt");
    }
    // Filling in what was unknown corrects nothing.
    let mut tale = Tale::default();
    let first = tale.tell("2026-01-10", registration(rubber(), Origin::default()));
    tale.tell("2026-02-01", described(of_origin(known()), Some("read off"), vec![first]));
    assert_eq!(tale.hose(HOSE).corrections, []);
}

/// A kind of hose on which what was seen is less grave: it is held.
#[test]
fn a_description_that_softens_a_finding_holds() {
    let rows = [
        (braid(), "run:strands:4", rubber(), Verdict::Hold),
        (braid(), "run:strands:1", rubber(), Verdict::Watch),
        (rubber(), "run:bubbles:steady", gauge(), Verdict::Watch),
        (rubber(), "run:bulge", braid(), Verdict::Watch),
    ];
    for (from, seen, to, expected) in rows {
        let mut tale = Tale::default();
        let first = tale.tell("2026-01-10", registration(from, Origin::default()));
        tale.tell("2026-01-20", found(seen));
        let changes = Changes { specification: Some(to), ..Changes::default() };
        tale.tell("2026-02-01", described(changes, Some("looked again"), vec![first]));
        let said: Vec<_> = tale.hose(HOSE).corrections.iter().map(|c| c.verdict).collect();
        assert_eq!(said, [expected], "{seen}");
    }
}

/// What is not believed is shown where it would make the answer worse.
#[test]
fn what_is_not_believed_is_shown_where_it_would_be_worse() {
    use InspectionKind::Quick;
    let (hose, why) = (code(HOSE), || label("because"));
    let rows = [
        (Event::Retired { hose, why: why() }, Some(Verdict::Hold)),
        (found("run:bulge"), Some(Verdict::Hold)),
        (found("seal-a:seal-missing"), Some(Verdict::Watch)),
        (found("run:salt"), Some(Verdict::Watch)),
        (found("run:scuff"), None),
        (inspected(Quick, &[], vec![]), None),
        (tested(false, "200 bar", vec![]), Some(Verdict::Watch)),
        (tested(true, "200 bar", vec![]), None),
        (Event::Dived { hoses: codes(&[HOSE]), dives: 1, list: None }, Some(Verdict::Watch)),
        (fitted(HOSE, ("Heron", "LP1"), vec![]), Some(Verdict::Watch)),
        (removed(HOSE, "Heron", vec![]), None),
        (Event::Cleaned { hose, answers: vec![] }, None),
        (Event::CleanedBefore { hose }, None),
        (Event::Bound { hose, barcode: label("8710") }, None),
        (Event::SetAside { hose, lot: label("L-7") }, None),
    ];
    for (event, expected) in rows {
        let (mut tale, _) = registered();
        let entry = tale.told("2026-02-01", Trust::Disbelieved, event.clone());
        let said = tale.hose(HOSE).disbelieved;
        let told: Vec<_> = said.iter().map(|d| (d.entry, d.on, d.verdict)).collect();
        let wanted = expected.map(|verdict| (entry, day("2026-02-01"), verdict));
        assert_eq!(told, wanted.into_iter().collect::<Vec<_>>(), "{event:?}");
        assert!(said.iter().all(|d| d.says.as_deref() == Some(&event) && d.by.as_str() == "Tern"));
        let about = About { hoses: codes(&[HOSE]), ..About::default() };
        let dismissed = Event::Dismissed { about, why: why(), answers: vec![entry] };
        let mut by_stranger = tale.clone();
        by_stranger.told("2026-02-02", Trust::AddsOnly, dismissed.clone());
        assert_eq!(by_stranger.hose(HOSE).disbelieved.len(), said.len());
        assert_eq!(by_stranger.hose(HOSE).corrections, []);
        tale.tell("2026-02-02", dismissed);
        assert_eq!(tale.hose(HOSE).disbelieved, []);
        let left: Vec<_> =
            tale.hose(HOSE).corrections.iter().map(|c| (c.what, c.verdict)).collect();
        let wanted = expected.map(|verdict| (CorrectedThing::Dismissal, verdict));
        assert_eq!(left, wanted.into_iter().collect::<Vec<_>>(), "{event:?}");
    }
    let (mut tale, _) = registered();
    tale.unknown("2026-02-01", Trust::Disbelieved, &format!("{{\"hose\":\"{}\"}}", code(HOSE)));
    let said: Vec<_> =
        tale.hose(HOSE).disbelieved.iter().map(|d| (d.says.is_none(), d.verdict)).collect();
    assert_eq!(said, [(true, Verdict::Watch)]);
}

#[test]
fn a_dismissal_is_as_grave_as_what_it_names_and_nobody_believed() {
    let about = || About { hoses: codes(&[HOSE]), ..About::default() };
    let dismissed = |answers| Event::Dismissed { about: about(), why: label("nobody"), answers };
    let verdicts =
        |tale: &Tale| tale.hose(HOSE).corrections.iter().map(|c| c.verdict).collect::<Vec<_>>();
    let (mut tale, _) = registered();
    tale.told("2026-02-01", Trust::Disbelieved, found("run:bulge"));
    let mild = tale.told("2026-02-01", Trust::Disbelieved, found("run:salt"));
    let believed = tale.tell("2026-02-01", found("run:kink:set"));
    let mut other = tale.clone();
    tale.tell("2026-02-02", dismissed(vec![mild]));
    assert_eq!(verdicts(&tale), [Verdict::Watch]);
    other.tell("2026-02-02", dismissed(vec![believed]));
    assert_eq!(verdicts(&other), []);
}

/// A full inspection ends what is not believed, and a correction, if it names it
/// and is of a day not before it.
#[test]
fn a_full_inspection_looks_at_what_it_names_of_days_not_after_its_own() {
    use InspectionKind::{Full, Quick};
    let rows = [
        ("named", Full, true, "2026-02-01", 0),
        ("not named", Full, false, "2026-02-02", 1),
        ("of an earlier day", Full, true, "2026-01-31", 1),
        ("a quick one", Quick, true, "2026-02-02", 1),
    ];
    for (what, kind, named, on, left) in rows {
        let (mut tale, _) = registered();
        let entry = tale.told("2026-02-01", Trust::Disbelieved, found("run:bulge"));
        let answers = if named { vec![entry] } else { vec![] };
        tale.tell(on, inspected(kind, &[], answers));
        assert_eq!(tale.hose(HOSE).disbelieved.len(), left, "{what}");
        let (mut tale, _) = registered();
        let seen = tale.tell("2026-01-20", found("run:bulge"));
        let entry = tale.tell("2026-02-01", withdrawn(&[HOSE], &[], vec![seen]));
        let answers = if named { vec![entry] } else { vec![] };
        tale.tell(on, inspected(kind, &[], answers));
        assert_eq!(tale.hose(HOSE).corrections.len(), left, "{what}: a correction");
    }
}
