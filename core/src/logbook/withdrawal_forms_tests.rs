//! What was written is withdrawn by a form that shows it first.

use rand_chacha::ChaCha20Rng;
use rand_core::SeedableRng;
use tempfile::TempDir;

use super::*;
use crate::story::{code, day, keys, label};
use crate::tag::Code;
use crate::view::Action;
use crate::view::form::hose as described;

fn moment() -> Moment {
    let today = day("2026-06-15");
    Moment { today, time: today.and_time(chrono::NaiveTime::MIN).and_utc(), by: label("Tern") }
}

fn fails<E: std::fmt::Debug>(error: E) -> ! {
    unreachable!("{error:?}")
}

fn book(folder: &TempDir, barcode: &str) -> Logbook {
    let random = Box::new(ChaCha20Rng::seed_from_u64(7));
    let path = folder.path().join("store");
    let mut book = Logbook::open(&path, random, keys(folder.path())).unwrap_or_else(|e| fails(e));
    let mut filled = described::empty();
    for (name, typed) in [
        ("service", "second-stage"),
        ("construction", "braided"),
        ("length", "22 in"),
        ("barcode", barcode),
    ] {
        filled.set(name, typed);
    }
    filled.set("tag", &code(1).to_string());
    let new = Action::Register { tag: None };
    book.submit_form(new, &filled, &moment()).unwrap_or_else(|e| fails(e));
    book
}

fn lines(book: &Logbook, hose: Code) -> Vec<super::super::HistoryLine> {
    book.history(hose).unwrap_or_else(|e| fails(e))
}

#[test]
fn an_entry_is_shown_and_withdrawn_with_a_reason() {
    let folder = TempDir::new().unwrap_or_else(|e| fails(e));
    let mut book = book(&folder, "");
    book.clean(code(1), None, &moment()).unwrap_or_else(|e| fails(e));
    let Some(cleaned) = lines(&book, code(1)).pop() else { fails("a line") };
    let form = book.withdrawal_form(cleaned.id, &Filled::default()).unwrap_or_else(|e| fails(e));
    let said = "2026-06-15 Tern: soaked, cleaned and dried";
    assert_eq!(form.lead, ["Nothing is erased: the history shows both.", said]);
    assert_eq!(form.fields().count(), 1, "only why");
    let mut filled = Filled::default();
    let refused = book.submit_withdrawal(cleaned.id, &filled, &moment());
    assert!(matches!(refused, Err(FormRefused::Field(refused)) if refused.field == "why"));
    filled.set("why", "another hose");
    // A face that asks first has asked with the form.
    book.set_sure(false);
    book.submit_withdrawal(cleaned.id, &filled, &moment()).unwrap_or_else(|e| fails(e));
    assert!(!book.is_sure(), "the next one is asked about again");
    let lines = lines(&book, code(1));
    let back = lines.iter().find(|line| line.id == cleaned.id);
    assert!(back.is_some_and(|line| line.withdrawn.is_some() && !line.can_be_taken_back()));
}

#[test]
fn of_several_that_were_written_together_all_are_shown() {
    let folder = TempDir::new().unwrap_or_else(|e| fails(e));
    let book = book(&folder, "4006381333931");
    let lines = lines(&book, code(1));
    let Some(bound) = lines.last().filter(|_| lines.len() == 2) else { fails("two lines") };
    let form = book.withdrawal_form(bound.id, &Filled::default()).unwrap_or_else(|e| fails(e));
    let said: Vec<&str> = form.lead.iter().map(String::as_str).collect();
    assert_eq!(said.first(), Some(&"These were recorded together and are withdrawn together."));
    assert_eq!(said.len(), 2 + 2, "and both lines");
    let chosen = said.iter().filter(|line| line.ends_with("(Chosen)")).count();
    assert_eq!(chosen, 1);
    assert!(form.fields().any(|field| field.name == ALONE));
}
