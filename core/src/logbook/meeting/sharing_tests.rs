//! What others are known to have, as records meet and part.

use std::path::Path;

use super::super::Logbook;
use super::tests::{ASKED, good, moment, open, register};
use crate::file::InMemory;
use crate::journal::Moment;
use crate::story::day;
use crate::view::Sharing;

fn book(folder: &Path, name: &str, seed: u64) -> Logbook {
    open(folder, name, &format!("keys-{name}"), seed)
}

/// On the day of the questions, at its noon.
fn asked() -> Moment {
    let moment = moment(0, 0);
    let today = day(ASKED);
    Moment { today, time: today.and_hms_opt(12, 0, 0).unwrap_or_default().and_utc(), ..moment }
}

fn shared(book: &Logbook) -> Option<Sharing> {
    good(book.sharing(&asked()))
}

/// One takes in what the other has.
fn met(one: &mut Logbook, other: &Logbook) {
    let mut bytes = Vec::new();
    good(other.bundle(&mut bytes, None, day(ASKED), |_| ()));
    good(one.merge(&InMemory::new("all", bytes), day(ASKED), |_, _| ()));
}

fn lacks(book: &Logbook) -> (u64, Vec<u64>) {
    let shared = shared(book).unwrap_or_default();
    (shared.alone, shared.devices.iter().map(|other| other.lacks).collect())
}

#[test]
fn entries_are_alone_until_another_device_says_that_it_has_them() {
    let folder = good(tempfile::tempdir());
    let mut one = book(folder.path(), "one", 1);
    let mut two = book(folder.path(), "two", 2);
    for number in 0..5 {
        good(register(&mut one, number, &moment(number, 0)));
    }
    // Alone in the world, a record is for a backup.
    assert_eq!(shared(&one), None);
    for number in 20..22 {
        good(register(&mut two, number, &moment(number, 0)));
    }
    met(&mut two, &one);
    // The other has what it sent; whether it took something in return, nobody knows yet.
    assert_eq!(lacks(&two), (2, vec![2]));
    assert_eq!(shared(&one), None);
    met(&mut one, &two);
    assert_eq!(lacks(&one), (0, vec![0]));
    let words = shared(&one).map(|shared| shared.words).unwrap_or_default();
    assert!(words.iter().all(|line| line.contains("is on another device")), "{words:?}");
    // One goes on.
    good(register(&mut one, 9, &moment(9, 0)));
    assert_eq!(lacks(&one), (1, vec![1]));
    let after = shared(&one).unwrap_or_default();
    assert!(after.devices.iter().all(|other| other.words.contains("lacks 1 entry")), "{after:?}");
    // What it said once is not taken back by an older bundle.
    met(&mut one, &two);
    assert_eq!(lacks(&one), (1, vec![1]));
    met(&mut two, &one);
    met(&mut one, &two);
    assert_eq!(lacks(&one), (0, vec![0]));
}

#[test]
fn a_dismissed_device_keeps_nothing_for_anybody() {
    let folder = good(tempfile::tempdir());
    let mut one = book(folder.path(), "one", 3);
    let mut two = book(folder.path(), "two", 4);
    good(register(&mut one, 1, &moment(1, 0)));
    good(register(&mut two, 2, &moment(2, 0)));
    met(&mut two, &one);
    met(&mut one, &two);
    assert_eq!(lacks(&one).0, 0);
    good(one.found_fleet(&asked()));
    // The founder's own words are its newest entries.
    let before = lacks(&one).0;
    assert!(before > 0);
    let other = good(two.own_device()).device;
    let role = (crate::device::Role::Dismissed, None);
    good(one.enrol(other, role, false, &asked()));
    assert!(lacks(&one).0 > before + 1, "{:?}", lacks(&one));
}
