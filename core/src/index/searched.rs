//! The texts that hoses are looked for by, as they are kept.

use rusqlite::{Connection, OptionalExtension};

use super::text::Texts;
use crate::journal::StoreError;
use crate::tag::Code;

/// The texts that are kept of a hose.
pub(super) fn texts(connection: &Connection, hose: Code) -> Result<Option<Texts>, StoreError> {
    let sql = "SELECT number, code, lot, maker, model, place, description, note FROM hose_text
               WHERE rowid = ?1";
    let mut statement = connection.prepare_cached(sql)?;
    let read = |row: &rusqlite::Row<'_>| {
        let mut texts = Texts::default();
        for (at, text) in texts.iter_mut().enumerate() {
            *text = row.get(at)?;
        }
        Ok(texts)
    };
    Ok(statement.query_row([hose.bits()], read).optional()?)
}

/// So many hoses' texts are written at once.
const AT_ONCE: usize = 1_000;

/// Texts that wait to be written. SQLite's index of texts writes what it holds to its tables
/// before any statement that it could have to take back, so texts that come one by one
/// between others cost several times as much as many in one statement.
#[derive(Debug, Default)]
pub(super) struct Waiting {
    gone: Vec<u64>,
    new: Vec<(u64, Texts)>,
}

impl Waiting {
    /// The texts of a hose; of one that is new here there are none before.
    pub(super) fn take(
        &mut self,
        work: &Connection,
        (hose, known): (Code, bool),
        now: Texts,
    ) -> Result<(), StoreError> {
        let before = if known { texts(work, hose)? } else { None };
        if before.as_ref() == Some(&now) {
            return Ok(());
        }
        if before.is_some() {
            self.gone.push(hose.bits());
        }
        self.new.push((hose.bits(), now));
        if self.new.len() < AT_ONCE { Ok(()) } else { self.keep(work) }
    }

    /// Writes them.
    pub(super) fn keep(&mut self, work: &Connection) -> Result<(), StoreError> {
        for (sql, rows) in [
            (include_str!("sql/forget_texts.sql"), json(&self.gone, self.gone.is_empty())?),
            (include_str!("sql/keep_texts.sql"), json(&self.new, self.new.is_empty())?),
        ] {
            if let Some(rows) = rows {
                work.prepare_cached(sql)?.execute([rows])?;
            }
        }
        *self = Self::default();
        Ok(())
    }
}

fn json(rows: &impl serde::Serialize, none: bool) -> Result<Option<String>, StoreError> {
    if none {
        return Ok(None);
    }
    let text = serde_json::to_string(rows);
    Ok(Some(text.map_err(|e| StoreError::Unreadable(e.to_string()))?))
}
