//! Where a hose was and is: moves, hire, holds, home, swaps. Source: common practice, no source.

use super::hose_fold_tests::{HOSE, inspected, registered};
use super::tale_tests::{Tale, codes, fitted, handed_out, removed, returned, swapped};
use crate::event::{CameIn, Event, GoneHome, Held, Released, SwappedBefore};
use crate::inspection::InspectionKind;
use crate::journal::Trust;
use crate::record::LeakDueBecause;
use crate::story::{code, day, label, port_name, set_id, slot};

#[test]
fn a_move_is_out_of_another_port_and_not_out_of_stock() {
    use LeakDueBecause::{Fitted, Moved};
    let mut tale = registered();
    let first = tale.fit("2026-02-01", HOSE, ("Heron", "LP1"));
    let mut moved = tale.clone();
    moved.tell("2026-02-02", fitted(HOSE, ("Heron", "LP2"), vec![first]));
    let because =
        |tale: &Tale| tale.hose(HOSE).leak_due.iter().map(|d| d.because).collect::<Vec<_>>();
    assert_eq!(because(&moved), [Fitted, Moved]);
    let off = tale.tell("2026-02-02", removed(HOSE, "Heron", vec![first]));
    tale.tell("2026-02-03", fitted(HOSE, ("Heron", "LP2"), vec![off]));
    assert_eq!(because(&tale), [Fitted, Fitted]);
}

#[test]
fn dives_are_counted_once_a_hand_out_and_the_greater_number_counts() {
    let mut tale = registered();
    let dived = |dives| Event::Dived { hoses: codes(&[HOSE]), dives, list: None };
    tale.tell("2026-02-01", dived(3));
    tale.told("2026-02-01", Trust::AddsOnly, dived(4));
    tale.told("2026-02-01", Trust::Disbelieved, dived(100));
    assert_eq!(tale.hose(HOSE).dives, 7);
    let one = tale.tell("2026-02-02", handed_out("Heron", &[HOSE], "R-1"));
    let other = tale.tell("2026-02-02", handed_out("Heron", &[HOSE], "R-2"));
    for dives in [5, 9, 6] {
        tale.tell("2026-02-03", returned("Heron", &[HOSE], dives, vec![one]));
    }
    assert_eq!(tale.hose(HOSE).dives, 16, "the greater of what several said of one");
    tale.tell("2026-02-03", returned("Heron", &[HOSE], 2, vec![other]));
    assert_eq!(tale.hose(HOSE).dives, 18);
    tale.tell("2026-02-04", returned("Heron", &[HOSE], 1, vec![]));
    assert_eq!(tale.hose(HOSE).dives, 19, "of no hand-out that is known");
    let mut most = registered();
    most.tell("2026-02-01", dived(u32::MAX));
    most.tell("2026-02-01", dived(1));
    assert_eq!(most.hose(HOSE).dives, u32::MAX);
}

#[test]
fn a_hose_is_out_until_its_hand_out_is_back() {
    let mut tale = registered();
    let one = tale.tell("2026-02-01", handed_out("Heron", &[HOSE], "R-1"));
    tale.told("2026-02-02", Trust::AddsOnly, handed_out("Egret", &[HOSE], "R-2"));
    tale.told("2026-02-02", Trust::Disbelieved, handed_out("Egret", &[HOSE], "R-3"));
    let record = tale.hose(HOSE);
    let outs: Vec<_> =
        record.outs.iter().map(|out| (out.ticket.as_str(), out.set, out.doubtful)).collect();
    assert_eq!(outs, [("R-1", set_id("Heron"), false), ("R-2", set_id("Egret"), true)]);
    assert_eq!(record.out().map(|out| out.entry), Some(one), "the one that is sure");
    tale.tell("2026-02-03", returned("Heron", &[HOSE], 1, vec![one]));
    assert_eq!(tale.hose(HOSE).out(), None);
}

#[test]
fn a_hold_of_the_hose_or_after_an_incident_of_its_set_is_its_own() {
    let held = |hose: Option<u64>, hoses: &[u64], incident| {
        let (hose, set) = (hose.map(code), hose.is_none().then(|| set_id("Heron")));
        Event::Held(Held { hose, set, hoses: codes(hoses), why: label("doubted"), incident })
    };
    let rows = [
        ("its own", held(Some(HOSE), &[], false), true),
        ("its own, an incident", held(Some(HOSE), &[], true), true),
        ("its set's", held(None, &[HOSE], false), false),
        ("its set's, an incident", held(None, &[HOSE], true), true),
    ];
    for (what, event, own) in rows {
        let incident = matches!(event, Event::Held(Held { incident: true, .. }));
        let mut tale = registered();
        let entry = tale.tell("2026-02-01", event);
        let holds = tale.hose(HOSE).holds;
        let said: Vec<_> = holds.iter().map(|h| (h.entry, h.when.0, h.incident)).collect();
        let wanted = (entry, day("2026-02-01"), incident);
        assert_eq!(said, if own { vec![wanted] } else { vec![] }, "{what}");
        for by_owner in [false, true] {
            let mut tale = tale.clone();
            let (hose, set, hoses) = (Some(code(HOSE)), None, vec![]);
            let (why, incident, answers) = (label("looked at"), by_owner, vec![entry]);
            tale.tell(
                "2026-02-02",
                Event::Released(Released { hose, set, hoses, why, incident, answers }),
            );
            let stands = own && wanted.2 && !by_owner;
            assert_eq!(!tale.hose(HOSE).holds.is_empty(), stands, "{what}, released");
        }
    }
}

#[test]
fn a_hose_is_at_home_until_a_coming_in_names_its_going() {
    let gone = |hose: Option<u64>, hoses: &[u64]| {
        let set = hose.is_none().then(|| set_id("Heron"));
        let (hose, hoses) = (hose.map(code), codes(hoses));
        Event::GoneHome(GoneHome { hose, set, hoses, ticket: label("T-1") })
    };
    let came = |answers| {
        let (hose, set, hoses, ticket) = (Some(code(HOSE)), None, vec![], label("T-2"));
        Event::CameIn(CameIn { hose, set, hoses, ticket, answers })
    };
    let home = |tale: &Tale| tale.hose(HOSE).home.map(|home| home.entry);
    for (what, event) in
        [("by itself", gone(Some(HOSE), &[])), ("with its set", gone(None, &[HOSE]))]
    {
        let mut tale = registered();
        let entry = tale.tell("2026-02-01", event);
        let said = tale.hose(HOSE).home.map(|home| (home.entry, home.since, home.ticket));
        assert_eq!(said, Some((entry, day("2026-02-01"), label("T-1"))), "{what}");
        let rows = [
            ("named", came(vec![entry]), Trust::Full, false),
            ("not named", came(vec![]), Trust::Full, true),
            ("in doubt", came(vec![entry]), Trust::AddsOnly, true),
            ("looked over", inspected(InspectionKind::Full, &[], vec![entry]), Trust::Full, true),
        ];
        for (how, event, trust, stays) in rows {
            let mut tale = tale.clone();
            tale.told("2026-02-02", trust, event);
            assert_eq!(home(&tale), stays.then_some(entry), "{what}, then {how}");
        }
    }
    let mut tale = registered();
    tale.tell("2026-02-01", gone(None, &[2]));
    tale.told("2026-02-02", Trust::Disbelieved, gone(Some(HOSE), &[]));
    assert_eq!(home(&tale), None);
}

#[test]
fn a_swap_is_open_with_its_steps_until_its_end_names_it() {
    let at = slot("Heron", "LP1");
    let mut tale = registered();
    let begun = tale.tell("2026-02-01", swapped((HOSE, 2), at, "depressurised", false, vec![]));
    for step in ["laid-out", "spanner", "laid-out"] {
        tale.tell("2026-02-02", swapped((HOSE, 2), at, step, false, vec![begun]));
    }
    let other = tale.tell("2026-02-02", swapped((HOSE, 3), at, "depressurised", false, vec![]));
    let record = tale.hose(HOSE);
    let swaps = &record.swaps;
    assert_eq!(swaps.iter().map(|s| s.entries.clone()).collect::<Vec<_>>(), [[begun], [other]]);
    let steps: Vec<_> = swaps[0].steps.iter().map(|(step, _)| step.as_str()).collect();
    assert_eq!(steps, ["depressurised", "spanner", "laid-out"], "each once, as answered last");
    let said = (swaps[0].old, swaps[0].new, swaps[0].slot, swaps[0].since);
    assert_eq!(said, (code(HOSE), code(2), at, day("2026-02-01")));
    assert_eq!(record.swap().map(|swap| swap.new), Some(code(3)));
    let rows = [
        ("its end", (HOSE, 2), "end", vec![begun], Trust::Full, 1),
        ("an end in doubt", (HOSE, 2), "end", vec![begun], Trust::AddsOnly, 2),
        ("an end that names nothing", (HOSE, 2), "end", vec![], Trust::Full, 2),
        ("the end of another swap", (HOSE, 3), "end", vec![begun], Trust::Full, 2),
        ("the end the other way round", (2, HOSE), "end", vec![begun], Trust::Full, 2),
        ("a step", (HOSE, 2), "torque", vec![begun], Trust::Full, 2),
    ];
    for (what, hoses, step, answers, trust, open) in rows {
        let mut tale = tale.clone();
        tale.told("2026-02-03", trust, swapped(hoses, at, step, false, answers));
        assert_eq!(tale.hose(HOSE).swaps.len(), open, "{what}");
    }
}

#[test]
fn a_swap_of_earlier_programs_is_told_apart_by_its_hoses() {
    let step = |hoses: (u64, u64), step: &str| {
        let (set, port, answer) = (label("Heron"), port_name("LP1"), label("done"));
        let hoses = [code(hoses.0), code(hoses.1)];
        Event::SwappedBefore(SwappedBefore { hoses, set, port, step: label(step), answer })
    };
    let mut tale = registered();
    let one = tale.tell("2026-02-01", step((HOSE, 2), "depressurised"));
    let two = tale.tell("2026-02-01", step((HOSE, 2), "spanner"));
    let other = tale.tell("2026-02-01", step((HOSE, 3), "depressurised"));
    let entries = |tale: &Tale| {
        tale.hose(HOSE).swaps.iter().map(|swap| swap.entries.clone()).collect::<Vec<_>>()
    };
    assert_eq!(entries(&tale), [vec![one, two], vec![other]]);
    assert_eq!(tale.hose(HOSE).swaps[0].slot, slot("Heron", "LP1"));
    let mut ended = tale.clone();
    ended.tell("2026-02-02", step((HOSE, 2), "end"));
    assert_eq!(entries(&ended), [vec![other]]);
    // An end before it is the end of another.
    ended.tell("2026-02-03", step((HOSE, 2), "depressurised"));
    assert_eq!(entries(&ended).len(), 2);
    // What this program writes ends one by the entries that it names.
    tale.tell("2026-02-02", swapped((HOSE, 2), slot("Heron", "LP1"), "end", false, vec![one, two]));
    assert_eq!(entries(&tale), [vec![other]]);
}
