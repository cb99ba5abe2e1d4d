//! What other devices are known to hold: as the bundles and films say that came from them. Kept
//! on this device alone, in tables that are made when they are first needed. A store without them
//! is whole, and so no format knows them.
//!
//! What a bundle says of its maker proves nothing; whoever could lie there could as well say that
//! a backup was made. It decides nothing about a hose.

use std::collections::BTreeMap;

use chrono::{Datelike, NaiveDate};
use rusqlite::{Connection, OptionalExtension, params};

use super::read::{day, device};
use super::{Header, StoreError};
use crate::device::DeviceId;

const TABLES: &str = "
    CREATE TABLE IF NOT EXISTS other_record (
        holder  BLOB PRIMARY KEY,
        -- The day as of which that is known: days of the common era.
        made_on INTEGER NOT NULL
    ) STRICT, WITHOUT ROWID;
    CREATE TABLE IF NOT EXISTS held_elsewhere (
        holder BLOB NOT NULL,
        device BLOB NOT NULL,
        -- Up to which number it holds that device's entries without a gap.
        seq    INTEGER NOT NULL,
        PRIMARY KEY (holder, device)
    ) STRICT, WITHOUT ROWID;";

/// What another device was known to hold on a day.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OtherRecord {
    /// The device.
    pub holder: DeviceId,
    /// The day as of which that is known.
    pub made: NaiveDate,
    /// For each device, up to which number it holds its entries.
    pub holds: BTreeMap<DeviceId, u64>,
}

/// Keeps what a bundle says that its maker holds; nothing of one that says no day, or of this
/// device's own.
///
/// # Errors
/// [`StoreError`] if the store cannot be written.
pub fn keep_other(
    work: &Connection,
    header: &Header,
    own: Option<&DeviceId>,
    today: NaiveDate,
) -> Result<(), StoreError> {
    let Some((from, made)) = header.from.zip(header.made).filter(|(from, _)| Some(from) != own)
    else {
        return Ok(());
    };
    work.execute_batch(TABLES)?;
    let (holder, made) = (from.bytes(), made.min(today));
    work.execute(
        "INSERT INTO other_record (holder, made_on) VALUES (?1, ?2)
         ON CONFLICT (holder) DO UPDATE SET made_on = max(made_on, excluded.made_on)",
        params![holder, made.num_days_from_ce()],
    )?;
    let mut keep = work.prepare(
        "INSERT INTO held_elsewhere (holder, device, seq) VALUES (?1, ?2, ?3)
         ON CONFLICT (holder, device) DO UPDATE SET seq = max(seq, excluded.seq)",
    )?;
    for (device, seq) in &header.holds {
        keep.execute(params![holder, device.bytes(), seq])?;
    }
    Ok(())
}

/// What other devices are known to hold, by device.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn other_records(store: &Connection) -> Result<Vec<OtherRecord>, StoreError> {
    let there = "SELECT 1 FROM sqlite_schema WHERE type = 'table' AND name = 'held_elsewhere'";
    if !store.prepare_cached(there)?.exists([])? {
        return Ok(Vec::new());
    }
    let mut others = store.prepare_cached("SELECT holder, made_on FROM other_record")?;
    let rows = others.query_map([], |row| Ok((device(row, 0)?, day(row.get(1)?))))?;
    let mut all = Vec::new();
    for row in rows {
        let (holder, made) = row?;
        all.push(OtherRecord { holder, made, holds: held_by(store, &holder)? });
    }
    Ok(all)
}

fn held_by(store: &Connection, holder: &DeviceId) -> Result<BTreeMap<DeviceId, u64>, StoreError> {
    let sql = "SELECT device, seq FROM held_elsewhere WHERE holder = ?1";
    let mut held = store.prepare_cached(sql)?;
    let rows = held.query_map([holder.bytes()], |row| Ok((device(row, 0)?, row.get(1)?)))?;
    Ok(rows.collect::<Result<_, _>>()?)
}

/// On which day the first of a device's entries above a number was written (UTC).
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn first_written_above(
    store: &Connection,
    device: &DeviceId,
    above: u64,
) -> Result<Option<NaiveDate>, StoreError> {
    let sql = "SELECT at_ms FROM entry
               WHERE device = (SELECT number FROM device WHERE id = ?1) AND seq > ?2
               ORDER BY seq LIMIT 1";
    let found: Option<i64> = store
        .prepare_cached(sql)?
        .query_row(params![device.bytes(), above], |row| row.get(0))
        .optional()?;
    let time = found.and_then(chrono::DateTime::from_timestamp_millis);
    Ok(time.map(|time| time.date_naive()))
}
