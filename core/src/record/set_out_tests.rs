//! What a set is out on, and what holds it. Source: common practice, no source.

use super::tale_tests::{Tale, codes, handed_out, returned, swapped, withdrawn};
use crate::event::{
    CameIn, Event, GoneHome, HandedOut, HandedOutBefore, Held, Released, ReturnedBefore,
};
use crate::journal::Trust;
use crate::policy::Use;
use crate::story::{day, label, set_id, slot};

#[test]
fn holds_quarantines_and_swaps_of_a_set_stand_until_they_are_ended() {
    let mut tale = Tale::default();
    tale.made("2026-01-11", "Heron", Use::Rental);
    let (hose, set, why) = (None, Some(set_id("Heron")), label::<crate::hose::Prose>("doubted"));
    let held = Event::Held(Held { hose, set, hoses: vec![], why: why.clone(), incident: false });
    let hold = tale.tell("2026-02-01", held);
    let quarantine = Event::Quarantined { set: set_id("Heron"), why: why.clone() };
    let shut = tale.tell("2026-02-02", quarantine);
    let swap =
        tale.tell("2026-02-03", swapped((1, 2), slot("Heron", "LP1"), "laid-out", false, vec![]));
    tale.tell("2026-02-03", swapped((3, 4), slot("Egret", "LP1"), "laid-out", false, vec![]));
    let set = tale.set_with("Heron", &["Heron", "Egret"]);
    let entries = |holds: &[super::Hold]| holds.iter().map(|hold| hold.entry).collect::<Vec<_>>();
    assert_eq!((entries(&set.holds), entries(&set.quarantines)), (vec![hold], vec![shut]));
    assert_eq!(set.swaps.iter().map(|swap| swap.entries.clone()).collect::<Vec<_>>(), [[swap]]);
    for (ended, left) in [(hold, (0, 1)), (shut, (1, 0))] {
        let mut tale = tale.clone();
        let (hose, set, hoses) = (None, Some(set_id("Heron")), vec![]);
        let (why, answers) = (label("looked at"), vec![ended]);
        let release = Event::Released(Released { hose, set, hoses, why, incident: false, answers });
        tale.tell("2026-02-04", release);
        let set = tale.set("Heron");
        assert_eq!((set.holds.len(), set.quarantines.len()), left);
    }
}

#[test]
fn a_set_is_out_until_every_hand_out_is_back() {
    let mut tale = Tale::default();
    tale.made("2026-01-11", "Heron", Use::Rental);
    assert_eq!((tale.set("Heron").out, tale.set("Heron").back_on), (None, None));
    let one = tale.tell("2026-02-01", handed_out("Heron", &[1, 2], "R-1"));
    let mut two = handed_out("Heron", &[2, 3], "R-2");
    if let Event::HandedOut(HandedOut { override_why, .. }) = &mut two {
        *override_why = Some(label("the dive is shallow"));
    }
    let other = tale.tell("2026-02-02", two);
    tale.told("2026-02-03", Trust::AddsOnly, handed_out("Heron", &[4], "R-3"));
    tale.tell("2026-02-03", handed_out("Egret", &[5], "R-4"));
    let out = |tale: &Tale| tale.set_with("Heron", &["Heron", "Egret"]).out;
    let Some(both) = out(&tale) else { unreachable!("it is out") };
    assert_eq!((both.entries, both.hoses), (vec![one, other], codes(&[1, 2, 3])));
    assert_eq!(both.tickets, [label("R-1"), label("R-2")]);
    assert_eq!((both.ticket, both.on, both.by), (label("R-2"), day("2026-02-02"), label("Tern")));
    assert_eq!(both.override_why, Some(label("the dive is shallow")));
    tale.tell("2026-02-05", returned("Heron", &[1, 2], 1, vec![one]));
    assert_eq!(out(&tale).map(|out| out.entries), Some(vec![other]));
    let mut doubtful = tale.clone();
    doubtful.told("2026-02-06", Trust::AddsOnly, returned("Heron", &[2], 1, vec![other]));
    assert_eq!(out(&doubtful).map(|out| out.entries), Some(vec![other]));
    assert_eq!(doubtful.set("Heron").back_on, Some(day("2026-02-05")));
    tale.tell("2026-02-06", returned("Heron", &[2, 3], 1, vec![other]));
    assert_eq!((out(&tale), tale.set("Heron").back_on), (None, Some(day("2026-02-06"))));
}

#[test]
fn a_return_of_earlier_programs_ends_its_ticket_of_its_set() {
    let rows = [("Heron", "R-1", true), ("Heron", "R-2", false), ("Egret", "R-1", false)];
    for (set, ticket, ends) in rows {
        let mut tale = Tale::default();
        let out = HandedOutBefore {
            set: label("Heron"),
            hoses: codes(&[1]),
            ticket: label("R-1"),
            override_why: Some(label("in a hurry")),
        };
        tale.tell("2026-02-01", Event::HandedOutBefore(out));
        let shown = tale.set("Heron").out;
        assert_eq!(shown.as_ref().map(|out| out.hoses.clone()), Some(codes(&[1])));
        assert_eq!(shown.and_then(|out| out.override_why), Some(label("in a hurry")));
        let (set, ticket) = (label(set), label(ticket));
        let back = ReturnedBefore { set, hoses: codes(&[1]), ticket };
        tale.tell("2026-02-02", Event::ReturnedBefore(back));
        let after = tale.set_with("Heron", &["Heron", "Egret"]);
        assert_eq!(after.out.is_none(), ends, "{:?}", after.out);
        assert_eq!(after.back_on, Some(day("2026-02-02")));
        assert_eq!(tale.hose(1).outs.is_empty(), ends);
    }
}

#[test]
fn what_is_taken_back_counts_as_never_written() {
    let mut tale = Tale::default();
    tale.made("2026-01-11", "Heron", Use::Personal);
    let out = tale.tell("2026-02-01", handed_out("Heron", &[1], "R-1"));
    let mut doubtful = tale.clone();
    doubtful.told("2026-02-02", Trust::AddsOnly, withdrawn(&[1], &["Heron"], vec![out]));
    tale.tell("2026-02-02", withdrawn(&[1], &["Heron"], vec![out]));
    assert_eq!(tale.set("Heron").out, None);
    // In doubt it takes nothing away, and what it names counts no more.
    assert_eq!(doubtful.set("Heron").out, None);
    assert_eq!(doubtful.hose(1).outs.iter().map(|out| out.doubtful).collect::<Vec<_>>(), [true]);
    assert_eq!(tale.hose(1).outs, []);
}

/// Returns of earlier programs name no hand-out: each ends those of its ticket and
/// its set that are before it, and so they say which hand-outs overlap.
#[test]
fn returns_of_earlier_programs_say_which_hand_outs_overlap() {
    let out = |ticket: &str| {
        let (set, hoses, ticket) = (label("Heron"), codes(&[1]), label(ticket));
        Event::HandedOutBefore(HandedOutBefore { set, hoses, ticket, override_why: None })
    };
    let back = |set: &str, ticket: &str| {
        let (set, hoses, ticket) = (label(set), codes(&[1]), label(ticket));
        Event::ReturnedBefore(ReturnedBefore { set, hoses, ticket })
    };
    let rows: [(&str, Vec<Event>, bool); 5] = [
        ("one after the other", vec![out("R-1"), back("Heron", "R-1"), out("R-2")], false),
        ("back on another ticket", vec![out("R-1"), back("Heron", "R-9"), out("R-2")], true),
        ("back with another set", vec![out("R-1"), back("Egret", "R-1"), out("R-2")], true),
        ("one of two is back", vec![out("R-1"), out("R-2"), back("Heron", "R-2")], true),
        (
            "both are back",
            vec![out("R-1"), out("R-2"), back("Heron", "R-1"), back("Heron", "R-2")],
            false,
        ),
    ];
    for (what, events, twice) in rows {
        let mut tale = Tale::default();
        for event in events {
            tale.tell("2026-02-01", event);
        }
        let tickets = if twice { vec![label("R-1"), label("R-2")] } else { vec![] };
        assert_eq!(tale.hose(1).rented_twice, tickets, "{what}");
        assert_eq!(tale.set("Heron").rented_twice, tickets, "{what}: the set");
    }
}

#[test]
fn a_customers_set_is_at_home_until_it_comes_in_again() {
    let gone = |set: &str| {
        let (hose, set, hoses) = (None, Some(set_id(set)), codes(&[1]));
        Event::GoneHome(GoneHome { hose, set, hoses, ticket: label("T-1") })
    };
    let mut tale = Tale::default();
    tale.made("2026-01-11", "Heron", Use::Personal);
    tale.tell("2026-02-01", gone("Egret"));
    let home = |tale: &Tale| tale.set_with("Heron", &["Heron", "Egret"]).home;
    assert_eq!(home(&tale), None, "another set");
    let entry = tale.tell("2026-02-02", gone("Heron"));
    let said = home(&tale).map(|home| (home.entry, home.since, home.ticket));
    assert_eq!(said, Some((entry, day("2026-02-02"), label("T-1"))));
    for (answers, stays) in [(vec![entry], false), (vec![], true)] {
        let mut tale = tale.clone();
        let (hose, set, hoses) = (None, Some(set_id("Heron")), codes(&[1]));
        let ticket = label("T-2");
        tale.tell("2026-02-03", Event::CameIn(CameIn { hose, set, hoses, ticket, answers }));
        assert_eq!(home(&tale).is_some(), stays);
    }
}
