//! The one place where rows of the journal are made.

use chrono::Datelike;
use rusqlite::{OptionalExtension, Transaction, params};

use super::StoreError;
use super::clock::Stamp;
use super::entry::Entry;
use super::members::{Aside, Trust};
use crate::device::DeviceId;
use crate::event::Touched;

/// The short number of a device in this store, which it gets if it has none.
pub(super) fn device_number(work: &Transaction<'_>, id: &DeviceId) -> Result<i64, StoreError> {
    let known = work
        .prepare_cached("SELECT number FROM device WHERE id = ?1")?
        .query_row([id.bytes()], |row| row.get(0))
        .optional()?;
    if let Some(number) = known {
        return Ok(number);
    }
    work.prepare_cached("INSERT INTO device (id) VALUES (?1)")?.execute([id.bytes()])?;
    Ok(work.last_insert_rowid())
}

/// An entry that comes in.
pub(super) struct Arrival<'a> {
    pub(super) entry: &'a Entry,
    pub(super) hash: [u8; 32],
    /// Whom it is about.
    pub(super) whom: &'a Touched,
    /// No entry of its device has its number yet.
    pub(super) new_number: bool,
    /// Why it is not, or not wholly, believed.
    pub(super) aside: Option<Aside>,
}

/// What some entries add to the tally of their device.
#[derive(Debug, Default)]
pub(super) struct Added {
    numbers: u64,
    forked: bool,
    newest_seq: u64,
    /// Of what is believed: the newest day, and the newest reading of the clock.
    newest_on: i32,
    newest_at: Stamp,
}

impl Added {
    /// Adds it up in the device's row.
    pub(super) fn tally(&self, work: &Transaction<'_>, device: i64) -> Result<(), StoreError> {
        work.prepare_cached(include_str!("sql/tally_device.sql"))?.execute(params![
            device,
            self.numbers,
            self.forked,
            self.newest_seq,
            self.newest_on,
            self.newest_at.0,
            self.newest_at.1,
        ])?;
        Ok(())
    }
}

/// Inserts an entry with what it is about, unless it is here already; `added`
/// counts it for its device.
pub(super) fn insert(
    work: &Transaction<'_>,
    device: i64,
    arrival: &Arrival<'_>,
    added: &mut Added,
) -> Result<(), StoreError> {
    let Arrival { entry, hash, whom, new_number, aside } = arrival;
    let day = entry.on.num_days_from_ce();
    let new = work.prepare_cached(include_str!("sql/insert_entry.sql"))?.execute(params![
        device,
        entry.seq,
        day,
        entry.at.0,
        entry.at.1,
        entry.by.as_str(),
        entry.kind,
        entry.version,
        entry.body,
        hash,
        entry.previous,
        entry.signature.map(|signature| signature.0),
    ])?;
    if new == 0 {
        return Ok(());
    }
    let number = work.last_insert_rowid();
    index(work, number, whom)?;
    super::withdrawal::index(work, number, entry)?;
    if let Some(aside) = aside {
        set_aside(work, number, Some(*aside))?;
    }
    added.numbers += u64::from(*new_number);
    added.forked |= !new_number;
    added.newest_seq = added.newest_seq.max(entry.seq);
    if aside.is_none_or(|aside| aside.trust() > Trust::Disbelieved) {
        added.newest_on = added.newest_on.max(day);
        added.newest_at = added.newest_at.max(entry.at);
    }
    Ok(())
}

/// Records why an entry is not wholly believed, or that it is.
pub(super) fn set_aside(
    work: &Transaction<'_>,
    entry: i64,
    why: Option<Aside>,
) -> Result<(), StoreError> {
    match why {
        Some(why) => work
            .prepare_cached("INSERT OR REPLACE INTO set_aside (entry, why) VALUES (?1, ?2)")?
            .execute(params![entry, why.word()])?,
        None => work.prepare_cached("DELETE FROM set_aside WHERE entry = ?1")?.execute([entry])?,
    };
    Ok(())
}

fn index(work: &Transaction<'_>, number: i64, whom: &Touched) -> Result<(), StoreError> {
    for hose in &whom.hoses {
        work.prepare_cached("INSERT INTO hose_entry (hose, entry) VALUES (?1, ?2)")?
            .execute(params![hose.bits(), number])?;
    }
    for set in &whom.sets {
        work.prepare_cached("INSERT INTO set_entry (regulator_set, entry) VALUES (?1, ?2)")?
            .execute(params![set.code().bits(), number])?;
    }
    if whom.fleet {
        work.prepare_cached("INSERT INTO fleet_entry (entry) VALUES (?1)")?.execute([number])?;
    }
    Ok(())
}
