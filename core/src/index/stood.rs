//! How bad a hose stands by what is kept of it.

use chrono::NaiveDate;
use rusqlite::{Connection, OptionalExtension};

use super::days;
use crate::inspection::Verdict;
use crate::journal::StoreError;
use crate::tag::Code;

/// A hose's verdict on a day by the index, without what is about the whole record; nothing
/// if it is not on record.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn stood(
    connection: &Connection,
    hose: Code,
    on: NaiveDate,
) -> Result<Option<Verdict>, StoreError> {
    let sql = "SELECT (watch_from <= ?2) + (hold_from <= ?2) + (retire_from <= ?2)
               FROM hose_row WHERE hose = ?1";
    let rank: Option<usize> = connection
        .prepare_cached(sql)?
        .query_row((hose.bits(), days::number(on)), |row| row.get(0))
        .optional()?;
    Ok(rank.map(|rank| Verdict::ALL.get(rank).copied().unwrap_or(Verdict::Hold)))
}
