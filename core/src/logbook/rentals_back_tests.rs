//! Overrides, sets that come back, quarantines, and two desks that meet.

use super::tests::{TODAY, Wharf, all_back, fitted, good, kinds, look, moment, open, wharf};
use super::*;
use crate::TakenBack;
use crate::hose::{End, Service};
use crate::inspection::{InspectionKind, Verdict};
use crate::rental::{BroughtBack, StopKind};
use crate::story::{day, label, port_name};
use crate::tag::Code;

#[test]
fn what_is_out_is_looked_at_but_not_worked_on() {
    let mut wharf = wharf();
    let scans = wharf.scans();
    good(wharf.out(&scans, None));
    let (own, stock, now) = (wharf.heron[1], wharf.stock, moment(TODAY));
    let set = label("Heron");
    let refused = [
        wharf.book.fit(stock, &set, port_name("LP4"), None, &now),
        wharf.book.fit(own, &set, port_name("LP4"), None, &now),
        wharf.book.remove(own, None, &now),
        wharf.book.retire(own, label("old"), None, &now),
    ];
    for refused in refused {
        assert!(refused.is_err_and(|e| e.to_string().contains("take")), "it was done");
    }
    look(&mut wharf.book, own, InspectionKind::Quick, &["run:salt"], TODAY);
    assert_eq!(wharf.reasons(own), ["finding-salt"]);
    good(wharf.back(2, &[]));
    assert!(wharf.book.fit(own, &set, port_name("LP4"), None, &now).is_ok());
}

#[test]
fn a_return_counts_dives_looks_at_every_hose_and_quarantines() {
    let mut wharf = wharf();
    let scans = wharf.scans();
    good(wharf.out(&scans, None));
    let back = good(wharf.back(6, &[(wharf.heron[3], "run:scuff")]));
    assert_eq!((back.quarantined, back.dives, back.ticket), (false, 6, label("T-17")));
    assert_eq!(back.hoses.iter().map(|hose| hose.code).collect::<Vec<_>>(), wharf.heron);
    assert_eq!(good(wharf.book.set(&label("Heron"))).back_on, Some(day(TODAY)));
    for code in &wharf.heron {
        let record = good(wharf.book.record(*code));
        assert_eq!((record.dives, record.out()), (6, None));
        assert!(record.last(InspectionKind::Quick).is_some_and(|seen| seen.on == day(TODAY)));
    }
    assert!(wharf.check(&scans).ready);

    // What holds and what retires keeps it here; the next check says so too.
    for (seen, verdict) in [("seal-b:seal-damaged", Verdict::Hold), ("run:bulge", Verdict::Retire)]
    {
        let mut wharf = self::wharf();
        good(wharf.out(&scans, None));
        let back = good(wharf.back(0, &[(wharf.heron[1], seen), (wharf.heron[0], "run:salt")]));
        assert!(back.quarantined && back.words.contains("quarantine"), "{}", back.words);
        assert_eq!(
            back.stops.iter().map(|s| (s.code, s.verdict)).collect::<Vec<_>>(),
            [(wharf.heron[1], verdict)]
        );
        let view = good(wharf.book.set_view(&label("Heron"), &moment(TODAY)));
        assert!(view.quarantined && view.words.contains("quarantine") && view.out.is_none());
        assert!(wharf.check(&scans).quarantined);
        assert!(wharf.out(&scans, Some("late")).is_err());
        let release = wharf.book.release_set(&label("Heron"), &label("done"), &moment(TODAY));
        assert!(release.is_err(), "while something holds a hose of it");
        assert!(good(wharf.book.check(|_, _| ())).sound());
    }
}

#[test]
fn a_hose_in_quarantine_is_put_right_and_the_set_goes_out_again() {
    let mut wharf = wharf();
    let scans = wharf.scans();
    good(wharf.out(&scans, None));
    let own = wharf.heron[1];
    good(wharf.back(3, &[(own, "end-a:bubbles:joint")]));
    assert!(!wharf.check(&scans).ready);
    good(wharf.book.reseal(own, End::A, None, None, &moment(TODAY)));
    look(&mut wharf.book, own, InspectionKind::LeakTest, &[], TODAY);
    assert_eq!(kinds(&wharf.check(&scans)), [StopKind::SetQuarantined]);
    good(wharf.book.release_set(&label("Heron"), &label("resealed"), &moment(TODAY)));
    assert!(wharf.check(&scans).ready);
    assert!(wharf.out(&scans, None).is_ok());
}

#[test]
fn returns_that_cannot_be_change_nothing() {
    let mut wharf = wharf();
    assert!(matches!(wharf.back(1, &[]), Err(LogbookError::NotOut(_))));
    let (scans, own, egret) = (wharf.scans(), wharf.heron[0], wharf.egret);
    let set = label("Heron");
    let early = |wharf: &mut Wharf, on: &str| {
        let ticket = label("T-17");
        wharf.book.hand_out(&set, ticket, &scans, None, Some(day(on)), &moment(TODAY))
    };
    assert!(matches!(
        early(&mut wharf, "2026-06-01"),
        Err(LogbookError::Day(DayError::BeforeLastPlace { .. }))
    ));
    assert!(matches!(
        early(&mut wharf, "2026-06-16"),
        Err(LogbookError::Day(DayError::FutureDay { .. }))
    ));
    assert!(early(&mut wharf, "2026-06-10").is_ok());
    let before = wharf.exported();
    assert!(matches!(wharf.back(201, &[]), Err(LogbookError::TooManyDives { .. })));
    assert!(matches!(wharf.back(1, &[(egret, "run:scuff")]), Err(LogbookError::NotOutWith { .. })));
    let finding =
        |result: Result<TakenBack, LogbookError>| matches!(result, Err(LogbookError::Finding(_)));
    assert!(finding(wharf.back(1, &[(own, "run:strands:2")])));
    assert!(finding(wharf.back(1, &[(own, "run:scuff"), (own, "run:scuff")])));
    let on = |on: &str| Some(day(on));
    let all = all_back(&wharf.book, "Heron", Some(1), &[]);
    let back = wharf.book.take_back(&set, &all, on("2026-06-09"), &moment(TODAY));
    assert!(matches!(back, Err(LogbookError::Day(DayError::BeforeHandOut { .. }))));
    let back = wharf.book.take_back(&set, &all, on("2026-06-16"), &moment(TODAY));
    assert!(matches!(back, Err(LogbookError::Day(DayError::FutureDay { .. }))));
    assert_eq!(wharf.exported(), before);
    let all = BroughtBack { dives: Some(200), ..all };
    assert!(wharf.book.take_back(&set, &all, on("2026-06-12"), &moment(TODAY)).is_ok());
    assert!(matches!(
        early(&mut wharf, "2026-06-11"),
        Err(LogbookError::Day(DayError::BeforeReturn { .. }))
    ));
    assert!(early(&mut wharf, "2026-06-12").is_ok());
}

/// The rental limit of 500 dives: near from 450 up to it, over from 501.
#[test]
fn dives_are_counted_through_returns() {
    for (dives, reasons) in [
        (449, vec![]),
        (450, vec!["dives-near"]),
        (500, vec!["dives-near"]),
        (501, vec!["dives-over"]),
    ] {
        let mut wharf = wharf();
        let scans = wharf.scans();
        for part in [dives / 3, dives / 3, dives - 2 * (dives / 3)] {
            good(wharf.out(&scans, None));
            good(wharf.back(part, &[]));
        }
        assert_eq!(wharf.reasons(wharf.heron[1]), reasons, "{dives}");
        assert_eq!(wharf.check(&scans).ready, dives <= 500, "{dives}");
    }
}

#[test]
fn two_desks_that_hand_out_one_set_agree_when_they_meet() {
    let mut wharf = wharf();
    let mut other = open(&wharf.folder, "other", 8);
    let text = wharf.exported();
    good(other.import_lines(&mut text.as_bytes(), false, chrono::NaiveDate::default(), |_, _| ()));
    let scans = wharf.scans();
    good(wharf.out(&scans, None));
    let (set, later) = (label("Heron"), moment("2026-06-16"));
    let (some, why) = (&scans[..2], Some(label("no gauge")));
    good(other.hand_out(&set, label("T-99"), some, why, None, &later));
    let mut theirs = Vec::new();
    good(other.export(&mut theirs, |_, _| ()));
    good(wharf.book.import_lines(
        &mut theirs.as_slice(),
        false,
        chrono::NaiveDate::default(),
        |_, _| (),
    ));
    good(other.import_lines(
        &mut wharf.exported().as_bytes(),
        false,
        chrono::NaiveDate::default(),
        |_, _| (),
    ));
    assert_eq!(good(wharf.book.set(&set)), good(other.set(&set)));
    let all = all_back(&wharf.book, "Heron", Some(1), &[]);
    good(wharf.book.take_back(&set, &all, None, &later));
    for code in &wharf.heron {
        assert_eq!(good(wharf.book.record(*code)).out(), None, "{code} stays out for ever");
    }
    assert!(good(wharf.book.check(|_, _| ())).sound());
}

#[test]
fn free_ports_are_named_best_first() {
    let mut wharf = wharf();
    let (set, now) = (label("Egret"), moment(TODAY));
    let ports = |book: &Logbook, hose: Code, set: &Label| {
        let free = good(book.suggest_ports(hose, set));
        free.iter().map(PortName::to_string).collect::<Vec<_>>().join(" ")
    };
    assert_eq!(ports(&wharf.book, wharf.stock, &set), "LP2 LP3 LP4");
    assert_eq!(ports(&wharf.book, wharf.stock, &label("Heron")), "LP4");
    assert_eq!(ports(&wharf.book, wharf.heron[0], &set), "HP1");
    let said = good(wharf.book.port_needed(wharf.stock, &set)).to_string();
    assert!(said.contains("LP2, LP3, LP4 are free and take it"), "{said}");
    let taken = wharf.book.fit(wharf.stock, &set, port_name("LP1"), None, &now);
    let said = taken.err().map(|e| e.to_string()).unwrap_or_default();
    assert!(said.contains("LP2, LP3, LP4 are free and take it"), "{said}");
    // The port that it was in last comes first.
    good(wharf.book.fit(wharf.stock, &set, port_name("LP3"), None, &now));
    good(wharf.book.remove(wharf.stock, None, &now));
    assert_eq!(ports(&wharf.book, wharf.stock, &set), "LP3 LP2 LP4");
}

#[test]
fn a_set_is_seen_port_by_port() {
    let wharf = wharf();
    let view = good(wharf.book.set_view(&label("Heron"), &moment(TODAY)));
    let held: Vec<String> = view
        .ports
        .iter()
        .map(|port| format!("{} {} {}", port.port.name, port.port.thread, port.holds))
        .collect();
    assert!(held[0].starts_with("HP1 7/16-20 rubber gauge hose"), "{held:?}");
    assert_eq!(held[4], "LP4 3/8-24 plug");
    assert_eq!((view.worst, view.quarantined), (Some(Verdict::Ready), false));
    let json = serde_json::to_value(&view).unwrap_or_default();
    assert_eq!(json["ports"][0]["name"], "HP1");
    assert_eq!(json["ports"][0]["hose"]["code"], wharf.heron[0].to_string());
    assert_eq!(json["ports"][4]["hose"], serde_json::Value::Null);
}

#[test]
fn plugs_are_told_of() {
    let set = |port: &str| crate::event::Seat { set: label("Heron"), port: port_name(port) };
    let told = crate::words::sets::fitted(None, port_name("LP2"));
    assert_eq!(told[0], "The plug of LP2 comes out: keep it with the set.");
    assert!(told[1].contains("leak test is due") && told.len() == 2);
    let moved = crate::words::sets::fitted(Some(&set("LP1")), port_name("LP2"));
    assert_eq!(moved[0], "It was moved from LP1 to LP2.");
    assert_eq!(moved[1], "LP1 is left open: put its plug back.");
    assert_eq!(moved.len(), 4);
    // It is there already, so no plug comes out.
    assert_eq!(crate::words::sets::fitted(Some(&set("LP2")), port_name("LP2")).len(), 1);
    assert_eq!(crate::words::sets::removed(&set("LP1")), [moved[1].clone()]);
}

#[test]
fn an_override_stays_on_record_and_an_idle_one_does_not() {
    let mut wharf = wharf();
    look(&mut wharf.book, wharf.heron[1], InspectionKind::Quick, &["seal-a:seal-damaged"], TODAY);
    let some: Vec<String> = wharf.scans().split_off(1);
    let along = [some, vec![wharf.stock.to_string()]].concat();
    // Nothing lifts a seal's finding; that a hose is missing a reason lifts.
    assert!(wharf.out(&along, Some("O-ring changed, test at the boat")).is_err());
    let own = wharf.heron[1];
    good(wharf.book.reseal(own, End::A, None, None, &moment(TODAY)));
    look(&mut wharf.book, own, InspectionKind::LeakTest, &[], TODAY);
    good(wharf.out(&along, Some("O-ring changed, test at the boat")));
    let out = good(wharf.book.set(&label("Heron"))).out;
    let out = out.unwrap_or_else(|| unreachable!("it is out"));
    assert_eq!(out.override_why, Some(label("O-ring changed, test at the boat")));
    assert_eq!((out.ticket, out.by), (label("T-17"), label("Tern")));
    // The hose that nobody scanned did not go; the one from stock did.
    assert!(!out.hoses.contains(&wharf.heron[0]) && out.hoses.contains(&wharf.stock));
    let view = good(wharf.book.set_view(&label("Heron"), &moment(TODAY)));
    assert!(view.words.contains("over the objections: O-ring changed"), "{}", view.words);
    let told = good(wharf.book.history(wharf.heron[1]));
    let told = told.last().map(|line| line.words.clone());
    assert!(told.is_some_and(|words| words.contains("over the objections: O-ring changed")));
    let place = good(wharf.book.answer(&wharf.stock.to_string(), &moment(TODAY))).place;
    assert_eq!(place.words, "out on ticket T-17; it is in no set");
    good(wharf.back(1, &[]));
    assert_eq!(good(wharf.book.record(wharf.stock)).dives, 1);
    assert_eq!(good(wharf.book.record(wharf.heron[0])).dives, 0);
    assert!(wharf.reasons(wharf.heron[0]).is_empty());

    let mut wharf = self::wharf();
    let scans = wharf.scans();
    good(wharf.out(&scans, Some("just in case")));
    let out = good(wharf.book.set(&label("Heron"))).out;
    assert_eq!(out.and_then(|out| out.override_why), None);
}

#[test]
fn a_personal_set_is_not_handed_out() {
    let mut wharf = wharf();
    let code = fitted(&mut wharf.book, Service::SecondStage, "Own", "LP1").to_string();
    let checked = wharf.book.hand_out_check(&label("Own"), &[&code], &moment(TODAY));
    assert!(matches!(checked, Err(LogbookError::NotForRental(_))));
    let (set, ticket, why) = (label("Own"), label("T-1"), Some(label("asked")));
    let out = wharf.book.hand_out(&set, ticket, &[code], why, None, &moment(TODAY));
    assert!(out.is_err_and(|e| e.to_string().contains("personal use")));
    let none = wharf.book.hand_out_check(&label("Stork"), &[""], &moment(TODAY));
    assert!(matches!(none, Err(LogbookError::NoSuchSet { .. })));
}
