//! Which entries are taken back, and which unsigned ones were admitted, as far
//! as that decides whom to believe. What it means for a hose, the fold decides.

use std::collections::{BTreeMap, BTreeSet};

use rusqlite::{Connection, Transaction, params};

use super::StoreError;
use super::entry::Entry;
use crate::event::{EntryId, Event};

/// Notes what an entry withdraws or admits.
pub(super) fn index(work: &Transaction<'_>, number: i64, entry: &Entry) -> Result<(), StoreError> {
    if matches!(entry.kind.as_str(), "withdrawn" | "admitted") {
        note(work, number, &entry.kind, entry.event().as_ref())?;
    }
    Ok(())
}

fn note(
    work: &Transaction<'_>,
    number: i64,
    kind: &str,
    event: Option<&Event>,
) -> Result<(), StoreError> {
    let sql = match kind {
        "withdrawn" => "INSERT INTO withdrawal (target, entry, counts) VALUES (?1, ?2, 0)",
        _ => "INSERT INTO admission (target, entry) VALUES (?1, ?2)",
    };
    let targets: BTreeSet<EntryId> =
        event.and_then(Event::answers).unwrap_or_default().iter().copied().collect();
    let mut statement = work.prepare_cached(sql)?;
    for target in targets {
        statement.execute(params![target.hash(), number])?;
    }
    Ok(())
}

/// Notes again what every entry withdraws or admits.
pub(super) fn index_anew(work: &Transaction<'_>) -> Result<(), StoreError> {
    work.execute_batch("DELETE FROM withdrawal; DELETE FROM admission;")?;
    let sql = "SELECT number, kind, version, body FROM entry
               WHERE kind IN ('withdrawn', 'admitted')";
    let mut statement = work.prepare(sql)?;
    let mut rows = statement.query([])?;
    while let Some(row) = rows.next()? {
        let (number, kind): (i64, String) = (row.get(0)?, row.get(1)?);
        let body: String = row.get(3)?;
        let body = serde_json::from_str(&body).unwrap_or_default();
        note(work, number, &kind, Event::from_parts(&kind, row.get(2)?, body).as_ref())?;
    }
    Ok(())
}

/// Whether an entry was admitted by one that is believed.
pub(super) fn is_admitted(connection: &Connection, hash: &[u8; 32]) -> Result<bool, StoreError> {
    let sql = "SELECT 1 FROM admission a WHERE a.target = ?1
               AND NOT EXISTS (SELECT 1 FROM set_aside s WHERE s.entry = a.entry)";
    Ok(connection.prepare_cached(sql)?.exists([hash])?)
}

/// The entries that admit others and are believed.
pub(super) fn admitting(connection: &Connection) -> Result<BTreeSet<i64>, StoreError> {
    let sql = "SELECT DISTINCT entry FROM admission
               WHERE entry NOT IN (SELECT entry FROM set_aside)";
    let mut statement = connection.prepare_cached(sql)?;
    let rows = statement.query_map([], |row| row.get(0))?;
    Ok(rows.collect::<Result<_, _>>()?)
}

/// Whether an entry is taken back by one that is believed.
pub(super) fn is_withdrawn(connection: &Connection, hash: &[u8; 32]) -> Result<bool, StoreError> {
    let sql = "SELECT 1 FROM withdrawal WHERE target = ?1 AND counts = 1";
    Ok(connection.prepare_cached(sql)?.exists([hash])?)
}

/// Works out again which withdrawals count: believed, and not themselves taken
/// back. Returns the entries that count as written, or do not, since now.
pub(super) fn settle(work: &Transaction<'_>) -> Result<Vec<EntryId>, StoreError> {
    let all = Withdrawals::load(work)?;
    let mut changed = Vec::new();
    for (target, withdrawals) in &all.of {
        for withdrawal in withdrawals {
            let counts = all.counts(withdrawal);
            if counts != withdrawal.counts {
                let sql = "UPDATE withdrawal SET counts = ?3 WHERE target = ?1 AND entry = ?2";
                work.prepare_cached(sql)?.execute(params![
                    target.hash(),
                    withdrawal.entry,
                    counts
                ])?;
                changed.push(*target);
            }
        }
    }
    Ok(changed)
}

struct Withdrawal {
    entry: i64,
    id: EntryId,
    believed: bool,
    counts: bool,
}

struct Withdrawals {
    of: BTreeMap<EntryId, Vec<Withdrawal>>,
}

impl Withdrawals {
    fn load(connection: &Connection) -> Result<Self, StoreError> {
        let mut of: BTreeMap<EntryId, Vec<Withdrawal>> = BTreeMap::new();
        let sql = "SELECT w.target, w.entry, e.hash, s.why IS NULL, w.counts FROM withdrawal w
                   JOIN entry e ON e.number = w.entry
                   LEFT JOIN set_aside s ON s.entry = w.entry";
        let mut statement = connection.prepare_cached(sql)?;
        let mut rows = statement.query([])?;
        while let Some(row) = rows.next()? {
            let target = EntryId::new(row.get(0)?);
            let (entry, id) = (row.get(1)?, EntryId::new(row.get(2)?));
            let (believed, counts) = (row.get(3)?, row.get(4)?);
            of.entry(target).or_default().push(Withdrawal { entry, id, believed, counts });
        }
        Ok(Self { of })
    }

    /// A withdrawal can only name what was there before it, so this ends.
    fn counts(&self, withdrawal: &Withdrawal) -> bool {
        let own = self.of.get(&withdrawal.id).map(Vec::as_slice).unwrap_or_default();
        withdrawal.believed && !own.iter().any(|other| self.counts(other))
    }
}
