//! Where a hose goes, by its form.

use rand_chacha::ChaCha20Rng;
use rand_core::SeedableRng;
use tempfile::TempDir;

use super::*;
use crate::policy::Use;
use crate::story::{code, day, keys, label};
use crate::view::Action;
use crate::view::form::hose as described;

fn moment() -> Moment {
    let today = day("2026-06-15");
    Moment { today, time: today.and_time(chrono::NaiveTime::MIN).and_utc(), by: label("Tern") }
}

fn fails<E: std::fmt::Debug>(error: E) -> ! {
    unreachable!("{error:?}")
}

/// A record with two hoses and two sets, of which one has one free port for them.
fn book(folder: &TempDir) -> Logbook {
    let random = Box::new(ChaCha20Rng::seed_from_u64(7));
    let path = folder.path().join("store");
    let mut book = Logbook::open(&path, random, keys(folder.path())).unwrap_or_else(|e| fails(e));
    for number in [1, 2] {
        let mut filled = described::empty();
        for (name, typed) in
            [("service", "second-stage"), ("construction", "braided"), ("length", "22 in")]
        {
            filled.set(name, typed);
        }
        filled.set("tag", &code(number).to_string());
        let new = Action::Register { tag: None };
        book.submit_form(new, &filled, &moment()).unwrap_or_else(|e| fails(e));
    }
    for (name, ports) in [("Heron", "LP:3/8-24=1"), ("Tern", "HP:7/16-20=1")] {
        let ports = vec![ports.parse().unwrap_or_else(|e| fails(e))];
        let new = crate::NewSet::new(label(name), Use::Personal, ports);
        book.assemble_new(new, None, &moment()).unwrap_or_else(|e| fails(e));
    }
    book
}

/// What can be chosen in a field of the form; nothing if it has no such field.
fn choices(form: &Form, name: &str) -> Vec<String> {
    let field = form.fields().find(|field| field.name == name);
    match field.map(|field| &field.kind) {
        Some(crate::view::form::Kind::Choice(all)) => {
            all.iter().map(|choice| choice.label.clone()).collect()
        }
        _ => Vec::new(),
    }
}

fn answers(form: &Form) -> Vec<&str> {
    form.answers.iter().map(|answer| answer.label.as_str()).collect()
}

#[test]
fn a_hose_goes_into_a_port_of_the_set_that_is_chosen_and_back_to_stock() {
    let folder = TempDir::new().unwrap_or_else(|e| fails(e));
    let mut book = book(&folder);
    let place = Action::Place { hose: code(1) };
    let mut filled = book.begin_form(place).unwrap_or_else(|e| fails(e));
    let form = book.form(place, &filled, &moment()).unwrap_or_else(|e| fails(e));
    assert_eq!(choices(&form, "set"), ["Heron", "Tern"]);
    assert!(choices(&form, "port").is_empty() && form.answers.is_empty(), "no set, no port");
    let set = |book: &Logbook, name| book.set(&label(name)).map(|set| set.id.to_string());
    // Of another set no port takes it, and that is said.
    let tern = set(&book, "Tern").unwrap_or_else(|e| fails(e));
    let heron = set(&book, "Heron").unwrap_or_else(|e| fails(e));
    let touch = |book: &Logbook, filled: &mut Filled, name: &str, value: &str| {
        book.touch_form(place, filled, (name, value), &moment()).unwrap_or_else(|e| fails(e));
        book.form(place, filled, &moment()).unwrap_or_else(|e| fails(e))
    };
    let form = touch(&book, &mut filled, "set", &tern);
    assert!(form.answers.is_empty());
    assert!(form.lead.iter().any(|line| line == crate::words::notices::NO_FREE_PORT));
    let form = touch(&book, &mut filled, "set", &heron);
    assert_eq!((choices(&form, "port"), answers(&form)), (vec!["LP1".to_owned()], vec!["Fit"]));
    assert_eq!(filled.given("port"), Some("LP1"), "the best is chosen already");
    let mut none = filled.clone();
    none.set("port", "");
    let refused = book.submit_form(place, &none, &moment());
    assert!(matches!(refused, Err(FormRefused::Field(refused)) if refused.field == "port"));
    // Another set is chosen: the port is not of that one.
    touch(&book, &mut filled, "set", &tern);
    assert_eq!(filled.given("port"), None);
    touch(&book, &mut filled, "set", &heron);
    book.submit_form(place, &filled, &moment()).unwrap_or_else(|e| fails(e));
    let seat = |book: &Logbook| book.record(code(1)).ok().and_then(|record| record.seat);
    assert_eq!(seat(&book).map(|slot| slot.port.to_string()).as_deref(), Some("LP1"));

    // In its set it moves, or goes to stock; there is no other set to choose.
    let mut filled = book.begin_form(place).unwrap_or_else(|e| fails(e));
    let form = book.form(place, &filled, &moment()).unwrap_or_else(|e| fails(e));
    assert!(choices(&form, "set").is_empty());
    assert_eq!(answers(&form), ["Remove to stock"]);
    filled.set(ANSWER, &form.answers.first().map(|a| a.value.clone()).unwrap_or_default());
    book.submit_form(place, &filled, &moment()).unwrap_or_else(|e| fails(e));
    assert_eq!(seat(&book), None);
    // Without a set nothing is written.
    let refused = book.submit_form(place, &Filled::default(), &moment());
    assert!(matches!(refused, Err(FormRefused::Field(refused)) if refused.field == "set"));
}
