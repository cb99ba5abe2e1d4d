//! An answer in a line each, and what comes next.

use super::asked_tests::{TODAY, good, in_set};
use super::lines;
use crate::hose::{Construction, End, Origin, Service};
use crate::measure::PartialDate;
use crate::policy::Use;
use crate::story::{Story, hose};

#[test]
fn lines_say_what_an_answer_has() {
    let story = in_set(Use::Rental).quick("2026-06-01", &["run:salt", "end-a:salt"]);
    let answer = story.dived("2026-06-01", 1).answer(TODAY);
    assert_eq!(
        lines::age(&answer),
        "1 year 5 months from made (2025-01-10); in service 1 year 5 months"
    );
    let date = |text| PartialDate::parse(text).ok();
    let of = |origin| {
        let spec = hose(Service::SecondStage, Construction::Rubber);
        lines::age(&Story::with_origin(spec, "2026-01-10", origin).answer(TODAY))
    };
    let bought = of(Origin { bought: date("2026-05-15"), ..Origin::default() });
    assert_eq!(
        bought,
        "1 month or more, from bought (2026-05-15); made at an unknown date; never fitted"
    );
    let unknown = of(Origin::default());
    assert_eq!(unknown, "unknown: neither made nor bought date is known; never fitted");
    let today = good().assembled(TODAY, "Heron", Use::Rental).fitted(TODAY, "Heron", "LP1", None);
    assert!(lines::age(&today.answer(TODAY)).ends_with("; in service since today"));
    let looks: Vec<String> = answer.inspections.iter().map(lines::last_look).collect();
    assert_eq!(looks[1], "full on 2026-05-01 by Tern: nothing found");
    assert_eq!(looks[2], "leak test on 2025-01-11 by Tern: passed at 200 bar");
    assert!(looks[0].starts_with("quick on 2026-06-01 by Tern: "), "{}", looks[0]);
    assert!(looks[0].contains("; ") && looks[0].contains("salt crystals"), "{}", looks[0]);
    let failed = in_set(Use::Rental).leak_test_at("2026-06-01", false, None).answer(TODAY);
    let looks: Vec<String> = failed.inspections.iter().map(lines::last_look).collect();
    assert!(looks.contains(&"leak test on 2026-06-01 by Tern: failed".to_owned()), "{looks:?}");
    assert_eq!(lines::dives(answer.dives), "1 dive on record");
    assert_eq!(lines::dives(None), crate::words::NOT_KNOWN_HERE);
    let due = answer.due.first().map(lines::due);
    assert_eq!(due.as_deref(), Some("full inspection by 2026-11-01"));
    assert_eq!(
        lines::freshness(&answer.record),
        "newest entry about it of 2026-06-01; the record has entries of 1 device"
    );
    let mut record = answer.record;
    (record.complete, record.forked, record.devices) = (false, true, 2);
    let said = lines::freshness(&record);
    assert!(said.contains("2 devices; some of a device's entries have not reached it"), "{said}");
    assert!(said.ends_with("; one of them was copied, and both wrote on"), "{said}");
    record.newest_entry = None;
    assert_eq!(lines::freshness(&record), "this device has no record of the hose");
}

/// Of an age between two the older is said; both where the year is in doubt.
#[test]
fn an_age_is_short_and_the_older_one() {
    let rows = [
        ("made 2026-06-15", "Made today", "0 days from made (2026-06-15)"),
        ("made 2026-06", "14 days old", "14 days from made (2026-06)"),
        ("made 2025-10", "8 months old", "8 months from made (2025-10)"),
        ("made 2025-10-14", "8 months old", "8 months from made (2025-10-14)"),
        ("made 2022-04", "4 years 2 months old", "4 years 2 months from made (2022-04)"),
        ("made 2022-Q2", "4 years 2 months old", "4 years 2 months from made (2022-Q2)"),
        ("made 2026", "5 months old", "5 months from made (2026)"),
        ("made 2025", "5 to 17 months old", "5 to 17 months from made (2025)"),
        ("made 2022", "3 to 4 years old", "3 to 4 years from made (2022)"),
        (
            "bought 2025-10",
            "Made at an unknown date, bought 8 months ago",
            "8 months or more, from bought (2025-10); made at an unknown date",
        ),
        (
            "",
            "Age unknown: no made or bought date",
            "unknown: neither made nor bought date is known",
        ),
    ];
    for (known, short, long) in rows {
        let date = |name| known.strip_prefix(name).and_then(|text| PartialDate::parse(text).ok());
        let origin = Origin { made: date("made "), bought: date("bought "), ..Origin::default() };
        let spec = hose(Service::SecondStage, Construction::Rubber);
        let answer = Story::with_origin(spec, "2026-01-10", origin).answer("2026-06-15");
        assert_eq!(lines::old(&answer), short, "{known}");
        assert_eq!(lines::age(&answer), format!("{long}; never fitted"), "{known}");
    }
}

#[test]
fn the_last_look_is_one_line_whatever_its_kind() {
    let said = |story: Story| lines::looked(&story.answer(TODAY));
    assert_eq!(said(good().full("2026-05-01", &[])), "1 May, Tern: nothing found");
    let spec = || hose(Service::SecondStage, Construction::Rubber);
    let last_year = Story::of(spec(), "2025-01-10", "2025-01").full("2025-05-01", &[]);
    assert_eq!(said(last_year), "1 May 2025, Tern: nothing found");
    let salt = said(good().full("2026-05-01", &[]).quick("2026-06-01", &["run:salt"]));
    assert!(salt.starts_with("1 June, Tern: ") && salt.contains("salt crystals"), "{salt}");
    let two = said(good().full("2026-05-01", &["run:salt", "end-a:salt", "end-b:salt"]));
    assert!(two.ends_with(", and 2 more"), "{two}");
    let same_day = said(good().full("2026-05-01", &["run:salt"]).quick("2026-05-01", &[]));
    assert!(same_day.contains("salt crystals"), "{same_day}");
    let tested = said(in_set(Use::Rental).leak_test_at("2026-06-01", false, None));
    assert_eq!(tested, "1 June, Tern: leak test failed");
    let new = said(Story::with_origin(spec(), "2026-01-10", Origin::default()));
    assert_eq!(new, "Inspections: nothing on record");
}

/// Of the same finding at the same place the worst is told, and of two that are as
/// bad the last.
#[test]
fn of_one_finding_the_worst_is_told_and_of_two_alike_the_last() {
    let braid = || {
        Story::of(hose(Service::SecondStage, Construction::Braided), "2025-01-10", "2025-01")
            .full("2026-05-01", &[])
    };
    let rows = [
        ("run:cut:cover", "run:cut:cover", "2026-05-12"),
        ("run:cut:deep", "run:cut:cover", "2026-05-10"),
        ("run:cut:cover", "run:cut:deep", "2026-05-12"),
        ("run:strands:3", "run:strands:2", "2026-05-10"),
        ("run:strands:2", "run:strands:3", "2026-05-12"),
    ];
    for (first, second, told) in rows {
        let story = braid().quick("2026-05-10", &[first]).quick("2026-05-12", &[second]);
        let reasons = story.answer(TODAY).reasons;
        assert_eq!(reasons.len(), 1, "{first}, {second}");
        let words = &reasons[0].words;
        assert!(words.contains(&format!("seen on {told}")), "{first}, {second}: {words}");
    }
    let resealed = |seen: &[&str; 2]| {
        let story = braid().quick("2026-05-10", &seen[..1]).resealed("2026-05-11", End::A);
        story.quick("2026-05-12", &seen[1..]).answer(TODAY).reasons[0].words.clone()
    };
    let words = resealed(&["seal-a:seal-damaged", "seal-a:seal-damaged"]);
    assert!(words.contains("seen on 2026-05-12"), "the one without new O-rings: {words}");
}
