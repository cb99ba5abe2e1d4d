//! Judging entries anew: after a word of the owner, and where an arrival puts
//! others in another light.

use rusqlite::{Transaction, params};

use super::StoreError;
use super::entry::Entry;
use super::insert::{device_number, set_aside};
use super::members::{Around, Members};
use super::merge::{Reach, clock_of};
use super::read::{Stored, each_entry_of, entries_of_number};
use crate::device::DeviceId;

/// Judges every entry of a device anew; tells whether any is judged otherwise.
pub(super) fn device(
    work: &Transaction<'_>,
    members: &Members,
    id: &DeviceId,
    reach: &mut Reach,
) -> Result<bool, StoreError> {
    let number = device_number(work, id)?;
    let mut changed = false;
    each_entry_of::<StoreError>(work, id, 0, |stored| {
        changed |= again(work, members, number, &stored, reach)?;
        Ok(())
    })?;
    Ok(changed)
}

/// Judges the entries of one number of a device anew; tells whether any is
/// judged otherwise.
pub(super) fn number(
    work: &Transaction<'_>,
    members: &Members,
    (device, seq): (i64, u64),
    reach: &mut Reach,
) -> Result<bool, StoreError> {
    let mut changed = false;
    for stored in entries_of_number(work, device, seq)? {
        changed |= again(work, members, device, &stored, reach)?;
    }
    Ok(changed)
}

/// Judges every entry anew, as if it had just come in.
///
/// # Errors
/// [`StoreError`] where the store cannot be read or written.
pub fn everything(work: &Transaction<'_>) -> Result<Reach, StoreError> {
    let members = Members::load(work)?;
    let mut reach = Reach::default();
    for tally in super::read::tallies(work)? {
        if device(work, &members, &tally.id, &mut reach)? {
            count_believed(work, device_number(work, &tally.id)?)?;
        }
    }
    Ok(reach)
}

fn again(
    work: &Transaction<'_>,
    members: &Members,
    device: i64,
    stored: &Stored,
    reach: &mut Reach,
) -> Result<bool, StoreError> {
    let Stored { entry, hash, aside } = stored;
    let now = members.judge(entry, around(work, device, entry)?);
    if now == *aside {
        return Ok(false);
    }
    let sql = "SELECT number FROM entry WHERE device = ?1 AND seq = ?2 AND hash = ?3";
    let number =
        work.prepare_cached(sql)?.query_row(params![device, entry.seq, hash], |row| row.get(0))?;
    set_aside(work, number, now)?;
    reach.add(entry.touched());
    Ok(true)
}

fn around(work: &Transaction<'_>, device: i64, entry: &Entry) -> Result<Around, StoreError> {
    let sql = "SELECT count(*) > 1 FROM entry WHERE device = ?1 AND seq = ?2";
    let doubled =
        work.prepare_cached(sql)?.query_row(params![device, entry.seq], |row| row.get(0))?;
    let before = entry.previous.map(|hash| clock_of(work, device, entry.seq - 1, &hash));
    let before = before.transpose()?.flatten();
    Ok(Around { doubled, back_dated: before.is_some_and(|at| at >= entry.at) })
}

/// The newest day and clock of a device, of what is believed.
pub(super) fn count_believed(work: &Transaction<'_>, device: i64) -> Result<(), StoreError> {
    work.prepare_cached(include_str!("sql/tally_anew.sql"))?.execute([device])?;
    Ok(())
}
