//! Where a hose is, and what is taken back. Source: common practice, no source.

use super::taken_back;
use super::tale_tests::{HOSE, Tale, codes, fitted, found, open, registered, removed, withdrawn};
use crate::event::{Event, FittedBefore, Held, InspectedBefore, PlaceConfirmed, Seat};
use crate::inspection::{InspectionKind, Look};
use crate::journal::Trust;
use crate::story::{code, day, label, port_name, set_id, slot};

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
    tale.tell(
        "2026-02-02",
        Event::PlaceConfirmed(PlaceConfirmed { hose, at, hoses, sets, answers }),
    );
    assert_eq!(tale.hose(HOSE).seat, at);
    assert_eq!((tale.hose(2).seat, tale.hose(2).seated_on), (None, Some(day("2026-02-02"))));
    assert!(!tale.hose(2).contested());
}

#[test]
fn a_withdrawal_takes_back_what_it_names_and_can_be_taken_back() {
    let dived = || Event::Dived { hoses: codes(&[HOSE]), dives: 3, list: None };
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
    let held = Event::Held(Held { hose, set, hoses, why: label("doubted"), incident: false });
    let hold = tale.tell("2026-02-01", held);
    tale.tell("2026-02-02", withdrawn(&[HOSE], &[], vec![hold]));
    assert_eq!(tale.hose(HOSE).holds.len(), 1);
    assert_eq!(tale.hose(HOSE).corrections, []);
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
        let look = Look { gone: None, ..Look::of(kind, findings) };
        Event::InspectedBefore(InspectedBefore { hose: code(HOSE), look })
    };
    tale.tell("2026-02-05", found("run:kink:springs-back"));
    tale.tell("2026-02-05", full("run:cut:cover"));
    tale.tell("2026-02-05", found("run:salt"));
    assert_eq!(open(&tale), ["run:cut:cover", "run:salt"]);
}
