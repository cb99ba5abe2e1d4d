//! The tables follow the journal, and a check finds where they do not.

use std::collections::BTreeSet;

use super::gather::identified_in;
use super::shelf_tests::{Shelf, good, set};
use super::{
    HoseRecord, RULES, entries_about, find_sets, find_tag, gathered, hoses_of_lots, load_hose,
    load_set, makers_of_lots, rebuild, rules_of, stale,
};
use crate::device::DeviceKey;
use crate::event::{About, Assembled, Changes, EntryId, Event, SetChanges, SetDetails};
use crate::hose::{Label, Origin, Owner};
use crate::journal::{Trust, set_owner};
use crate::measure::PartialDate;
use crate::policy::Use;
use crate::story::{code, label, ports};
use crate::tag::{Code, Passport, Payload};

fn told(shelf: &Shelf) -> Vec<String> {
    good(stale(&shelf.connection, |_, _| ()))
}

fn of(maker: &str, lot: &str) -> Origin {
    let text = |text: &str| (!text.is_empty()).then(|| label(text));
    Origin { maker: text(maker), lot: text(lot), ..Origin::default() }
}

/// A hose with a barcode and a second tag, a set, and a recall.
fn shop() -> Shelf {
    let mut shelf = Shelf::new();
    shelf.register(1, of("Kelpline", "L-7"));
    shelf.register(2, Origin::default());
    shelf.write("2026-02-01", Event::Tagged { hose: code(1), tag: code(5) });
    shelf.write("2026-02-01", Event::Bound { hose: code(1), barcode: label("8710") });
    shelf.make(9, "Heron");
    let recalled = Event::Recalled { lot: label("L-9"), maker: None, why: label("bad crimps") };
    shelf.write("2026-02-01", recalled);
    shelf
}

fn folded_anew(shelf: &mut Shelf) {
    let work = good(shelf.connection.transaction());
    let mut told = Vec::new();
    good(rebuild(&work, &BTreeSet::new(), |done, all| told.push((done, all))));
    good(work.commit());
    assert_eq!(told, [(1, 2), (2, 2)]);
}

#[test]
fn a_check_finds_what_the_tables_have_otherwise_and_folding_anew_mends_it() {
    let hose = vec![format!("hose {}", code(1))];
    let rows = [
        ("DELETE FROM tag WHERE tag IN (SELECT min(tag) FROM tag)", hose.clone()),
        ("UPDATE tag SET current = 0 WHERE hose IN (SELECT min(hose) FROM hose)", hose.clone()),
        ("DELETE FROM barcode", hose.clone()),
        ("DELETE FROM lot WHERE lot = 'L-7'", hose.clone()),
        ("UPDATE hose SET record = '{}' WHERE hose IN (SELECT min(hose) FROM hose)", hose),
        ("DELETE FROM regulator_set", vec!["set Heron".to_owned()]),
        ("DELETE FROM fleet", vec!["limits and recalls".to_owned()]),
        ("UPDATE projection SET rules = 0", vec![]),
    ];
    for (sql, expected) in rows {
        let mut shelf = shop();
        assert_eq!(told(&shelf), Vec::<String>::new());
        good(shelf.connection.execute_batch(sql));
        assert_eq!(told(&shelf), expected, "{sql}");
        folded_anew(&mut shelf);
        assert_eq!(told(&shelf), Vec::<String>::new(), "{sql}");
        assert_eq!(good(rules_of(&shelf.connection)), RULES);
    }
    let shelf = shop();
    let mut steps = Vec::new();
    good(stale(&shelf.connection, |done, all| steps.push((done, all))));
    assert_eq!(steps, [(1, 2), (2, 2)]);
}

#[test]
fn a_store_that_was_never_folded_has_no_rules() {
    let shelf = Shelf::new();
    assert_eq!(good(rules_of(&shelf.connection)), RULES);
    good(shelf.connection.execute_batch("DELETE FROM projection"));
    assert_eq!(good(rules_of(&shelf.connection)), 0);
    // If the table itself is missing, a check finds it.
    good(shelf.connection.execute_batch("DROP TABLE projection"));
    assert_eq!(good(rules_of(&shelf.connection)), RULES);
}

fn withdrawn(hoses: &[u64], sets: &[u64], answers: Vec<EntryId>) -> Event {
    let hoses = hoses.iter().map(|number| code(*number)).collect();
    let sets = sets.iter().map(|number| set(*number)).collect();
    let about = About { hoses, sets, fleet: false };
    Event::Withdrawn { about, why: label("a slip"), answers }
}

#[test]
fn a_tag_that_is_taken_back_finds_nothing_any_more() {
    let mut shelf = Shelf::new();
    shelf.register(1, Origin::default());
    let tagged = shelf.write("2026-02-01", Event::Tagged { hose: code(1), tag: code(5) });
    assert_eq!(good(find_tag(&shelf.connection, code(5))), Some(code(1)));
    shelf.write("2026-02-02", withdrawn(&[1], &[], vec![tagged]));
    assert_eq!(good(find_tag(&shelf.connection, code(5))), None);
    assert_eq!(told(&shelf), Vec::<String>::new());
}

#[test]
fn sets_that_are_one_no_more_stand_each_for_itself() {
    let mut shelf = Shelf::new();
    shelf.make(3, "Heron");
    shelf.make(4, "Egret");
    let sets = [set(3), set(4)];
    let joined = shelf.write("2026-02-01", Event::SetsJoined { sets, why: label("one") });
    let first = |shelf: &Shelf| good(load_set(&shelf.connection, set(4))).map(|set| set.id);
    assert_eq!(first(&shelf), Some(set(3)));
    // What is written about one of them is about both.
    let made = good(load_set(&shelf.connection, set(3))).map(|set| set.descriptions);
    let changes = SetChanges { name: Some(label("Ibis")), ..SetChanges::default() };
    let (of, why, answers) = (set(4), None, made.unwrap_or_default());
    shelf.write("2026-02-02", Event::SetChanged { set: of, changes, why, answers });
    assert_eq!(good(find_sets(&shelf.connection, "Ibis")).len(), 1);
    let entries = good(gathered(&shelf.connection, set(3)));
    assert_eq!(entries.len(), 4, "each entry once");
    assert_eq!(told(&shelf), Vec::<String>::new());
    shelf.write("2026-02-03", withdrawn(&[], &[3], vec![joined]));
    assert_eq!(first(&shelf), Some(set(4)));
    assert_eq!(told(&shelf), Vec::<String>::new());
}

#[test]
fn hoses_are_found_by_every_lot_and_maker_that_they_may_be_of() {
    let mut shelf = Shelf::new();
    let first = shelf.register(1, of("Kelpline", "L-7"));
    shelf.register(2, of("", "L-7"));
    shelf.register(3, Origin::default());
    shelf.register(4, of("Marrow", "L-8"));
    let described = |origin, why: Option<&str>, answers| {
        let changes = Box::new(Changes { origin, ..Changes::default() });
        Event::Described { hose: code(1), changes, why: why.map(label), answers }
    };
    let hoses = |shelf: &Shelf, lot: &str| {
        let wanted = |own: Option<&Label>, _: Option<&Label>| {
            own.map_or(lot.is_empty(), |own| own.as_str() == lot)
        };
        good(hoses_of_lots(&shelf.connection, wanted))
    };
    let every = |numbers: &[u64]| numbers.iter().map(|n| code(*n)).collect::<Vec<Code>>();
    assert_eq!(hoses(&shelf, "L-7"), every(&[1, 2]));
    assert_eq!(hoses(&shelf, ""), every(&[3]));
    assert_eq!(hoses(&shelf, "L-9"), every(&[]));
    let makers = |shelf: &Shelf| {
        let found = good(makers_of_lots(&shelf.connection, |lot| lot.as_str() == "L-7"));
        found.into_iter().map(|(_, maker, n)| (maker.map(String::from), n)).collect::<Vec<_>>()
    };
    assert_eq!(makers(&shelf), [(None, 1), (Some("Kelpline".to_owned()), 1)]);
    shelf.write("2026-02-01", described(of("", "L-9"), None, vec![]));
    assert_eq!((hoses(&shelf, "L-7"), hoses(&shelf, "L-9")), (every(&[1, 2]), every(&[1])));
    shelf.write("2026-02-02", described(of("", "L-10"), Some("read off"), vec![first]));
    // What was replaced may still be meant: no description ends a recall.
    assert_eq!((hoses(&shelf, "L-7"), hoses(&shelf, "L-10")), (every(&[1, 2]), every(&[1])));
    assert_eq!(told(&shelf), Vec::<String>::new());
}

/// The hose that got an identity of its own has what was written under the old
/// tag: it adds, and ends nothing, but for its own registration.
#[test]
fn a_hose_with_an_identity_of_its_own_has_what_its_old_tag_has() {
    let mut shelf = Shelf::new();
    let first = shelf.register(1, Origin::default());
    let second = shelf.register(1, of("Marrow", "L-8"));
    let dived = || Event::Dived { hoses: vec![code(1)], dives: 3, list: None };
    let before = shelf.write("2026-02-01", dived());
    let (hose, hoses, answers) = (code(2), [code(1)], [second]);
    let own = shelf.write("2026-02-02", Event::Identified { hose, hoses, answers });
    let trust = |shelf: &Shelf, number| {
        let all = good(entries_about(&shelf.connection, code(number)));
        all.into_iter().map(|believed| (believed.id, believed.trust)).collect::<Vec<_>>()
    };
    use Trust::{AddsOnly, Full};
    let expected = [(first, AddsOnly), (second, Full), (before, AddsOnly), (own, Full)];
    assert_eq!(trust(&shelf, 2), expected);
    assert!(trust(&shelf, 1).iter().all(|(_, trust)| *trust == Full));
    let others = |hose| identified_in(&good(entries_about(&shelf.connection, hose)), hose);
    assert_eq!(others(code(1)), [code(2)]);
    assert_eq!(others(code(2)), []);
    // What is written under the old tag from then on reaches it too.
    shelf.write("2026-02-03", dived());
    let dives = good(load_hose(&shelf.connection, code(2))).map(|record| record.dives);
    assert_eq!(dives, Some(6));
    assert_eq!(told(&shelf), Vec::<String>::new());
}

/// That a hose got an identity of its own is nothing that a stranger can say.
#[test]
fn an_identity_that_is_not_believed_has_nothing_of_the_old_tag() {
    let mut shelf = Shelf::new();
    shelf.register(1, Origin::default());
    let second = shelf.register(1, of("Marrow", "L-8"));
    let (hose, hoses, answers) = (code(2), [code(1)], [second]);
    let own = shelf.write("2026-02-02", Event::Identified { hose, hoses, answers });
    let known = |shelf: &Shelf| good(entries_about(&shelf.connection, code(2))).len();
    assert_eq!(known(&shelf), 3);
    // A fleet's owner says nothing of the device that wrote it all.
    let work = good(shelf.connection.transaction());
    good(set_owner(&work, &DeviceKey::from_secret(&[9; 32]).id()));
    good(rebuild(&work, &BTreeSet::new(), |_, _| ()));
    good(work.commit());
    let all = good(entries_about(&shelf.connection, code(2)));
    let told: Vec<_> = all.into_iter().map(|believed| (believed.id, believed.trust)).collect();
    assert_eq!(told, [(own, Trust::Disbelieved)]);
}

#[test]
fn a_record_is_written_down_whole() {
    let mut shelf = Shelf::new();
    shelf.register(1, of("Kelpline", "L-7"));
    let record = |shelf: &Shelf| {
        good(load_hose(&shelf.connection, code(1))).unwrap_or_else(|| unreachable!("no hose"))
    };
    let text = |record: &HoseRecord| good(serde_json::to_string(record));
    assert!(!text(&record(&shelf)).contains("alternatives"));
    let changes = Box::new(Changes { origin: of("", "L-8"), ..Changes::default() });
    let (hose, why, answers) = (code(1), None, vec![]);
    shelf.write("2026-02-01", Event::Described { hose, changes, why, answers });
    assert_eq!(record(&shelf).alternatives.lots, [Some(label("L-7"))]);
    assert!(text(&record(&shelf)).contains("alternatives"));
}

#[test]
fn whose_a_set_is_is_kept() {
    for (owner, written) in [(None, false), (Some(Owner::Ticket(label("T-1"))), true)] {
        let mut shelf = Shelf::new();
        let (of, name, in_use) = (set(3), label("Heron"), Use::Personal);
        let details = Box::new(SetDetails { owner: owner.clone(), ..SetDetails::default() });
        let made = Event::Assembled(Assembled { set: of, name, in_use, ports: ports(), details });
        shelf.write("2026-01-11", made);
        let Some(record) = good(load_set(&shelf.connection, of)) else { unreachable!("a set") };
        assert_eq!(record.owner, owner.unwrap_or_default());
        let text = good(serde_json::to_string(&record));
        assert_eq!(text.contains("\"owner\""), written, "{text}");
        assert_eq!(told(&shelf), Vec::<String>::new());
    }
}

#[test]
fn a_tag_says_where_its_hose_came_from_and_no_more() {
    use crate::hose::{Construction, Service};
    let specification = crate::story::hose(Service::SecondStage, Construction::Rubber);
    let date = |text| PartialDate::parse(text).ok();
    let of = |born_is_made| {
        let passport = Passport::of(&specification, date("2020-03"), born_is_made, date("2021-05"));
        HoseRecord::of_tag(&Payload { code: code(1), passport: Some(passport) })
    };
    let (made, bought) = (of(true), of(false));
    assert_eq!((made.origin.made, made.origin.bought), (date("2020-03"), None));
    assert_eq!((bought.origin.made, bought.origin.bought), (None, date("2020-03")));
    for record in [made, bought] {
        assert_eq!(record.origin.in_service, date("2021-05"));
        assert!(record.specification.is_none() && !record.is_registered());
        assert_eq!(record.tag(), code(1));
    }
    let blank = HoseRecord::of_tag(&Payload { code: code(1), passport: None });
    assert_eq!(blank.origin, Origin::default());
}
