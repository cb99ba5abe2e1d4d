//! What a hose is, as several say it. Source: common practice, no source.

use super::tale_tests::{
    HOSE, Tale, braid, codes, date, described, known, of_origin, registered, registration, rubber,
};
use crate::event::{Changes, DescribedBefore, Event, OriginField};
use crate::hose::{Origin, Owner};
use crate::journal::Trust;
use crate::story::{code, day, label, port_name, set_id};

/// Each field by itself: what is known stays beside what is said without a
/// reason, and goes with one.
#[test]
fn a_description_changes_the_fields_that_it_names() {
    let other = Origin {
        made: date("2010"),
        bought: date("2011"),
        in_service: date("2012"),
        maker: Some(label("Marrow")),
        lot: Some(label("L-8")),
        ..Origin::default()
    };
    let (mut tale, first) = registered();
    let shown = |tale: &Tale| {
        let record = tale.hose(HOSE);
        let origin = record.origin.clone();
        (origin.made, origin.bought, origin.in_service, origin.maker, origin.lot)
    };
    let of = |o: &Origin| (o.made, o.bought, o.in_service, o.maker.clone(), o.lot.clone());
    assert_eq!((shown(&tale), tale.hose(HOSE).alternatives.made.len()), (of(&known()), 0));
    let beside = tale.clone();
    for (why, answers) in [(None, vec![first]), (Some("read off"), vec![])] {
        let mut tale = beside.clone();
        let entry = tale.tell("2026-02-01", described(of_origin(other.clone()), why, answers));
        let record = tale.hose(HOSE);
        assert_eq!(shown(&tale), of(&other));
        let alternatives = record.alternatives;
        assert_eq!(alternatives.made, [known().made]);
        assert_eq!(alternatives.bought, [known().bought]);
        assert_eq!(alternatives.in_service, [known().in_service]);
        assert_eq!(alternatives.makers, [known().maker]);
        assert_eq!(alternatives.lots, [known().lot]);
        assert!(alternatives.replaced_makers.is_empty() && alternatives.replaced_lots.is_empty());
        assert_eq!(record.descriptions, [first, entry]);
        assert_eq!(record.specification, Some(rubber()));
    }
    tale.tell("2026-02-01", described(of_origin(other.clone()), Some("read off"), vec![first]));
    let alternatives = tale.hose(HOSE).alternatives;
    assert_eq!(shown(&tale), of(&other));
    assert!(alternatives.made.is_empty() && alternatives.lots.is_empty());
    assert_eq!(alternatives.replaced_makers, [label("Kelpline")]);
    assert_eq!(alternatives.replaced_lots, [label("L-7")]);
    // One of a single field leaves the others as they were.
    let mut lot = beside.clone();
    let only = Origin { lot: Some(label("L-8")), ..Origin::default() };
    lot.tell("2026-02-01", described(of_origin(only), Some("read off"), vec![first]));
    assert_eq!(shown(&lot), of(&Origin { lot: Some(label("L-8")), ..known() }));
    assert_eq!(lot.hose(HOSE).alternatives.replaced_lots, [label("L-7")]);
    // What is not known after all.
    let mut unknown = beside.clone();
    let changes = Changes { unknown: OriginField::ALL.to_vec(), ..Changes::default() };
    unknown.tell("2026-02-01", described(changes, Some("another's papers"), vec![first]));
    assert_eq!(shown(&unknown), (None, None, None, None, None));
    // What is in doubt is not shown, and stands beside.
    let mut doubtful = beside;
    let event = described(of_origin(other.clone()), Some("read off"), vec![first]);
    doubtful.told("2026-02-01", Trust::AddsOnly, event);
    assert_eq!(shown(&doubtful), of(&known()));
    assert_eq!(doubtful.hose(HOSE).alternatives.made, [other.made]);
}

#[test]
fn two_registrations_of_one_tag_are_counted_until_one_has_an_identity() {
    let (mut tale, first) = registered();
    let record = tale.hose(HOSE);
    assert_eq!((record.registrations.clone(), record.is_registered()), (vec![first], true));
    assert_eq!(record.registered_at.map(|at| at.time().date_naive()), Some(day("2026-01-10")));
    let second = tale.told("2026-02-01", Trust::AddsOnly, registration(braid(), known()));
    assert_eq!(tale.hose(HOSE).registrations, [first, second]);
    assert_eq!(tale.hose(HOSE).specifications().count(), 2);
    let identified = |answers| Event::Identified { hose: code(HOSE), hoses: [code(9)], answers };
    let mut doubtful = tale.clone();
    doubtful.told("2026-03-01", Trust::AddsOnly, identified([second]));
    assert_eq!(doubtful.hose(HOSE).registrations, [first, second]);
    tale.tell("2026-03-01", identified([second]));
    let record = tale.hose(HOSE);
    assert_eq!((record.registrations.clone(), record.is_registered()), (vec![second], false));
    assert_eq!(record.specification, Some(braid()));
    assert_eq!(record.registered_at.map(|at| at.time().date_naive()), Some(day("2026-02-01")));
}

#[test]
fn in_service_counts_from_the_earliest_that_anybody_says() {
    let (mut tale, _) = registered();
    assert_eq!(tale.hose(HOSE).in_service_since(), Some(day("2022-01-01")));
    let earlier = Origin { in_service: date("2021-05"), ..Origin::default() };
    tale.tell("2026-02-01", described(of_origin(earlier), None, vec![]));
    assert_eq!(tale.hose(HOSE).in_service_since(), Some(day("2021-05-01")));
    let mut new = Tale::default();
    new.tell("2026-01-10", registration(rubber(), Origin::default()));
    assert_eq!(new.hose(HOSE).in_service_since(), None);
    let (hose, set, port) = (code(HOSE), set_id("Heron"), port_name("LP1"));
    new.tell("2026-02-03", Event::Fitted { hose, set, port, sets: vec![], answers: vec![] });
    assert_eq!(new.hose(HOSE).in_service_since(), Some(day("2026-02-03")));
}

/// A description of earlier programs has no reason: it stands beside the others.
#[test]
fn a_description_of_earlier_programs_stands_beside_the_others() {
    let (mut tale, first) = registered();
    let (hose, specification) = (code(HOSE), braid());
    let before = DescribedBefore { hose, specification, origin: Origin::default() };
    let second = tale.tell("2026-02-01", Event::DescribedBefore(before));
    let record = tale.hose(HOSE);
    assert_eq!(record.descriptions, [first, second]);
    assert_eq!(record.specification, Some(braid()));
    assert_eq!(record.alternatives.specifications, [rubber()]);
    // It is about every field: what it does not name it does not know.
    assert_eq!((record.origin.made, record.alternatives.made), (None, vec![known().made]));
}

/// What comes in again, by itself or with its set, is of the new ticket.
#[test]
fn a_coming_in_says_whose_it_is() {
    let owner = |tale: &Tale| tale.hose(HOSE).origin.own.owner;
    let ticket = |text: &str| Some(Owner::Ticket(label(text)));
    let came = |hose: Option<u64>, hoses: &[u64], answers| Event::CameIn {
        hose: hose.map(code),
        set: hose.is_none().then(|| set_id("Heron")),
        hoses: codes(hoses),
        ticket: label("T-9"),
        answers,
    };
    let mut origin = known();
    origin.own.owner = ticket("T-1");
    let mut tale = Tale::default();
    let first = tale.tell("2026-01-10", registration(rubber(), origin));
    assert_eq!(owner(&tale), ticket("T-1"));
    for event in [came(Some(HOSE), &[], vec![first]), came(None, &[HOSE], vec![first])] {
        let mut tale = tale.clone();
        let entry = tale.tell("2026-02-01", event);
        let record = tale.hose(HOSE);
        assert_eq!((owner(&tale), record.alternatives.owners.len()), (ticket("T-9"), 0));
        assert_eq!(record.descriptions, [first, entry]);
    }
    // One that names nothing stands beside.
    tale.tell("2026-02-01", came(Some(HOSE), &[], vec![]));
    assert_eq!(tale.hose(HOSE).owners().len(), 2);
}

#[test]
fn a_hose_is_a_customers_while_it_is_in_under_a_ticket() {
    let of = |owner: Option<Owner>| {
        let mut origin = known();
        origin.own.owner = owner;
        origin
    };
    let ticket = || Some(Owner::Ticket(label("T-1")));
    let rows = [
        ("nobody said whose", None, None, false),
        ("the centre's", Some(Owner::Centre), None, false),
        ("a customer's", ticket(), None, true),
        ("sold to the centre", ticket(), Some(Owner::Centre), false),
        ("given to a customer", None, ticket(), true),
    ];
    for (what, first, then, expected) in rows {
        let mut tale = Tale::default();
        let entry = tale.tell("2026-01-10", registration(rubber(), of(first)));
        if let Some(owner) = then {
            let mut changes = Changes::default();
            changes.origin.own.owner = Some(owner);
            tale.tell("2026-02-01", described(changes, Some("asked"), vec![entry]));
        }
        assert_eq!(tale.hose(HOSE).is_customers(), expected, "{what}");
    }
}
