//! What is in a set's ports. Source: common practice, no source.

use super::set_fold_tests::{changed, gone, renamed, to_ports, wide};
use super::tale_tests::{Tale, codes, fitted, removed};
use crate::event::{Event, Fitted, FittedBefore, PlaceConfirmed, RemovedBefore};
use crate::journal::Trust;
use crate::policy::Use;
use crate::story::{code, day, label, port_name, ports, set_id, slot};

#[test]
fn a_port_counts_only_where_all_agree() {
    let mut tale = Tale::default();
    let making = tale.made("2026-01-11", "Heron", Use::Rental);
    let mut known = tale.clone();
    known.tell("2026-02-01", changed(to_ports(wide()), None, vec![making]));
    let disputed = |tale: &Tale| {
        tale.set("Heron").disputed.iter().map(ToString::to_string).collect::<Vec<_>>().join(" ")
    };
    assert_eq!(disputed(&known), "LP1 LP2 LP3 LP4", "two threads");
    assert_eq!(known.set("Heron").ports, wide(), "as the last says");
    // Fewer ports by one who knew of the others: what both name they agree on.
    let few = to_ports(ports().into_iter().take(3).collect());
    let mut fewer = tale.clone();
    fewer.tell("2026-02-01", changed(few.clone(), None, vec![making]));
    assert_eq!((disputed(&fewer), fewer.set("Heron").ports), (String::new(), ports()));
    // Apart, a port that one does not have is in dispute.
    let why = Some("counted");
    tale.tell("2026-02-01", changed(few, why, vec![making]));
    tale.tell("2026-02-02", changed(to_ports(ports()), why, vec![making]));
    assert_eq!(disputed(&tale), "LP3 LP4");
}

#[test]
fn a_change_of_ports_for_a_reason_is_a_correction_of_those_ports() {
    let start = || {
        let mut tale = Tale::default();
        let making = tale.made("2026-01-11", "Heron", Use::Rental);
        (tale, making)
    };
    let corrected = |tale: &Tale| {
        let all = tale.set("Heron").corrections;
        let names = all.iter().flat_map(|one| &one.ports).map(ToString::to_string);
        names.collect::<Vec<_>>().join(" ")
    };
    let rows = [
        ("for a reason", to_ports(wide()), Some("measured"), Trust::Full, "LP1 LP2 LP3 LP4"),
        ("without a reason", to_ports(wide()), None, Trust::Full, ""),
        ("in doubt", to_ports(wide()), Some("measured"), Trust::AddsOnly, ""),
        ("the same ports", to_ports(ports()), Some("measured"), Trust::Full, ""),
        ("no ports", renamed("Ibis"), Some("repainted"), Trust::Full, ""),
    ];
    for (what, changes, why, trust, expected) in rows {
        let (mut tale, making) = start();
        let change = tale.told("2026-02-01", trust, changed(changes, why, vec![making]));
        assert_eq!(corrected(&tale), expected, "{what}");
        if let Some(one) = tale.set("Heron").corrections.first() {
            let said = (one.entry, one.when.0, one.by.as_str(), one.why.as_str());
            assert_eq!(said, (change, day("2026-02-01"), "Tern", "measured"));
        }
    }
    // One of two that it replaces had the port as it is now: another had not.
    let (mut tale, making) = start();
    let other = tale.tell("2026-02-01", changed(to_ports(wide()), None, vec![making]));
    tale.tell("2026-02-02", changed(to_ports(ports()), Some("both"), vec![making, other]));
    assert_eq!(corrected(&tale), "LP1 LP2 LP3 LP4");
}

#[test]
fn each_port_has_the_hose_that_was_put_there_and_not_taken_out() {
    let mut tale = Tale::default();
    tale.made("2026-01-11", "Heron", Use::Rental);
    let first = tale.fit("2026-01-12", 1, ("Heron", "LP1"));
    let second = tale.fit("2026-01-12", 2, ("Heron", "LP2"));
    let in_ports = |tale: &Tale| {
        let hoses = tale.set("Heron").hoses;
        hoses.iter().map(|(port, hose)| (port.to_string(), *hose)).collect::<Vec<_>>()
    };
    let both = [("LP1".to_owned(), code(1)), ("LP2".to_owned(), code(2))];
    assert_eq!(in_ports(&tale), both);
    let mut off = tale.clone();
    off.tell("2026-01-13", removed(1, "Heron", vec![first]));
    assert_eq!(in_ports(&off), both[1..]);
    let mut moved = tale.clone();
    let elsewhere = fitted(1, ("Egret", "LP1"), vec![first]);
    let Event::Fitted(Fitted { hose, set, port, answers, .. }) = elsewhere else {
        unreachable!("a fit")
    };
    let sets = vec![set_id("Heron")];
    moved.tell("2026-01-13", Event::Fitted(Fitted { hose, set, port, sets, answers }));
    assert_eq!(in_ports(&moved), both[1..], "in another set");
    let mut confirmed = tale.clone();
    let (at, sets) = (Some(slot("Heron", "LP3")), vec![set_id("Heron")]);
    let (hose, hoses, answers) = (code(1), codes(&[2]), vec![first, second]);
    let event = Event::PlaceConfirmed(PlaceConfirmed { hose, at, hoses, sets, answers });
    confirmed.tell("2026-01-13", event);
    assert_eq!(in_ports(&confirmed), [("LP3".to_owned(), code(1))]);
    // What is in doubt is claimed and moves nothing.
    tale.told("2026-01-13", Trust::AddsOnly, fitted(3, ("Heron", "LP1"), vec![first]));
    assert_eq!(in_ports(&tale), both);
    let claims = tale.set("Heron").claims;
    let said: Vec<_> = claims.iter().map(|claim| (claim.hose, claim.doubtful)).collect();
    assert_eq!(said, [(code(1), false), (code(2), false), (code(3), true)]);
    let rivals = |port, hose| tale.set("Heron").rivals(port_name(port), code(hose)).count();
    assert_eq!((rivals("LP1", 1), rivals("LP1", 9), rivals("LP2", 1)), (0, 1, 1));
}

#[test]
fn placings_of_earlier_programs_say_what_they_leave() {
    let mut tale = Tale::default();
    let before =
        FittedBefore { hose: code(1), set: label("Heron"), port: port_name("LP1"), from: None };
    tale.tell("2026-01-12", Event::FittedBefore(before));
    assert_eq!(tale.set("Heron").hoses.len(), 1);
    let off = |port| RemovedBefore { hose: code(1), set: label("Heron"), port: port_name(port) };
    let mut other = tale.clone();
    other.tell("2026-01-13", Event::RemovedBefore(off("LP2")));
    assert_eq!(other.set("Heron").hoses.len(), 1, "out of another port");
    tale.tell("2026-01-13", Event::RemovedBefore(off("LP1")));
    assert_eq!(tale.set("Heron").hoses.len(), 0);
}

#[test]
fn a_hose_fitted_into_a_dissolved_set_makes_it_stand_again() {
    let mut tale = Tale::default();
    let making = tale.made("2026-01-11", "Heron", Use::Rental);
    tale.tell("2026-02-01", changed(gone(), None, vec![making]));
    assert!(tale.set("Heron").dissolved && !tale.set("Heron").contested);
    tale.fit("2026-02-02", 1, ("Heron", "LP1"));
    assert!(!tale.set("Heron").dissolved && tale.set("Heron").contested);
}
