//! The reasons of doubt in section 3 of the trade's rules: each arises, stays
//! through what is not its ending, and is gone once its ending is written.
//! Source: common practice, no source.

use crate::event::{Changes, Event, HandedOut, Held, Released, Returned, SetChanges};
use crate::hose::{Construction, Origin, Service};
use crate::inspection::Verdict::{Hold, Ready, Watch};
use crate::policy::Use;
use crate::story::{Story, hose, label, ports, set_id};

const TODAY: &str = "2026-06-15";

/// A hose that nothing is known against, in a rental set.
fn rented() -> Story {
    Story::lp("2025-01-10")
        .full("2026-05-01", &[])
        .assembled("2025-01-11", "Heron", Use::Rental)
        .fitted("2025-01-11", "Heron", "LP1", None)
        .leak_test("2025-01-11", true)
}

fn hold(story: Story, of_set: bool, incident: bool) -> Story {
    let (hose, set) = (Some(story.hose), Some(set_id("Heron")));
    let hoses = if of_set { vec![story.hose] } else { Vec::new() };
    let (hose, set) = if of_set { (None, set) } else { (hose, None) };
    story
        .then("2026-06-01", Event::Held(Held { hose, set, hoses, why: label("doubted"), incident }))
}

fn release(story: Story, of_set: bool, incident: bool) -> Story {
    let (hose, set) = (Some(story.hose), Some(set_id("Heron")));
    let hoses = if of_set { vec![story.hose] } else { Vec::new() };
    let (hose, set) = if of_set { (None, set) } else { (hose, None) };
    let (why, answers) = (label("looked at"), vec![story.last()]);
    story.then("2026-06-02", Event::Released(Released { hose, set, hoses, why, incident, answers }))
}

#[test]
fn a_hold_by_hand_lasts_until_it_is_released() {
    for of_set in [false, true] {
        let held = hold(rented(), of_set, false);
        assert_eq!(held.told(TODAY), (Hold, vec!["held".to_owned()]), "{of_set}");
        // No inspection ends it.
        let looked = held.clone().full("2026-06-02", &[]).leak_test("2026-06-02", true);
        assert_eq!(looked.reason(TODAY, "held"), Some(Hold), "{of_set}");
        assert_eq!(release(held, of_set, false).told(TODAY), (Ready, vec![]), "{of_set}");
    }
}

#[test]
fn the_hold_of_a_set_stays_with_the_set_and_that_after_an_incident_with_the_hose() {
    let left = |story: Story| story.removed("2026-06-01", "Heron", "LP1");
    assert_eq!(left(hold(rented(), true, false)).reason(TODAY, "held"), None);
    let incident = hold(rented(), true, true);
    assert_eq!(left(incident.clone()).reason(TODAY, "held"), Some(Hold));
    // A usual release does not end it; the owner's does.
    assert_eq!(release(incident.clone(), true, false).reason(TODAY, "held"), Some(Hold));
    assert_eq!(release(incident, true, true).reason(TODAY, "held"), None);
}

#[test]
fn nothing_is_cut_through_after_an_incident() {
    let found = |story: Story| story.full("2026-06-02", &["run:cut:deep"]).answer(TODAY);
    let usual = found(rented());
    let incident = found(hold(rented(), false, true));
    let todo = |answer: &super::Answer| {
        let cut = answer.reasons.iter().find(|reason| reason.code == "finding-cut");
        cut.map(|reason| reason.todo.clone()).unwrap_or_default()
    };
    assert_ne!(todo(&usual), crate::words::KEEP_AS_IT_IS);
    assert_eq!(todo(&incident), crate::words::KEEP_AS_IT_IS);
}

#[test]
fn a_quarantine_holds_every_hose_of_the_set_until_it_is_released() {
    let event = Event::Quarantined { set: set_id("Heron"), why: label("a bulge on LP2") };
    let shut = rented().then("2026-06-01", event);
    assert_eq!(shut.told(TODAY), (Hold, vec!["set-quarantined".to_owned()]));
    let fine = shut.clone().full("2026-06-02", &[]);
    assert_eq!(fine.reason(TODAY, "set-quarantined"), Some(Hold));
    assert_eq!(release(shut, true, false).told(TODAY), (Ready, vec![]));
}

#[test]
fn what_is_taken_back_is_looked_at_before_it_is_forgotten() {
    let cut = rented().full("2026-06-01", &["run:cut:deep"]);
    let entry = cut.last();
    let corrected = cut.withdrawn("2026-06-02", vec![entry]);
    assert_eq!(corrected.told(TODAY), (Hold, vec!["corrected".to_owned()]));
    assert_eq!(corrected.clone().quick("2026-06-03", &[]).told(TODAY).0, Hold);
    assert_eq!(corrected.full("2026-06-03", &[]).told(TODAY), (Ready, vec![]));
}

#[test]
fn a_withdrawal_brings_back_what_the_entry_ended() {
    let salt = rented().full("2026-06-01", &["run:salt"]);
    let cleaned = salt.clone().cleaned("2026-06-02");
    assert_eq!(cleaned.reason(TODAY, "finding-salt"), None);
    let entry = cleaned.last();
    let undone = cleaned.withdrawn("2026-06-03", vec![entry]);
    let before = salt.reason(TODAY, "finding-salt");
    assert!(before.is_some());
    assert_eq!(undone.reason(TODAY, "finding-salt"), before);
}

#[test]
fn a_withdrawal_taken_back_brings_the_finding_back() {
    let cut = rented().full("2026-06-01", &["run:cut:deep"]);
    let entry = cut.last();
    let once = cut.clone().withdrawn("2026-06-02", vec![entry]);
    assert_eq!(once.reason(TODAY, "finding-cut"), None);
    let withdrawal = once.last();
    let twice = once.withdrawn("2026-06-03", vec![withdrawal]);
    assert_eq!(twice.reason(TODAY, "finding-cut"), cut.reason(TODAY, "finding-cut"));
}

#[test]
fn a_recall_that_could_mean_it_holds_it_until_its_origin_is_known() {
    let (lot, why) = (label("L-7"), label("sleeves crimped off centre"));
    let recall = Event::Recalled { lot, maker: None, why };
    let open = rented().then("2026-06-01", recall);
    assert_eq!(open.told(TODAY), (Hold, vec!["recall-open".to_owned()]));
    let of_lot = |lot: &str| {
        let origin = Origin { lot: Some(label(lot)), ..Origin::default() };
        let changes = Box::new(Changes { origin, ..Changes::default() });
        let registered = open.entries.first().map(crate::journal::Entry::id);
        let (hose, why) = (open.hose, Some(label("read off the sleeve")));
        let answers = registered.into_iter().collect();
        open.clone().then("2026-06-02", Event::Described { hose, changes, why, answers })
    };
    assert_eq!(of_lot("L-8").told(TODAY).0, Ready);
    assert_eq!(of_lot("l-7").told(TODAY), (Hold, vec!["recalled".to_owned()]));
    let (why, answers) = (label("another lot was meant"), [open.last()]);
    let ended = open.clone().then("2026-06-02", Event::RecallEnded { why, answers });
    assert_eq!(ended.told(TODAY), (Ready, vec![]));
    let (hose, why) = (open.hose, label("the invoice says L-8"));
    let checked = open.clone().then("2026-06-02", Event::CheckedOff { hose, why, answers });
    assert_eq!(checked.told(TODAY), (Ready, vec![]));
}

#[test]
fn a_hose_in_a_port_that_it_does_not_go_with_is_held() {
    let gauge = hose(Service::Gauge, Construction::Rubber);
    let wrong = Story::of(gauge, "2025-01-10", "2025-01-10")
        .full("2026-05-01", &[])
        .assembled("2025-01-11", "Heron", Use::Personal)
        .fitted("2025-01-11", "Heron", "LP1", None)
        .leak_test("2025-01-11", true);
    assert_eq!(wrong.told(TODAY), (Hold, vec!["misfit".to_owned()]));
    let right = wrong.fitted("2026-06-01", "Heron", "HP1", Some(("Heron", "LP1")));
    let tested = right.leak_test("2026-06-01", true);
    assert_eq!(tested.told(TODAY), (Ready, vec![]));
}

#[test]
fn a_port_that_two_devices_changed_apart_is_settled_by_one_who_knows_both() {
    let change = |story: Story, ports, answers| {
        let changes = SetChanges { ports: Some(ports), ..SetChanges::default() };
        let (set, why) = (set_id("Heron"), Some(label("counted again")));
        story.then("2026-06-01", Event::SetChanged { set, changes, why, answers })
    };
    let made = rented().entries.get(2).map(crate::journal::Entry::id);
    let made: Vec<_> = made.into_iter().collect();
    let fewer = ports().into_iter().take(3).collect();
    let one = change(rented(), fewer, made.clone());
    let first = one.last();
    let two = change(one.on_device(2), ports(), made);
    let both = vec![first, two.last()];
    assert_eq!(two.reason(TODAY, "set-contested"), Some(Watch));
    let settled = change(two, ports(), both);
    assert_eq!(settled.reason(TODAY, "set-contested"), None);
}

#[test]
fn a_tag_that_two_hoses_carry_holds_both() {
    let twice = rented().on_device(2);
    let (hose, specification) = (twice.hose, twice.specification.clone());
    let origin = Origin::default();
    let event = Event::Registered { hose, specification, origin };
    let twice = twice.then("2026-06-01", event);
    assert_eq!(twice.reason(TODAY, "identity-contested"), Some(Hold));
    // Looking at one of them does not tell which it is.
    let looked = twice.full("2026-06-02", &[]);
    assert_eq!(looked.reason(TODAY, "identity-contested"), Some(Hold));
}

#[test]
fn two_tickets_at_once_are_said_until_both_are_back() {
    let out = |story: Story, ticket: &str, on: &str| {
        let (set, hoses, ticket) = (set_id("Heron"), vec![story.hose], label(ticket));
        story.then(
            on,
            Event::HandedOut(HandedOut { set, hoses, ticket, override_why: None, shown: vec![] }),
        )
    };
    let back = |story: Story, answers| {
        let (set, hoses) = (set_id("Heron"), vec![story.hose]);
        let (tickets, missing) = (vec![label("R-1"), label("R-2")], vec![]);
        let (dives, estimated) = (1, false);
        story.then(
            "2026-06-03",
            Event::Returned(Returned { set, hoses, missing, tickets, dives, estimated, answers }),
        )
    };
    let one = out(rented(), "R-1", "2026-06-01");
    let first = one.last();
    let two = out(one.on_device(2), "R-2", "2026-06-01");
    let second = two.last();
    assert_eq!(two.told(TODAY), (Watch, vec!["rented-twice".to_owned()]));
    // One of the two is not enough, whichever it is; each by itself is.
    for one_of in [first, second] {
        let one_back = back(two.clone(), vec![one_of]);
        assert_eq!(one_back.reason(TODAY, "rented-twice"), Some(Watch));
        let other = if one_of == first { second } else { first };
        assert_eq!(back(one_back, vec![other]).told(TODAY), (Ready, vec![]));
    }
    assert_eq!(back(two, vec![first, second]).told(TODAY), (Ready, vec![]));
}
