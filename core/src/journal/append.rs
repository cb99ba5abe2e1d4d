//! Writing entries: this store's own.

use chrono::{Days, NaiveDate};
use rusqlite::{OptionalExtension, Transaction, params};

use super::StoreError;
use super::canonical::canonical_json;
use super::clock::{Moment, Stamp};
use super::entry::{ACT, Entry};
use super::insert::{Added, Arrival, device_number, insert};
use super::read::tallies;
use crate::device::{DeviceId, DeviceKey};
use crate::event::{EntryId, Event};

/// How many days another device's clock may be ahead of this one's and still push it.
/// Ours runs after theirs, so that what is written in answer to an entry sorts
/// after it; a clock that is years ahead must not drag all others along.
pub const MOST_AHEAD_DAYS: u64 = 1;

/// One signature covers the entries before it; so many are written with one.
const SIGN_EVERY: usize = 256;

/// Something to be recorded: what happened, and on which day.
#[derive(Debug, Clone, PartialEq)]
pub struct Draft {
    /// The day on which it happened.
    pub on: NaiveDate,
    /// What happened.
    pub event: Event,
}

/// The device that this store writes as; nothing if it has to take an
/// identity first.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn own_device(connection: &rusqlite::Connection) -> Result<Option<DeviceId>, StoreError> {
    let sql = "SELECT d.id FROM store s JOIN device d ON d.number = s.device";
    let id: Option<Vec<u8>> =
        connection.prepare_cached(sql)?.query_row([], |row| row.get(0)).optional()?;
    Ok(id.and_then(|bytes| DeviceId::from_bytes(&bytes)))
}

/// From here on this store writes as a device, or as none until it takes one.
///
/// # Errors
/// [`StoreError`] if the store cannot be written.
pub fn become_device(work: &Transaction<'_>, device: Option<&DeviceId>) -> Result<(), StoreError> {
    let number = device.map(|device| device_number(work, device)).transpose()?;
    work.execute("UPDATE store SET device = ?1", [number])?;
    Ok(())
}

/// From here on this store belongs to a fleet: its owner's key is pinned.
///
/// # Errors
/// [`StoreError`] if the store cannot be written.
pub fn set_owner(work: &Transaction<'_>, owner: &DeviceId) -> Result<(), StoreError> {
    work.execute("UPDATE store SET owner = ?1", [owner.bytes()])?;
    Ok(())
}

/// Appends what happened as entries of this store's device, signs them, and
/// returns them.
///
/// # Errors
/// [`StoreError`] if the store cannot be written.
pub fn append(
    work: &Transaction<'_>,
    drafts: &[Draft],
    key: &DeviceKey,
    moment: &Moment,
) -> Result<Vec<Entry>, StoreError> {
    let device = key.id();
    let number = device_number(work, &device)?;
    let (mut seq, mut previous) = last(work, number)?;
    let withdrawn: Vec<EntryId> = drafts.iter().flat_map(withdrawn).copied().collect();
    let mut at = newest_stamp(work, (&device, number), &withdrawn, moment)?;
    let first = seq + 1;
    let mut written = Vec::with_capacity(drafts.len());
    let mut added = Added::default();
    for (place, draft) in drafts.iter().enumerate() {
        seq += 1;
        at = at.next(moment.time);
        let (kind, version, mut body) = draft.event.to_parts();
        if let (Some(fields), true) = (body.as_object_mut(), drafts.len() > 1) {
            fields.insert(ACT.to_owned(), first.into());
        }
        let body = canonical_json(&body)
            .ok_or_else(|| StoreError::Unreadable("an entry with a fraction".to_owned()))?;
        let (by, on) = (moment.by.clone(), draft.on);
        let mut entry =
            Entry { device, seq, on, at, by, kind, version, body, previous, signature: None };
        if place + 1 == drafts.len() || (place + 1) % SIGN_EVERY == 0 {
            entry.signature = Some(key.sign(entry.canonical().as_bytes()));
        }
        let hash = entry.hash();
        let (whom, new_number) = (entry.touched(), true);
        let arrival = Arrival { entry: &entry, hash, whom: &whom, new_number, aside: None };
        insert(work, number, &arrival, &mut added)?;
        previous = Some(hash);
        written.push(entry);
    }
    added.tally(work, number)?;
    Ok(written)
}

/// A device's greatest number, and the hash of the entry that has it.
fn last(work: &Transaction<'_>, device: i64) -> Result<(u64, Option<[u8; 32]>), StoreError> {
    let sql = "SELECT seq, hash FROM entry WHERE device = ?1 ORDER BY seq DESC, hash LIMIT 1";
    let found = work
        .prepare_cached(sql)?
        .query_row(params![device], |row| Ok((row.get(0)?, row.get(1)?)))
        .optional()?;
    Ok(found.map_or((0, None), |(seq, hash)| (seq, Some(hash))))
}

/// The entries that a draft takes back: they count as never written.
fn withdrawn(draft: &Draft) -> &[EntryId] {
    match &draft.event {
        Event::Withdrawn { answers, .. } => answers,
        _ => &[],
    }
}

/// The newest reading of any clock that ours may follow: our own, and others
/// that are not too far ahead. What is withdrawn is left out, so that a device
/// that was years ahead can write in time again.
fn newest_stamp(
    work: &Transaction<'_>,
    (own, number): (&DeviceId, i64),
    withdrawn: &[EntryId],
    moment: &Moment,
) -> Result<Stamp, StoreError> {
    let most = moment.time.checked_add_days(Days::new(MOST_AHEAD_DAYS)).unwrap_or(moment.time);
    let newest = tallies(work)?.into_iter().filter_map(|tally| {
        let (_, at) = tally.newest?;
        let ours = tally.id == *own && withdrawn.is_empty();
        (ours || tally.id != *own && at.time() <= most).then_some(at)
    });
    let newest = newest.max().unwrap_or_default();
    if withdrawn.is_empty() {
        return Ok(newest);
    }
    Ok(newest.max(newest_but(work, number, withdrawn)?))
}

/// The entries of this store's own device whose clock is in the future,
/// those that are taken back left out.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn written_ahead(
    connection: &rusqlite::Connection,
    moment: &Moment,
) -> Result<Vec<EntryId>, StoreError> {
    let most = moment.time.checked_add_days(Days::new(MOST_AHEAD_DAYS)).unwrap_or(moment.time);
    let number: Option<i64> = connection
        .query_row("SELECT device FROM store", [], |row| row.get(0))
        .optional()?
        .flatten();
    let mut statement = connection.prepare_cached(include_str!("sql/stamps_of_device.sql"))?;
    let mut rows = statement.query([number])?;
    let mut ahead = Vec::new();
    while let Some(row) = rows.next()? {
        if Stamp(row.get(0)?, row.get(1)?).time() <= most {
            break;
        }
        ahead.push(EntryId::new(row.get(2)?));
    }
    Ok(ahead)
}

/// The newest reading of a device's clock, but for what is being withdrawn.
fn newest_but(
    work: &Transaction<'_>,
    device: i64,
    withdrawn: &[EntryId],
) -> Result<Stamp, StoreError> {
    let mut statement = work.prepare_cached(include_str!("sql/stamps_of_device.sql"))?;
    let mut rows = statement.query([device])?;
    while let Some(row) = rows.next()? {
        let hash: [u8; 32] = row.get(2)?;
        if !withdrawn.contains(&EntryId::new(hash)) {
            return Ok(Stamp(row.get(0)?, row.get(1)?));
        }
    }
    Ok(Stamp::default())
}
