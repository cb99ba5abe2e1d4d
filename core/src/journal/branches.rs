//! A table of entries on a server that all branches of a fleet reach: what is asked of it, and how
//! far this record has read it.
//!
//! The server is believed in nothing: it only carries what devices signed. It can withhold and
//! delete, which is told where another entry shows it, and it can forge nothing. How far it was
//! read is kept on this device alone, in tables that are made when they are first needed, as what
//! others hold is.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use rusqlite::{Connection, OptionalExtension, params};
use serde::Serialize;
use thiserror::Error;

use super::read::device;
use super::{MergeReport, StoreError};
use crate::device::DeviceId;
use crate::hose::Label;

const TABLES: &str = "
    CREATE TABLE IF NOT EXISTS branch_table (
        id       TEXT PRIMARY KEY,
        -- All rows up to it were read.
        position INTEGER NOT NULL,
        -- SHA-256 of the line at that place: where another stands there, the server was
        -- restored or replaced, and is read from its beginning.
        digest   BLOB NOT NULL
    ) STRICT, WITHOUT ROWID;
    CREATE TABLE IF NOT EXISTS held_by_branch_table (
        id     TEXT NOT NULL,
        device BLOB NOT NULL,
        -- Up to which number it said to hold that device's entries without a gap.
        seq    INTEGER NOT NULL,
        PRIMARY KEY (id, device)
    ) STRICT, WITHOUT ROWID;";

/// Why the branches' server can't be used.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error("the branches' server can't be used: {0}. What came in before that is kept; go on later")]
pub struct BranchError(pub String);

/// A row as it is on the server.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BranchRow {
    /// Its place: later rows have greater ones.
    pub position: u64,
    /// An entry, as one line of an export; whatever the server makes of it.
    pub line: String,
}

/// What came of rows that were to be added.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct AddedRows {
    /// How many of them were not there.
    pub new: u64,
    /// The last of those, where nobody else's lie between it and what was read before: what one
    /// sent need not be read.
    pub last: Option<BranchRow>,
}

/// A row as it is sent.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NewBranchRow {
    /// The device that wrote the entry.
    pub device: DeviceId,
    /// Its number on that device.
    pub seq: u64,
    /// The entry, as one line of an export.
    pub line: String,
}

/// What a server says that it has of a device.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct BranchHeld {
    /// The device.
    pub device: DeviceId,
    /// How many of its numbers.
    pub numbers: u64,
    /// The greatest of them.
    pub newest_seq: u64,
}

/// What a meeting at the branches' table came to.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct BranchMeeting {
    /// How many rows were read.
    pub read: u64,
    /// How many were sent that were not there.
    pub sent: u64,
    /// Whether rows that were read before are gone: it was restored, or is another.
    pub from_the_start: bool,
    /// What came of those that were read.
    pub merge: MergeReport,
    /// Every device that is known here or there.
    pub devices: Vec<BranchDevice>,
}

/// What is here and at the table of a device.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct BranchDevice {
    /// The device.
    pub device: DeviceId,
    /// What the owner calls it.
    pub name: Option<Label>,
    /// Whether this record writes as it.
    pub own: bool,
    /// The newest day that it wrote about, of what is believed here.
    pub newest_on: Option<NaiveDate>,
    /// How many of its numbers are here.
    pub entries: u64,
    /// Which of its numbers are missing here though they were written: the first and the last of
    /// each run. Nobody can tell that the newest are withheld.
    pub missing: Vec<(u64, u64)>,
    /// How many of those that are here the server says not to have, though they were sent.
    pub lacks: u64,
}

/// Which rows are asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BranchRows {
    /// All.
    All,
    /// Those of some numbers of a device, the first and the last included.
    Of(DeviceId, u64, u64),
}

/// The table, by whatever brings its rows here.
pub trait BranchTable {
    /// What tells it apart from every other: drawn when it was made.
    ///
    /// # Errors
    /// [`BranchError`] if the server can't be used; so for all of these.
    fn id(&mut self) -> Result<String, BranchError>;

    /// What it has of each device.
    ///
    /// # Errors
    /// [`BranchError`] if the server can't be used.
    fn holds(&mut self) -> Result<Vec<BranchHeld>, BranchError>;

    /// The rows behind a place, `most` of them at most, in their order.
    ///
    /// # Errors
    /// [`BranchError`] if the server can't be used.
    fn rows(
        &mut self,
        which: BranchRows,
        after: u64,
        most: usize,
    ) -> Result<Vec<BranchRow>, BranchError>;

    /// Adds those that are not there, all or none, behind every other; `read` is the place up to
    /// which the rows were read before. Whoever reads one of them must find all that lie before
    /// it: additions go one after the other.
    ///
    /// # Errors
    /// [`BranchError`] if the server can't be used.
    fn add(&mut self, rows: &[NewBranchRow], read: u64) -> Result<AddedRows, BranchError>;

    /// What each device last said of itself there: its signature, and the header of a bundle.
    ///
    /// # Errors
    /// [`BranchError`] if the server can't be used.
    fn headers(&mut self) -> Result<Vec<String>, BranchError>;

    /// Says of a device what it has now, in place of what it said before.
    ///
    /// # Errors
    /// [`BranchError`] if the server can't be used.
    fn leave(&mut self, device: &DeviceId, header: &str) -> Result<(), BranchError>;
}

/// How far a table was read: the place, and the digest of the line there.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn read_up_to(store: &Connection, table: &str) -> Result<Option<(u64, [u8; 32])>, StoreError> {
    if !is_there(store)? {
        return Ok(None);
    }
    let sql = "SELECT position, digest FROM branch_table WHERE id = ?1";
    let found = store.prepare_cached(sql)?.query_row([table], |row| Ok((row.get(0)?, row.get(1)?)));
    Ok(found.optional()?)
}

/// Keeps how far a table was read.
///
/// # Errors
/// [`StoreError`] if the store cannot be written.
pub fn keep_read(
    work: &Connection,
    table: &str,
    (position, digest): (u64, [u8; 32]),
) -> Result<(), StoreError> {
    work.execute_batch(TABLES)?;
    work.execute(
        "INSERT INTO branch_table (id, position, digest) VALUES (?1, ?2, ?3)
         ON CONFLICT (id) DO UPDATE SET position = excluded.position, digest = excluded.digest",
        params![table, position, digest],
    )?;
    Ok(())
}

/// Keeps up to which number a table says to hold what devices wrote; what it said before counts
/// no longer.
///
/// # Errors
/// [`StoreError`] if the store cannot be written.
pub fn keep_held(
    work: &Connection,
    table: &str,
    held: &BTreeMap<DeviceId, u64>,
) -> Result<(), StoreError> {
    work.execute_batch(TABLES)?;
    work.execute("DELETE FROM held_by_branch_table WHERE id = ?1", [table])?;
    let sql = "INSERT INTO held_by_branch_table (id, device, seq) VALUES (?1, ?2, ?3)";
    let mut keep = work.prepare(sql)?;
    for (device, seq) in held {
        keep.execute(params![table, device.bytes(), seq])?;
    }
    Ok(())
}

/// Up to which number some table said to hold what each device wrote.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn held_by_branches(store: &Connection) -> Result<BTreeMap<DeviceId, u64>, StoreError> {
    if !is_there(store)? {
        return Ok(BTreeMap::new());
    }
    let sql = "SELECT device, max(seq) FROM held_by_branch_table GROUP BY device";
    let mut held = store.prepare_cached(sql)?;
    let rows = held.query_map([], |row| Ok((device(row, 0)?, row.get(1)?)))?;
    Ok(rows.collect::<Result<_, _>>()?)
}

fn is_there(store: &Connection) -> Result<bool, StoreError> {
    let sql = "SELECT 1 FROM sqlite_schema WHERE type = 'table' AND name = 'held_by_branch_table'";
    Ok(store.prepare_cached(sql)?.exists([])?)
}
