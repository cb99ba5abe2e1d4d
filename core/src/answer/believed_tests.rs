//! What an answer makes of entries that are not believed. Source: common practice, no source.

use super::asked_tests::{TODAY, codes, good, has, in_set, judged};
use crate::event::{EntryId, Event, Fitted, RecallOf};
use crate::hose::{Construction, Origin, Service};
use crate::inspection::Verdict::Watch;
use crate::measure::PartialDate;
use crate::policy::Use;
use crate::record::{Disbelieved, FleetRecord, HoseRecord, Recall, SetRecord};
use crate::story::{Story, code, day, hose, label, ports, set_id};
use crate::tag::Payload;

#[test]
fn what_nobody_can_read_of_its_set_or_the_fleet_is_said() {
    let unread = |of: &str| {
        let mut story = in_set(Use::Rental);
        let body = match of {
            "set" => format!("{{\"set\":\"{}\"}}", set_id("Heron")),
            "other" => format!("{{\"set\":\"{}\"}}", set_id("Egret")),
            _ => "{}".to_owned(),
        };
        story.written("2026-06-01", "polished", 1, body);
        story.reason(TODAY, "not-all-read")
    };
    assert_eq!((unread("set"), unread("fleet"), unread("other")), (Some(Watch), Some(Watch), None));
}

/// A recall that nobody believed is said of every hose that it could mean.
#[test]
fn a_recall_that_is_not_believed_is_said_where_it_could_mean_the_hose() {
    let lot = |lot: &str| {
        let made = PartialDate::parse("2025-01").ok();
        let lot = (!lot.is_empty()).then(|| label(lot));
        let origin = Origin { made, lot, ..Origin::default() };
        Story::with_origin(hose(Service::SecondStage, Construction::Rubber), "2025-01-10", origin)
            .full("2026-05-01", &[])
    };
    let recall = |disbelieved| Recall {
        entry: EntryId::new([1; 32]),
        of: RecallOf::lot(label("L-7"), None),
        why: label("bad crimps"),
        on: day("2026-06-01"),
        disbelieved,
    };
    let off = |story: Story| {
        let (hose, why, answers) = (story.hose, label("another lot"), [EntryId::new([1; 32])]);
        story.then("2026-06-02", Event::CheckedOff { hose, why, answers })
    };
    let rows = [
        ("of the lot", lot("L-7"), true, vec!["not-believed"]),
        ("of an unknown lot", lot(""), true, vec!["not-believed"]),
        ("of another lot", lot("L-8"), true, vec![]),
        ("checked off", off(lot("L-7")), true, vec![]),
        ("believed", lot("L-7"), false, vec!["recalled"]),
        ("believed, unknown lot", lot(""), false, vec!["recall-open"]),
        ("believed, checked off", off(lot("L-7")), false, vec![]),
    ];
    for (what, story, disbelieved, expected) in rows {
        let fleet = FleetRecord { recalls: vec![recall(disbelieved)], ..FleetRecord::default() };
        let said = judged(&story.record(TODAY), &[], &fleet, None);
        assert_eq!(codes(&said), expected, "{what}");
    }
    let fleet = FleetRecord { recalls: vec![recall(true)], ..FleetRecord::default() };
    let payload = Payload { code: code(1), passport: None };
    let of_tag = judged(&HoseRecord::of_tag(&payload), &[], &fleet, Some(&payload));
    assert!(!has(&of_tag, "not-believed") && has(&of_tag, "tag-only"));
}

#[test]
fn what_is_not_believed_names_its_set() {
    let mut record = good().record(TODAY);
    let crate::event::Slot { set, port } = crate::story::slot("Heron", "LP1");
    let says = Event::Fitted(Fitted { hose: code(1), set, port, sets: vec![], answers: vec![] });
    let (entry, on, by) = (EntryId::new([1; 32]), day("2026-06-01"), label("Gannet"));
    let says = Some(Box::new(says));
    record.disbelieved = vec![Disbelieved { entry, on, by, says, verdict: Watch }];
    let words = |sets: &[&SetRecord]| {
        let said = judged(&record, sets, &FleetRecord::default(), None);
        said.reasons.first().map(|reason| reason.words.clone()).unwrap_or_default()
    };
    let heron = crate::story::set_record("Heron", Use::Rental, ports(), "2026-01-01");
    let mut egret = crate::story::set_record("Egret", Use::Rental, ports(), "2026-01-01");
    assert!(words(&[&egret, &heron]).contains("Heron"), "{}", words(&[&egret, &heron]));
    assert!(!words(&[&egret]).contains("Egret"), "{}", words(&[&egret]));
    // Of sets that are one, the name of the one that answers.
    egret.joined = vec![set];
    assert!(words(&[&egret]).contains("Egret"), "{}", words(&[&egret]));
}
