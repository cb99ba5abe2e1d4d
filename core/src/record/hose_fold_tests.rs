//! What a hose comes to, rule by rule. Source: common practice, no source.

use super::tale_tests::{Tale, codes, fitted, photograph, swapped, withdrawn};
use crate::event::{EntryId, Event, FittedBefore, InspectedBefore, PlaceConfirmed, Seat};
use crate::hose::{Construction, End, Origin, Service};
use crate::inspection::{InspectionKind, LeakTest, Look, Place};
use crate::journal::Trust;
use crate::measure::TestPressure;
use crate::record::{LeakDueBecause, fold_hose};
use crate::story::{code, day, hose, label, port_name, set_id, slot};

pub(super) const HOSE: u64 = 1;

pub(super) fn registered() -> Tale {
    let mut tale = Tale::default();
    tale.tell("2026-01-10", registration());
    tale
}

fn registration() -> Event {
    let specification = hose(Service::SecondStage, Construction::Rubber);
    Event::Registered { hose: code(HOSE), specification, origin: Origin::default() }
}

fn look(kind: InspectionKind, seen: &[&str]) -> Look {
    let seen = seen.iter().map(|seen| seen.parse().unwrap_or_else(|e| unreachable!("{e}")));
    Look::of(kind, seen.collect())
}

pub(super) fn inspected(kind: InspectionKind, seen: &[&str], answers: Vec<EntryId>) -> Event {
    Event::Inspected { hose: code(HOSE), look: look(kind, seen), at: None, answers }
}

fn tested(passed: bool, pressure: Option<&str>, answers: Vec<EntryId>) -> Event {
    let pressure = pressure.and_then(|text| TestPressure::parse(text).ok());
    let test = Some(LeakTest::new(passed, pressure));
    let look = Look { test, ..look(InspectionKind::LeakTest, &[]) };
    Event::Inspected { hose: code(HOSE), look, at: None, answers }
}

fn tagged(tag: u64) -> Event {
    Event::Tagged { hose: code(HOSE), tag: code(tag) }
}

#[test]
fn without_entries_there_is_no_hose() {
    assert_eq!(fold_hose(code(HOSE), &[]), None);
}

#[test]
fn what_is_bound_set_aside_or_checked_off_is_kept_once() {
    let mut tale = registered();
    let bound = |text: &str| Event::Bound { hose: code(HOSE), barcode: label(text) };
    for text in ["8710", "8711", "8710"] {
        tale.tell("2026-02-01", bound(text));
    }
    tale.told("2026-02-01", Trust::Disbelieved, bound("8712"));
    assert_eq!(tale.hose(HOSE).barcodes, [label("8710"), label("8711")]);
    let aside = |lot: &str| Event::SetAside { hose: code(HOSE), lot: label(lot) };
    let other = tale.tell("2026-02-02", aside("L-7"));
    tale.tell("2026-02-02", aside("L-7"));
    tale.told("2026-02-02", Trust::AddsOnly, aside("L-8"));
    assert_eq!(tale.hose(HOSE).set_aside, [label("L-7")]);
    let off = || {
        let why = label("another lot");
        Event::CheckedOff { hose: code(HOSE), why, answers: [other] }
    };
    tale.told("2026-02-03", Trust::AddsOnly, off());
    assert_eq!(tale.hose(HOSE).checked_off, []);
    tale.tell("2026-02-03", off());
    assert_eq!(tale.hose(HOSE).checked_off, [other]);
    let aside_for = || Event::SetAsideFor { hose: code(HOSE), answers: [other] };
    tale.told("2026-02-04", Trust::AddsOnly, aside_for());
    assert_eq!(tale.hose(HOSE).set_aside_for, []);
    tale.tell("2026-02-04", aside_for());
    assert_eq!(tale.hose(HOSE).set_aside_for, [other]);
}

#[test]
fn the_first_retirement_is_the_one_that_is_told() {
    let mut tale = registered();
    let retired = |why: &str| Event::Retired { hose: code(HOSE), why: label(why) };
    tale.told("2026-02-01", Trust::Disbelieved, retired("nobody knows"));
    assert_eq!(tale.hose(HOSE).retired, None);
    let first = tale.told("2026-02-02", Trust::AddsOnly, retired("cut in half"));
    tale.tell("2026-02-03", retired("found in the bin"));
    let end = tale.hose(HOSE).retired;
    let said = end.map(|end| (end.entry, end.on, end.by, end.why));
    assert_eq!(said, Some((first, day("2026-02-02"), label("Tern"), label("cut in half"))));
}

#[test]
fn the_last_inspection_of_each_kind_is_kept() {
    use InspectionKind::{Full, LeakTest, Quick};
    let mut tale = registered();
    tale.tell("2026-02-01", tested(true, Some("200 bar"), vec![]));
    tale.tell("2026-02-02", inspected(Full, &["run:scuff"], vec![]));
    tale.tell("2026-02-03", inspected(Quick, &[], vec![]));
    let before = InspectedBefore { hose: code(HOSE), look: look(Full, &[]) };
    tale.tell("2026-02-04", Event::InspectedBefore(before));
    // What is in doubt is no inspection.
    tale.told("2026-02-05", Trust::AddsOnly, inspected(Full, &["run:scuff"], vec![]));
    let record = tale.hose(HOSE);
    let seen: Vec<_> =
        record.seen.iter().map(|seen| (seen.look.kind, seen.on, seen.by.as_str())).collect();
    assert_eq!(
        seen,
        [
            (Quick, day("2026-02-03"), "Tern"),
            (Full, day("2026-02-04"), "Tern"),
            (LeakTest, day("2026-02-01"), "Tern"),
        ]
    );
    assert_eq!(record.last(Full).map(|seen| seen.on), Some(day("2026-02-04")));
    assert_eq!((record.newest_on, record.unread), (day("2026-02-05"), 0));
}

#[test]
fn a_photograph_is_of_the_last_inspection_of_its_kind_on_its_day() {
    use InspectionKind::{Full, LeakTest, Quick};
    let rows = [
        (Full, "2026-02-02", Trust::Full, vec![Full]),
        (Quick, "2026-02-02", Trust::Full, vec![Quick]),
        (LeakTest, "2026-02-02", Trust::Full, vec![]),
        (Full, "2026-02-03", Trust::Full, vec![]),
        (Full, "2026-02-02", Trust::Disbelieved, vec![]),
    ];
    for (kind, on, trust, expected) in rows {
        let mut tale = registered();
        tale.tell("2026-02-01", inspected(Full, &["run:scuff"], vec![]));
        for seen in [Full, Quick] {
            tale.tell("2026-02-02", inspected(seen, &["run:scuff"], vec![]));
        }
        let (place, photograph) = (Place::Run, photograph());
        let name = photograph.name();
        let (hose, inspection) = (code(HOSE), kind);
        tale.told(on, trust, Event::Photographed { hose, inspection, place, photograph });
        let seen = tale.hose(HOSE).seen;
        let with = seen.iter().filter(|seen| seen.photographs.get(&place) == Some(&name));
        let with: Vec<InspectionKind> = with.map(|seen| seen.look.kind).collect();
        assert_eq!(with, expected, "{kind} on {on}, {trust:?}");
    }
}

#[test]
fn a_full_inspection_keeps_what_it_looked_at_in_other_records() {
    let mut tale = registered();
    let own = tale.tell("2026-02-01", inspected(InspectionKind::Quick, &["run:salt"], vec![]));
    // A change of its set, which is not about the hose.
    let foreign = Tale::default().made("2026-02-01", "Heron", crate::policy::Use::Rental);
    tale.tell("2026-02-02", inspected(InspectionKind::Quick, &[], vec![own, foreign]));
    assert_eq!(tale.hose(HOSE).looked_at, []);
    tale.tell("2026-02-02", inspected(InspectionKind::Full, &[], vec![own, foreign]));
    assert_eq!(tale.hose(HOSE).looked_at, [(foreign, day("2026-02-02"))]);
}

#[test]
fn a_hose_has_the_tag_that_it_got_last() {
    let mut tale = registered();
    let tags = |tale: &Tale| {
        let tags = tale.hose(HOSE).tags;
        let since = |on: chrono::NaiveDate| on.to_string()[5..].to_owned();
        tags.into_iter()
            .map(|tag| (tag.code, since(tag.since), tag.withdrawn.map(since)))
            .collect::<Vec<_>>()
    };
    let some = |text: &str| Some(text.to_owned());
    assert_eq!(tags(&tale), [(code(HOSE), "01-10".to_owned(), None)]);
    tale.tell("2026-02-01", tagged(5));
    tale.told("2026-02-02", Trust::Disbelieved, tagged(7));
    assert_eq!(
        tags(&tale),
        [(code(HOSE), "01-10".to_owned(), some("02-01")), (code(5), "02-01".to_owned(), None)]
    );
    assert_eq!(tale.hose(HOSE).tag(), code(5));
    // The same again is no other.
    tale.tell("2026-02-03", tagged(5));
    assert_eq!(tags(&tale)[1], (code(5), "02-01".to_owned(), None));
    tale.tell("2026-02-04", tagged(6));
    tale.tell("2026-02-05", tagged(5));
    // A tag never becomes its own again; the one given last is last.
    assert_eq!(
        tags(&tale),
        [
            (code(HOSE), "01-10".to_owned(), some("02-01")),
            (code(6), "02-04".to_owned(), some("02-05")),
            (code(5), "02-01".to_owned(), some("02-04")),
        ]
    );
    // One that got an identity of its own has its tag from then on.
    let mut identified = Tale::default();
    let (hoses, answers) = ([code(9)], [tale.tell("2026-02-06", registration())]);
    identified.tell("2026-03-01", Event::Identified { hose: code(HOSE), hoses, answers });
    assert_eq!(tags(&identified), [(code(HOSE), "03-01".to_owned(), None)]);
}

/// What makes a leak test due, and why; each is ended by the test that names it.
#[test]
fn a_leak_test_is_due_after_whatever_may_have_loosened_a_seal() {
    use LeakDueBecause::{Failed, Fitted, Loosened, Moved, Resealed};
    let seat = |set: &str| Some(Seat { set: label(set), port: port_name("LP1") });
    let before =
        |from| FittedBefore { hose: code(HOSE), set: label("Heron"), port: port_name("LP2"), from };
    let confirmed = |hose, at| {
        let (hoses, sets) = (codes(&[HOSE]), vec![set_id("Heron")]);
        Event::PlaceConfirmed(PlaceConfirmed { hose: code(hose), at, hoses, sets, answers: vec![] })
    };
    let at = slot("Heron", "LP1");
    let rows = [
        ("fitted", fitted(HOSE, ("Heron", "LP1"), vec![]), Some(Fitted)),
        ("fitted, earlier", Event::FittedBefore(before(None)), Some(Fitted)),
        ("moved, earlier", Event::FittedBefore(before(seat("Heron"))), Some(Moved)),
        ("found in a port", confirmed(HOSE, Some(at)), Some(Fitted)),
        ("found in stock", confirmed(HOSE, None), None),
        ("another hose found there", confirmed(2, Some(at)), None),
        (
            "new O-rings",
            Event::Resealed { hose: code(HOSE), end: End::A, seal: None },
            Some(Resealed),
        ),
        ("loosened", swapped((HOSE, 2), at, "end", true, vec![]), Some(Loosened)),
        ("a swap's end", swapped((HOSE, 2), at, "end", false, vec![]), None),
        ("failed", tested(false, Some("200 bar"), vec![]), Some(Failed)),
        ("passed", tested(true, Some("200 bar"), vec![]), None),
        ("looked over", inspected(InspectionKind::Quick, &[], vec![]), None),
        ("retired", Event::Retired { hose: code(HOSE), why: label("worn") }, None),
    ];
    for (what, event, expected) in rows {
        let mut tale = registered();
        let mut disbelieved = tale.clone();
        let entry = tale.tell("2026-02-01", event.clone());
        disbelieved.told("2026-02-01", Trust::Disbelieved, event);
        assert_eq!(disbelieved.hose(HOSE).leak_due, [], "{what}");
        let due = tale.hose(HOSE).leak_due;
        let said: Vec<_> = due.iter().map(|due| (due.entry, due.since, due.because)).collect();
        let wanted: Vec<_> =
            expected.into_iter().map(|because| (entry, day("2026-02-01"), because)).collect();
        assert_eq!(said, wanted, "{what}");
        let tests = [
            ("named", true, Some("50 bar"), vec![entry], true),
            ("not named", true, Some("200 bar"), vec![], false),
            ("failed", false, Some("200 bar"), vec![entry], false),
            ("under too little", true, Some("49 bar"), vec![entry], false),
            ("under nobody knows what", true, None, vec![entry], false),
        ];
        for (how, passed, pressure, answers, ends) in tests {
            let mut tale = tale.clone();
            tale.tell("2026-02-02", tested(passed, pressure, answers));
            let left = tale.hose(HOSE).leak_due;
            let left = left.iter().any(|due| due.entry == entry);
            assert_eq!(left, expected.is_some() && !ends, "{what}, then tested: {how}");
        }
    }
}

#[test]
fn a_test_of_an_earlier_day_is_not_of_what_came_after() {
    let mut tale = registered();
    let entry = tale.fit("2026-02-02", HOSE, ("Heron", "LP1"));
    tale.tell("2026-02-01", tested(true, Some("200 bar"), vec![entry]));
    assert_eq!(tale.hose(HOSE).leak_due.len(), 1);
}

#[test]
fn what_is_withdrawn_is_forgotten_and_what_nobody_can_read_is_counted() {
    let mut tale = registered();
    let dived = Event::Dived { hoses: codes(&[HOSE]), dives: 3, list: None };
    let entry = tale.tell("2026-02-01", dived);
    let body = format!("{{\"hose\":\"{}\"}}", code(HOSE));
    tale.unknown("2026-02-01", Trust::Full, &body);
    tale.unknown("2026-02-02", Trust::Disbelieved, &body);
    assert_eq!((tale.hose(HOSE).unread, tale.hose(HOSE).dives), (1, 3));
    assert_eq!(tale.hose(HOSE).newest_on, day("2026-02-01"));
    tale.tell("2026-02-03", withdrawn(&[HOSE], &[], vec![entry]));
    assert_eq!(tale.hose(HOSE).dives, 0);
    assert_eq!(tale.hose(HOSE).newest_at.time().date_naive(), day("2026-02-03"));
}
