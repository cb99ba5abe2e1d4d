//! What is found on a hose, and what ends it. Source: common practice, no source.

use super::tale_tests::{
    HOSE, Tale, braid, codes, described, found, gauge, inspected, open, registered, registration,
    resealed, rubber, tested, withdrawn,
};
use crate::event::{Changes, EntryId, Event, InspectedBefore};
use crate::hose::{End, Origin};
use crate::inspection::{InspectionKind, LeakTest, Look, Verdict};
use crate::journal::Trust;
use crate::measure::TestPressure;
use crate::story::{code, day, label};

/// What is written once an entry is known.
type Writes<'w> = &'w dyn Fn(EntryId) -> Event;

/// A full inspection that says of damage that it is not there.
fn looked_over(gone: &[&str], answers: Vec<EntryId>) -> Event {
    let gone = gone.iter().map(|gone| gone.parse().unwrap_or_else(|e| unreachable!("{e}")));
    let look = Look::of(InspectionKind::Full, vec![]);
    let look = Look { gone: Some(gone.collect()), why: Some(label("felt it")), ..look };
    Event::Inspected { hose: code(HOSE), look, at: None, answers }
}

/// Who may end which finding: named, and of no earlier day than it.
#[test]
fn a_finding_ends_by_what_its_row_says() {
    use InspectionKind::{Full, Quick};
    let ends = |seen: &str, by: Writes<'_>, on: &str| {
        let (mut tale, _) = registered();
        let entry = tale.tell("2026-02-10", found(seen));
        tale.tell(on, by(entry));
        open(&tale).is_empty()
    };
    let full = |entry| looked_over(&["run:cut"], vec![entry]);
    let silent = |entry| inspected(Full, &[], vec![entry]);
    let quick = |entry| inspected(Quick, &[], vec![entry]);
    let blind = |_| inspected(Full, &[], vec![]);
    let cleaned = |entry| Event::Cleaned { hose: code(HOSE), answers: vec![entry] };
    let rows: [(&str, Writes<'_>, &str, bool); 13] = [
        ("run:cut:cover", &full, "2026-02-10", true),
        ("run:cut:cover", &full, "2026-02-09", false),
        ("run:cut:cover", &silent, "2026-02-11", false),
        ("end-a:crack:fine", &full, "2026-02-11", false),
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
    tale.tell("2026-02-03", looked_over(&["run:strands"], vec![seen]));
    assert!(open(&tale).is_empty());
}

#[test]
fn a_seal_is_put_right_by_new_o_rings_at_its_end_and_a_test_that_names_both() {
    for (seen, end) in [
        ("seal-a:seal-damaged", End::A),
        ("end-a:bubbles:joint", End::A),
        ("seal-b:seal-missing", End::B),
        ("end-b:bubbles:joint", End::B),
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

/// What is written now names what is open and of a day not after its own.
#[test]
fn what_is_written_judges_what_its_form_shows() {
    use InspectionKind::{Full, LeakTest, Quick};
    let (mut tale, _) = registered();
    let cut = tale.tell("2026-02-02", found("run:cut:cover"));
    let salt = tale.tell("2026-02-03", found("run:salt"));
    let seal = tale.tell("2026-02-04", found("seal-a:seal-damaged"));
    let reseal = tale.tell("2026-02-05", resealed(End::A));
    let dived =
        tale.tell("2026-02-05", Event::Dived { hoses: codes(&[HOSE]), dives: 1, list: None });
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

/// Of the same damage at the same place the most is asked about, and of as much
/// the last that was seen.
#[test]
fn a_full_inspection_is_asked_about_the_most_and_the_last_of_the_same_damage() {
    type Row = (&'static [(&'static str, &'static str)], &'static [&'static str]);
    let rows: [Row; 8] = [
        (&[("01", "run:strands:2"), ("02", "run:strands:3")], &["run:strands:3 of 02"]),
        (&[("01", "run:strands:3"), ("02", "run:strands:2")], &["run:strands:3 of 01"]),
        (&[("01", "run:strands:2"), ("02", "run:strands:2")], &["run:strands:2 of 02"]),
        (&[("01", "run:cut:cover"), ("02", "run:cut:cover")], &["run:cut:cover of 02"]),
        (
            &[("01", "run:strands:2"), ("02", "run:cut:cover")],
            &["run:cut:cover of 02", "run:strands:2 of 01"],
        ),
        // What retires stays whatever is said; what a cleaning ends is not damage.
        (&[("01", "run:cut:deep"), ("01", "run:salt")], &[]),
        (&[("01", "end-b:bubbles")], &["end-b:bubbles of 01"]),
        (&[("03", "run:cut:cover")], &[]),
    ];
    for (seen, expected) in rows {
        let mut tale = Tale::default();
        tale.tell("2026-01-10", registration(braid(), Origin::default()));
        for (on, seen) in seen {
            tale.tell(&format!("2026-02-{on}"), found(seen));
        }
        let wanted = tale.hose(HOSE).wants_answers(day("2026-02-02"));
        let said: Vec<String> = wanted
            .iter()
            .map(|known| format!("{} of {}", known.seen, known.on.format("%d")))
            .collect();
        assert_eq!(said, expected, "{seen:?}");
    }
}

/// A leak test of earlier programs names nothing: it is of the new O-rings that
/// its own device wrote before it.
#[test]
fn a_test_of_earlier_programs_is_of_what_its_own_device_wrote_before() {
    let before = || {
        let test = Some(LeakTest::new(true, TestPressure::parse("200 bar").ok()));
        let look = Look { test, ..Look::of(InspectionKind::LeakTest, vec![]) };
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
    tale.fork();
    assert_eq!(open(&tale), [seal], "under the same number, so nobody can say which was first");
    apart.device = 2;
    apart.tell("2026-02-03", before());
    assert_eq!(open(&apart), [seal], "by another device");
    // Written up after the test, for a day before it.
    other.tell("2026-02-03", before());
    other.tell("2026-02-02", resealed(End::A));
    assert_eq!(open(&other), [seal], "written after it");
}

/// What a hose cannot have keeps the verdict that it had while nobody had described
/// it: a registration ends no finding, and nor does a description without a reason.
#[test]
fn a_registration_softens_no_finding() {
    let (leaks, strands) = ("end-b:coupling-leaks", "run:strands:4");
    for (seen, verdict) in [(leaks, Verdict::Hold), (strands, Verdict::Retire)] {
        let seen_as = |tale: &Tale| {
            let record = tale.hose(HOSE);
            record.open.first().and_then(|open| record.rule(&open.seen)).map(|rule| rule.verdict)
        };
        let mut tale = Tale::default();
        tale.tell("2026-02-01", found(seen));
        assert_eq!(seen_as(&tale), Some(verdict), "{seen}");
        let entry = tale.tell("2026-02-02", registration(rubber(), Origin::default()));
        assert_eq!(seen_as(&tale), Some(verdict), "{seen}: registered");
        let changes = || Changes { specification: Some(rubber()), ..Changes::default() };
        tale.tell("2026-02-03", described(changes(), None, vec![entry]));
        assert_eq!(seen_as(&tale), Some(verdict), "{seen}: described");
        let reasoned = || described(changes(), Some("looked"), vec![entry]);
        tale.told("2026-02-04", Trust::AddsOnly, reasoned());
        assert_eq!(seen_as(&tale), Some(verdict), "{seen}: described in doubt");
        tale.tell("2026-02-05", reasoned());
        assert_eq!(seen_as(&tale), None, "{seen}: described with a reason");
    }
}
