//! When the last backup of this store was made: kept on this device alone, in a table that
//! is made when it is first needed. A store without it is whole, and so no format knows it.

use chrono::{Datelike, NaiveDate};
use rusqlite::{Connection, OptionalExtension};

use super::StoreError;
use super::met::keep_meeting;

const TABLE: &str = "CREATE TABLE IF NOT EXISTS backup_made (
    only_row INTEGER PRIMARY KEY CHECK (only_row = 1),
    made_on  INTEGER NOT NULL,
    -- The newest entry that it has.
    newest   INTEGER NOT NULL
) STRICT";

/// A backup that was made here.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct BackupMade {
    /// On which day.
    pub on: NaiveDate,
    /// Whether something came to the record since.
    pub written_since: bool,
}

/// The last backup that was made of this store on this device.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn last_backup(store: &Connection) -> Result<Option<BackupMade>, StoreError> {
    let there = "SELECT 1 FROM sqlite_schema WHERE type = 'table' AND name = 'backup_made'";
    if !store.prepare_cached(there)?.exists([])? {
        return Ok(None);
    }
    let sql = "SELECT made_on, newest FROM backup_made";
    let found: Option<(i32, i64)> = store
        .prepare_cached(sql)?
        .query_row([], |row| Ok((row.get(0)?, row.get(1)?)))
        .optional()?;
    let newest = newest_entry(store)?;
    Ok(found.map(|(on, had)| BackupMade {
        on: NaiveDate::from_num_days_from_ce_opt(on).unwrap_or_default(),
        written_since: newest > had,
    }))
}

/// Notes that a backup was made on a day, of all that is in the store.
///
/// # Errors
/// [`StoreError`] if the store cannot be written.
pub fn keep_backup(store: &Connection, on: NaiveDate) -> Result<(), StoreError> {
    store.execute_batch(TABLE)?;
    let newest = newest_entry(store)?;
    let sql = "INSERT INTO backup_made (only_row, made_on, newest) VALUES (1, ?1, ?2)
               ON CONFLICT (only_row) DO UPDATE SET made_on = ?1, newest = ?2";
    store.execute(sql, (on.num_days_from_ce(), newest))?;
    Ok(())
}

/// Puts the day of the last meeting back to what another device knew; nothing if it knew
/// of none.
///
/// # Errors
/// [`StoreError`] if the store cannot be written.
pub fn put_meeting(store: &Connection, on: Option<NaiveDate>) -> Result<(), StoreError> {
    store.execute("DELETE FROM meeting", [])?;
    on.map_or(Ok(()), |on| keep_meeting(store, on))
}

/// The number of the newest entry, in order of arrival; 0 in an empty store.
fn newest_entry(store: &Connection) -> Result<i64, StoreError> {
    let sql = "SELECT coalesce(max(number), 0) FROM entry";
    Ok(store.prepare_cached(sql)?.query_row([], |row| row.get(0))?)
}
