//! What this device met: others of its fleet, and bundles that it took in whole.

use chrono::{Datelike, NaiveDate};
use rusqlite::{Connection, OptionalExtension};

use super::StoreError;
use super::read::day;

/// When this device last met another of its fleet, where it is in one that has
/// others.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn met_on(connection: &Connection) -> Result<Option<NaiveDate>, StoreError> {
    let sql = "SELECT met_on FROM meeting";
    let found: Option<i32> =
        connection.prepare_cached(sql)?.query_row([], |row| row.get(0)).optional()?;
    Ok(found.map(day))
}

/// Notes that this device met another of its fleet, or joined one, on a day.
///
/// # Errors
/// [`StoreError`] if the store cannot be written.
pub fn keep_meeting(work: &Connection, on: NaiveDate) -> Result<(), StoreError> {
    let sql = "INSERT INTO meeting (only_row, met_on) VALUES (1, ?1)
               ON CONFLICT (only_row) DO UPDATE SET met_on = excluded.met_on";
    work.execute(sql, [on.num_days_from_ce()])?;
    Ok(())
}

/// Whether the bundle of a digest was taken in whole.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn is_merged(connection: &Connection, digest: &[u8; 32]) -> Result<bool, StoreError> {
    let sql = "SELECT 1 FROM merged WHERE digest = ?1";
    Ok(connection.prepare_cached(sql)?.exists([digest])?)
}

/// Remembers that the bundle of a digest was taken in whole.
///
/// # Errors
/// [`StoreError`] if the store cannot be written.
pub fn keep_merged(work: &Connection, digest: &[u8; 32]) -> Result<(), StoreError> {
    work.execute("INSERT OR IGNORE INTO merged (digest) VALUES (?1)", [digest])?;
    Ok(())
}
