//! What a form records, and what it refuses.

use rand_chacha::ChaCha20Rng;
use rand_core::SeedableRng;
use tempfile::TempDir;

use super::*;
use crate::story::{code, day, keys, label};
use crate::tag::Payload;

fn moment() -> Moment {
    let today = day("2026-06-15");
    Moment { today, time: today.and_time(chrono::NaiveTime::MIN).and_utc(), by: label("Tern") }
}

fn book(folder: &TempDir) -> Logbook {
    let random = Box::new(ChaCha20Rng::seed_from_u64(7));
    Logbook::open(&folder.path().join("store"), random, keys(folder.path()))
        .unwrap_or_else(|e| unreachable!("{e}"))
}

fn hose() -> Filled {
    let mut filled = hose::empty();
    for (name, typed) in
        [("service", "second-stage"), ("construction", "braided"), ("length", "22 in")]
    {
        filled.set(name, typed);
    }
    filled
}

const NEW: Action = Action::Register { tag: None };

#[test]
fn a_hose_is_registered_with_its_barcode_or_not_at_all() {
    let folder = TempDir::new().unwrap_or_else(|e| unreachable!("{e}"));
    let mut book = book(&folder);
    let mut filled = hose();
    filled.set("tag", &code(1).to_string());
    filled.set("barcode", "4006381333931");
    let saved = book.submit_form(NEW, &filled, &moment());
    assert_eq!(saved.ok(), Some(Saved::OfHose { hose: code(1), words: say::REGISTERED_WITH_TAG }));
    let found = book.find("4006381333931").unwrap_or_else(|e| unreachable!("{e}"));
    assert_eq!(found.hose, code(1));
    // The barcode leads to another hose, the tag is in use, the barcode is a tag.
    let tag = Payload { code: code(3), passport: None }.text();
    for (barcode, number, field) in
        [("4006381333931", 2, "barcode"), ("", 1, "tag"), (tag.as_str(), 2, "barcode")]
    {
        filled.set("barcode", barcode);
        filled.set("tag", &code(number).to_string());
        let refused = match book.submit_form(NEW, &filled, &moment()) {
            Err(FormRefused::Field(refused)) => Some(refused.field),
            Err(FormRefused::Logbook(error)) => error.field().map(ToOwned::to_owned),
            Ok(_) => None,
        };
        assert_eq!(refused.as_deref(), Some(field), "{barcode}");
        assert!(book.record(code(2)).is_err(), "{barcode}: it is half on record");
    }
}
