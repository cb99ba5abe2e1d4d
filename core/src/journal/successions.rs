//! The words of owners that another key follows theirs, and what was said when by a key that is
//! replaced.

use std::collections::BTreeSet;

use chrono::{NaiveDate, NaiveTime, TimeDelta};
use rusqlite::Connection;

use super::StoreError;
use crate::device::{Succession, Warrant};

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

/// A day begins so long before it does in Greenwich where it begins first (UTC+14).
const FIRST: TimeDelta = TimeDelta::hours(14);

/// The proofs of what owners' keys said of devices since a day, from when on that begins first
/// anywhere on earth: by what it says itself, or because it came here after this device had
/// written something since then, for whoever has a key can say any time, but not make it come
/// earlier. What this device wrote down itself is not among them.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn said_since(store: &Connection, day: NaiveDate) -> Result<BTreeSet<String>, StoreError> {
    let begins = (day.and_time(NaiveTime::MIN).and_utc() - FIRST).timestamp_millis();
    let mut statement = store.prepare_cached(include_str!("sql/said_since.sql"))?;
    let rows = statement.query_map([begins], |row| {
        Ok((row.get::<_, String>(0)?, row.get::<_, bool>(1)?, row.get::<_, bool>(2)?))
    })?;
    let (mut since, mut sure) = (BTreeSet::new(), BTreeSet::new());
    for row in rows {
        let (text, own, late) = row?;
        let Ok(warrant) = serde_json::from_str::<Warrant>(&text) else { continue };
        // Several entries may bring the same word: the surest of them counts.
        let is_since = !own && (late || warrant.said >= begins);
        let side = if is_since { &mut since } else { &mut sure };
        side.insert(String::from(warrant.proof));
    }
    Ok(since.difference(&sure).cloned().collect())
}
