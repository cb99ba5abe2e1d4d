//! The words of owners that another key follows theirs.

use rusqlite::Connection;

use super::StoreError;
use crate::device::Succession;

/// Every genuine word of an owner that another key follows, whose ever it is.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn successions(store: &Connection) -> Result<Vec<Succession>, StoreError> {
    let mut statement = store.prepare_cached(include_str!("sql/successions.sql"))?;
    let rows = statement.query_map([], |row| row.get::<_, String>(0))?;
    let mut all = Vec::new();
    for row in rows {
        if let Ok(word) = serde_json::from_str::<Succession>(&row?)
            && word.is_genuine()
        {
            all.push(word);
        }
    }
    Ok(all)
}
