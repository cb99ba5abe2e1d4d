//! What ends what in the folds: placings, withdrawals, findings, corrections,
//! descriptions and what holds for the fleet. Source: common practice, no source.

use super::tale_tests::{Tale, codes, fitted, removed, withdrawn};
use super::{CorrectedThing, Meant, taken_back};
use crate::event::{
    About, Changes, DescribedBefore, EntryId, Event, FittedBefore, InspectedBefore, OriginField,
    Seat,
};
use crate::hose::{Construction, End, Label, Origin, Service, Specification};
use crate::inspection::{InspectionKind, LeakTest, LeastPressure, Look, Verdict};
use crate::journal::Trust;
use crate::measure::{PartialDate, TestPressure};
use crate::policy::{Change, Scope};
use crate::story::{code, day, hose, label, port_name, set_id, slot};

const HOSE: u64 = 1;

fn rubber() -> Specification {
    hose(Service::SecondStage, Construction::Rubber)
}

fn braid() -> Specification {
    hose(Service::SecondStage, Construction::Braided)
}

fn gauge() -> Specification {
    hose(Service::Gauge, Construction::Rubber)
}

fn registration(specification: Specification, origin: Origin) -> Event {
    Event::Registered { hose: code(HOSE), specification, origin }
}

fn date(text: &str) -> Option<PartialDate> {
    PartialDate::parse(text).ok()
}

/// A hose of which everything is known.
fn known() -> Origin {
    Origin {
        made: date("2020"),
        bought: date("2021"),
        in_service: date("2022"),
        maker: Some(label("Kelpline")),
        lot: Some(label("L-7")),
        ..Origin::default()
    }
}

fn registered() -> (Tale, EntryId) {
    let mut tale = Tale::default();
    let entry = tale.tell("2026-01-10", registration(rubber(), known()));
    (tale, entry)
}

fn described(changes: Changes, why: Option<&str>, answers: Vec<EntryId>) -> Event {
    let why = why.map(label);
    Event::Described { hose: code(HOSE), changes: Box::new(changes), why, answers }
}

fn of_origin(origin: Origin) -> Changes {
    Changes { origin, ..Changes::default() }
}

fn inspected(kind: InspectionKind, seen: &[&str], answers: Vec<EntryId>) -> Event {
    let seen = seen.iter().map(|seen| seen.parse().unwrap_or_else(|e| unreachable!("{e}")));
    let look = Look { kind, findings: seen.collect(), test: None, note: None };
    Event::Inspected { hose: code(HOSE), look, at: None, answers }
}

fn found(seen: &str) -> Event {
    inspected(InspectionKind::Quick, &[seen], vec![])
}

fn tested(passed: bool, pressure: &str, answers: Vec<EntryId>) -> Event {
    let test = Some(LeakTest::new(passed, TestPressure::parse(pressure).ok()));
    let look = Look { kind: InspectionKind::LeakTest, findings: vec![], test, note: None };
    Event::Inspected { hose: code(HOSE), look, at: None, answers }
}

fn resealed(end: End) -> Event {
    Event::Resealed { hose: code(HOSE), end, seal: None }
}

fn open(tale: &Tale) -> Vec<String> {
    tale.hose(HOSE).open.iter().map(|open| open.seen.to_string()).collect()
}

#[test]
fn a_hose_is_where_it_was_put_last_by_who_is_believed() {
    let (mut tale, _) = registered();
    assert_eq!((tale.hose(HOSE).seat, tale.hose(HOSE).first_fitted), (None, None));
    let first = tale.fit("2026-02-01", HOSE, ("Heron", "LP1"));
    tale.told("2026-02-02", Trust::AddsOnly, fitted(HOSE, ("Egret", "LP1"), vec![first]));
    tale.told("2026-02-02", Trust::AddsOnly, removed(HOSE, "Heron", vec![first]));
    let record = tale.hose(HOSE);
    assert_eq!(record.seat, Some(slot("Heron", "LP1")));
    assert_eq!(record.seated_on, Some(day("2026-02-01")));
    // A removal in doubt adds nothing, a fitting in doubt its place.
    let claims: Vec<_> = record.claims.iter().map(|c| (c.slot, c.doubtful)).collect();
    assert_eq!(claims, [(Some(slot("Heron", "LP1")), false), (Some(slot("Egret", "LP1")), true)]);
    assert!(!record.contested());
    let moved = tale.tell("2026-02-03", fitted(HOSE, ("Heron", "LP2"), vec![first]));
    let record = tale.hose(HOSE);
    assert_eq!(record.seat, Some(slot("Heron", "LP2")));
    assert_eq!(record.first_fitted, Some(day("2026-02-01")));
    tale.tell("2026-02-04", removed(HOSE, "Heron", vec![moved]));
    let record = tale.hose(HOSE);
    assert_eq!((record.seat, record.seated_on), (None, Some(day("2026-02-04"))));
    assert!(!record.contested());
    tale.tell("2026-02-05", fitted(HOSE, ("Stork", "LP1"), vec![]));
    assert!(tale.hose(HOSE).contested(), "in stock and in a port");
}

#[test]
fn a_stay_in_a_set_lasts_as_long_as_the_longest_in_it() {
    let (mut tale, _) = registered();
    let stays = |tale: &Tale| {
        let stays = tale.hose(HOSE).stays;
        stays.iter().map(|s| (s.set, s.until.map(|until| until.0))).collect::<Vec<_>>()
    };
    let one = tale.fit("2026-02-01", HOSE, ("Heron", "LP1"));
    let other = tale.fit("2026-02-01", HOSE, ("Heron", "LP2"));
    assert_eq!(stays(&tale), [(set_id("Heron"), None)]);
    tale.tell("2026-02-02", removed(HOSE, "Heron", vec![one]));
    assert_eq!(stays(&tale), [(set_id("Heron"), None)], "one of two lasts");
    tale.tell("2026-02-04", removed(HOSE, "Heron", vec![other]));
    tale.tell("2026-02-03", removed(HOSE, "Heron", vec![other]));
    tale.fit("2026-02-05", HOSE, ("Egret", "LP1"));
    let left = Some(day("2026-02-04"));
    assert_eq!(stays(&tale), [(set_id("Heron"), left), (set_id("Egret"), None)]);
}

#[test]
fn a_confirmation_puts_the_others_of_a_dispute_in_stock() {
    let mut tale = Tale::default();
    let mine = tale.fit("2026-02-01", HOSE, ("Heron", "LP1"));
    let theirs = tale.fit("2026-02-01", 2, ("Heron", "LP1"));
    let (at, sets) = (Some(slot("Heron", "LP1")), vec![set_id("Heron")]);
    let (hose, hoses, answers) = (code(HOSE), codes(&[2]), vec![mine, theirs]);
    tale.tell("2026-02-02", Event::PlaceConfirmed { hose, at, hoses, sets, answers });
    assert_eq!(tale.hose(HOSE).seat, at);
    assert_eq!((tale.hose(2).seat, tale.hose(2).seated_on), (None, Some(day("2026-02-02"))));
    assert!(!tale.hose(2).contested());
}

#[test]
fn a_withdrawal_takes_back_what_it_names_and_can_be_taken_back() {
    let dived = || Event::Dived { hoses: codes(&[HOSE]), dives: 3 };
    let (mut tale, _) = registered();
    let entry = tale.tell("2026-02-01", dived());
    let once = tale.tell("2026-02-02", withdrawn(&[HOSE], &[], vec![entry]));
    assert_eq!(tale.hose(HOSE).dives, 0);
    let said = taken_back(&tale.about_hose(HOSE));
    let said: Vec<_> = said.iter().map(|(id, by)| (*id, by.on, by.by.as_str())).collect();
    assert_eq!(said, [(entry, day("2026-02-02"), "Tern")]);
    let mut doubted = tale.clone();
    let twice = tale.tell("2026-02-03", withdrawn(&[HOSE], &[], vec![once]));
    assert_eq!(tale.hose(HOSE).dives, 3);
    assert_eq!(taken_back(&tale.about_hose(HOSE)).into_keys().collect::<Vec<_>>(), [once]);
    tale.tell("2026-02-04", withdrawn(&[HOSE], &[], vec![twice]));
    assert_eq!(tale.hose(HOSE).dives, 0, "and once more");
    // Doubt about the withdrawal brings what it took away back, as far as it adds.
    doubted.told("2026-02-03", Trust::AddsOnly, withdrawn(&[HOSE], &[], vec![once]));
    assert_eq!(doubted.hose(HOSE).dives, 3);
    assert!(taken_back(&doubted.about_hose(HOSE)).is_empty());
    let (mut tale, _) = registered();
    let entry = tale.tell("2026-02-01", dived());
    tale.told("2026-02-02", Trust::Disbelieved, withdrawn(&[HOSE], &[], vec![entry]));
    assert_eq!(tale.hose(HOSE).dives, 3);
    assert!(taken_back(&tale.about_hose(HOSE)).is_empty());
}

#[test]
fn what_a_withdrawal_in_doubt_names_ends_nothing_any_more() {
    let (mut tale, _) = registered();
    let salt = tale.tell("2026-02-01", found("run:salt"));
    let cleaned = Event::Cleaned { hose: code(HOSE), answers: vec![salt] };
    let cleaning = tale.tell("2026-02-02", cleaned);
    assert!(open(&tale).is_empty());
    tale.told("2026-02-03", Trust::AddsOnly, withdrawn(&[HOSE], &[], vec![cleaning, salt]));
    assert_eq!(open(&tale), ["run:salt"], "what it names stands as a finding all the same");
}

#[test]
fn a_hold_is_released_and_never_withdrawn() {
    let (mut tale, _) = registered();
    let (hose, set, hoses) = (Some(code(HOSE)), None, vec![]);
    let held = Event::Held { hose, set, hoses, why: label("doubted"), incident: false };
    let hold = tale.tell("2026-02-01", held);
    tale.tell("2026-02-02", withdrawn(&[HOSE], &[], vec![hold]));
    assert_eq!(tale.hose(HOSE).holds.len(), 1);
    assert_eq!(tale.hose(HOSE).corrections, []);
}

/// Who may end which finding: named, and of no earlier day than it.
#[test]
fn a_finding_ends_by_what_its_row_says() {
    use InspectionKind::{Full, Quick};
    let ends = |seen: &str, by: &dyn Fn(EntryId) -> Event, on: &str| {
        let (mut tale, _) = registered();
        let entry = tale.tell("2026-02-10", found(seen));
        tale.tell(on, by(entry));
        open(&tale).is_empty()
    };
    let full = |entry| inspected(Full, &[], vec![entry]);
    let quick = |entry| inspected(Quick, &[], vec![entry]);
    let blind = |_| inspected(Full, &[], vec![]);
    let cleaned = |entry| Event::Cleaned { hose: code(HOSE), answers: vec![entry] };
    let rows: [(&str, &dyn Fn(EntryId) -> Event, &str, bool); 11] = [
        ("run:cut:cover", &full, "2026-02-10", true),
        ("run:cut:cover", &full, "2026-02-09", false),
        ("run:cut:cover", &blind, "2026-02-11", false),
        ("run:cut:cover", &quick, "2026-02-11", false),
        ("run:cut:cover", &cleaned, "2026-02-11", false),
        ("run:cut:deep", &full, "2026-02-11", false),
        ("run:salt", &cleaned, "2026-02-10", true),
        ("run:salt", &cleaned, "2026-02-09", false),
        ("run:salt", &full, "2026-02-10", true),
        ("run:salt", &quick, "2026-02-11", false),
        ("seal-a:seal-damaged", &full, "2026-02-11", false),
    ];
    for (number, (seen, by, on, expected)) in rows.into_iter().enumerate() {
        assert_eq!(ends(seen, by, on), expected, "row {number}: {seen} on {on}");
    }
}

#[test]
fn an_open_finding_says_who_saw_what_and_when() {
    let (mut tale, _) = registered();
    let entry = tale.told("2026-02-01", Trust::AddsOnly, found("run:cut:deep"));
    tale.tell("2026-02-02", found("run:bulge"));
    tale.told("2026-01-20", Trust::Disbelieved, found("run:bulge"));
    let record = tale.hose(HOSE);
    let first = &record.open[0];
    assert_eq!((first.entry, first.on, first.by.as_str()), (entry, day("2026-02-01"), "Tern"));
    assert_eq!((record.open.len(), record.condemned), (2, Some(day("2026-02-01"))));
}

#[test]
fn a_finding_that_the_hose_cannot_have_any_more_waits_for_a_full_inspection() {
    let mut tale = Tale::default();
    let first = tale.tell("2026-01-10", registration(braid(), Origin::default()));
    let seen = tale.tell("2026-02-01", found("run:strands:9"));
    assert_eq!(tale.hose(HOSE).condemned, Some(day("2026-02-01")));
    let changes = Changes { specification: Some(rubber()), ..Changes::default() };
    tale.tell("2026-02-02", described(changes, Some("a slip"), vec![first]));
    assert_eq!((open(&tale).len(), tale.hose(HOSE).condemned), (1, None));
    tale.tell("2026-02-03", inspected(InspectionKind::Full, &[], vec![seen]));
    assert!(open(&tale).is_empty());
}

#[test]
fn a_seal_is_put_right_by_new_o_rings_at_its_end_and_a_test_that_names_both() {
    for (seen, end) in [
        ("seal-a:seal-damaged", End::A),
        ("end-a:bubbles", End::A),
        ("seal-b:seal-missing", End::B),
        ("end-b:bubbles", End::B),
    ] {
        let (mut tale, _) = registered();
        let found = tale.tell("2026-02-01", found(seen));
        assert_eq!(tale.hose(HOSE).open[0].resealed, None);
        let mut before = tale.clone();
        let early = before.tell("2026-01-31", resealed(end));
        assert_eq!(before.hose(HOSE).open[0].resealed, None, "{seen}: new before it was found");
        before.tell("2026-02-03", tested(true, "200 bar", vec![found, early]));
        assert_eq!(open(&before), [seen]);
        let mut doubtful = tale.clone();
        doubtful.told("2026-02-02", Trust::AddsOnly, resealed(end));
        doubtful.tell("2026-02-02", resealed(end.other()));
        assert_eq!(doubtful.hose(HOSE).open[0].resealed, None, "{seen}");
        tale.tell("2026-02-02", resealed(end));
        let repair = tale.tell("2026-02-02", resealed(end));
        assert_eq!(tale.hose(HOSE).open[0].resealed, Some(repair), "{seen}: the last");
        let rows = [
            ("both", true, "2026-02-03", "200 bar", vec![found, repair], true),
            ("the finding alone", true, "2026-02-03", "200 bar", vec![found], false),
            ("the repair alone", true, "2026-02-03", "200 bar", vec![repair], false),
            ("failed", false, "2026-02-03", "200 bar", vec![found, repair], false),
            ("too little", true, "2026-02-03", "49 bar", vec![found, repair], false),
            ("before the repair", true, "2026-02-01", "200 bar", vec![found, repair], false),
        ];
        for (what, passed, on, pressure, answers, ends) in rows {
            let mut tale = tale.clone();
            tale.tell(on, tested(passed, pressure, answers));
            assert_eq!(open(&tale).is_empty(), ends, "{seen}, tested: {what}");
        }
    }
    // Only a seal's finding waits for new O-rings.
    let (mut tale, _) = registered();
    tale.tell("2026-02-01", found("seal-a:seal-dirty"));
    tale.tell("2026-02-02", resealed(End::A));
    assert_eq!(tale.hose(HOSE).open[0].resealed, None);
}

#[test]
fn a_leak_test_counts_under_the_pressure_that_the_hose_may_need() {
    let rows = [
        ("low", vec![rubber()], "50 bar", true),
        ("low, too little", vec![rubber()], "49.9 bar", false),
        ("high", vec![gauge()], "150 bar", true),
        ("high, too little", vec![gauge()], "149 bar", false),
        ("either", vec![rubber(), gauge()], "149 bar", false),
        ("nobody said", vec![], "149 bar", false),
        ("nobody said, enough", vec![], "150 bar", true),
    ];
    for (what, kinds, pressure, enough) in rows {
        let mut tale = Tale::default();
        for kind in kinds {
            tale.tell("2026-01-10", registration(kind, Origin::default()));
        }
        let due = tale.tell("2026-02-01", resealed(End::A));
        tale.tell("2026-02-02", tested(true, pressure, vec![due]));
        assert_eq!(tale.hose(HOSE).leak_due.is_empty(), enough, "{what}");
    }
    // What was once said counts, though it was taken back.
    let (mut tale, _) = registered();
    let said = Changes { specification: Some(gauge()), ..Changes::default() };
    let mut disbelieved = tale.clone();
    disbelieved.told("2026-01-11", Trust::Disbelieved, described(said.clone(), None, vec![]));
    let described = tale.tell("2026-01-11", described(said, None, vec![]));
    tale.tell("2026-01-12", withdrawn(&[HOSE], &[], vec![described]));
    for (tale, enough) in [(&mut tale, false), (&mut disbelieved, true)] {
        let due = tale.tell("2026-02-01", resealed(End::A));
        tale.tell("2026-02-02", tested(true, "100 bar", vec![due]));
        assert_eq!(tale.hose(HOSE).leak_due.is_empty(), enough);
    }
}

#[test]
fn strands_have_grown_since_the_last_count_at_that_place() {
    let grown = |earlier: &[(&str, &str)], now: &str| {
        let mut tale = Tale::default();
        tale.tell("2026-01-10", registration(braid(), Origin::default()));
        for (on, seen) in earlier {
            tale.tell(on, found(seen));
        }
        tale.tell("2026-02-01", found(now));
        let open = tale.hose(HOSE).open;
        open.last().and_then(|open| open.grown_from).map(|(n, on)| (n, on.to_string()))
    };
    let from = |n, on: &str| Some((n, on.to_owned()));
    assert_eq!(grown(&[("2026-01-20", "run:strands:1")], "run:strands:2"), from(1, "2026-01-20"));
    let two = [("2026-01-20", "run:strands:1"), ("2026-01-21", "run:strands:2")];
    assert_eq!(grown(&two, "run:strands:3"), from(2, "2026-01-21"));
    for (earlier, now) in [
        (&[("2026-01-20", "run:strands:2")][..], "run:strands:2"),
        (&[("2026-01-20", "run:strands:3")], "run:strands:2"),
        (&[("2026-01-20", "end-a:strands:1")], "run:strands:2"),
        (&[("2026-01-20", "run:scuff")], "run:strands:2"),
        (&[("2026-01-20", "run:salt")], "run:salt"),
        (&[], "run:strands:2"),
    ] {
        assert_eq!(grown(earlier, now), None, "{earlier:?} {now}");
    }
}

/// Each field by itself: what is known stays beside what is said without a
/// reason, and goes with one.
#[test]
fn a_description_changes_the_fields_that_it_names() {
    let other = Origin {
        made: date("2010"),
        bought: date("2011"),
        in_service: date("2012"),
        maker: Some(label("Marrow")),
        lot: Some(label("L-8")),
        ..Origin::default()
    };
    let (mut tale, first) = registered();
    let shown = |tale: &Tale| {
        let record = tale.hose(HOSE);
        let origin = record.origin.clone();
        (origin.made, origin.bought, origin.in_service, origin.maker, origin.lot)
    };
    let of = |o: &Origin| (o.made, o.bought, o.in_service, o.maker.clone(), o.lot.clone());
    assert_eq!((shown(&tale), tale.hose(HOSE).alternatives.made.len()), (of(&known()), 0));
    let beside = tale.clone();
    for (why, answers) in [(None, vec![first]), (Some("read off"), vec![])] {
        let mut tale = beside.clone();
        let entry = tale.tell("2026-02-01", described(of_origin(other.clone()), why, answers));
        let record = tale.hose(HOSE);
        assert_eq!(shown(&tale), of(&other));
        let alternatives = record.alternatives;
        assert_eq!(alternatives.made, [known().made]);
        assert_eq!(alternatives.bought, [known().bought]);
        assert_eq!(alternatives.in_service, [known().in_service]);
        assert_eq!(alternatives.makers, [known().maker]);
        assert_eq!(alternatives.lots, [known().lot]);
        assert!(alternatives.replaced_makers.is_empty() && alternatives.replaced_lots.is_empty());
        assert_eq!(record.descriptions, [first, entry]);
        assert_eq!(record.specification, Some(rubber()));
    }
    tale.tell("2026-02-01", described(of_origin(other.clone()), Some("read off"), vec![first]));
    let alternatives = tale.hose(HOSE).alternatives;
    assert_eq!(shown(&tale), of(&other));
    assert!(alternatives.made.is_empty() && alternatives.lots.is_empty());
    assert_eq!(alternatives.replaced_makers, [label("Kelpline")]);
    assert_eq!(alternatives.replaced_lots, [label("L-7")]);
    // One of a single field leaves the others as they were.
    let mut lot = beside.clone();
    let only = Origin { lot: Some(label("L-8")), ..Origin::default() };
    lot.tell("2026-02-01", described(of_origin(only), Some("read off"), vec![first]));
    assert_eq!(shown(&lot), of(&Origin { lot: Some(label("L-8")), ..known() }));
    assert_eq!(lot.hose(HOSE).alternatives.replaced_lots, [label("L-7")]);
    // What is not known after all.
    let mut unknown = beside.clone();
    let changes = Changes { unknown: OriginField::ALL.to_vec(), ..Changes::default() };
    unknown.tell("2026-02-01", described(changes, Some("another's papers"), vec![first]));
    assert_eq!(shown(&unknown), (None, None, None, None, None));
    // What is in doubt is not shown, and stands beside.
    let mut doubtful = beside;
    let event = described(of_origin(other.clone()), Some("read off"), vec![first]);
    doubtful.told("2026-02-01", Trust::AddsOnly, event);
    assert_eq!(shown(&doubtful), of(&known()));
    assert_eq!(doubtful.hose(HOSE).alternatives.made, [other.made]);
}

#[test]
fn two_registrations_of_one_tag_are_counted_until_one_has_an_identity() {
    let (mut tale, first) = registered();
    let record = tale.hose(HOSE);
    assert_eq!((record.registrations.clone(), record.is_registered()), (vec![first], true));
    assert_eq!(record.registered_at.map(|at| at.time().date_naive()), Some(day("2026-01-10")));
    let second = tale.told("2026-02-01", Trust::AddsOnly, registration(braid(), known()));
    assert_eq!(tale.hose(HOSE).registrations, [first, second]);
    assert_eq!(tale.hose(HOSE).specifications().count(), 2);
    let identified = |answers| Event::Identified { hose: code(HOSE), hoses: [code(9)], answers };
    let mut doubtful = tale.clone();
    doubtful.told("2026-03-01", Trust::AddsOnly, identified([second]));
    assert_eq!(doubtful.hose(HOSE).registrations, [first, second]);
    tale.tell("2026-03-01", identified([second]));
    let record = tale.hose(HOSE);
    assert_eq!((record.registrations.clone(), record.is_registered()), (vec![second], false));
    assert_eq!(record.specification, Some(braid()));
    assert_eq!(record.registered_at.map(|at| at.time().date_naive()), Some(day("2026-02-01")));
}

/// What is taken away is looked at: how bad, by what it was.
#[test]
fn a_withdrawal_is_as_grave_as_what_it_took_away() {
    use InspectionKind::{Full, Quick};
    let retired = || Event::Retired { hose: code(HOSE), why: label("worn") };
    let bound = || Event::Bound { hose: code(HOSE), barcode: label("8710") };
    let dived = || Event::Dived { hoses: codes(&[HOSE]), dives: 3 };
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
        (Event::Dived { hoses: codes(&[HOSE]), dives: 1 }, Some(Verdict::Watch)),
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
fn a_recall_stands_until_it_is_ended_or_dismissed() {
    let recalled = || Event::Recalled { lot: label("L-7"), maker: None, why: label("bad crimps") };
    let mut tale = Tale::default();
    let one = tale.tell("2026-02-01", recalled());
    let other = tale.told("2026-02-02", Trust::Disbelieved, recalled());
    let recalls = |tale: &Tale| {
        tale.fleet().recalls.iter().map(|r| (r.entry, r.disbelieved)).collect::<Vec<_>>()
    };
    assert_eq!(recalls(&tale), [(one, false), (other, true)]);
    assert_eq!(tale.fleet().newest_on, day("2026-02-01"));
    let about = About { fleet: true, ..About::default() };
    let why = label("nobody knows them");
    let mut dismissed = tale.clone();
    dismissed.tell("2026-02-03", Event::Dismissed { about, why, answers: vec![other] });
    assert_eq!(recalls(&dismissed), [(one, false)]);
    tale.tell("2026-02-03", Event::RecallEnded { why: label("over"), answers: [one] });
    assert_eq!(recalls(&tale), [(other, true)]);
}

#[test]
fn limits_in_doubt_count_where_they_are_stricter() {
    let limited = |(low_bar, high_bar)| {
        let limits = Change::of_leak_tests(LeastPressure { low_bar, high_bar });
        let limits = limits.unwrap_or_else(|e| unreachable!("{e}"));
        Event::Limited { scope: Scope::default(), limits }
    };
    let mut tale = Tale::default();
    let least = |tale: &Tale| {
        let least = tale.fleet().least_pressure();
        (least.low_bar, least.high_bar)
    };
    assert_eq!(least(&tale), (50, 150));
    tale.tell("2026-02-01", limited((40, 160)));
    assert_eq!(least(&tale), (40, 160));
    tale.told("2026-02-02", Trust::AddsOnly, limited((45, 100)));
    assert_eq!(least(&tale), (45, 160));
    tale.told("2026-02-03", Trust::Disbelieved, limited((200, 300)));
    assert_eq!(least(&tale), (45, 160));
}

#[test]
fn numbers_are_lost_where_the_owner_says_so() {
    let mut tale = Tale::default();
    let device = crate::device::DeviceId::Unsigned([3; 16]);
    let lost = |missing| Event::GapLost { device, missing, why: label("it sank") };
    tale.told("2026-02-01", Trust::AddsOnly, lost(vec![(1, 2)]));
    assert_eq!(tale.fleet().lost, []);
    tale.tell("2026-02-01", lost(vec![(4, 6)]));
    let said: Vec<_> = tale.fleet().lost.into_iter().map(|l| (l.device, l.missing)).collect();
    assert_eq!(said, [(device, vec![(4, 6)])]);
    tale.unknown("2026-02-02", Trust::Full, "{}");
    tale.unknown("2026-02-03", Trust::Disbelieved, "{}");
    assert_eq!((tale.fleet().unread, tale.fleet().newest_on), (1, day("2026-02-02")));
}

#[test]
fn a_recall_means_what_is_known_to_be_the_same_and_perhaps_what_is_unknown() {
    let text = |text: &str| (!text.is_empty()).then(|| label(text));
    let of =
        |maker: &str, lot: &str| Origin { maker: text(maker), lot: text(lot), ..Origin::default() };
    let lot = label("L-7");
    let maker = label("Kelpline");
    let recall = |maker: Option<&Label>| super::Recall {
        entry: EntryId::new([1; 32]),
        lot: lot.clone(),
        maker: maker.cloned(),
        why: label("bad crimps"),
        on: day("2026-01-01"),
        disbelieved: false,
    };
    let rows = [
        (of("", "l 7"), None, Meant::Yes),
        (of("", "L-8"), None, Meant::No),
        (of("", ""), None, Meant::Perhaps),
        (of("kelpline", "L7"), Some(&maker), Meant::Yes),
        (of("", "L7"), Some(&maker), Meant::Perhaps),
        (of("Marrow", "L7"), Some(&maker), Meant::No),
        (of("Kelpline", "L8"), Some(&maker), Meant::No),
    ];
    for (origin, maker, expected) in rows {
        let said = super::meant((&lot, maker), &origin, &super::Alternatives::default());
        assert_eq!(said, expected, "{origin:?}");
        assert_eq!(said == Meant::Yes, recall(maker).covers(&origin));
        let certain = super::of_lot(&lot, maker, &origin);
        let likely = origin.lot.as_ref().is_some_and(|own: &Label| super::folded(own) == "l7")
            && expected != Meant::No;
        assert_eq!(certain, likely, "{origin:?}");
    }
    let replaced = super::Alternatives {
        replaced_lots: vec![lot.clone()],
        replaced_makers: vec![maker.clone()],
        ..super::Alternatives::default()
    };
    let other = of("Marrow", "L-8");
    assert_eq!(super::meant((&lot, Some(&maker)), &other, &replaced), Meant::Yes);
}

#[test]
fn in_service_counts_from_the_earliest_that_anybody_says() {
    let (mut tale, _) = registered();
    assert_eq!(tale.hose(HOSE).in_service_since(), Some(day("2022-01-01")));
    let earlier = Origin { in_service: date("2021-05"), ..Origin::default() };
    tale.tell("2026-02-01", described(of_origin(earlier), None, vec![]));
    assert_eq!(tale.hose(HOSE).in_service_since(), Some(day("2021-05-01")));
    let mut new = Tale::default();
    new.tell("2026-01-10", registration(rubber(), Origin::default()));
    assert_eq!(new.hose(HOSE).in_service_since(), None);
    let (hose, set, port) = (code(HOSE), set_id("Heron"), port_name("LP1"));
    new.tell("2026-02-03", Event::Fitted { hose, set, port, sets: vec![], answers: vec![] });
    assert_eq!(new.hose(HOSE).in_service_since(), Some(day("2026-02-03")));
}

/// What is written now names what is open and of a day not after its own.
#[test]
fn what_is_written_judges_what_its_form_shows() {
    use InspectionKind::{Full, LeakTest, Quick};
    let (mut tale, _) = registered();
    let cut = tale.tell("2026-02-02", found("run:cut:cover"));
    let salt = tale.tell("2026-02-03", found("run:salt"));
    let seal = tale.tell("2026-02-04", found("seal-a:seal-damaged"));
    let reseal = tale.tell("2026-02-05", resealed(End::A));
    let dived = tale.tell("2026-02-05", Event::Dived { hoses: codes(&[HOSE]), dives: 1 });
    let taken = tale.tell("2026-02-06", withdrawn(&[HOSE], &[], vec![dived]));
    let stranger = tale.told("2026-02-07", Trust::Disbelieved, found("run:kink:set"));
    let record = tale.hose(HOSE);
    let sorted = |mut all: Vec<EntryId>| {
        all.sort_unstable();
        all
    };
    let judged = |kind, on: &str| record.judged_by(kind, day(on));
    assert_eq!(judged(Quick, "2026-03-01"), []);
    assert_eq!(judged(Full, "2026-02-01"), []);
    assert_eq!(judged(Full, "2026-02-02"), [cut]);
    assert_eq!(judged(Full, "2026-02-05"), sorted(vec![cut, salt, seal]));
    assert_eq!(judged(Full, "2026-02-06"), sorted(vec![cut, salt, seal, taken]));
    assert_eq!(judged(Full, "2026-02-07"), sorted(vec![cut, salt, seal, taken, stranger]));
    assert_eq!(judged(LeakTest, "2026-02-03"), []);
    assert_eq!(judged(LeakTest, "2026-02-05"), sorted(vec![seal, reseal]));
    assert_eq!(record.cleaned_by(day("2026-02-02")), []);
    assert_eq!(record.cleaned_by(day("2026-02-03")), [salt]);
}

/// A leak test of earlier programs names nothing: it is of the new O-rings that
/// its own device wrote before it.
#[test]
fn a_test_of_earlier_programs_is_of_what_its_own_device_wrote_before() {
    let before = || {
        let test = Some(LeakTest::new(true, TestPressure::parse("200 bar").ok()));
        let look = Look { kind: InspectionKind::LeakTest, findings: vec![], test, note: None };
        Event::InspectedBefore(InspectedBefore { hose: code(HOSE), look })
    };
    let seal = "seal-a:seal-damaged";
    let (mut tale, _) = registered();
    tale.tell("2026-02-01", found(seal));
    let mut other = tale.clone();
    tale.tell("2026-02-02", resealed(End::A));
    let mut apart = tale.clone();
    tale.tell("2026-02-03", before());
    assert!(open(&tale).is_empty());
    apart.device = 2;
    apart.tell("2026-02-03", before());
    assert_eq!(open(&apart), [seal], "by another device");
    // Written up after the test, for a day before it.
    other.tell("2026-02-03", before());
    other.tell("2026-02-02", resealed(End::A));
    assert_eq!(open(&other), [seal], "written after it");
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

#[test]
fn entries_of_earlier_programs_mean_what_lies_before_them() {
    let fitted = |port, from: Option<&str>| {
        let seat = |port| Seat { set: label("Heron"), port: port_name(port) };
        let (set, port, from) = (label("Heron"), port_name(port), from.map(seat));
        Event::FittedBefore(FittedBefore { hose: code(HOSE), set, port, from })
    };
    let seats = |tale: &Tale| {
        let claims = tale.hose(HOSE).claims;
        claims.iter().filter_map(|c| c.slot).map(|s| s.port.to_string()).collect::<Vec<_>>()
    };
    let (mut tale, _) = registered();
    tale.tell("2026-02-01", fitted("LP1", None));
    assert_eq!(seats(&tale), ["LP1"]);
    tale.tell("2026-02-02", fitted("LP1", Some("LP1")));
    assert_eq!(seats(&tale), ["LP1"], "put back in the same port");
    tale.tell("2026-02-03", fitted("LP2", Some("LP1")));
    assert_eq!(seats(&tale), ["LP2"]);
    tale.tell("2026-02-04", fitted("LP3", Some("LP1")));
    assert_eq!(seats(&tale), ["LP2", "LP3"], "from where it was not");
    // A full inspection ends what was found before it, and not what it found.
    let full = |seen: &str| {
        let seen = seen.parse().unwrap_or_else(|e| unreachable!("{e}"));
        let (kind, findings) = (InspectionKind::Full, vec![seen]);
        let look = Look { kind, findings, test: None, note: None };
        Event::InspectedBefore(InspectedBefore { hose: code(HOSE), look })
    };
    tale.tell("2026-02-05", found("run:kink:springs-back"));
    tale.tell("2026-02-05", full("run:cut:cover"));
    tale.tell("2026-02-05", found("run:salt"));
    assert_eq!(open(&tale), ["run:cut:cover", "run:salt"]);
}

/// A description of earlier programs has no reason: it stands beside the others.
#[test]
fn a_description_of_earlier_programs_stands_beside_the_others() {
    let (mut tale, first) = registered();
    let (hose, specification) = (code(HOSE), braid());
    let before = DescribedBefore { hose, specification, origin: Origin::default() };
    let second = tale.tell("2026-02-01", Event::DescribedBefore(before));
    let record = tale.hose(HOSE);
    assert_eq!(record.descriptions, [first, second]);
    assert_eq!(record.specification, Some(braid()));
    assert_eq!(record.alternatives.specifications, [rubber()]);
    // It is about every field: what it does not name it does not know.
    assert_eq!((record.origin.made, record.alternatives.made), (None, vec![known().made]));
}
