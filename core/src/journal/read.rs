//! Reading entries back, in the order of the fold.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use rusqlite::types::Type;
use rusqlite::{Connection, OptionalExtension, Row, Rows, params};

use super::StoreError;
use super::clock::Stamp;
use super::entry::Entry;
use super::members::{Aside, Trust};
use crate::device::{DeviceId, Signature};
use crate::event::{EntryId, SetId};
use crate::hose::{HoseError, Label};
use crate::tag::Code;

/// What is known of one device that wrote here.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct DeviceTally {
    /// The device.
    pub id: DeviceId,
    /// How many of its numbers are here.
    pub entries: u64,
    /// The greatest of its numbers.
    pub newest_seq: u64,
    /// Whether one of its numbers names different entries: it was copied.
    pub forked: bool,
    /// The newest day that it wrote about and the newest reading of its clock,
    /// of what is believed; nothing if nothing is.
    pub newest: Option<(NaiveDate, Stamp)>,
}

impl DeviceTally {
    /// Whether some of its entries are not here.
    #[must_use]
    pub const fn has_gap(&self) -> bool {
        self.entries < self.newest_seq
    }
}

/// An entry and how far it is believed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Believed {
    /// The entry.
    pub entry: Entry,
    /// By what others name it.
    pub id: EntryId,
    /// How far.
    pub trust: Trust,
}

/// Every device that wrote here.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn tallies(connection: &Connection) -> Result<Vec<DeviceTally>, StoreError> {
    let mut statement = connection.prepare_cached(
        "SELECT id, entries, newest_seq, forked, newest_on, newest_ms, newest_count FROM device
         ORDER BY id",
    )?;
    let rows = statement.query_map([], |row| {
        let newest: (i32, Stamp) = (row.get(4)?, Stamp(row.get(5)?, row.get(6)?));
        Ok(DeviceTally {
            id: device(row, 0)?,
            entries: row.get(1)?,
            newest_seq: row.get(2)?,
            forked: row.get(3)?,
            newest: (newest.0 > 0).then(|| (day(newest.0), newest.1)),
        })
    })?;
    Ok(rows.collect::<Result<_, _>>()?)
}

/// The greatest number of a device, 0 if it wrote nothing.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn newest_seq(connection: &Connection, device: &DeviceId) -> Result<u64, StoreError> {
    let sql = "SELECT newest_seq FROM device WHERE id = ?1";
    let found = connection.prepare_cached(sql)?.query_row([device.bytes()], |row| row.get(0));
    Ok(found.optional()?.unwrap_or(0))
}

/// The names under which a device wrote. It goes through what that device wrote.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn names_of_device(
    connection: &Connection,
    device: &DeviceId,
) -> Result<Vec<Label>, StoreError> {
    let sql = "SELECT DISTINCT written_by FROM entry
               WHERE device = (SELECT number FROM device WHERE id = ?1) ORDER BY written_by";
    let mut statement = connection.prepare(sql)?;
    let rows = statement.query_map([device.bytes()], |row| row.get::<_, String>(0))?;
    let names: Vec<String> = rows.collect::<Result<_, _>>()?;
    names.iter().map(|name| Label::new("a name", name).map_err(unreadable)).collect()
}

/// The clock of the first entry after the last gap in a device's numbers that
/// was not declared `lost`; nothing if there is none.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn after_last_gap(
    connection: &Connection,
    device: &DeviceId,
    lost: &[(u64, u64)],
) -> Result<Option<Stamp>, StoreError> {
    let mut statement = connection.prepare_cached(include_str!("sql/gaps_of_device.sql"))?;
    let mut rows = statement.query([device.bytes()])?;
    while let Some(row) = rows.next()? {
        let (first, last): (u64, u64) = (row.get(0)?, row.get(1)?);
        if !is_covered((first, last), lost) {
            return Ok(Some(Stamp(row.get(2)?, row.get(3)?)));
        }
    }
    Ok(None)
}

/// Whether some runs of numbers have every number of another.
fn is_covered((first, last): (u64, u64), runs: &[(u64, u64)]) -> bool {
    let mut next = first;
    while next <= last {
        match runs.iter().find(|(from, to)| (*from..=*to).contains(&next)) {
            Some((_, to)) => next = to.saturating_add(1),
            None => return false,
        }
        if next == u64::MAX {
            return true;
        }
    }
    true
}

/// The numbers of a device that are missing here, as the first and the last of
/// each run.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn missing_numbers(
    connection: &Connection,
    device: &DeviceId,
) -> Result<Vec<(u64, u64)>, StoreError> {
    let mut statement = connection.prepare_cached(include_str!("sql/gaps_of_device.sql"))?;
    let rows = statement.query_map([device.bytes()], |row| Ok((row.get(0)?, row.get(1)?)))?;
    let mut all: Vec<(u64, u64)> = rows.collect::<Result<_, _>>()?;
    all.sort_unstable();
    Ok(all)
}

/// How many entries there are.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn count(connection: &Connection) -> Result<u64, StoreError> {
    Ok(connection.query_row("SELECT count(*) FROM entry", [], |row| row.get(0))?)
}

/// How many entries are kept but not, or not wholly, believed.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn count_set_aside(connection: &Connection) -> Result<u64, StoreError> {
    Ok(connection.query_row("SELECT count(*) FROM set_aside", [], |row| row.get(0))?)
}

/// How many entries of a device are not, or not wholly, believed, by reason.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn set_aside_of(
    connection: &Connection,
    device: &DeviceId,
) -> Result<Vec<(String, u64)>, StoreError> {
    let mut statement = connection.prepare_cached(include_str!("sql/set_aside_of_device.sql"))?;
    let rows = statement.query_map([device.bytes()], |row| Ok((row.get(0)?, row.get(1)?)))?;
    Ok(rows.collect::<Result<_, _>>()?)
}

/// How many of the entries that came in after one are not, or not wholly,
/// believed, by reason.
pub(super) fn set_aside_since(
    connection: &Connection,
    newest: i64,
) -> Result<BTreeMap<&'static str, u64>, StoreError> {
    let sql = "SELECT why, count(*) FROM set_aside WHERE entry > ?1 GROUP BY why";
    let mut statement = connection.prepare_cached(sql)?;
    let mut rows = statement.query([newest])?;
    let mut all = BTreeMap::new();
    while let Some(row) = rows.next()? {
        let why: String = row.get(0)?;
        let why: Aside = why.parse().map_err(unreadable)?;
        all.insert(why.word(), row.get(1)?);
    }
    Ok(all)
}

fn unreadable(error: HoseError) -> StoreError {
    StoreError::Unreadable(error.to_string())
}

/// The entries about a hose, in the order of the fold.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn entries_of_hose(connection: &Connection, hose: Code) -> Result<Vec<Believed>, StoreError> {
    let mut statement = connection.prepare_cached(include_str!("sql/entries_of_hose.sql"))?;
    in_order(statement.query([hose.bits()])?)
}

/// The entries about a set, in the order of the fold.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn entries_of_set(connection: &Connection, set: SetId) -> Result<Vec<Believed>, StoreError> {
    let mut statement = connection.prepare_cached(include_str!("sql/entries_of_set.sql"))?;
    in_order(statement.query([set.code().bits()])?)
}

/// The entries about every hose, limits and recalls, in the order of the fold.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn entries_of_fleet(connection: &Connection) -> Result<Vec<Believed>, StoreError> {
    let mut statement = connection.prepare_cached(include_str!("sql/entries_of_fleet.sql"))?;
    in_order(statement.query([])?)
}

/// An entry as it is in the store.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stored {
    /// The entry.
    pub entry: Entry,
    /// The hash stored with it.
    pub hash: [u8; 32],
    /// Why it is not, or not wholly, believed.
    pub aside: Option<Aside>,
    /// Whether its bytes have that hash.
    pub proven: bool,
}

/// Hands every entry to `take`, in the order in which they came here.
///
/// # Errors
/// [`StoreError`] if the store cannot be read, or whatever `take` says.
pub fn each_entry<E: From<StoreError>>(
    connection: &Connection,
    take: impl FnMut(Stored) -> Result<(), E>,
) -> Result<(), E> {
    let mut statement =
        connection.prepare(include_str!("sql/all_entries.sql")).map_err(StoreError::from)?;
    each(statement.query([]).map_err(StoreError::from)?, take)
}

/// Hands the entries of a device above a number to `take`, by number and hash.
///
/// # Errors
/// [`StoreError`] if the store cannot be read, or whatever `take` says.
pub fn each_entry_of<E: From<StoreError>>(
    connection: &Connection,
    device: &DeviceId,
    above: u64,
    take: impl FnMut(Stored) -> Result<(), E>,
) -> Result<(), E> {
    let mut statement = connection
        .prepare_cached(include_str!("sql/entries_of_device.sql"))
        .map_err(StoreError::from)?;
    each(statement.query(params![device.bytes(), above]).map_err(StoreError::from)?, take)
}

/// The entries of one number of a device: more than one if it was copied.
pub(super) fn entries_of_number(
    connection: &Connection,
    device: i64,
    seq: u64,
) -> Result<Vec<Stored>, StoreError> {
    let mut statement = connection.prepare_cached(include_str!("sql/entries_of_number.sql"))?;
    let mut all = Vec::new();
    each::<StoreError>(statement.query(params![device, seq])?, |stored| {
        all.push(stored);
        Ok(())
    })?;
    Ok(all)
}

fn each<E: From<StoreError>>(
    mut rows: Rows<'_>,
    mut take: impl FnMut(Stored) -> Result<(), E>,
) -> Result<(), E> {
    while let Some(row) = rows.next().map_err(StoreError::from)? {
        take(read(row)?)?;
    }
    Ok(())
}

/// Every hose that an entry is about.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn known_hoses(connection: &Connection) -> Result<Vec<Code>, StoreError> {
    let mut statement = connection.prepare("SELECT DISTINCT hose FROM hose_entry ORDER BY hose")?;
    let rows = statement.query_map([], |row| Ok(Code::from_bits(row.get(0)?)))?;
    Ok(rows.collect::<Result<Vec<_>, _>>()?.into_iter().flatten().collect())
}

/// Every set that an entry is about.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn known_sets(connection: &Connection) -> Result<Vec<SetId>, StoreError> {
    let sql = "SELECT DISTINCT regulator_set FROM set_entry ORDER BY regulator_set";
    let mut statement = connection.prepare(sql)?;
    let rows = statement.query_map([], |row| Ok(Code::from_bits(row.get(0)?)))?;
    let codes: Vec<Option<Code>> = rows.collect::<Result<_, _>>()?;
    Ok(codes.into_iter().flatten().map(SetId::new).collect())
}

/// The entries of some rows, in the order of the fold. Bytes that were changed
/// are never believed, whatever else is known of the entry.
fn in_order(rows: Rows<'_>) -> Result<Vec<Believed>, StoreError> {
    let mut all = Vec::new();
    each::<StoreError>(rows, |Stored { entry, hash, aside, proven }| {
        let trust = aside.map_or(Trust::Full, Aside::trust);
        let trust = if proven { trust } else { Trust::Disbelieved };
        all.push((entry.place(hash), Believed { id: EntryId::new(hash), entry, trust }));
        Ok(())
    })?;
    all.sort_unstable_by(|(a, _), (b, _)| a.cmp(b));
    Ok(all.into_iter().map(|(_, believed)| believed).collect())
}

/// A row of the table of entries, in the columns of the statements beside this.
fn read(row: &Row<'_>) -> Result<Stored, StoreError> {
    let by: String = row.get(5)?;
    let by = Label::new("a name", &by).map_err(unreadable)?;
    let aside: Option<String> = row.get(12)?;
    let aside = aside.map(|word| word.parse::<Aside>());
    let entry = Entry {
        device: device(row, 0)?,
        seq: row.get(1)?,
        on: day(row.get(2)?),
        at: Stamp(row.get(3)?, row.get(4)?),
        by,
        kind: row.get(6)?,
        version: row.get(7)?,
        body: row.get(8)?,
        previous: row.get(9)?,
        signature: row.get::<_, Option<[u8; 64]>>(10)?.map(Signature),
    };
    let aside = aside.transpose().map_err(unreadable)?;
    let hash = row.get(11)?;
    let proven = entry.hash() == hash;
    Ok(Stored { entry, hash, aside, proven })
}

pub(super) fn device(row: &Row<'_>, column: usize) -> rusqlite::Result<DeviceId> {
    let bytes = row.get_ref(column)?.as_blob().map_err(rusqlite::Error::from);
    let wrong = || rusqlite::Error::InvalidColumnType(column, "id".into(), Type::Blob);
    DeviceId::from_bytes(bytes?).ok_or_else(wrong)
}

pub(super) fn day(number: i32) -> NaiveDate {
    NaiveDate::from_num_days_from_ce_opt(number).unwrap_or_default()
}
