//! What may end a reason, written out from the trade's rules (section 12).
//! Source: common practice, no source.

use super::ending::{Act, ENDINGS};
use super::tale_tests::{
    HOSE, codes, described, fitted, handed_out, inspected, made, of_origin, photograph,
    registration, removed, resealed, returned, rubber, swapped, tested, withdrawn,
};
use crate::device::{DeviceId, DeviceKey, Role, Succession, Warrant};
use crate::event::{
    About, AssembledBefore, CameIn, DescribedBefore, EntryId, Event, FittedBefore, GoneHome,
    HandedOutBefore, Held, InspectedBefore, PlaceConfirmed, RecallOf, Released, RemovedBefore,
    ReturnedBefore, SetChanges, StaffLeft, Staffed, SwappedBefore,
};
use crate::hose::{End, Origin};
use crate::inspection::{FromList, InspectionKind, Look, Place};
use crate::policy::{Change, Scope, Use};
use crate::staff::PersonId;
use crate::story::{code, label, port_name, ports, set_id, slot};

#[test]
fn every_act_has_one_row() {
    for act in Act::ALL {
        assert_eq!(ENDINGS.iter().filter(|row| row.act == *act).count(), 1, "{act}");
    }
}

fn listed(kind: InspectionKind, answers: Vec<EntryId>) -> Event {
    let list = FromList { of: chrono::NaiveDate::MIN, by: None };
    let look = Look::listed(kind, None, list);
    Event::Inspected { hose: code(HOSE), look, at: None, answers }
}

/// What happens to a hose.
fn of_hoses() -> Vec<(Event, Option<Act>)> {
    use InspectionKind::{Full, LeakTest, Quick};
    let (hose, none) = (code(HOSE), Vec::<EntryId>::new());
    let entry = EntryId::new([1; 32]);
    let before =
        |kind| Event::InspectedBefore(InspectedBefore { hose, look: Look::of(kind, Vec::new()) });
    let (specification, origin) = (rubber(), Origin::default());
    let whole = DescribedBefore { hose, specification, origin };
    let changes = || of_origin(Origin { lot: Some(label("L-7")), ..Origin::default() });
    let (why, barcode, lot) = (label("worn"), label("8710"), label("L-7"));
    let (inspection, place, photograph) = (Full, Place::Run, photograph());
    vec![
        (registration(rubber(), Origin::default()), Some(Act::Registration)),
        (Event::DescribedBefore(whole), None),
        (described(changes(), None, vec![entry]), None),
        (described(changes(), Some("read off"), vec![entry]), Some(Act::Description)),
        (Event::Tagged { hose, tag: code(5) }, Some(Act::NewTag)),
        (Event::Bound { hose, barcode }, None),
        (Event::Identified { hose, hoses: [code(9)], answers: [entry] }, Some(Act::Identification)),
        (before(Full), Some(Act::FullInspection)),
        (before(Quick), None),
        (before(LeakTest), Some(Act::LeakTest)),
        (inspected(Full, &[], vec![entry]), Some(Act::FullInspection)),
        (inspected(Quick, &[], vec![entry]), None),
        (listed(Full, vec![entry]), Some(Act::Listed)),
        (listed(LeakTest, vec![entry]), Some(Act::Listed)),
        (listed(Quick, vec![entry]), None),
        (tested(true, "200 bar", vec![entry]), Some(Act::LeakTest)),
        (Event::Photographed { hose, inspection, place, photograph }, None),
        (resealed(End::A), None),
        (Event::Recoupled { hose }, None),
        (Event::CleanedBefore { hose }, Some(Act::Cleaning)),
        (Event::Cleaned { hose, answers: none }, Some(Act::Cleaning)),
        (Event::Retired { hose, why }, None),
        (Event::Dived { hoses: vec![hose], dives: 3, list: None }, None),
        (Event::SetAside { hose, lot }, None),
        (Event::SetAsideFor { hose, answers: [entry] }, None),
        (
            Event::CheckedOff { hose, why: label("another lot"), answers: [entry] },
            Some(Act::CheckOff),
        ),
    ]
}

/// What happens to a set, and where a hose is.
fn of_sets() -> Vec<(Event, Option<Act>)> {
    let (hose, set, port, name) =
        (code(HOSE), set_id("Heron"), port_name("LP1"), label::<crate::hose::Label>("Heron"));
    let at = slot("Heron", "LP1");
    let entries = || vec![EntryId::new([1; 32])];
    let (in_use, from) = (Use::Rental, None);
    let assembled = AssembledBefore { set: name.clone(), in_use, ports: ports() };
    let put = FittedBefore { hose, set: name.clone(), port, from };
    let taken = RemovedBefore { hose, set: name.clone(), port };
    let (hoses, ticket, override_why) = (codes(&[HOSE]), label("R-1"), None);
    let back = ReturnedBefore { set: name.clone(), hoses, ticket };
    let (hoses, ticket) = (codes(&[HOSE]), label("R-1"));
    let out = HandedOutBefore { set: name.clone(), hoses, ticket, override_why };
    let step = |step: &str| {
        let (set, hoses, answer) = (name.clone(), [hose, code(2)], label("done"));
        Event::SwappedBefore(SwappedBefore { hoses, set, port, step: label(step), answer })
    };
    let change = SetChanges { name: Some(label("Ibis")), ..SetChanges::default() };
    let (why, answers) = (None, entries());
    let changed = Event::SetChanged { set, changes: change, why, answers };
    let sets = [set, set_id("Egret")];
    let (own, sets_left, answers) = (Some(at), vec![set], entries());
    let hoses = Vec::new();
    let confirmed =
        Event::PlaceConfirmed(PlaceConfirmed { hose, at: own, hoses, sets: sets_left, answers });
    vec![
        (Event::AssembledBefore(assembled), Some(Act::SetMaking)),
        (made("Heron", Use::Rental), Some(Act::SetMaking)),
        (Event::SetTagged { set, tag: code(5) }, Some(Act::NewTag)),
        (changed, Some(Act::SetChange)),
        (Event::SetsJoined { sets, why: label("one") }, Some(Act::SetChange)),
        (Event::FittedBefore(put), Some(Act::Fitting)),
        (fitted(HOSE, ("Heron", "LP1"), entries()), Some(Act::Fitting)),
        (Event::RemovedBefore(taken), Some(Act::Removal)),
        (removed(HOSE, "Heron", entries()), Some(Act::Removal)),
        (confirmed, Some(Act::PlaceConfirmation)),
        (step("spanner"), None),
        (step("end"), Some(Act::SwapEnd)),
        (swapped((HOSE, 2), at, "spanner", false, entries()), None),
        (swapped((HOSE, 2), at, "end", false, entries()), Some(Act::SwapEnd)),
        (Event::HandedOutBefore(out), None),
        (handed_out("Heron", &[HOSE], "R-1"), None),
        (Event::ReturnedBefore(back), Some(Act::Return)),
        (returned("Heron", &[HOSE], 1, entries()), Some(Act::Return)),
        (Event::Quarantined { set, why: label("a bulge") }, None),
    ]
}

/// What holds for hoses and sets, for the fleet, and for what others wrote.
fn of_the_fleet() -> Vec<(Event, Option<Act>)> {
    let entry = EntryId::new([1; 32]);
    let entries = || vec![entry];
    let why = || label("looked at");
    let (hose, set, hoses, incident) = (Some(code(HOSE)), None, Vec::new(), false);
    let held = Event::Held(Held { hose, set, hoses, why: why(), incident });
    let (hoses, answers) = (Vec::new(), entries());
    let released = Event::Released(Released { hose, set, hoses, why: why(), incident, answers });
    let (hoses, ticket) = (Vec::new(), label("T-1"));
    let home = Event::GoneHome(GoneHome { hose, set, hoses, ticket });
    let (hoses, ticket, answers) = (Vec::new(), label("T-2"), entries());
    let came = Event::CameIn(CameIn { hose, set, hoses, ticket, answers });
    let limits = Change::new(Some(12), None, None, None).unwrap_or_default();
    let (owner, device) = (DeviceKey::from_secret(&[9; 32]), DeviceId::Unsigned([3; 16]));
    let warrant = Warrant::sign(&owner, (device, None), Role::Bench, 0, 1);
    let succession = Succession::sign(&owner, device, 1);
    let of = Box::new(RecallOf::lot(label("L-7"), None));
    let about = About::default;
    let (person, may, carries) =
        (PersonId::new(code(HOSE)), Default::default(), Default::default());
    let staffed = Staffed { person, name: label("7"), may, carries };
    vec![
        (held, None),
        (released, Some(Act::Release)),
        (home, None),
        (came, Some(Act::ComingIn)),
        (Event::Limited { scope: Scope::default(), limits }, Some(Act::Limits)),
        (Event::Enrolled { warrant }, Some(Act::Admission)),
        (Event::Succeeded { succession }, Some(Act::Admission)),
        (Event::Staffed(staffed), None),
        (Event::StaffLeft(StaffLeft { person: PersonId::new(code(HOSE)), name: label("7") }), None),
        (Event::Recalled { lot: label("L-7"), maker: None, why: why() }, None),
        (Event::RecalledBy { of, why: why() }, None),
        (Event::RecallEnded { why: why(), answers: [entry] }, Some(Act::RecallEnd)),
        (Event::GapLost { device, missing: vec![(1, 2)], why: why() }, Some(Act::GapLost)),
        (withdrawn(&[HOSE], &[], entries()), Some(Act::Withdrawal)),
        (Event::Admitted { about: about(), answers: entries() }, Some(Act::Admission)),
        (Event::Dismissed { about: about(), why: why(), answers: entries() }, Some(Act::Dismissal)),
    ]
}

/// Every kind of entry, in the row of the table that is its own; most have none.
#[test]
fn every_kind_of_entry_has_its_own_row_or_none() {
    let all = of_hoses().into_iter().chain(of_sets()).chain(of_the_fleet());
    for (event, row) in all {
        assert_eq!(Act::of(&event), row, "{:?}", event.to_parts());
    }
}

const REASONS: [&str; 31] = [
    "finding-cut",
    "finding-salt",
    "finding-seal-dirty",
    "finding-verdigris",
    "finding-seal-missing",
    "finding-seal-damaged",
    "finding-bubbles",
    "finding-coupling-leaks",
    "finding-coupling-sticks",
    "held",
    "age-over",
    "age-near",
    "age-unknown",
    "stored-long",
    "dives-over",
    "dives-near",
    "inspection-never",
    "inspection-over",
    "inspection-near",
    "leak-test-due",
    "recalled",
    "recall-open",
    "retired",
    "misfit",
    "swap-open",
    "place-contested",
    "set-quarantined",
    "set-contested",
    "identity-contested",
    "not-believed",
    "rented-twice",
];

/// The rows that name their reasons; one that ends in `*` stands for all that begin
/// so. Which findings a full inspection ends the table of findings decides.
#[test]
fn an_act_may_end_the_reasons_of_its_row_and_no_others() {
    let place = "held age-over age-near dives-over dives-near inspection-over inspection-near \
                 leak-test-due misfit swap-open set-quarantined set-contested";
    let use_stricter = "age-over age-near dives-over dives-near inspection-over inspection-near";
    let rows = [
        (Act::FullInspection, "finding-* inspection-* not-believed".to_owned()),
        (Act::Listed, "inspection-* leak-test-due".to_owned()),
        (Act::Cleaning, "finding-salt finding-seal-dirty finding-verdigris".to_owned()),
        (
            Act::LeakTest,
            "leak-test-due finding-seal-missing finding-seal-damaged finding-bubbles \
             finding-coupling-*"
                .to_owned(),
        ),
        (Act::Fitting, format!("{place} place-contested stored-long")),
        (Act::Removal, format!("{place} place-contested")),
        (Act::PlaceConfirmation, format!("{place} place-contested")),
        (Act::SwapEnd, "swap-open".to_owned()),
        (Act::SetChange, format!("misfit set-contested {use_stricter}")),
        (Act::Return, "rented-twice".to_owned()),
        (Act::Limits, use_stricter.to_owned()),
        (Act::RecallEnd, "recalled recall-open".to_owned()),
        (Act::CheckOff, "recalled recall-open".to_owned()),
        (Act::Release, "held set-quarantined".to_owned()),
        (Act::Withdrawal, REASONS.join(" ")),
        (Act::Admission, REASONS.join(" ")),
        (Act::Dismissal, "not-believed".to_owned()),
    ];
    for (act, row) in rows {
        let in_row = |code: &str| {
            row.split_whitespace().any(|own| match own.strip_suffix('*') {
                Some(begins) => code.starts_with(begins),
                None => own == code,
            })
        };
        for reason in REASONS {
            assert_eq!(act.may_end(reason), in_row(reason), "{act}: {reason}");
        }
    }
}
