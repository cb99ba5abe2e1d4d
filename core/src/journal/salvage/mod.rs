//! What can still be read of a damaged file: its pages are walked one by one,
//! without the database, and an entry counts if its bytes have the hash that
//! is beside them.
//!
//! The layout of pages, rows and the write-ahead log is SQLite's, as published
//! in “Database File Format” (<https://www.sqlite.org/fileformat2.html>).

mod pages;
mod rows;
mod staged;

pub use staged::{Numbers, Salvage};

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;

use super::StoreError;
use super::chain::Hashed;
use super::clock::Stamp;
use super::entry::Entry;
use crate::device::{DeviceId, Signature};
use crate::hose::Label;
use rows::Value;

/// What a row was recognised as, by the kinds of its columns.
enum Recognised {
    Device {
        number: i64,
        id: DeviceId,
        newest_seq: u64,
    },
    /// The owner's key of the fleet.
    Owner(DeviceId),
    Entry(Box<Found>),
}

/// An entry as it is in a row, before its device is known for sure.
struct Found {
    device: i64,
    entry: Entry,
    hash: [u8; 32],
}

/// Recognises a row of the tables that matter; both formats of the file so far.
fn recognise(number: i64, row: &[Value]) -> Option<Recognised> {
    use Value::{Blob, Integer, Null};
    match row {
        [Null, Blob(id), Integer(_), Integer(newest_seq), rest @ ..]
            if matches!(rest.len(), 3 | 4) =>
        {
            let id = DeviceId::from_bytes(id)?;
            Some(Recognised::Device { number, id, newest_seq: (*newest_seq).try_into().ok()? })
        }
        [Null, Integer(_) | Null, Blob(owner)] if number == 1 && owner.len() == 32 => {
            DeviceId::from_bytes(owner).map(Recognised::Owner)
        }
        _ => found(row).map(|found| Recognised::Entry(Box::new(found))),
    }
}

/// A device in the index of the devices' numbers, which is in another page
/// than their table: every entry needs its device.
fn recognise_key(key: &[Value]) -> Option<(i64, DeviceId)> {
    match key {
        [Value::Blob(id), Value::Integer(number)] => Some((*number, DeviceId::from_bytes(id)?)),
        _ => None,
    }
}

fn found(row: &[Value]) -> Option<Found> {
    use Value::{Blob, Integer, Null, Text};
    let [
        Null,
        Integer(device),
        Integer(seq),
        Integer(on),
        Integer(ms),
        Integer(count),
        Text(by),
        Text(kind),
        Integer(version),
        Text(body),
        Blob(hash),
        signature,
        rest @ ..,
    ] = row
    else {
        return None;
    };
    let signature = match signature {
        Blob(bytes) => Some(Signature(bytes.as_slice().try_into().ok()?)),
        _ => None,
    };
    let previous = match rest {
        [Blob(bytes)] => Some(bytes.as_slice().try_into().ok()?),
        _ => None,
    };
    let entry = Entry {
        device: DeviceId::Unsigned([0; 16]),
        seq: (*seq).try_into().ok()?,
        on: NaiveDate::from_num_days_from_ce_opt((*on).try_into().ok()?)?,
        at: Stamp(*ms, (*count).try_into().ok()?),
        by: Label::new("a name", by).ok()?,
        kind: kind.clone(),
        version: (*version).try_into().ok()?,
        body: body.clone(),
        previous,
        signature,
    };
    Some(Found { device: *device, entry, hash: hash.as_slice().try_into().ok()? })
}

/// The devices that rows told of.
#[derive(Default)]
struct Devices {
    by_number: BTreeMap<i64, BTreeSet<DeviceId>>,
    newest_seq: BTreeMap<DeviceId, u64>,
}

impl Devices {
    fn add(&mut self, number: i64, id: DeviceId, newest_seq: u64) {
        self.by_number.entry(number).or_default().insert(id);
        let newest = self.newest_seq.entry(id).or_default();
        *newest = (*newest).max(newest_seq);
    }

    /// The entry with the device under which its bytes have its hash: the one
    /// of its number, or any other if that row is spoilt.
    fn prove(&self, found: Found) -> Option<Hashed> {
        let Found { device, mut entry, hash } = found;
        let likely = self.by_number.get(&device).into_iter().flatten();
        likely.chain(self.newest_seq.keys()).find_map(|id| {
            entry.device = *id;
            (entry.hash() == hash).then(|| Hashed { entry: entry.clone(), hash })
        })
    }
}

#[cfg(test)]
mod tests;
