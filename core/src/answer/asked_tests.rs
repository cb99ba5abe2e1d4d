//! What an answer takes from elsewhere than the hose's own entries: its sets, the
//! fleet, the device that is asked. Source: common practice, no source.

use chrono::NaiveTime;

use super::{Answer, Asked, DueKind, Heard, after_incident, answer};
use crate::event::{Event, HandedOut, Held, SetChanges, Swapped};
use crate::hose::{Construction, Origin, Pressure, Service, Thread};
use crate::inspection::Verdict::{Hold, Watch};
use crate::journal::Stamp;
use crate::measure::PartialDate;
use crate::policy::Use;
use crate::record::{FleetRecord, HoseRecord, SetRecord};
use crate::story::{Story, code, day, hose, label, ports, set_id};
use crate::tag::Payload;

pub(super) const TODAY: &str = "2026-06-15";

pub(super) fn good() -> Story {
    Story::lp("2025-01-10").full("2026-05-01", &[])
}

pub(super) fn in_set(in_use: Use) -> Story {
    good()
        .assembled("2025-01-11", "Heron", in_use)
        .fitted("2025-01-11", "Heron", "LP1", None)
        .leak_test("2025-01-11", true)
}

pub(super) fn codes(answer: &Answer) -> Vec<&str> {
    answer.reasons.iter().map(|reason| reason.code.as_str()).collect()
}

pub(super) fn has(answer: &Answer, code: &str) -> bool {
    codes(answer).contains(&code)
}

pub(super) fn held(story: Story, on: &str, incident: bool) -> Story {
    let (hose, set, why) = (None, Some(set_id("Heron")), label("a diver was hurt"));
    story.then(on, Event::Held(Held { hose, set, hoses: vec![], why, incident }))
}

/// It was taken off by one device at the moment in which another wrote the hold.
fn left_as_it_was_held() -> Story {
    let off = in_set(Use::Rental).removed("2026-06-01", "Heron", "LP1");
    let left = off.entries.last().map(|entry| entry.at);
    let mut held = held(off.on_device(2), "2026-06-01", true);
    if let Some((hold, at)) = held.entries.last_mut().zip(left) {
        hold.at = at;
    }
    held
}

/// The hold after an incident stays with what was in the set then, and with what
/// came in since; what had left before has nothing to do with it.
#[test]
fn an_incident_is_of_every_hose_that_was_there_then_or_since() {
    let off = |story: Story, on: &str| story.removed(on, "Heron", "LP1");
    let rows = [
        ("there", held(in_set(Use::Rental), "2026-06-01", true), true),
        ("left since", off(held(in_set(Use::Rental), "2026-06-01", true), "2026-06-02"), true),
        ("left before", held(off(in_set(Use::Rental), "2026-05-31"), "2026-06-01", true), false),
        ("left at that moment", left_as_it_was_held(), true),
        (
            "came since",
            held(good().assembled("2025-01-11", "Heron", Use::Rental), "2026-06-01", true)
                .fitted("2026-06-02", "Heron", "LP1", None)
                .leak_test("2026-06-02", true),
            true,
        ),
    ];
    for (what, story, expected) in rows {
        assert_eq!(story.reason(TODAY, "held").is_some(), expected, "{what}");
        let mut after = None;
        story.asked(TODAY, |asked| after = Some(after_incident(asked)));
        assert_eq!(after, Some(expected), "{what}");
        let retired = story.retired("2026-06-03", "worn").answer(TODAY);
        let keep = retired.reasons[0].todo == crate::words::KEEP_AS_IT_IS;
        assert_eq!((retired.reasons[0].code.as_str(), keep), ("retired", expected), "{what}");
    }
    // One hold is said once.
    let there = held(in_set(Use::Rental), "2026-06-01", true).answer(TODAY);
    assert_eq!(codes(&there), ["held"]);
    // A usual hold is no incident.
    held(in_set(Use::Rental), "2026-06-01", false)
        .asked(TODAY, |asked| assert!(!after_incident(asked)));
    // Only what would be cut through is told to be kept.
    assert_ne!(there.reasons[0].todo, crate::words::KEEP_AS_IT_IS);
}

#[test]
fn the_ports_of_the_set_and_the_hose_must_go_together() {
    let change = |ports: Vec<crate::event::Port>, why: Option<&str>| {
        let story = in_set(Use::Personal);
        let made = story.entries.get(2).map(crate::journal::Entry::id);
        let changes = SetChanges { ports: Some(ports), ..SetChanges::default() };
        let (set, why, answers) = (set_id("Heron"), why.map(label), made.into_iter().collect());
        story.then("2026-06-01", Event::SetChanged { set, changes, why, answers })
    };
    let mut wide = ports();
    for port in wide.iter_mut().filter(|port| port.name.pressure() == Some(Pressure::Low)) {
        port.thread = Thread::Unf1_2x20;
    }
    let without: Vec<_> = ports().into_iter().filter(|p| p.name.to_string() != "LP1").collect();
    let rows = [
        ("as it is", ports(), Some("counted"), None),
        ("another thread", wide.clone(), Some("measured"), Some("1/2-20")),
        ("no such port", without, Some("counted"), Some(crate::words::NO_SUCH_PORT)),
        ("two say so and so", wide, None, Some("1/2-20")),
    ];
    for (what, ports, why, expected) in rows {
        let answer = change(ports, why).answer(TODAY);
        let said = answer.reasons.iter().find(|reason| reason.code == "misfit");
        assert_eq!(said.is_some(), expected.is_some(), "{what}");
        let words = said.map(|reason| reason.words.clone()).unwrap_or_default();
        assert!(words.contains(expected.unwrap_or_default()), "{what}: {words}");
    }
}

/// A port that one of two who changed the set apart does not have.
#[test]
fn a_port_in_dispute_is_a_misfit() {
    let story = in_set(Use::Personal);
    let made: Vec<_> = story.entries.get(2).map(crate::journal::Entry::id).into_iter().collect();
    let change = |story: Story, ports| {
        let changes = SetChanges { ports: Some(ports), ..SetChanges::default() };
        let (set, why, answers) = (set_id("Heron"), Some(label("counted")), made.clone());
        story.then("2026-06-01", Event::SetChanged { set, changes, why, answers })
    };
    let few = ports().into_iter().take(1).collect();
    let answer = change(change(story, few).on_device(2), ports()).answer(TODAY);
    let said = answer.reasons.iter().find(|reason| reason.code == "misfit");
    let words = said.map(|reason| reason.words.clone()).unwrap_or_default();
    assert!(words.contains(crate::words::PORT_DISPUTED), "{words}");
}

/// Ports changed with a reason are looked at on the hoses that were in them then.
#[test]
fn a_set_that_was_corrected_is_looked_at_on_its_hoses() {
    let corrected = |story: Story| {
        let made = story.entries.get(2).map(crate::journal::Entry::id);
        let mut ports = ports();
        for port in ports.iter_mut().filter(|port| port.name.to_string() == "LP1") {
            port.thread = Thread::Unf1_2x20;
        }
        let changes = SetChanges { ports: Some(ports), ..SetChanges::default() };
        let (set, why) = (set_id("Heron"), Some(label("measured")));
        let answers = made.into_iter().collect();
        story.then("2026-06-01", Event::SetChanged { set, changes, why, answers })
    };
    let there = corrected(in_set(Use::Personal));
    assert_eq!(there.reason(TODAY, "corrected"), Some(Watch));
    let named = vec![there.last()];
    let (hose, kind) = (there.hose, crate::inspection::InspectionKind::Full);
    let look = there.seen(kind, &[], None);
    let event = Event::Inspected { hose, look, at: None, answers: named };
    let before = there.clone().then("2026-05-31", event.clone());
    assert_eq!(before.reason(TODAY, "corrected"), Some(Watch), "looked at before it was written");
    assert_eq!(there.then("2026-06-01", event).reason(TODAY, "corrected"), None);
    let elsewhere = good().assembled("2025-01-11", "Heron", Use::Personal).fitted(
        "2025-01-11",
        "Heron",
        "LP2",
        None,
    );
    assert_eq!(corrected(elsewhere).reason(TODAY, "corrected"), None, "another port");
    let since = corrected(good().assembled("2025-01-11", "Heron", Use::Personal)).fitted(
        "2026-06-02",
        "Heron",
        "LP1",
        None,
    );
    assert_eq!(since.reason(TODAY, "corrected"), None, "fitted since");
}

#[test]
fn a_device_that_met_no_other_for_long_says_so() {
    let rows = [
        (Use::Rental, 7, false),
        (Use::Rental, 8, true),
        (Use::Personal, 30, false),
        (Use::Personal, 31, true),
    ];
    for (in_use, days, expected) in rows {
        let met = day(TODAY) - chrono::Days::new(days);
        let answer = in_set(in_use).asked(TODAY, |asked| asked.heard.met_on = Some(met));
        assert_eq!(has(&answer, "record-old"), expected, "{in_use:?}, {days} days");
    }
    assert!(!has(&in_set(Use::Rental).answer(TODAY), "record-old"), "it has no fleet");
}

#[test]
fn a_gap_counts_for_what_was_registered_before_it() {
    let clock = |text: &str, more: i64| {
        Stamp(day(text).and_time(NaiveTime::MIN).and_utc().timestamp_millis() + more, 0)
    };
    // Registered on 2025-01-10.
    let rows = [
        (Some(clock("2025-01-10", -1)), false),
        (Some(clock("2025-01-10", 0)), false),
        (Some(clock("2025-01-10", 1)), true),
        (None, false),
    ];
    for (gap, expected) in rows {
        let answer = good().asked(TODAY, |asked| asked.heard.gap = gap);
        assert_eq!(has(&answer, "record-gap"), expected, "{gap:?}");
    }
}

#[test]
fn a_tag_that_names_another_hose_too_is_contested() {
    assert!(!has(&good().answer(TODAY), "identity-contested"));
    let shared = good().asked(TODAY, |asked| asked.tag_shared = true);
    assert_eq!((shared.verdict, codes(&shared)), (Hold, vec!["identity-contested"]));
}

#[test]
fn a_hose_is_judged_as_it_is_to_be_used() {
    let dived = in_set(Use::Personal).dived("2026-06-01", 501);
    assert!(!has(&dived.answer(TODAY), "dives-over"));
    let lent = dived.asked(TODAY, |asked| asked.as_used = Some(Use::Rental));
    assert!(has(&lent, "dives-over") && lent.hose.in_use == Use::Rental);
    let rented = in_set(Use::Rental).dived("2026-06-01", 501);
    let own = rented.asked(TODAY, |asked| asked.as_used = Some(Use::Personal));
    assert!(!has(&own, "dives-over") && own.hose.in_use == Use::Personal);
    // A set whose making is not here is judged as rental, and so is one that is
    // not here at all.
    let unmade = good().dived("2026-06-01", 501).fitted("2026-06-02", "Egret", "LP1", None);
    assert!(has(&unmade.answer(TODAY), "dives-over") && has(&unmade.answer(TODAY), "not-all-read"));
    let missing = unmade.asked(TODAY, |asked| asked.sets = &[]);
    assert!(has(&missing, "dives-over") && has(&missing, "not-all-read"));
    assert!(!has(&in_set(Use::Rental).answer(TODAY), "not-all-read"));
}

#[test]
fn a_clock_is_odd_from_the_second_day_ahead() {
    let ahead = |ms: i64| {
        let mut story = good();
        let clock = day(TODAY).and_time(NaiveTime::MIN).and_utc().timestamp_millis();
        if let Some(last) = story.entries.last_mut() {
            last.at = Stamp(clock + ms, 0);
        }
        has(&story.answer(TODAY), "clock-odd")
    };
    let hours = 3_600_000;
    assert!(!ahead(0) && !ahead(47 * hours), "a day ahead may only be east of here");
    assert!(ahead(48 * hours));
    let of_day = |on: &str| good().asked(TODAY, |asked| asked.heard.newest_on = day(on));
    assert!(!has(&of_day(TODAY), "clock-odd"));
    assert!(has(&of_day("2026-06-16"), "clock-odd"));
}

#[test]
fn one_ticket_twice_is_not_rented_twice() {
    let out = |story: Story, ticket: &str| {
        let (set, hoses, ticket) = (set_id("Heron"), vec![story.hose], label(ticket));
        story.then(
            "2026-06-01",
            Event::HandedOut(HandedOut { set, hoses, ticket, override_why: None, shown: vec![] }),
        )
    };
    let once = out(in_set(Use::Rental), "R-1");
    assert_eq!(once.reason(TODAY, "rented-twice"), None);
    assert_eq!(out(once.clone(), "R-1").reason(TODAY, "rented-twice"), None);
    assert_eq!(out(once.clone(), "R-2").reason(TODAY, "rented-twice"), Some(Watch));
    assert_eq!(once.answer(TODAY).place.ticket, Some(label("R-1")));
}

#[test]
fn a_swap_in_its_set_holds_a_hose_once() {
    let swap = |hoses: [crate::tag::Code; 2]| {
        let crate::event::Slot { set, port } = crate::story::slot("Heron", "LP1");
        let (step, answer) = (label("depressurised"), label("done"));
        let (loosened, answers) = (false, vec![]);
        Event::Swapped(Swapped { hoses, set, port, step, answer, loosened, answers, instead: None })
    };
    let own = in_set(Use::Rental).then("2026-06-01", swap([code(1), code(2)]));
    assert_eq!(codes(&own.answer(TODAY)), ["swap-open"]);
    let anothers = in_set(Use::Rental).then("2026-06-01", swap([code(3), code(2)]));
    assert_eq!(codes(&anothers.answer(TODAY)), ["swap-open"]);
    assert_ne!(own.answer(TODAY).reasons[0].words, anothers.answer(TODAY).reasons[0].words);
    // Each of the two reads which of them it is, and which is the other.
    let other = in_set(Use::Rental).then("2026-06-01", swap([code(2), code(1)]));
    for (story, role) in [(own, "being taken off"), (other, "being put on")] {
        let words = story.answer(TODAY).reasons[0].words.clone();
        assert!(words.contains(role) && words.contains(&code(2).to_string()), "{words}");
    }
}

/// From a made date, else the bought date, in every way in which it is described.
#[test]
fn an_age_counts_from_whatever_the_hose_may_be() {
    let date = |text| PartialDate::parse(text).ok();
    let of = |made, bought| {
        let origin = Origin { made: date(made), bought: date(bought), ..Origin::default() };
        Story::with_origin(hose(Service::SecondStage, Construction::Rubber), "2025-01-10", origin)
            .full("2026-05-01", &[])
    };
    let rows = [
        ("2025-01", "", vec![]),
        ("2010-01", "", vec!["age-over"]),
        ("", "2010-01", vec!["age-over"]),
        ("2025-01", "2010-01", vec![]),
        ("", "", vec!["age-unknown"]),
    ];
    for (made, bought, expected) in rows {
        let answer = of(made, bought).answer(TODAY);
        let ages: Vec<&str> = codes(&answer);
        let ages: Vec<&str> = ages.into_iter().filter(|code| code.starts_with("age")).collect();
        assert_eq!(ages, expected, "{made} {bought}");
    }
    // Said of its older end, and once.
    let dues = |story: &Story| {
        let due = story.answer(TODAY).due;
        due.iter().map(|due| (due.what, due.on)).collect::<Vec<_>>()
    };
    let full = (DueKind::FullInspection, day("2027-05-01"));
    assert_eq!(dues(&of("2025-06", "")), [full, (DueKind::ReplaceMade, day("2035-06-01"))]);
    assert_eq!(dues(&of("", "2025")), [full, (DueKind::ReplaceMade, day("2035-01-01"))]);
    assert_eq!(dues(&of("", "")), [full]);
    assert_eq!(dues(&of("2025-06", "").retired("2026-06-01", "worn")), []);
    let due = in_set(Use::Rental).fitted("2026-06-02", "Heron", "LP2", Some(("Heron", "LP1")));
    assert_eq!(dues(&due).first(), Some(&(DueKind::LeakTest, day("2026-06-02"))));
    let off = due.removed("2026-06-03", "Heron", "LP2");
    assert!(dues(&off).iter().all(|(what, _)| *what != DueKind::LeakTest));
    let never = Story::lp("2025-01-10");
    assert_eq!(dues(&never).first(), Some(&(DueKind::FullInspection, day(TODAY))));
}

pub(super) fn judged(
    record: &HoseRecord,
    sets: &[&SetRecord],
    fleet: &FleetRecord,
    tag_only: Option<&Payload>,
) -> Answer {
    let (today, newest_on) = (day(TODAY), day(TODAY));
    let (devices, complete, forked, gap, met_on) = (1, true, false, None, None);
    let heard = Heard { newest_on, devices, complete, forked, gap, met_on };
    let (scanned, tag_shared, as_used) = (None, false, None);
    answer(&Asked { record, sets, fleet, today, scanned, tag_shared, as_used, tag_only, heard })
}
