//! A store for tests of what is folded from it and read in it.

use chrono::NaiveTime;
use rusqlite::Connection;
use tempfile::TempDir;

use crate::device::DeviceKey;
use crate::event::{Assembled, EntryId, Event, SetId};
use crate::hose::{Construction, Origin, Service};
use crate::journal::{self, Draft, Entry, Moment};
use crate::policy::Use;
use crate::record;
use crate::story::{code, day, hose, label, ports};

pub(super) fn good<T, E: std::fmt::Display>(result: Result<T, E>) -> T {
    result.unwrap_or_else(|e| unreachable!("{e}"))
}

/// A store, and the device that writes in it.
pub(super) struct Shelf {
    pub(super) connection: Connection,
    key: DeviceKey,
    _folder: TempDir,
}

impl Shelf {
    pub(super) fn new() -> Self {
        let folder = good(TempDir::new());
        let mut connection = good(journal::open(&folder.path().join("store")));
        let key = DeviceKey::from_secret(&[7; 32]);
        let work = good(connection.transaction());
        good(journal::become_device(&work, Some(&key.id())));
        good(record::rebuild(&work, &std::collections::BTreeSet::new(), |_, _| ()));
        good(work.commit());
        Self { connection, key, _folder: folder }
    }

    /// Writes what happened on a day, and folds what it is about.
    pub(super) fn write(&mut self, on: &str, event: Event) -> EntryId {
        let entries = self.write_unfolded(on, event);
        let work = good(self.connection.transaction());
        let mut reach = journal::Reach::default();
        entries.iter().for_each(|entry| reach.add(entry.touched()));
        good(record::project_reach(&work, &reach, |_, _| ()));
        good(work.commit());
        entries.last().map_or_else(|| unreachable!("no entry"), Entry::id)
    }

    /// Writes what happened on a day, and leaves what was folded as it is.
    pub(super) fn write_unfolded(&mut self, on: &str, event: Event) -> Vec<Entry> {
        let on = day(on);
        let time = on.and_time(NaiveTime::MIN).and_utc();
        let moment = Moment { today: on, time, by: label("Tern") };
        let work = good(self.connection.transaction());
        let entries = good(journal::append(&work, &[Draft { on, event }], &self.key, &moment));
        good(work.commit());
        entries
    }

    pub(super) fn register(&mut self, number: u64, origin: Origin) -> EntryId {
        let specification = hose(Service::SecondStage, Construction::Rubber);
        self.write("2026-01-10", Event::Registered { hose: code(number), specification, origin })
    }

    /// A set of a name, and of the code of a number.
    pub(super) fn make(&mut self, number: u64, name: &str) -> EntryId {
        let (set, name) = (set(number), label(name));
        let (in_use, ports, details) = (Use::Rental, ports(), Box::default());
        let event = Event::Assembled(Assembled { set, name, in_use, ports, details });
        self.write("2026-01-11", event)
    }
}

/// The set of a number.
pub(super) fn set(number: u64) -> SetId {
    SetId::new(code(number))
}
