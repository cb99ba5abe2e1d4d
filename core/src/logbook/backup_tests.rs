//! A record that is lost comes back from its backup, and answers as it did.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use chrono::{Days, NaiveTime};
use rand_chacha::ChaCha20Rng;
use rand_core::SeedableRng;
use tempfile::TempDir;

use super::{Restored, Restoring};
use crate::device::{DeviceKey, FolderKeyring, Role};
use crate::event::Registration;
use crate::hose::{Construction, Origin, Service};
use crate::journal::{Header, Moment, last_backup};
use crate::logbook::{Found, Logbook, LogbookError};
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

fn backup(book: &mut Logbook, folder: &Path, days: u64) -> PathBuf {
    let path = folder.join("backup.hwbundle");
    let mut out = good(std::fs::File::create(&path));
    good(book.backup(&mut out, &moment(days), |_| ()));
    good(book.backed_up(&moment(days)));
    path
}

/// A counter with three hoses, and its owner's words.
fn counter(folder: &Path) -> (Logbook, String) {
    let mut book = open(folder, "counter", 1);
    for number in 1..=3 {
        let specification = hose(Service::SecondStage, Construction::Rubber);
        let origin = Origin::default();
        let new = Registration { specification, origin, tag: Some(code(number)) };
        good(book.register(new, None, &moment(number)));
    }
    good(book.hold(code(2), label("breathed wet"), false, &moment(4)));
    let words = good(book.found_fleet(&moment(5)));
    (book, words.to_string())
}

fn restored(
    book: &mut Logbook,
    path: &Path,
    words: &str,
    dismiss: bool,
) -> Result<Restored, LogbookError> {
    let restoring = Restoring { words, name: Some(label("new counter")), dismiss };
    book.restore(&path, &restoring, &moment(20), |_, _| ())
}

/// What is answered for each hose, but for how many devices the record has.
fn answers(book: &Logbook, days: u64) -> Vec<String> {
    let said = (1..=3).map(|number| {
        let found = Found { hose: code(number), tag: None };
        let answer = good(book.answer_found(found, &moment(days)));
        format!("{:?} {:?} {:?}", answer.verdict, answer.reasons, answer.place)
    });
    said.collect()
}

#[test]
fn a_backup_has_the_whole_record_and_no_secret() {
    let folder = good(TempDir::new());
    let (mut book, words) = counter(folder.path());
    assert_eq!(good(last_backup(&book.connection)), None);
    let path = backup(&mut book, folder.path(), 6);
    let made = good(last_backup(&book.connection));
    assert_eq!(made.map(|made| (made.on, made.written_since)), Some((moment(6).today, false)));
    let bytes = good(std::fs::read(&path));
    let key = good(DeviceKey::from_words(&words));
    let secret = key.secret();
    assert!(!bytes.windows(32).any(|window| window == secret.as_slice()));
    // A merge takes it, and what comes later is written since.
    let mut other = open(folder.path(), "other", 2);
    assert_eq!(good(other.merge(&path, moment(7).today, |_, _| ())).refused, 0);
    assert_eq!(answers(&other, 7), answers(&book, 7));
    good(book.clean(code(1), None, &moment(7)));
    assert_eq!(good(last_backup(&book.connection)).map(|made| made.written_since), Some(true));
    // A table that only this device has is no flaw of the store.
    assert!(good(book.check(|_, _| ())).sound());
}

#[test]
fn a_record_that_is_brought_back_answers_as_the_lost_one_did() {
    let folder = good(TempDir::new());
    let (mut book, words) = counter(folder.path());
    let (lost, path) = (good(book.own_device()).device, backup(&mut book, folder.path(), 6));
    let before = answers(&book, 20);
    drop(book);
    let mut new = open(folder.path(), "new", 3);
    let said = good(restored(&mut new, &path, &words, false));
    assert_eq!(answers(&new, 20), before);
    assert_eq!((said.from, said.dismissed, said.made), (Some(lost), false, Some(moment(6).today)));
    assert_ne!(said.device, lost);
    assert!(said.missing.iter().any(|line| line.contains(&lost.short())), "{said:?}");
    let own = good(new.own_device());
    // The words were used, and are not here.
    assert_eq!((own.role, own.holds_owner_key), (Some(Role::Owner), false));
    let devices = good(new.devices());
    let name = devices.iter().find(|view| view.own).and_then(|view| view.name.clone());
    assert_eq!(name, Some(label("new counter")));
    good(new.clean(code(1), None, &moment(21)));
    // Nothing is brought back over what is there.
    assert!(restored(&mut new, &path, &words, false).is_err());
}

#[test]
fn what_a_dismissed_device_writes_after_the_backup_clears_nothing() {
    let folder = good(TempDir::new());
    let (mut book, words) = counter(folder.path());
    let (lost, path) = (good(book.own_device()).device, backup(&mut book, folder.path(), 6));
    for (dismiss, name) in [(false, "kept"), (true, "dismissed")] {
        let mut new = open(folder.path(), name, 4);
        assert_eq!(good(restored(&mut new, &path, &words, dismiss)).dismissed, dismiss);
        // The thief releases what was on hold.
        if !good(book.record(code(2))).holds.is_empty() {
            good(book.release(code(2), &label("all is well"), &moment(8)));
        }
        let later = folder.path().join("later.hwbundle");
        let mut out = good(std::fs::File::create(&later));
        good(book.bundle(&mut out, None, moment(9).today, |_| ()));
        let report = good(new.merge(&later, moment(21).today, |_, _| ()));
        assert_eq!(report.set_aside.get("rights-taken").copied().unwrap_or(0) > 0, dismiss);
        let held = answers(&new, 21).iter().any(|said| said.contains("breathed wet"));
        assert_eq!(held, dismiss, "{name}");
        let role = good(new.devices()).into_iter().find(|view| view.device == lost);
        let role = role.and_then(|view| view.role);
        assert_eq!(role, Some(if dismiss { Role::Dismissed } else { Role::Owner }));
    }
}

#[test]
fn wrong_words_change_nothing_and_are_not_told() {
    let folder = good(TempDir::new());
    let (mut book, words) = counter(folder.path());
    let path = backup(&mut book, folder.path(), 6);
    let another = DeviceKey::from_secret(&[9; 32]).to_words().to_string();
    let slip = words.split(' ').map(|word| if words.starts_with(word) { "hozes" } else { word });
    let slip = slip.collect::<Vec<_>>().join(" ");
    let mut new = open(folder.path(), "new", 3);
    for typed in ["", "hozes", &another, &slip] {
        let Err(error) = restored(&mut new, &path, typed, true) else { unreachable!("{typed}") };
        assert!(!error.to_string().contains("hozes"), "{error}");
        assert_eq!(good(new.own_device()).fleet, None);
        assert!(good(new.devices()).iter().all(|view| view.entries == 0));
    }
    assert!(restored(&mut new, &path, &words, false).is_ok());
}

#[test]
fn a_record_without_an_owner_needs_no_words() {
    let folder = good(TempDir::new());
    let mut book = open(folder.path(), "own", 1);
    let specification = hose(Service::SecondStage, Construction::Rubber);
    let new = Registration { specification, origin: Origin::default(), tag: Some(code(1)) };
    good(book.register(new, None, &moment(1)));
    let path = backup(&mut book, folder.path(), 2);
    let mut new = open(folder.path(), "new", 2);
    let said = good(restored(&mut new, &path, "", true));
    assert!(!said.dismissed);
    assert_eq!(good(new.history(code(1))).len(), 1);
}

#[test]
fn what_is_known_to_be_missing_is_named_with_whose_it_is() {
    let folder = good(TempDir::new());
    let (mut book, words) = counter(folder.path());
    let mut phone = open(folder.path(), "phone", 5);
    let device = good(phone.own_device()).device;
    let Some(fleet) = good(book.own_device()).fleet else { unreachable!("a fleet") };
    let exchange = |from: &Logbook, to: &mut Logbook, since: Option<&Header>| {
        let path = folder.path().join("between");
        let mut out = good(std::fs::File::create(&path));
        good(from.bundle(&mut out, since, moment(7).today, |_| ()));
        good(to.merge(&path, moment(7).today, |_, _| ()))
    };
    good(phone.join_fleet(&fleet, &moment(5)));
    good(book.enrol(device, (Role::Bench, Some(label("boat"))), false, &moment(5)));
    exchange(&book, &mut phone, None);
    good(phone.clean(code(1), None, &moment(6)));
    // Somebody had its first entry, and the counter did not get it.
    let holds = [(device, 1)].into_iter().collect();
    good(phone.clean(code(3), None, &moment(6)));
    exchange(&phone, &mut book, Some(&Header { holds, ..Header::default() }));
    let path = backup(&mut book, folder.path(), 8);
    let mut new = open(folder.path(), "new", 6);
    let said = good(restored(&mut new, &path, &words, false));
    let lines: BTreeSet<&str> = said.missing.iter().map(String::as_str).collect();
    let wanted = format!("Device {} (boat): its entries 1 are missing here.", device.short());
    assert!(lines.contains(wanted.as_str()), "{lines:?}");
}
