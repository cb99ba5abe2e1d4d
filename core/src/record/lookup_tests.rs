//! What the tables answer, a question a test.

use super::shelf_tests::{Shelf, good, set};
use super::{
    each_hose, find_barcode, find_set_tag, find_sets, find_tag, find_tags, hose_page, is_known,
    load_fleet, load_hose, load_set, recorded_hoses, recorded_sets, set_page, sets_out, state_of,
};
use crate::device::DeviceKey;
use crate::event::{Event, Fitted, HandedOut, Returned, SetChanges};
use crate::hose::Origin;
use crate::journal::StoreError;
use crate::record::SetRecord;
use crate::story::{code, label, port_name};
use crate::tag::Code;

fn names(sets: &[SetRecord]) -> Vec<String> {
    sets.iter().map(|set| set.name.to_string()).collect()
}

/// Seven sets, three of them of one name, one taken apart and one joined to another.
fn harbour() -> Shelf {
    let mut shelf = Shelf::new();
    for (number, name) in
        [(5, "Heron"), (3, "heron"), (9, "Egret"), (4, "HERON"), (7, "Stork"), (1, "Gone")]
    {
        shelf.make(number, name);
    }
    let made = good(load_set(&shelf.connection, set(1))).map(|record| record.descriptions);
    let changes = SetChanges { dissolved: true, ..SetChanges::default() };
    let (gone, answers) = (set(1), made.unwrap_or_default());
    shelf.write("2026-01-12", Event::SetChanged { set: gone, changes, why: None, answers });
    shelf.make(8, "Stork again");
    let why = label("one and the same");
    shelf.write("2026-01-12", Event::SetsJoined { sets: [set(8), set(7)], why });
    shelf
}

/// Every set of a page after a page, each page asked for as the last of the one
/// before says: by its code.
fn paged(shelf: &Shelf, begins: &str, most: u32) -> Vec<SetRecord> {
    let (mut all, mut after) = (Vec::new(), String::new());
    for _ in 0..20 {
        let page = good(set_page(&shelf.connection, &after, begins, most));
        assert!(page.len() <= most as usize);
        let Some(last) = page.last() else { return all };
        after = last.id.to_string();
        all.extend(page);
    }
    unreachable!("pages without an end")
}

#[test]
fn pages_of_sets_leave_out_none_of_one_name() {
    let shelf = harbour();
    let ids = |sets: Vec<SetRecord>| sets.iter().map(|set| set.id).collect::<Vec<_>>();
    let every = [set(9), set(3), set(4), set(5), set(7)];
    assert_eq!(ids(good(recorded_sets(&shelf.connection))), every);
    for most in 1..=6 {
        assert_eq!(ids(paged(&shelf, "", most)), every, "{most} a page");
        assert_eq!(ids(paged(&shelf, "hE", most)), every[1..4], "{most} a page of He");
    }
    let after =
        |after: &str, begins: &str| ids(good(set_page(&shelf.connection, after, begins, 9)));
    assert_eq!(after("HERON", ""), [set(7)], "after a name come other names");
    assert_eq!(after("F", ""), every[1..]);
    assert_eq!(after("", "x"), []);
    assert_eq!(after("Stork", ""), [set(7)]);
    assert_eq!(after("stork again", ""), []);
    // What is gone, or part of another, still has its place among the names.
    assert_eq!(after(&set(1).to_string(), ""), every[1..]);
    // A code that no set has is a name like any other.
    assert_eq!(after(&set(77).to_string(), ""), every);
}

#[test]
fn sets_are_found_by_name_whatever_its_capitals() {
    let shelf = harbour();
    let found = |name: &str| names(&good(find_sets(&shelf.connection, name)));
    assert_eq!(found("hErOn"), ["heron", "HERON", "Heron"]);
    // Of two sets that are one the name that was given last.
    assert_eq!(found("stork again"), ["Stork again"]);
    for nothing in ["Gone", "Stork", "Her", ""] {
        assert_eq!(found(nothing), Vec::<String>::new(), "{nothing}");
    }
}

#[test]
fn a_set_that_is_part_of_another_answers_as_that_one() {
    let shelf = harbour();
    for number in [7, 8] {
        let found = good(load_set(&shelf.connection, set(number)));
        assert_eq!(found.map(|record| record.id), Some(set(7)), "{number}");
    }
    assert_eq!(good(load_set(&shelf.connection, set(6))), None);
}

#[test]
fn sets_that_are_out_are_those_with_a_hirer() {
    let mut shelf = harbour();
    assert_eq!(good(sets_out(&shelf.connection)), []);
    let out = |number| {
        Event::HandedOut(HandedOut {
            set: set(number),
            hoses: Vec::new(),
            ticket: label("R-1"),
            override_why: None,
            shown: Vec::new(),
        })
    };
    let first = shelf.write("2026-01-13", out(7));
    shelf.write("2026-01-13", out(9));
    assert_eq!(names(&good(sets_out(&shelf.connection))), ["Egret", "Stork again"]);
    let (tickets, answers) = (vec![label("R-1")], vec![first]);
    let (set, hoses, missing) = (set(7), Vec::new(), Vec::new());
    let back = Event::Returned(Returned {
        set,
        hoses,
        missing,
        tickets,
        dives: 0,
        estimated: false,
        answers,
    });
    shelf.write("2026-01-14", back);
    assert_eq!(names(&good(sets_out(&shelf.connection))), ["Egret"]);
}

#[test]
fn a_code_is_known_once_anything_carried_it() {
    let mut shelf = Shelf::new();
    shelf.register(1, Origin::default());
    shelf.write("2026-01-11", Event::Tagged { hose: code(1), tag: code(2) });
    // Of a hose that nobody registered here.
    shelf.write("2026-01-11", Event::Dived { hoses: vec![code(3)], dives: 1, list: None });
    shelf.make(4, "Heron");
    let known = |number| good(is_known(&shelf.connection, code(number)));
    for (number, why) in [(1, "replaced"), (2, "a tag"), (3, "spoken of"), (4, "a set's")] {
        assert!(known(number), "{why}");
    }
    assert!(!known(5));
}

#[test]
fn a_tag_is_the_hose_whose_own_it_is_else_of_who_got_it_last() {
    let mut shelf = Shelf::new();
    for number in [1, 2, 3] {
        shelf.register(number, Origin::default());
    }
    let tag = |shelf: &mut Shelf, on: &str, hose, tag| {
        shelf.write(on, Event::Tagged { hose: code(hose), tag: code(tag) });
    };
    let found = |shelf: &Shelf, tag| good(find_tag(&shelf.connection, code(tag)));
    assert_eq!(found(&shelf, 9), None);
    tag(&mut shelf, "2026-02-01", 3, 9);
    assert_eq!(found(&shelf, 9), Some(code(3)));
    assert_eq!(found(&shelf, 3), Some(code(3)), "an old tag still finds its hose");
    tag(&mut shelf, "2026-02-02", 3, 10);
    tag(&mut shelf, "2026-02-03", 2, 9);
    tag(&mut shelf, "2026-02-04", 2, 11);
    assert_eq!(found(&shelf, 9), Some(code(2)), "of two that had it, who got it last");
    tag(&mut shelf, "2026-01-20", 1, 9);
    assert_eq!(found(&shelf, 9), Some(code(1)), "whose own it is comes first");
}

#[test]
fn tags_are_found_by_how_they_begin() {
    let mut shelf = Shelf::new();
    // One character of a code is 32 of its numbers.
    for number in [1, 2, 40, 600] {
        shelf.register(number, Origin::default());
    }
    shelf.write("2026-02-01", Event::Tagged { hose: code(1), tag: code(3) });
    let most = |begins: &Code, most| {
        let typed: String = begins.compact().chars().take(10).collect();
        let prefix = Code::prefix(&typed).unwrap_or_else(|| unreachable!("{typed}"));
        good(find_tags(&shelf.connection, prefix, most))
    };
    let near = |number| -> Vec<Code> {
        let typed: String = code(number).compact().chars().take(10).collect();
        let all = [1, 2, 3, 40, 600].map(code);
        all.into_iter().filter(|other| other.compact().starts_with(&typed)).collect()
    };
    assert_eq!(near(1), [1, 2, 3].map(code));
    for number in [1, 40, 600] {
        assert_eq!(most(&code(number), 9), near(number), "{number}");
    }
    assert_eq!(most(&code(1), 2), [1, 2].map(code));
}

#[test]
fn pages_of_hoses_go_by_the_tags_that_they_carry() {
    let mut shelf = Shelf::new();
    for number in [1, 2, 3, 600] {
        shelf.register(number, Origin::default());
    }
    shelf.write("2026-02-01", Event::Tagged { hose: code(1), tag: code(4) });
    let page = |after: Option<u64>, begins, most| {
        good(hose_page(&shelf.connection, after.map(code), begins, most))
    };
    // The hose 1 stands where its tag, 4, does.
    assert_eq!(page(None, None, 9), [2, 3, 1, 600].map(code));
    assert_eq!(page(None, None, 2), [2, 3].map(code));
    assert_eq!(page(Some(2), None, 2), [3, 1].map(code), "not the one that it comes after");
    assert_eq!(page(Some(4), None, 2), [code(600)]);
    assert_eq!(page(Some(600), None, 2), []);
    let begins = |number| Code::prefix(&code(number).compact()[..10]);
    assert_eq!(page(None, begins(2), 9), [2, 3, 1].map(code));
    assert_eq!(page(Some(3), begins(2), 9), [code(1)]);
    assert_eq!(page(Some(1), begins(600), 9), [code(600)]);
    assert_eq!(page(Some(600), begins(2), 9), []);
}

#[test]
fn a_barcode_finds_every_hose_that_it_is_bound_to() {
    let mut shelf = Shelf::new();
    for number in [2, 1, 3] {
        shelf.register(number, Origin::default());
    }
    for (number, text) in [(2, "8710"), (1, "8710"), (3, "8711")] {
        let barcode = label(text);
        shelf.write("2026-02-01", Event::Bound { hose: code(number), barcode });
    }
    let found = |text: &str| good(find_barcode(&shelf.connection, text));
    assert_eq!(found("8710"), [code(1), code(2)]);
    assert_eq!(found("8711"), [code(3)]);
    assert_eq!(found("871"), []);
}

#[test]
fn every_hose_is_gone_through_in_order_until_somebody_stops() {
    let mut shelf = Shelf::new();
    for number in [3, 1, 2] {
        shelf.register(number, Origin::default());
    }
    assert_eq!(good(recorded_hoses(&shelf.connection)), [1, 2, 3].map(code));
    let mut seen = Vec::new();
    good(each_hose(&shelf.connection, |record| {
        seen.push(record.hose);
        Ok::<_, StoreError>(())
    }));
    assert_eq!(seen, [1, 2, 3].map(code));
    let mut few = 0;
    let stopped = each_hose(&shelf.connection, |_| {
        few += 1;
        if few == 2 { Err(StoreError::Locked) } else { Ok(()) }
    });
    assert!(matches!(stopped, Err(StoreError::Locked)) && few == 2);
    assert_eq!(good(load_hose(&shelf.connection, code(4))), None);
}

#[test]
fn what_holds_for_the_fleet_is_nothing_until_it_is_said() {
    let mut shelf = Shelf::new();
    assert_eq!(good(load_fleet(&shelf.connection)).recalls, []);
    let recalled = Event::Recalled { lot: label("L-7"), maker: None, why: label("bad crimps") };
    let entry = shelf.write("2026-02-01", recalled);
    let recalls = good(load_fleet(&shelf.connection)).recalls;
    assert_eq!(recalls.iter().map(|recall| recall.entry).collect::<Vec<_>>(), [entry]);
}

#[test]
fn the_state_changes_with_what_is_written_and_who_is_believed() {
    let mut shelf = Shelf::new();
    shelf.register(1, Origin::default());
    let state = |shelf: &Shelf| good(state_of(&shelf.connection));
    let before = state(&shelf);
    assert_eq!(state(&shelf), before);
    shelf.write("2026-02-01", Event::Dived { hoses: vec![code(1)], dives: 1, list: None });
    let written = state(&shelf);
    assert_ne!(written, before);
    let work = good(shelf.connection.transaction());
    good(crate::journal::set_owner(&work, &DeviceKey::from_secret(&[9; 32]).id()));
    good(work.commit());
    assert_ne!(state(&shelf), written);
}

#[test]
fn a_set_is_found_by_its_own_code_and_by_the_tags_that_it_was_given() {
    let mut shelf = harbour();
    let tag = code(50);
    assert!(!good(is_known(&shelf.connection, tag)));
    shelf.write("2026-01-13", Event::SetTagged { set: set(9), tag });
    let found = |tag| good(find_set_tag(&shelf.connection, tag)).map(|record| record.id);
    for tag in [tag, set(9).code()] {
        assert_eq!(found(tag), Some(set(9)));
        assert!(good(is_known(&shelf.connection, tag)));
    }
    assert_eq!(found(code(51)), None);
    // The record of a set names its hoses too; their tags are not the set's.
    shelf.register(2, Origin::default());
    let (hose, port, sets, answers) = (code(2), port_name("LP1"), vec![], vec![]);
    shelf.write("2026-01-14", Event::Fitted(Fitted { hose, set: set(9), port, sets, answers }));
    assert_eq!(good(find_set_tag(&shelf.connection, hose)), None);
}
