//! Writing entries and reading them back.

use chrono::{Datelike, NaiveDate};
use rusqlite::{Connection, OptionalExtension, Row, Transaction, params};

use super::StoreError;
use super::canonical::canonical_json;
use super::clock::{Moment, Stamp};
use super::entry::{DeviceId, Entry};
use crate::event::{Event, Touched, VERSION};
use crate::hose::Label;
use crate::tag::Code;

/// Something to be written down: what happened, and on which day.
#[derive(Debug, Clone, PartialEq)]
pub struct Draft {
    /// The day on which it happened.
    pub on: NaiveDate,
    /// What happened.
    pub event: Event,
}

/// What is known of one device that wrote here.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct DeviceTally {
    /// The device.
    pub id: DeviceId,
    /// How many of its numbers are here.
    pub entries: u64,
    /// The greatest of its numbers.
    pub newest_seq: u64,
    /// The newest day that it wrote about.
    pub newest_on: NaiveDate,
    /// The newest reading of its clock.
    pub newest_at: Stamp,
}

/// Appends what happened as this store's own entries and returns them.
///
/// # Errors
/// [`StoreError`] where the store cannot be written.
pub fn append(
    work: &Transaction<'_>,
    drafts: &[Draft],
    moment: &Moment,
) -> Result<Vec<Entry>, StoreError> {
    let (own, device, mut seq) = work
        .prepare_cached(
            "SELECT d.number, d.id, d.newest_seq FROM store s JOIN device d ON d.number = s.device",
        )?
        .query_row([], |row| Ok((row.get(0)?, DeviceId(row.get(1)?), row.get::<_, u64>(2)?)))?;
    let mut at = newest_stamp(work)?;
    let mut written = Vec::with_capacity(drafts.len());
    for draft in drafts {
        seq += 1;
        at = at.next(moment.time);
        let (kind, body) = draft.event.to_parts();
        let body = canonical_json(&body)
            .ok_or_else(|| StoreError::Unreadable("an entry with a fraction".to_owned()))?;
        let by = moment.by.clone();
        let (on, version) = (draft.on, VERSION);
        let entry = Entry { device, seq, on, at, by, kind, version, body, signature: None };
        insert(work, own, &entry, true)?;
        written.push(entry);
    }
    Ok(written)
}

/// Takes in an entry written elsewhere; `false` where it was here already.
///
/// # Errors
/// [`StoreError`] where the store cannot be written.
pub fn receive(work: &Transaction<'_>, entry: &Entry) -> Result<bool, StoreError> {
    let number = work
        .prepare_cached("SELECT number FROM device WHERE id = ?1")?
        .query_row([entry.device.0], |row| row.get::<_, i64>(0))
        .optional()?;
    let number = match number {
        Some(number) => number,
        None => {
            work.prepare_cached("INSERT INTO device (id) VALUES (?1)")?
                .execute([entry.device.0])?;
            work.last_insert_rowid()
        }
    };
    let numbered = work
        .prepare_cached("SELECT 1 FROM entry WHERE device = ?1 AND seq = ?2")?
        .exists(params![number, entry.seq])?;
    insert(work, number, entry, !numbered)
}

/// Inserts an entry unless it is here; `new_number` says that no entry of the
/// device has its number yet.
fn insert(
    work: &Transaction<'_>,
    device: i64,
    entry: &Entry,
    new_number: bool,
) -> Result<bool, StoreError> {
    let day = entry.on.num_days_from_ce();
    let added = work.prepare_cached(include_str!("sql/insert_entry.sql"))?.execute(params![
        device,
        entry.seq,
        day,
        entry.at.0,
        entry.at.1,
        entry.by.as_str(),
        entry.kind,
        entry.version,
        entry.body,
        entry.hash(),
        entry.signature,
    ])?;
    if added == 0 {
        return Ok(false);
    }
    let number = work.last_insert_rowid();
    index(work, number, &entry.touched())?;
    work.prepare_cached(include_str!("sql/tally_device.sql"))?.execute(params![
        device,
        i64::from(new_number),
        entry.seq,
        day,
        entry.at.0,
        entry.at.1
    ])?;
    Ok(true)
}

fn index(work: &Transaction<'_>, number: i64, whom: &Touched) -> Result<(), StoreError> {
    for hose in &whom.hoses {
        work.prepare_cached("INSERT INTO hose_entry (hose, entry) VALUES (?1, ?2)")?
            .execute(params![hose.bits(), number])?;
    }
    for set in &whom.sets {
        work.prepare_cached("INSERT INTO set_entry (regulator_set, entry) VALUES (?1, ?2)")?
            .execute(params![set.as_str(), number])?;
    }
    if whom.fleet {
        work.prepare_cached("INSERT INTO fleet_entry (entry) VALUES (?1)")?.execute([number])?;
    }
    Ok(())
}

fn newest_stamp(connection: &Connection) -> Result<Stamp, StoreError> {
    let newest = tallies(connection)?.into_iter().map(|tally| tally.newest_at).max();
    Ok(newest.unwrap_or_default())
}

/// Every device that wrote here.
///
/// # Errors
/// [`StoreError`] where the store cannot be read.
pub fn tallies(connection: &Connection) -> Result<Vec<DeviceTally>, StoreError> {
    let mut statement = connection.prepare_cached(
        "SELECT id, entries, newest_seq, newest_on, newest_ms, newest_count FROM device",
    )?;
    let rows = statement.query_map([], |row| {
        Ok(DeviceTally {
            id: DeviceId(row.get(0)?),
            entries: row.get(1)?,
            newest_seq: row.get(2)?,
            newest_on: day(row.get(3)?),
            newest_at: Stamp(row.get(4)?, row.get(5)?),
        })
    })?;
    Ok(rows.collect::<Result<_, _>>()?)
}

/// How many entries there are.
///
/// # Errors
/// [`StoreError`] where the store cannot be read.
pub fn count(connection: &Connection) -> Result<u64, StoreError> {
    Ok(connection.query_row("SELECT count(*) FROM entry", [], |row| row.get(0))?)
}

/// The entries about a hose, in the order of the fold.
///
/// # Errors
/// [`StoreError`] where the store cannot be read.
pub fn entries_of_hose(connection: &Connection, hose: Code) -> Result<Vec<Entry>, StoreError> {
    let mut statement = connection.prepare_cached(include_str!("sql/entries_of_hose.sql"))?;
    let rows = statement.query_map([hose.bits()], read)?;
    in_order(rows.collect::<Result<_, _>>()?)
}

/// The entries about a set, in the order of the fold.
///
/// # Errors
/// [`StoreError`] where the store cannot be read.
pub fn entries_of_set(connection: &Connection, set: &Label) -> Result<Vec<Entry>, StoreError> {
    let mut statement = connection.prepare_cached(include_str!("sql/entries_of_set.sql"))?;
    let rows = statement.query_map([set.as_str()], read)?;
    in_order(rows.collect::<Result<_, _>>()?)
}

/// The entries about every hose: limits and recalls, in the order of the fold.
///
/// # Errors
/// [`StoreError`] where the store cannot be read.
pub fn entries_of_fleet(connection: &Connection) -> Result<Vec<Entry>, StoreError> {
    let mut statement = connection.prepare_cached(include_str!("sql/entries_of_fleet.sql"))?;
    let rows = statement.query_map([], read)?;
    in_order(rows.collect::<Result<_, _>>()?)
}

/// Hands every entry, and the hash stored with it, to `take`, in the order in
/// which they came here.
///
/// # Errors
/// [`StoreError`] where the store cannot be read, or whatever `take` says.
pub fn each_entry<E: From<StoreError>>(
    connection: &Connection,
    mut take: impl FnMut(Entry, &[u8]) -> Result<(), E>,
) -> Result<(), E> {
    let sql = include_str!("sql/all_entries.sql");
    let mut statement = connection.prepare(sql).map_err(StoreError::from)?;
    let mut rows = statement.query([]).map_err(StoreError::from)?;
    while let Some(row) = rows.next().map_err(StoreError::from)? {
        let entry = read(row).map_err(StoreError::from)?.map_err(StoreError::Unreadable)?;
        let hash: Vec<u8> = row.get(10).map_err(StoreError::from)?;
        take(entry, &hash)?;
    }
    Ok(())
}

/// Every hose that an entry is about.
///
/// # Errors
/// [`StoreError`] where the store cannot be read.
pub fn known_hoses(connection: &Connection) -> Result<Vec<Code>, StoreError> {
    let mut statement = connection.prepare("SELECT DISTINCT hose FROM hose_entry ORDER BY hose")?;
    let rows = statement.query_map([], |row| Ok(Code::from_bits(row.get(0)?)))?;
    Ok(rows.collect::<Result<Vec<_>, _>>()?.into_iter().flatten().collect())
}

/// Every set that an entry is about.
///
/// # Errors
/// [`StoreError`] where the store cannot be read.
pub fn known_sets(connection: &Connection) -> Result<Vec<Label>, StoreError> {
    let sql = "SELECT DISTINCT regulator_set FROM set_entry ORDER BY regulator_set";
    let mut statement = connection.prepare(sql)?;
    let rows = statement.query_map([], |row| row.get::<_, String>(0))?;
    let names: Vec<String> = rows.collect::<Result<_, _>>()?;
    Ok(names.iter().filter_map(|name| Label::new("a set", name).ok()).collect())
}

fn in_order(entries: Vec<Result<Entry, String>>) -> Result<Vec<Entry>, StoreError> {
    let mut entries: Vec<Entry> =
        entries.into_iter().collect::<Result<_, _>>().map_err(StoreError::Unreadable)?;
    entries.sort_by_cached_key(Entry::order);
    Ok(entries)
}

/// A row of the table of entries; the inner error says what in it is not ours.
fn read(row: &Row<'_>) -> rusqlite::Result<Result<Entry, String>> {
    let by: String = row.get(5)?;
    let by = match Label::new("a name", &by) {
        Ok(by) => by,
        Err(error) => return Ok(Err(error.to_string())),
    };
    Ok(Ok(Entry {
        device: DeviceId(row.get(0)?),
        seq: row.get(1)?,
        on: day(row.get(2)?),
        at: Stamp(row.get(3)?, row.get(4)?),
        by,
        kind: row.get(6)?,
        version: row.get(7)?,
        body: row.get(8)?,
        signature: row.get(9)?,
    }))
}

fn day(number: i32) -> NaiveDate {
    NaiveDate::from_num_days_from_ce_opt(number).unwrap_or_default()
}
