//! For tests: devices that write entry after entry, and a record in memory that
//! takes in what they wrote.

use std::collections::BTreeSet;

use chrono::Days;
use rusqlite::{Connection, OptionalExtension, Transaction};

use super::{
    DeviceTally, Entry, Hashed, Merge, MergeReport, Reach, Signatures, Stamp, canonical_json,
    judge_anew, set_owner, store, tallies,
};
use crate::device::{DeviceId, DeviceKey, Role, Warrant};
use crate::event::{About, EntryId, Event};
use crate::story::{code, day, label};

/// The number of the fleet's owner among the keys.
const OWNER: u8 = 200;

pub(super) fn key(number: u8) -> DeviceKey {
    DeviceKey::from_secret(&[number; 32])
}

/// The fleet: its owner's key.
pub(super) fn fleet() -> DeviceId {
    key(OWNER).id()
}

pub(super) fn good<T, E: std::fmt::Display>(result: Result<T, E>) -> T {
    result.unwrap_or_else(|e| unreachable!("{e}"))
}

/// A device that writes. A copy of it writes on under the same numbers.
#[derive(Clone, Copy)]
pub(super) struct Pen {
    pub(super) device: DeviceId,
    secret: Option<u8>,
    seq: u64,
    previous: Option<[u8; 32]>,
}

impl Pen {
    /// A device that signs what it writes.
    pub(super) fn signed(number: u8) -> Self {
        Self { device: key(number).id(), secret: Some(number), seq: 0, previous: None }
    }

    /// A device of the time before keys.
    pub(super) fn unsigned(number: u8) -> Self {
        Self { device: DeviceId::Unsigned([number; 16]), secret: None, seq: 0, previous: None }
    }

    /// Its next entry, on a day, with its clock at the beginning of that day.
    pub(super) fn writes(&mut self, days: i64, event: &Event) -> Entry {
        let (kind, version, body) = event.to_parts();
        let body = canonical_json(&body).unwrap_or_default();
        self.writes_unread(days, &kind, version, &body)
    }

    /// The same of any kind.
    pub(super) fn writes_unread(
        &mut self,
        days: i64,
        kind: &str,
        version: u32,
        body: &str,
    ) -> Entry {
        self.seq += 1;
        let mut entry = Entry {
            device: self.device,
            seq: self.seq,
            on: day("2026-01-01") + Days::new(days.unsigned_abs()),
            at: at(days),
            by: label("Tern"),
            kind: kind.to_owned(),
            version,
            body: body.to_owned(),
            previous: self.previous,
            signature: None,
        };
        if let Some(secret) = self.secret {
            entry.signature = Some(key(secret).sign(entry.canonical().as_bytes()));
            self.previous = Some(entry.hash());
        }
        entry
    }
}

/// The clock at the beginning of a day.
pub(super) fn at(days: i64) -> Stamp {
    let first = day("2026-01-01").and_time(chrono::NaiveTime::MIN).and_utc().timestamp_millis();
    Stamp(first + days * 24 * 60 * 60 * 1_000, 0)
}

/// What any bench writes.
pub(super) fn cleaned() -> Event {
    Event::Cleaned { hose: code(1), answers: Vec::new() }
}

/// What an owner alone writes.
pub(super) fn recalled() -> Event {
    Event::Recalled { lot: label("L1"), maker: None, why: label("crimps") }
}

fn about() -> About {
    About { hoses: vec![code(1)], ..About::default() }
}

pub(super) fn ids(entries: &[&Entry]) -> Vec<EntryId> {
    entries.iter().map(|entry| entry.id()).collect()
}

pub(super) fn withdrawn(entries: &[&Entry]) -> Event {
    Event::Withdrawn { about: about(), why: label("a slip"), answers: ids(entries) }
}

pub(super) fn admitted(entries: &[&Entry]) -> Event {
    Event::Admitted { about: about(), answers: ids(entries) }
}

/// The owner's word on a device, from the entry after a number on.
pub(super) fn word(device: DeviceId, role: Role, after: u64, said: i64) -> Warrant {
    Warrant::sign(&key(OWNER), (device, None), role, after, said)
}

pub(super) fn enrolled(device: DeviceId, role: Role, after: u64, said: i64) -> Event {
    Event::Enrolled { warrant: word(device, role, after, said) }
}

/// A record with nothing in it, of the fleet or of none.
pub(super) fn record(of_fleet: bool) -> Connection {
    let mut connection = good(store::in_memory());
    if of_fleet {
        let work = good(connection.transaction());
        good(set_owner(&work, &fleet()));
        good(work.commit());
    }
    connection
}

/// Takes in some entries at once.
pub(super) fn taken(work: &Transaction<'_>, entries: &[Entry]) -> (MergeReport, Reach) {
    let mut merge = good(Merge::begin(work));
    good(merge.take(entries.iter().cloned().map(Hashed::from).collect(), Signatures::All));
    good(merge.finish())
}

/// Why an entry is not, or not wholly, believed; `-` where it is.
pub(super) fn why(connection: &Connection, entry: &Entry) -> String {
    let sql = "SELECT coalesce(s.why, '-') FROM entry e LEFT JOIN set_aside s ON s.entry = e.number
               WHERE e.hash = ?1";
    let found = connection.query_row(sql, [entry.hash()], |row| row.get(0)).optional();
    good(found).unwrap_or_else(|| "not here".to_owned())
}

pub(super) fn whys(connection: &Connection, entries: &[Entry]) -> Vec<String> {
    entries.iter().map(|entry| why(connection, entry)).collect()
}

/// What is known of the devices that wrote here.
pub(super) fn wrote(connection: &Connection) -> Vec<DeviceTally> {
    good(tallies(connection)).into_iter().filter(|tally| tally.entries > 0).collect()
}

/// Why each of some entries is not believed, and what is known of their devices.
pub(super) type State = (Vec<String>, Vec<DeviceTally>);

/// What some entries come to: the same in whatever order and in whatever parts
/// they come, and judged again.
pub(super) fn judged(of_fleet: bool, entries: &[Entry]) -> State {
    let mut record = record(of_fleet);
    let mut seen: Vec<(String, State)> = Vec::new();
    let mut look = |how: String, parts: &[Vec<Entry>]| {
        let work = good(record.transaction());
        let (mut new, mut aside) = (0, 0);
        for part in parts {
            let report = taken(&work, part).0;
            assert_eq!(report.refused, 0, "{report:?}");
            new += report.new;
            aside = report.set_aside.values().sum();
        }
        assert_eq!(new, entries.len() as u64, "{how}");
        let state = (whys(&work, entries), wrote(&work));
        if parts.len() == 1 {
            let told = state.0.iter().filter(|why| *why != "-").count();
            assert_eq!(aside, told as u64, "{how}");
        }
        good(judge_anew(&work, &BTreeSet::new()));
        assert_eq!((whys(&work, entries), wrote(&work)), state, "{how}, judged anew");
        seen.push((how, state));
    };
    look("all at once".to_owned(), &[entries.to_vec()]);
    for order in orders(entries.len()) {
        let shuffled: Vec<Entry> = order.iter().map(|at| entries[*at].clone()).collect();
        let singly: Vec<Vec<Entry>> = shuffled.iter().map(|one| vec![one.clone()]).collect();
        look(format!("in the order {order:?}"), &singly);
    }
    for order in turned(entries.len()) {
        let shuffled: Vec<Entry> = order.iter().map(|at| entries[*at].clone()).collect();
        for known in 1..shuffled.len() {
            let parts = [shuffled[..known].to_vec(), entries.to_vec()];
            look(format!("{known} of {order:?}, and then all"), &parts);
        }
    }
    let first = seen[0].1.clone();
    for (how, state) in seen {
        assert_eq!(state, first, "{how}");
    }
    first
}

/// Each beginning, onwards and back.
fn turned(count: usize) -> Vec<Vec<usize>> {
    let onwards = |by: usize| (0..count).map(move |at| (at + by) % count);
    (0..count).flat_map(|by| [onwards(by).collect(), onwards(by).rev().collect()]).collect()
}

/// Every order of a few things; of more than four those of [`turned`].
fn orders(count: usize) -> Vec<Vec<usize>> {
    if count > 4 {
        return turned(count);
    }
    let mut all: Vec<Vec<usize>> = vec![Vec::new()];
    for next in 0..count {
        let longer = |order: &Vec<usize>| {
            let place = |at| [&order[..at], &[next], &order[at..]].concat();
            (0..=order.len()).map(place).collect::<Vec<_>>()
        };
        all = all.iter().flat_map(longer).collect();
    }
    all
}
