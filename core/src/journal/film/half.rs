//! Films that were left half seen: kept with the store on this device alone, in a table that is
//! made when it is first needed. A store without it is whole, and so no format knows it.

use rusqlite::Connection;

use crate::journal::StoreError;

const TABLE: &str = "CREATE TABLE IF NOT EXISTS half_film (
    number INTEGER PRIMARY KEY,
    seen   BLOB NOT NULL
) STRICT";

/// The films that were kept, the oldest first.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn half_films(store: &Connection) -> Result<Vec<Vec<u8>>, StoreError> {
    let there = "SELECT 1 FROM sqlite_schema WHERE type = 'table' AND name = 'half_film'";
    if !store.prepare_cached(there)?.exists([])? {
        return Ok(Vec::new());
    }
    let mut all = store.prepare("SELECT seen FROM half_film ORDER BY number")?;
    let rows = all.query_map([], |row| row.get(0))?;
    Ok(rows.collect::<Result<_, _>>()?)
}

/// Keeps these films in the place of those before.
///
/// # Errors
/// [`StoreError`] if the store cannot be written.
pub fn keep_half_films(work: &Connection, films: &[Vec<u8>]) -> Result<(), StoreError> {
    work.execute_batch(TABLE)?;
    work.execute("DELETE FROM half_film", [])?;
    let mut keep = work.prepare("INSERT INTO half_film (seen) VALUES (?1)")?;
    for film in films {
        keep.execute([film])?;
    }
    Ok(())
}
