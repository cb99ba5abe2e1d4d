//! What records believe of one another when they meet.

use super::tests::{ASKED, answers, bundle, entries, good, lines, look, moment, open, register};
use crate::device::{DeviceId, DeviceKey, FolderKeyring, Keyring, Role};
use crate::journal::{
    Entry, Hashed, MergeReport, Signatures, entry_of_line, keep_meeting, line_of_entry,
};
use crate::logbook::{Logbook, LogbookError};
use crate::story::{code, day, label};
use std::fs;
use std::path::Path;
use tempfile::TempDir;

fn merged(book: &mut Logbook, entries: &[Entry]) -> MergeReport {
    let entries = entries.iter().cloned().map(Hashed::from).collect();
    good(
        book.take_in(chrono::NaiveDate::default(), |merge| {
            Ok(merge.take(entries, Signatures::All)?)
        }),
    )
}

/// A store whose device wrote a registration and two cleanings.
fn written(folder: &Path, name: &str, seed: u64) -> Logbook {
    let mut book = open(folder, name, &format!("keys-{name}"), seed);
    good(register(&mut book, 1, &moment(0, 0)));
    for days in 1..3 {
        good(book.clean(code(1), None, &moment(days, 0)));
    }
    book
}

#[test]
fn what_was_changed_after_it_was_signed_is_refused_and_the_rest_goes_in() {
    let folder = good(TempDir::new());
    let theirs = entries(&written(folder.path(), "theirs", 1));
    for altered in 0..3 {
        let mut entries = theirs.clone();
        let Some(entry) = entries.get_mut(altered) else { unreachable!("three entries") };
        entry.by = label("Somebody else");
        let mut ours = open(folder.path(), &format!("ours-{altered}"), "keys", 9);
        let report = merged(&mut ours, &entries);
        // Each is signed by itself, so those before and after stand.
        assert_eq!((report.new, report.refused), (2, 1), "{report:?}");
        assert!(report.refusals.iter().all(|why| why.contains("not what that device signed")));
    }
}

#[test]
fn a_line_alone_keeps_its_signature_through_text() {
    let folder = good(TempDir::new());
    for entry in entries(&written(folder.path(), "theirs", 1)) {
        assert_eq!(entry_of_line(&line_of_entry(&entry)), Ok(entry));
    }
}

#[test]
fn a_store_that_meets_itself_takes_a_new_identity() {
    let folder = good(TempDir::new());
    let book = written(folder.path(), "store-0", 1);
    drop(book);
    good(fs::copy(folder.path().join("store-0"), folder.path().join("copy")));
    let mut first = open(folder.path(), "store-0", "keys-store-0", 2);
    let mut copy = open(folder.path(), "copy", "keys-store-0", 3);
    good(first.clean(code(1), None, &moment(5, 0)));
    good(copy.clean(code(1), None, &moment(6, 0)));
    let before = good(copy.own_device()).device;
    let report = merged(&mut copy, &entries(&first));
    assert!(report.copied && report.forked.contains(&before), "{report:?}");
    good(copy.clean(code(1), None, &moment(7, 0)));
    assert_ne!(good(copy.own_device()).device, before);
    // Without its key a copy knows that it is one before it writes.
    let mut elsewhere = open(folder.path(), "copy", "keys-elsewhere", 4);
    let without = good(elsewhere.own_device()).device;
    good(elsewhere.clean(code(1), None, &moment(8, 0)));
    assert_ne!(without, before);
}

fn standing(book: &Logbook, device: &DeviceId) -> (Option<Role>, Vec<(String, u64)>) {
    let views = good(book.devices());
    let view = views.into_iter().find(|view| view.device == *device);
    view.map_or((None, Vec::new()), |view| (view.role, view.set_aside))
}

#[test]
fn who_is_believed_is_what_the_owner_says() {
    let folder = good(TempDir::new());
    let mut centre = written(folder.path(), "centre", 1);
    let mut phone = open(folder.path(), "phone", "keys-phone", 2);
    merged(&mut phone, &entries(&centre));
    look(&mut phone, code(1), &["run:bulge"], &moment(10, 0));
    let device = good(phone.own_device()).device;
    let words = good(centre.found_fleet(&moment(11, 0)));
    let Some(fleet) = good(centre.own_device()).fleet else { unreachable!("a fleet") };
    let retired = |book: &Logbook| answers(book).contains("finding-bulge");

    // A stranger's entries are kept and not believed …
    let report = merged(&mut centre, &entries(&phone));
    assert_eq!(report.set_aside.get("stranger"), Some(&1), "{report:?}");
    assert!(!retired(&centre));
    // … until the owner admits the device.
    good(centre.enrol(device, (Role::Bench, Some(label("boat"))), false, &moment(12, 0)));
    assert!(retired(&centre));
    good(phone.join_fleet(&fleet, &moment(150, 0)));
    assert!(phone.clean(code(1), None, &moment(12, 0)).is_err());
    merged(&mut phone, &entries(&centre));
    good(phone.clean(code(1), None, &moment(13, 0)));
    assert_eq!(answers(&phone).contains("finding-bulge"), retired(&centre));

    // Limits are the owner's to set.
    let why = label("crimps");
    let refused = phone.recall(label("L1"), None, why, None, &moment(14, 0));
    assert!(matches!(refused, Err(LogbookError::NotAllowed { .. })));

    // What it wrote before it was dismissed stays; what comes later does not count.
    good(centre.enrol(device, (Role::Dismissed, None), false, &moment(15, 0)));
    assert!(retired(&centre));
    look(&mut phone, code(1), &["run:cut:deep"], &moment(16, 0));
    let report = merged(&mut centre, &entries(&phone));
    // It adds what it saw, and clears nothing.
    assert_eq!(report.set_aside.get("rights-taken"), Some(&2), "{report:?}");
    assert_eq!(standing(&centre, &device).0, Some(Role::Dismissed));

    // The key comes back from its words on another device.
    let mut counter = open(folder.path(), "counter", "keys-counter", 5);
    assert_eq!(good(counter.recover_owner(&words, &moment(150, 0))), fleet);
    merged(&mut counter, &entries(&centre));
    // When each last met another is its own.
    for book in [&centre, &counter] {
        good(keep_meeting(&book.connection, day(ASKED)));
    }
    assert_eq!(answers(&counter), answers(&centre));
    let other = DeviceKey::from_secret(&[3; 32]).to_words();
    assert!(counter.recover_owner(&other, &moment(150, 0)).is_err());
}

/// A received clock pushes ours by a day at most, and not by an hour more.
#[test]
fn a_clock_that_is_far_ahead_does_not_drag_others_along() {
    for (hours_ahead, pushed) in [(1, true), (24, true), (25, false), (24 * 365 * 5, false)] {
        let folder = good(TempDir::new());
        let mut ahead = open(folder.path(), "ahead", "keys-ahead", 1);
        good(register(&mut ahead, 1, &moment(0, hours_ahead)));
        let mut ours = open(folder.path(), "ours", "keys-ours", 2);
        merged(&mut ours, &entries(&ahead));
        good(ours.clean(code(1), None, &moment(0, 0)));
        let own = entries(&ours).into_iter().find(|entry| entry.kind == "cleaned");
        let past = own.map(|entry| entry.at.time() > moment(0, 0).time);
        assert_eq!(past, Some(pushed), "{hours_ahead} hours ahead");
        assert_eq!(answers(&ours).contains("clock-odd"), hours_ahead > 24 * 365, "{hours_ahead}");
    }
}

/// An entry that was written with an earlier clock than the one that it follows
/// may add, and clears nothing.
#[test]
fn what_is_back_dated_clears_nothing() {
    let folder = good(TempDir::new());
    let mut theirs = open(folder.path(), "theirs", "keys-theirs", 1);
    good(register(&mut theirs, 1, &moment(0, 0)));
    look(&mut theirs, code(1), &["run:salt"], &moment(1, 0));
    good(theirs.clean(code(1), None, &moment(2, 0)));
    let honest = entries(&theirs);
    let keys = FolderKeyring::new(folder.path().join("keys-theirs"));
    let device = good(theirs.own_device()).device;
    let Ok(Some(key)) = keys.find(&device) else { unreachable!("its key") };
    for (last_at, still_salty) in [(honest[1].at, true), (honest[2].at, false)] {
        let mut entries = honest.clone();
        entries[2].at = last_at;
        entries[2].signature = Some(key.sign(entries[2].canonical().as_bytes()));
        let mut ours = open(folder.path(), &format!("ours-{still_salty}"), "keys", 9);
        let report = merged(&mut ours, &entries);
        assert_eq!(report.set_aside.contains_key("back-dated"), still_salty, "{report:?}");
        assert_eq!(answers(&ours).contains("finding-salt"), still_salty);
        // In the other order, one by one, it comes to the same.
        let mut slowly = open(folder.path(), &format!("slowly-{still_salty}"), "keys", 9);
        for entry in entries.iter().rev() {
            merged(&mut slowly, std::slice::from_ref(entry));
        }
        assert_eq!(answers(&slowly), answers(&ours));
    }
}

#[test]
fn a_spoilt_signature_in_a_store_is_found() {
    let folder = good(TempDir::new());
    let book = written(folder.path(), "theirs", 1);
    assert!(good(book.check(|_, _| ())).sound());
    for seq in [2, 3] {
        let sql = "UPDATE entry SET signature = zeroblob(64) WHERE seq = ?1";
        good(book.connection.execute(sql, [seq]));
        let problems = good(book.check(|_, _| ())).problems;
        assert!(problems.iter().any(|why| why.contains(&format!("entry {seq} "))), "{problems:?}");
    }
}

#[test]
fn every_byte_of_a_bundle_changed_in_turn_is_refused_or_harmless() {
    let folder = good(TempDir::new());
    let theirs = written(folder.path(), "theirs", 1);
    let path = folder.path().join("bundle");
    bundle(&theirs, &path);
    let whole = good(fs::read(&path));
    let known = lines(&theirs);
    let mut ours = open(folder.path(), "ours", "keys", 9);
    for at in 0..whole.len() {
        let mut bytes = whole.clone();
        if let Some(byte) = bytes.get_mut(at) {
            *byte = !*byte;
        }
        good(fs::write(&path, &bytes));
        let told = match ours.merge(&path, day(ASKED), |_, _| ()) {
            Ok(report) => report.refused > 0,
            Err(error) => !error.to_string().is_empty(),
        };
        assert!(told, "byte {at} was changed and nobody said so");
        assert!(lines(&ours).is_subset(&known), "byte {at}");
    }
    for length in 0..whole.len() {
        good(fs::write(&path, whole.get(..length).unwrap_or_default()));
        let told =
            ours.merge(&path, day(ASKED), |_, _| ()).map_or(true, |report| report.refused > 0);
        assert!(told, "cut after {length}");
    }
}
