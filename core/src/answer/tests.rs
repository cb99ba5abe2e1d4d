//! Sections 3, 4 and 5 of the trade's rules, row by row, at their borders.
//! Source: common practice, no source; the calendar as python-dateutil adds.

use super::REASONS;
use crate::event::{Event, PlaceConfirmed};
use crate::hose::{Construction, Origin, Service};
use crate::inspection::Verdict::{self, Hold, Ready, Retire, Watch};
use crate::measure::PartialDate;
use crate::policy::{Change, Scope, Use};
use crate::story::{Story, code, day, hose, label, set_id};

/// A hose that nothing is known against on 2026-06-15.
pub(super) fn good() -> Story {
    Story::lp("2025-01-10").full("2026-05-01", &[])
}

pub(super) fn in_set(story: Story, in_use: Use) -> Story {
    story
        .assembled("2025-01-11", "Heron", in_use)
        .fitted("2025-01-11", "Heron", "LP1", None)
        .leak_test("2025-01-11", true)
}

pub(super) const TODAY: &str = "2026-06-15";

#[test]
fn nothing_against_it_is_ready() {
    assert_eq!(good().told(TODAY), (Ready, vec![]));
    assert_eq!(in_set(good(), Use::Rental).told(TODAY), (Ready, vec![]));
}

/// Each row of section 3: a story in which it holds, its verdict for a hose in
/// personal use and in a rental set, and that it is in the table.
#[test]
fn every_reason_has_its_verdict() {
    let hp = hose(Service::Gauge, Construction::Rubber);
    let recall = |story: Story| {
        let (lot, why) = (label("L-7"), label("sleeves crimped off centre"));
        story.then("2026-01-01", Event::Recalled { lot, maker: None, why })
    };
    let of_lot = || {
        let made = PartialDate::parse("2025-01").ok();
        let origin = Origin { made, lot: Some(label("l-7")), ..Origin::default() };
        let spec = hose(Service::SecondStage, Construction::Rubber);
        Story::with_origin(spec, "2025-01-10", origin).full("2026-05-01", &[])
    };
    let unread = |story: Story| {
        let mut story = story;
        let body = format!("{{\"hose\":\"{}\"}}", story.hose);
        story.written("2026-05-05", "polished", 1, body);
        story
    };
    let rows: Vec<(&str, Story, Verdict, Verdict)> = vec![
        ("age-over", Story::lp("2010-01-01").full("2026-05-01", &[]), Hold, Hold),
        ("age-near", Story::lp("2016-07-15").full("2026-05-01", &[]), Watch, Watch),
        (
            "age-unknown",
            Story::of(hp.clone(), "2025-01-10", "").full("2026-05-01", &[]),
            Watch,
            Watch,
        ),
        ("inspection-never", Story::lp("2025-01-10"), Hold, Hold),
        ("inspection-over", Story::lp("2024-01-10").full("2025-06-01", &[]), Watch, Hold),
        ("recalled", recall(of_lot()), Hold, Hold),
        ("retired", good().retired("2026-06-01", "cut in half"), Retire, Retire),
        ("not-all-read", unread(good()), Watch, Watch),
        ("finding-scuff", good().quick("2026-06-01", &["run:scuff"]), Ready, Ready),
        ("finding-cut", good().quick("2026-06-01", &["run:cut:cover"]), Watch, Watch),
        ("finding-seal-missing", good().quick("2026-06-01", &["seal-b:seal-missing"]), Hold, Hold),
        ("finding-bulge", good().quick("2026-06-01", &["run:bulge"]), Retire, Retire),
    ];
    for (reason, story, personal, rental) in rows {
        assert_eq!(story.reason(TODAY, reason), Some(personal), "{reason}, in no set");
        if matches!(reason, "retired") || reason == "age-unknown" {
            continue;
        }
        let own = in_set(story.clone(), Use::Personal);
        assert_eq!(own.reason(TODAY, reason), Some(personal), "{reason}, personal set");
        let rented = in_set(story, Use::Rental);
        assert_eq!(rented.reason(TODAY, reason), Some(rental), "{reason}, rental set");
    }
}

#[test]
fn the_table_of_reasons_is_the_trades() {
    let expected = [
        ("held", Hold, Hold),
        ("age-over", Hold, Hold),
        ("age-near", Watch, Watch),
        ("age-unknown", Watch, Watch),
        ("stored-long", Watch, Watch),
        ("dives-over", Hold, Hold),
        ("dives-near", Watch, Watch),
        ("inspection-never", Hold, Hold),
        ("inspection-over", Watch, Hold),
        ("inspection-near", Ready, Ready),
        ("leak-test-due", Hold, Hold),
        ("swap-open", Hold, Hold),
        ("recalled", Hold, Hold),
        ("recall-open", Hold, Hold),
        ("retired", Retire, Retire),
        ("corrected", Watch, Watch),
        ("misfit", Hold, Hold),
        ("tag-old", Hold, Hold),
        ("tag-only", Hold, Hold),
        ("place-contested", Watch, Watch),
        ("set-quarantined", Hold, Hold),
        ("set-contested", Watch, Watch),
        ("identity-contested", Hold, Hold),
        ("not-believed", Watch, Watch),
        ("not-all-read", Watch, Watch),
        ("record-gap", Watch, Watch),
        ("record-old", Watch, Watch),
        ("clock-odd", Watch, Watch),
        ("rented-twice", Watch, Watch),
    ];
    let table: Vec<_> = REASONS.iter().map(|r| (r.code, r.personal, r.rental)).collect();
    assert_eq!(table, expected);
}

/// Ages from made: 10 years, on the older end of what the date can be.
#[test]
fn the_limit_from_made_at_its_borders() {
    let rows = [
        ("2016-06-15", "2026-06-15", Some("age-near"), "the last good day"),
        ("2016-06-15", "2026-06-16", Some("age-over"), "the day after"),
        ("2016-06-15", "2026-03-17", Some("age-near"), "90 days before"),
        ("2016-06-15", "2026-03-18", Some("age-near"), "89 days before"),
        ("2016-06-15", "2026-03-16", None, "91 days before"),
        ("2020-02-29", "2030-02-28", Some("age-near"), "29 February, the last good day"),
        ("2020-02-29", "2030-03-01", Some("age-over"), "29 February, the day after"),
        ("2016-06", "2026-06-01", Some("age-near"), "a month counts from its first day"),
        ("2016-06", "2026-06-02", Some("age-over"), "a month, the day after"),
        ("2016", "2026-01-01", Some("age-near"), "a year counts from its first day"),
        ("2016", "2026-01-02", Some("age-over"), "a year, the day after"),
    ];
    for (made, today, expected, why) in rows {
        let spec = hose(Service::SecondStage, Construction::Rubber);
        let story = Story::of(spec, "2016-12-01", made).full("2020-03-01", &[]);
        for reason in ["age-near", "age-over"] {
            let told = story.reason(today, reason).is_some();
            assert_eq!(told, expected == Some(reason), "{reason}: {why}");
        }
    }
}

/// Ages in service: 5 years from the first fitting, whatever came between.
#[test]
fn the_limit_in_service_at_its_borders() {
    let story = Story::lp("2020-02-01")
        .assembled("2020-02-01", "Heron", Use::Personal)
        .fitted("2020-02-29", "Heron", "LP1", None)
        .removed("2021-01-01", "Heron", "LP1")
        .fitted("2024-01-01", "Heron", "LP2", None);
    let rows = [
        ("2024-11-29", None, "91 days before"),
        ("2024-11-30", Some("age-near"), "90 days before"),
        ("2024-12-01", Some("age-near"), "89 days before"),
        ("2025-02-28", Some("age-near"), "the last good day, for 29 February"),
        ("2025-03-01", Some("age-over"), "the day after"),
    ];
    for (today, expected, why) in rows {
        for reason in ["age-near", "age-over"] {
            let told = story.reason(today, reason).is_some();
            assert_eq!(told, expected == Some(reason), "{reason}: {why}");
        }
    }
}

#[test]
fn the_bought_date_stands_in_for_the_made_date() {
    let bought = PartialDate::parse("2016-06-15").ok();
    let origin = Origin { bought, ..Origin::default() };
    let spec = hose(Service::SecondStage, Construction::Rubber);
    let story = Story::with_origin(spec.clone(), "2016-07-01", origin);
    assert_eq!(story.reason("2026-06-15", "age-near"), Some(Watch));
    assert_eq!(story.reason("2026-06-16", "age-over"), Some(Hold));
    assert_eq!(story.reason("2026-06-15", "age-unknown"), None);
    let unknown = Story::of(spec, "2025-01-10", "");
    assert_eq!(unknown.reason("2026-06-15", "age-unknown"), Some(Watch));
}

#[test]
fn long_in_store_is_said_until_it_is_fitted() {
    let story = Story::lp("2024-02-29");
    assert_eq!(story.reason("2026-02-28", "stored-long"), None);
    assert_eq!(story.reason("2026-03-01", "stored-long"), Some(Watch));
    let fitted = story.assembled("2026-03-01", "Heron", Use::Personal).fitted(
        "2026-03-01",
        "Heron",
        "LP1",
        None,
    );
    assert_eq!(fitted.reason("2026-03-02", "stored-long"), None);
}

/// Dives count against a rental's limit of 500 and against none of one's own.
#[test]
fn dives_at_their_borders() {
    let rows = [
        (449, None),
        (450, Some("dives-near")),
        (500, Some("dives-near")),
        (501, Some("dives-over")),
    ];
    for (dives, expected) in rows {
        let rented = in_set(good(), Use::Rental).dived("2026-06-01", dives);
        let own = in_set(good(), Use::Personal).dived("2026-06-01", dives);
        for (reason, verdict) in [("dives-near", Watch), ("dives-over", Hold)] {
            let told = rented.reason(TODAY, reason);
            assert_eq!(told, (expected == Some(reason)).then_some(verdict), "{dives} {reason}");
            assert_eq!(own.reason(TODAY, reason), None);
        }
        assert_eq!(rented.answer(TODAY).dives, Some(dives));
    }
}

/// Full inspections: 12 months for one's own, 6 for a rental, 30 days' notice.
#[test]
fn full_inspections_at_their_borders() {
    let rows = [
        (Use::Personal, "2027-04-30", None, Ready),
        (Use::Personal, "2027-05-01", Some("inspection-near"), Ready),
        (Use::Personal, "2027-05-31", Some("inspection-near"), Ready),
        (Use::Personal, "2027-06-01", Some("inspection-over"), Watch),
        (Use::Rental, "2026-10-30", None, Ready),
        (Use::Rental, "2026-10-31", Some("inspection-near"), Ready),
        (Use::Rental, "2026-11-30", Some("inspection-near"), Ready),
        (Use::Rental, "2026-12-01", Some("inspection-over"), Hold),
    ];
    for (in_use, today, expected, verdict) in rows {
        let story = in_set(Story::lp("2025-01-10"), in_use).full("2026-05-31", &[]);
        for reason in ["inspection-near", "inspection-over"] {
            let told = story.reason(today, reason);
            assert_eq!(told, (expected == Some(reason)).then_some(verdict), "{reason} {today}");
        }
    }
    // 31 August plus six months is the last of February.
    let story = in_set(Story::lp("2024-01-10"), Use::Rental).full("2024-08-31", &[]);
    assert_eq!(story.reason("2025-02-28", "inspection-near"), Some(Ready));
    assert_eq!(story.reason("2025-03-01", "inspection-over"), Some(Hold));
}

/// Two devices that used one port, or moved one hose, while apart.
#[test]
fn a_contested_place_is_said_until_someone_puts_it_right() {
    let other = code(2);
    let start = good()
        .assembled("2026-05-02", "Heron", Use::Personal)
        .fitted("2026-05-02", "Heron", "LP1", None)
        .leak_test("2026-05-02", true);
    let taken = start.clone().on_device(2).fitted_other(other, "2026-05-03", "Heron", "LP1", None);
    assert_eq!(taken.reason(TODAY, "place-contested"), Some(Watch));
    let righted = taken.removed("2026-05-04", "Heron", "LP1");
    assert_eq!(righted.reason(TODAY, "place-contested"), None);
    // Another device, which took it to be in stock, put it elsewhere.
    let moved = start.on_device(2).fitted("2026-05-03", "Egret", "LP1", None);
    assert_eq!(moved.reason(TODAY, "place-contested"), Some(Watch));
    // Moving it on, from where that device knows it, settles nothing.
    let still = moved.clone().fitted("2026-05-04", "Egret", "LP2", Some(("Egret", "LP1")));
    assert_eq!(still.reason(TODAY, "place-contested"), Some(Watch));
    let answers = moved.record(TODAY).claims.iter().map(|claim| claim.entry).collect();
    let (hose, at) = (moved.hose, moved.record(TODAY).seat);
    let sets = vec![set_id("Heron"), set_id("Egret")];
    let event = Event::PlaceConfirmed(PlaceConfirmed { hose, at, hoses: vec![], sets, answers });
    assert_eq!(moved.then("2026-05-04", event).reason(TODAY, "place-contested"), None);
}

#[test]
fn the_owners_limits_are_followed() {
    let scope = Scope { in_use: Some(Use::Personal), ..Scope::default() };
    let limits = Change::new(Some(12), None, Some(Some(10)), Some(1)).unwrap_or_default();
    let story = in_set(good(), Use::Personal)
        .dived("2026-06-01", 11)
        .then("2026-06-01", Event::Limited { scope, limits });
    for (reason, verdict) in [("age-over", Hold), ("dives-over", Hold), ("inspection-over", Watch)]
    {
        assert_eq!(story.reason(TODAY, reason), Some(verdict), "{reason}");
    }
}

#[test]
fn a_recall_is_of_a_lot_and_where_named_of_a_maker() {
    let of = |maker: Option<&str>, lot: Option<&str>| {
        let made = PartialDate::parse("2025-01").ok();
        let origin =
            Origin { made, lot: lot.map(label), maker: maker.map(label), ..Origin::default() };
        let spec = hose(Service::SecondStage, Construction::Rubber);
        Story::with_origin(spec, "2025-01-10", origin).full("2026-05-01", &[])
    };
    let recalled = |story: Story, maker: Option<&str>| {
        let (lot, why, maker) = (label("B 12"), label("bad crimps"), maker.map(label));
        let story = story.then("2026-01-01", Event::Recalled { lot, maker, why });
        let reason = |code| story.reason(TODAY, code);
        reason("recalled").or(reason("recall-open")) == Some(Hold)
    };
    let rows = [
        (Some("Kelpline"), Some("b12"), Some("KELPLINE"), true),
        (Some("Kelpline"), Some("b12"), None, true),
        (None, Some("B12"), Some("Kelpline"), true),
        (Some("Marrow"), Some("B12"), Some("Kelpline"), false),
        (Some("Kelpline"), Some("B13"), Some("Kelpline"), false),
        (Some("Kelpline"), None, Some("Kelpline"), true),
        (None, None, Some("Kelpline"), true),
        (Some("Marrow"), None, Some("Kelpline"), false),
    ];
    for (maker, lot, named, expected) in rows {
        assert_eq!(recalled(of(maker, lot), named), expected, "{maker:?} {lot:?} {named:?}");
    }
}

#[test]
fn an_answer_carries_ages_looks_dues_and_place() {
    let story = in_set(good(), Use::Rental).dived("2026-06-01", 12);
    let answer = story.answer(TODAY);
    let json = serde_json::to_value(&answer).unwrap_or_default();
    assert_eq!(json["age"]["made"]["oldest"], "P1Y5M5D");
    assert_eq!(json["age"]["fitted"], "P1Y5M4D");
    assert_eq!(json["place"]["set"], "Heron");
    assert_eq!(json["place"]["port"], "LP1");
    assert_eq!(json["hose"]["use"], "rental");
    assert_eq!(json["hose"]["length"], "75 cm");
    assert_eq!(json["dives"], 12);
    assert_eq!(json["inspections"][0]["kind"], "full");
    assert_eq!(json["inspections"][1]["passed"], true);
    let due: Vec<_> = answer.due.iter().map(|due| (due.what.word(), due.on)).collect();
    assert_eq!(
        due,
        [
            ("full-inspection", day("2026-11-01")),
            ("replace-in-service", day("2030-01-11")),
            ("replace-from-made", day("2035-01-10")),
        ]
    );
    assert_eq!(json["record"]["newest_entry"], "2026-06-01");
}
