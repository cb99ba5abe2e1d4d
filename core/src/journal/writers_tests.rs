//! Who wrote what is in a file, and how far each is believed here.

use std::collections::BTreeMap;

use super::sample::*;
use super::*;
use crate::device::{DeviceId, Role, Warrant};
use crate::event::Event;
use crate::story::label;

/// The writers of a file of some entries.
fn writers(connection: &rusqlite::Connection, entries: &[Entry]) -> Vec<Writer> {
    let mut writers = good(Writers::begin(connection));
    entries.iter().for_each(|entry| writers.hear(entry));
    for entry in entries {
        good(writers.count(&Hashed::from(entry.clone())));
    }
    writers.all()
}

fn believed(device: DeviceId, entries: u64) -> Writer {
    Writer {
        device,
        name: None,
        own: false,
        role: None,
        entries,
        not_believed: BTreeMap::new(),
        not_believed_new: 0,
    }
}

/// Three devices, in the order of their numbers.
fn pens() -> [Pen; 3] {
    let mut pens = [1, 2, 3].map(Pen::signed);
    pens.sort_by_key(|pen| pen.device);
    pens
}

#[test]
fn each_writer_is_counted_and_whoever_brings_doubt_comes_first() {
    let [mut own, mut boat, mut stranger] = pens();
    let name = Some(label("boat"));
    let warrant = Warrant::sign(&key(200), (boat.device, name.clone()), Role::Bench, 0, 1);
    let entries = [
        own.writes(1, &Event::Enrolled { warrant }),
        boat.writes(1, &recalled()),
        boat.writes(2, &cleaned()),
        stranger.writes(1, &cleaned()),
        stranger.writes(2, &cleaned()),
        stranger.writes(3, &recalled()),
    ];
    let mut record = record(true);
    let work = good(record.transaction());
    // What is here already brings nothing.
    good(become_device(&work, Some(&own.device)));
    taken(&work, &[entries[1].clone(), entries[3].clone()]);
    let all = writers(&work, &entries);
    let expected = [
        Writer {
            not_believed: [("stranger", 3)].into(),
            not_believed_new: 2,
            ..believed(stranger.device, 3)
        },
        Writer {
            name,
            role: Some(Role::Bench),
            not_believed: [("role", 1)].into(),
            ..believed(boat.device, 2)
        },
        Writer { own: true, ..believed(own.device, 1) },
    ];
    assert_eq!(all, expected);
    let doubt: Vec<bool> = all.iter().map(Writer::brings_doubt).collect();
    assert_eq!(doubt, [true, false, false]);
    assert_eq!(good(count(&work)), 2, "nothing was taken in");
}

#[test]
fn without_an_owner_only_unsigned_entries_bring_doubt() {
    let [mut boat, _, _] = pens();
    let mut before = Pen::unsigned(7);
    let entries = [boat.writes(1, &recalled()), before.writes(1, &cleaned())];
    let record = record(false);
    let unsigned = Writer {
        not_believed: [("unsigned", 1)].into(),
        not_believed_new: 1,
        ..believed(before.device, 1)
    };
    assert_eq!(writers(&record, &entries), [unsigned, believed(boat.device, 1)]);
}

/// The same hash under another number, or of another device, is not that entry.
#[test]
fn an_entry_is_here_under_its_own_number_and_device() {
    let [_, mut boat, _] = pens();
    let entry = boat.writes(1, &cleaned());
    let mut record = record(true);
    let work = good(record.transaction());
    taken(&work, std::slice::from_ref(&entry));
    let brings = |entry: Entry| {
        let hash = entries_hash(&work);
        let mut writers = good(Writers::begin(&work));
        good(writers.count(&Hashed { entry, hash }));
        writers.all().iter().any(Writer::brings_doubt)
    };
    assert!(!brings(entry.clone()));
    assert!(brings(Entry { seq: 2, ..entry.clone() }));
    assert!(brings(Entry { device: key(9).id(), ..entry }));
}

fn entries_hash(connection: &rusqlite::Connection) -> [u8; 32] {
    good(connection.query_row("SELECT hash FROM entry", [], |row| row.get(0)))
}
