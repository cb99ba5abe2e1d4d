//! A case file and its signed entries: what holds, and what is named when it does not.

use std::path::Path;

use chrono::{Days, NaiveTime};
use rand_chacha::ChaCha20Rng;
use rand_core::SeedableRng;
use tempfile::TempDir;

use crate::case::CaseOf;
use crate::device::{FolderKeyring, Role};
use crate::event::Registration;
use crate::hose::{Construction, Origin, Service};
use crate::journal::{Moment, Statement, Verified, Wrong, verify};
use crate::logbook::Logbook;
use crate::story::{code, day, hose, label};

fn good<T, E: std::fmt::Display>(result: Result<T, E>) -> T {
    result.unwrap_or_else(|e| unreachable!("{e}"))
}

fn moment(days: u64) -> Moment {
    let today = day("2026-01-10") + Days::new(days);
    Moment { today, time: today.and_time(NaiveTime::MIN).and_utc(), by: label("Tern") }
}

fn open(folder: &Path, name: &str, seed: u64) -> Logbook {
    let random = Box::new(ChaCha20Rng::seed_from_u64(seed));
    let keys = Box::new(FolderKeyring::new(folder.join(format!("keys-{name}"))));
    good(Logbook::open(&folder.join(name), random, keys))
}

fn register(book: &mut Logbook, number: u64) {
    let specification = hose(Service::SecondStage, Construction::Rubber);
    let origin = Origin::default();
    let new = Registration { specification, origin, tag: Some(code(number)) };
    good(book.register(new, None, &moment(0)));
}

fn entries(book: &Logbook, number: u64, days: u64) -> Vec<u8> {
    let case = good(book.case_file(&CaseOf::Hose(code(number)), &moment(days)));
    let mut out = Vec::new();
    good(book.case_entries(&case, &mut out));
    out
}

fn checked(bytes: &[u8]) -> Verified {
    good(verify(&mut &*bytes))
}

/// Two hoses, the second of which is in no case file of the first.
fn written(folder: &Path) -> Logbook {
    let mut book = open(folder, "centre", 1);
    for number in [1, 2] {
        register(&mut book, number);
        good(book.clean(code(number), None, &moment(number)));
    }
    let why = label("breathed wet");
    good(book.hold(code(1), why, false, &moment(3)));
    book
}

#[test]
fn the_entries_of_a_hose_alone_are_listed_and_hold() {
    let folder = good(TempDir::new());
    let book = written(folder.path());
    let bytes = entries(&book, 1, 4);
    let said = checked(&bytes);
    assert!(said.holds(), "{said:?}");
    let Some(statement) = said.statement else { unreachable!("a statement") };
    let case = good(book.case_file(&CaseOf::Hose(code(1)), &moment(4)));
    assert_eq!(statement.entries, case.listed());
    assert_eq!(case.number, Statement::number(&statement.entries));
    assert_eq!((statement.entries.len(), said.beside), (3, 0));
    // The number is that of the entries, whenever it is made.
    assert_eq!(good(book.case_file(&CaseOf::Hose(code(1)), &moment(9))).number, case.number);
}

#[test]
fn every_byte_changed_in_turn_is_noticed() {
    let folder = good(TempDir::new());
    let book = written(folder.path());
    let whole = entries(&book, 1, 4);
    for at in 0..whole.len() {
        for flipped in [1_u8, 0x20] {
            let mut bytes = whole.clone();
            if let Some(byte) = bytes.get_mut(at) {
                *byte ^= flipped;
            }
            assert!(!checked(&bytes).holds(), "byte {at}");
        }
    }
    for length in 0..whole.len() {
        assert!(!checked(whole.get(..length).unwrap_or_default()).holds(), "cut after {length}");
    }
}

#[test]
fn an_entry_that_is_left_out_is_named() {
    let folder = good(TempDir::new());
    let book = written(folder.path());
    let whole = String::from_utf8(entries(&book, 1, 4)).unwrap_or_default();
    let lines: Vec<&str> = whole.split_inclusive('\n').collect();
    assert_eq!(lines.len(), 4);
    for left_out in 0..3 {
        let kept: String =
            lines.iter().enumerate().filter(|(at, _)| *at != left_out).map(|(_, l)| *l).collect();
        let said = checked(kept.as_bytes());
        let missing = said.problems.iter().filter(|p| matches!(p.wrong, Wrong::LeftOut(..)));
        assert_eq!(missing.count(), 1, "{said:?}");
        assert!(said.problems.iter().any(|problem| problem.wrong == Wrong::Bytes));
    }
    // Without its list nobody knows what is missing.
    let bare: String = lines.iter().take(3).copied().collect();
    let said = checked(bare.as_bytes());
    assert!(said.problems.iter().any(|problem| problem.wrong == Wrong::NoStatement));
}

#[test]
fn an_entry_of_a_dismissed_device_is_named() {
    let folder = good(TempDir::new());
    let mut book = written(folder.path());
    good(book.found_fleet(&moment(4)));
    let Some(fleet) = good(book.own_device()).fleet else { unreachable!("a fleet") };
    let mut phone = open(folder.path(), "phone", 2);
    let device = good(phone.own_device()).device;
    let exchange = |from: &Logbook, to: &mut Logbook| {
        let path = folder.path().join("bundle");
        let mut out = good(std::fs::File::create(&path));
        good(from.bundle(&mut out, None, day("2026-02-10"), |_| ()));
        good(to.merge(&path, day("2026-02-10"), |_, _| ()))
    };
    good(phone.join_fleet(&fleet, &moment(4)));
    good(book.enrol(device, (Role::Bench, Some(label("boat"))), false, &moment(5)));
    exchange(&book, &mut phone);
    good(phone.clean(code(1), None, &moment(6)));
    exchange(&phone, &mut book);
    assert!(checked(&entries(&book, 1, 7)).holds());
    good(book.enrol(device, (Role::Dismissed, None), false, &moment(8)));
    // What it wrote before stands.
    assert!(checked(&entries(&book, 1, 9)).holds());
    good(phone.clean(code(1), None, &moment(10)));
    exchange(&phone, &mut book);
    let said = checked(&entries(&book, 1, 11));
    let [problem] = said.problems.as_slice() else { unreachable!("{said:?}") };
    assert!(matches!(problem.wrong, Wrong::Aside(of, ..) if of == device), "{problem:?}");
    assert!(problem.line.is_some());
    let of_boat = said.writers.iter().find(|writer| writer.device == device);
    let named = of_boat.map(|writer| (writer.name.clone(), writer.read, writer.failing));
    assert_eq!(named, Some((Some(label("boat")), 2, 1)));
}
