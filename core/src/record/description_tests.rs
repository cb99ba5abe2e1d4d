//! What a hose is, as several say it. Source: common practice, no source.

use super::tale_tests::{
    HOSE, Tale, braid, codes, date, described, known, of_origin, registered, registration, rubber,
};
use crate::event::{CameIn, Changes, DescribedBefore, Event, Fitted, OriginField, OwnField};
use crate::hose::{Origin, Owner, Particulars};
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
    // What is in doubt is not shown, and is beside.
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
    new.tell(
        "2026-02-03",
        Event::Fitted(Fitted { hose, set, port, sets: vec![], answers: vec![] }),
    );
    assert_eq!(new.hose(HOSE).in_service_since(), Some(day("2026-02-03")));
}

/// A description of earlier programs has no reason: it is beside the others.
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
    let came = |hose: Option<u64>, hoses: &[u64], answers| {
        Event::CameIn(CameIn {
            hose: hose.map(code),
            set: hose.is_none().then(|| set_id("Heron")),
            hoses: codes(hoses),
            ticket: label("T-9"),
            answers,
        })
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
    // One that names nothing is beside.
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
    let said = |owner: Option<Owner>| {
        let mut changes = of_origin(Origin { lot: Some(label("L-8")), ..Origin::default() });
        changes.origin.own.owner = owner;
        Some(changes)
    };
    let rows = [
        ("nobody said whose", None, None, false),
        ("the centre's", Some(Owner::Centre), None, false),
        ("a customer's", ticket(), None, true),
        ("a customer's, of another lot", ticket(), said(None), true),
        ("sold to the centre", ticket(), said(Some(Owner::Centre)), false),
        ("given to a customer", None, said(ticket()), true),
    ];
    for (what, first, then, expected) in rows {
        let mut tale = Tale::default();
        let entry = tale.tell("2026-01-10", registration(rubber(), of(first)));
        if let Some(changes) = then {
            tale.tell("2026-02-01", described(changes, Some("asked"), vec![entry]));
        }
        assert_eq!(tale.hose(HOSE).is_customers(), expected, "{what}");
    }
    // Earlier programs knew of no customers: what they leave out they do not deny.
    let mut tale = Tale::default();
    tale.tell("2026-01-10", registration(rubber(), of(ticket())));
    let (hose, specification) = (code(HOSE), rubber());
    let before = DescribedBefore { hose, specification, origin: known() };
    tale.tell("2026-02-01", Event::DescribedBefore(before));
    assert!(tale.hose(HOSE).is_customers());
}

/// The shop's own texts: nothing is judged by them, the last that was believed counts
/// whatever it names, and what a description leaves alone stays.
#[test]
fn a_shops_own_number_and_note_are_as_it_said_last() {
    let own = |number: &str, note: &str| {
        let text = |text: &str| (!text.is_empty()).then(|| label(text));
        let own = Particulars {
            number: text(number),
            note: text(note).map(Into::into),
            ..Particulars::default()
        };
        Origin { own, ..Origin::default() }
    };
    let cleared = |field| Changes { cleared: vec![field], ..Changes::default() };
    let rows = [
        ("both", of_origin(own("LP-2", "new mouthpiece")), Trust::Full, "LP-2 new mouthpiece"),
        ("a number", of_origin(own("LP-2", "")), Trust::Full, "LP-2 short"),
        ("a note", of_origin(own("", "long")), Trust::Full, "LP-1 long"),
        ("in doubt", of_origin(own("LP-2", "long")), Trust::AddsOnly, "LP-1 short"),
        ("no number any more", cleared(OwnField::Number), Trust::Full, "- short"),
        ("no note any more", cleared(OwnField::Note), Trust::Full, "LP-1 -"),
    ];
    for (what, changes, trust, expected) in rows {
        let mut tale = Tale::default();
        tale.tell("2026-01-10", registration(rubber(), own("LP-1", "short")));
        tale.told("2026-02-01", trust, described(changes, None, vec![]));
        let own = tale.hose(HOSE).origin.own;
        let said = [own.number.map(String::from), own.note.map(String::from)]
            .map(|text| text.unwrap_or_else(|| "-".to_owned()));
        assert_eq!(said.join(" "), expected, "{what}");
    }
}

/// Earlier programs did not know of models: what they leave out they do not deny.
#[test]
fn a_model_stays_where_who_describes_the_hose_could_not_say_it() {
    let of = |model: &str| Origin {
        model: (!model.is_empty()).then(|| label(model)),
        ..Origin::default()
    };
    let before = |model: &str| {
        let (hose, specification, origin) = (code(HOSE), rubber(), of(model));
        Event::DescribedBefore(DescribedBefore { hose, specification, origin })
    };
    let unknown = Changes { unknown: vec![OriginField::Model], ..Changes::default() };
    let rows = [
        ("an earlier program", before(""), Some("K2"), 0),
        ("an earlier program that does say it", before("K3"), Some("K3"), 1),
        ("another model", described(of_origin(of("K3")), None, vec![]), Some("K3"), 1),
        ("another field", described(of_origin(known()), None, vec![]), Some("K2"), 0),
        ("not known after all", described(unknown, None, vec![]), None, 1),
        ("a second registration", registration(rubber(), of("")), None, 1),
    ];
    for (what, event, shown, others) in rows {
        let mut tale = Tale::default();
        tale.tell("2026-01-10", registration(rubber(), of("K2")));
        tale.tell("2026-02-01", event);
        let record = tale.hose(HOSE);
        let said = (record.origin.model, record.alternatives.models.len());
        assert_eq!(said, (shown.map(label), others), "{what}");
    }
}
