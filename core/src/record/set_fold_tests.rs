//! What a set comes to, rule by rule. Source: common practice, no source.

use super::tale_tests::{Tale, codes, made, withdrawn};
use crate::event::{
    Assembled, AssembledBefore, DetailChanges, EntryId, Event, FittedBefore, HandedOutBefore, Port,
    SetChanges,
};
use crate::hose::{Pressure, Thread};
use crate::journal::Trust;
use crate::policy::Use;
use crate::record::{SetRecord, fold_set};
use crate::story::{code, day, label, port_name, ports, set_id};

pub(super) fn changed(changes: SetChanges, why: Option<&str>, answers: Vec<EntryId>) -> Event {
    Event::SetChanged { set: set_id("Heron"), changes, why: why.map(label), answers }
}

fn to_use(in_use: Use) -> SetChanges {
    SetChanges { in_use: Some(in_use), ..SetChanges::default() }
}

pub(super) fn to_ports(ports: Vec<Port>) -> SetChanges {
    SetChanges { ports: Some(ports), ..SetChanges::default() }
}

pub(super) fn renamed(name: &str) -> SetChanges {
    SetChanges { name: Some(label(name)), ..SetChanges::default() }
}

pub(super) fn gone() -> SetChanges {
    SetChanges { dissolved: true, ..SetChanges::default() }
}

/// The usual ports, the low-pressure ones cut for the wide thread.
pub(super) fn wide() -> Vec<Port> {
    let mut all = ports();
    for port in all.iter_mut().filter(|port| port.name.pressure() == Some(Pressure::Low)) {
        port.thread = Thread::Unf1_2x20;
    }
    all
}

fn port_names(set: &SetRecord) -> String {
    set.ports.iter().map(|port| port.name.to_string()).collect::<Vec<_>>().join(" ")
}

#[test]
fn without_entries_there_is_no_set() {
    assert_eq!(fold_set(set_id("Heron"), &[]), None);
}

#[test]
fn a_set_is_as_it_was_made() {
    let mut tale = Tale::default();
    let making = tale.made("2026-01-11", "Heron", Use::Personal);
    let before = AssembledBefore {
        set: label("Egret"),
        in_use: Use::Personal,
        ports: ports().into_iter().take(2).collect(),
    };
    let earlier = tale.tell("2026-01-12", Event::AssembledBefore(before));
    let heron = tale.set("Heron");
    assert_eq!((heron.name.as_str(), heron.in_use), ("Heron", Use::Personal));
    assert_eq!((heron.ports.clone(), heron.descriptions.clone()), (ports(), vec![making]));
    assert_eq!((heron.since, heron.is_made()), (day("2026-01-11"), true));
    let by = heron.made.as_ref().map(|made| (made.on, made.by.to_string()));
    assert_eq!(by, Some((day("2026-01-11"), "Tern".to_owned())));
    assert!(!heron.contested && !heron.dissolved && heron.disputed.is_empty());
    let egret = tale.set("Egret");
    assert_eq!((egret.name.as_str(), egret.in_use), ("Egret", Use::Personal));
    assert_eq!((port_names(&egret), egret.descriptions), ("HP1 LP1".to_owned(), vec![earlier]));
    assert_eq!(egret.newest_on, day("2026-01-12"));
}

#[test]
fn a_set_whose_making_is_not_here_is_rental_and_goes_by_what_others_call_it() {
    let mut tale = Tale::default();
    tale.fit("2026-01-12", 1, ("Heron", "LP1"));
    let heron = tale.set("Heron");
    assert_eq!((heron.in_use, heron.is_made()), (Use::Rental, false));
    assert_eq!(heron.name.to_string(), set_id("Heron").to_string());
    let before =
        FittedBefore { hose: code(1), set: label("Egret"), port: port_name("LP1"), from: None };
    tale.tell("2026-01-12", Event::FittedBefore(before));
    assert_eq!(tale.set("Egret").name.as_str(), "Egret");
    let out = HandedOutBefore {
        set: label("Stork"),
        hoses: codes(&[1]),
        ticket: label("R-1"),
        override_why: None,
    };
    tale.tell("2026-01-12", Event::HandedOutBefore(out));
    assert_eq!(tale.set("Stork").name.as_str(), "Stork");
    // A name of another set that is one with it is not its own.
    let other = tale.set_with("Heron", &["Egret"]);
    assert_eq!(other.name.to_string(), set_id("Heron").to_string());
    // Only a change is here, to personal: what it changes nobody knows.
    let mut change = Tale::default();
    change.tell("2026-01-12", changed(to_use(Use::Personal), Some("sold"), vec![]));
    assert_eq!(change.set("Heron").in_use, Use::Rental);
}

/// A change takes the place of what it names with a reason, or where it touches
/// neither use nor ports; else both count.
#[test]
fn a_change_replaces_with_a_reason_or_where_it_does_no_harm() {
    let rows: [(&str, SetChanges, Option<&str>, bool); 8] = [
        ("a name", renamed("Ibis"), None, true),
        ("a name, with a reason", renamed("Ibis"), Some("repainted"), true),
        ("its end", gone(), None, true),
        ("its use", to_use(Use::Personal), None, false),
        ("its use, with a reason", to_use(Use::Personal), Some("sold"), true),
        ("its ports", to_ports(wide()), None, false),
        ("its ports, with a reason", to_ports(wide()), Some("measured"), true),
        ("both", SetChanges { in_use: Some(Use::Personal), ..to_ports(wide()) }, None, false),
    ];
    for (what, changes, why, replaces) in rows {
        let mut tale = Tale::default();
        let making = tale.made("2026-01-11", "Heron", Use::Rental);
        let change = tale.tell("2026-02-01", changed(changes.clone(), why, vec![making]));
        let set = tale.set("Heron");
        let heads = if replaces { vec![change] } else { vec![making, change] };
        assert_eq!(set.descriptions, heads, "{what}");
        let use_is = if replaces { changes.in_use.unwrap_or(Use::Rental) } else { Use::Rental };
        assert_eq!(set.in_use, use_is, "{what}: the stricter use");
        // What the change does not name stays.
        assert_eq!(set.ports, changes.ports.unwrap_or_else(ports), "{what}");
        assert_eq!(set.name, changes.name.unwrap_or_else(|| label("Heron")), "{what}");
        assert_eq!(set.dissolved, changes.dissolved, "{what}");
        assert_eq!(set.since, day("2026-01-11"), "{what}");
        // Who knows the making is not apart from it.
        assert!(!set.contested, "{what}");
    }
}

#[test]
fn a_change_replaces_only_what_it_names_and_only_where_it_is_believed() {
    let mut tale = Tale::default();
    let making = tale.made("2026-01-11", "Heron", Use::Rental);
    let mut unnamed = tale.clone();
    unnamed.tell("2026-02-01", changed(to_use(Use::Personal), Some("sold"), vec![]));
    assert_eq!(unnamed.set("Heron").in_use, Use::Rental);
    for trust in [Trust::AddsOnly, Trust::Disbelieved] {
        let mut doubtful = tale.clone();
        let sold = changed(to_use(Use::Personal), Some("sold"), vec![making]);
        doubtful.told("2026-02-01", trust, sold);
        doubtful.told("2026-02-02", trust, changed(renamed("Ibis"), None, vec![making]));
        let set = doubtful.set("Heron");
        assert_eq!((set.in_use, set.name.as_str()), (Use::Rental, "Heron"), "{trust:?}");
    }
    // Doubt counts where it is stricter.
    let mut strict = Tale::default();
    let making = strict.made("2026-01-11", "Heron", Use::Personal);
    let mut disbelieved = strict.clone();
    let lent = || changed(to_use(Use::Rental), None, vec![making]);
    strict.told("2026-02-01", Trust::AddsOnly, lent());
    assert_eq!(strict.set("Heron").in_use, Use::Rental);
    disbelieved.told("2026-02-01", Trust::Disbelieved, lent());
    assert_eq!(disbelieved.set("Heron").in_use, Use::Personal);
    assert_eq!(disbelieved.set("Heron").newest_on, day("2026-01-11"));
}

/// A set whose only description is in doubt is shown by it anyway.
#[test]
fn what_is_said_in_doubt_alone_is_shown() {
    let mut tale = Tale::default();
    tale.told("2026-01-11", Trust::AddsOnly, made("Heron", Use::Personal));
    assert_eq!(
        (tale.set("Heron").name.as_str(), port_names(&tale.set("Heron"))),
        ("Heron", "HP1 LP1 LP2 LP3 LP4".to_owned())
    );
}

#[test]
fn changes_that_know_nothing_of_one_another_are_apart_where_they_differ() {
    let few = || to_ports(ports().into_iter().take(3).collect());
    let rows = [
        ("the same ports", few(), few(), false),
        ("other ports", few(), to_ports(wide()), true),
        ("another use", to_use(Use::Personal), renamed("Ibis"), true),
        ("one is no more", gone(), renamed("Ibis"), true),
        ("names alone", renamed("Ibis"), renamed("Avocet"), false),
    ];
    for (what, one, other, expected) in rows {
        let mut tale = Tale::default();
        let making = tale.made("2026-01-11", "Heron", Use::Rental);
        let why = Some("looked");
        let first = tale.tell("2026-02-01", changed(one, why, vec![making]));
        tale.device = 2;
        let mut knowing = tale.clone();
        tale.tell("2026-02-02", changed(other.clone(), why, vec![making]));
        assert_eq!(tale.set("Heron").contested, expected, "{what}");
        knowing.tell("2026-02-02", changed(other, None, vec![making, first]));
        assert!(!knowing.set("Heron").contested, "{what}: it knows the other");
    }
    // Written up for an earlier day, it knows anyway.
    let mut tale = Tale::default();
    let making = tale.made("2026-01-11", "Heron", Use::Rental);
    let later = tale.tell("2026-03-01", changed(few(), Some("looked"), vec![making]));
    tale.tell("2026-02-01", changed(to_use(Use::Personal), None, vec![making, later]));
    assert!(!tale.set("Heron").contested);
}

#[test]
fn sets_that_are_one_have_what_either_has() {
    let mut tale = Tale::default();
    for name in ["Heron", "Egret", "Stork", "Ibis"] {
        tale.made("2026-01-11", name, Use::Rental);
    }
    tale.fit("2026-01-12", 1, ("Egret", "LP1"));
    let join = |a, b| Event::SetsJoined { sets: [set_id(a), set_id(b)], why: label("one") };
    tale.tell("2026-01-13", join("Stork", "Egret"));
    tale.tell("2026-01-13", join("Heron", "Egret"));
    tale.told("2026-01-13", Trust::AddsOnly, join("Heron", "Ibis"));
    let all = ["Heron", "Egret", "Stork", "Ibis"];
    let heron = tale.set_with("Heron", &all);
    let mut joined = vec![set_id("Egret"), set_id("Stork")];
    joined.sort_unstable();
    assert_eq!(heron.joined, joined);
    assert_eq!(heron.hoses.values().copied().collect::<Vec<_>>(), [code(1)]);
    assert_eq!(tale.set_with("Ibis", &all).joined, []);
    assert_eq!(tale.set_with("Ibis", &all).hoses.len(), 0);
}

#[test]
fn what_nobody_can_read_is_counted_and_what_is_not_believed_is_not() {
    let mut tale = Tale::default();
    tale.made("2026-01-11", "Heron", Use::Rental);
    let body = format!("{{\"set\":\"{}\"}}", set_id("Heron"));
    tale.unknown("2026-02-01", Trust::Full, &body);
    tale.unknown("2026-02-02", Trust::AddsOnly, &body);
    tale.unknown("2026-02-03", Trust::Disbelieved, &body);
    let set = tale.set("Heron");
    assert_eq!((set.unread, set.newest_on), (2, day("2026-02-02")));
    assert_eq!(set.newest_at.time().date_naive(), day("2026-02-02"));
}

/// Oxygen taken away for a reason is a correction where it was there.
#[test]
fn a_set_that_is_for_oxygen_no_more_is_corrected() {
    let oxygen = |clean| SetChanges {
        details: DetailChanges { oxygen: Some(clean), ..DetailChanges::default() },
        ..SetChanges::default()
    };
    let rows = [
        ("no more", true, oxygen(false), Some("used for air"), true),
        ("no more, without a reason", true, oxygen(false), None, false),
        ("as it was", true, oxygen(true), Some("cleaned again"), false),
        ("a name", true, renamed("Ibis"), Some("repainted"), false),
        ("it never was", false, oxygen(false), Some("used for air"), false),
        ("from now on", false, oxygen(true), Some("cleaned"), false),
    ];
    for (what, was, changes, why, expected) in rows {
        let mut tale = Tale::default();
        let mut making = made("Heron", Use::Rental);
        if let Event::Assembled(Assembled { details, .. }) = &mut making {
            details.oxygen = was;
        }
        let making = tale.tell("2026-01-11", making);
        tale.tell("2026-02-01", changed(changes, why, vec![making]));
        let said: Vec<_> = tale.set("Heron").corrections.iter().map(|c| c.oxygen).collect();
        assert_eq!(said, if expected { vec![true] } else { vec![] }, "{what}");
    }
}

/// Of sets that are one each has its own tags, and the one that answers has all.
#[test]
fn the_tags_of_sets_that_are_one_are_each_its_own() {
    let mut tale = Tale::default();
    tale.made("2026-01-11", "Heron", Use::Rental);
    tale.made("2026-01-12", "Egret", Use::Rental);
    for (on, set, tag) in [("2026-02-01", "Heron", 21), ("2026-02-02", "Egret", 22)] {
        tale.tell(on, Event::SetTagged { set: set_id(set), tag: code(tag) });
    }
    let sets = [set_id("Heron"), set_id("Egret")];
    tale.tell("2026-02-03", Event::SetsJoined { sets, why: label("twice") });
    let set = tale.set_with("Heron", &["Heron", "Egret"]);
    let mut all: Vec<_> = set.tags.iter().map(|tag| (tag.code, tag.withdrawn)).collect();
    all.sort_by_key(|(code, _)| *code);
    let mut wanted = vec![
        (set_id("Heron").code(), Some(day("2026-02-01"))),
        (set_id("Egret").code(), Some(day("2026-02-02"))),
        (code(21), None),
        (code(22), None),
    ];
    wanted.sort_by_key(|(code, _)| *code);
    assert_eq!(all, wanted);
}

/// Sets that were said to be one are so until that is surely taken back: a
/// withdrawal in doubt takes nothing away.
#[test]
fn a_withdrawal_in_doubt_parts_no_sets() {
    for (trust, parted) in
        [(Trust::Full, true), (Trust::AddsOnly, false), (Trust::Disbelieved, false)]
    {
        let mut tale = Tale::default();
        tale.made("2026-01-11", "Heron", Use::Rental);
        tale.made("2026-01-11", "Egret", Use::Rental);
        let sets = [set_id("Heron"), set_id("Egret")];
        let joined = tale.tell("2026-02-01", Event::SetsJoined { sets, why: label("twice") });
        let quarantine = Event::Quarantined { set: set_id("Egret"), why: label("a bulge") };
        tale.tell("2026-02-02", quarantine);
        let back = withdrawn(&[], &["Heron", "Egret"], vec![joined]);
        tale.told("2026-02-03", trust, back);
        let set = tale.set_with("Heron", if parted { &["Heron"] } else { &["Heron", "Egret"] });
        assert_eq!(
            (set.joined.is_empty(), set.quarantines.is_empty()),
            (parted, parted),
            "{trust:?}"
        );
    }
}
