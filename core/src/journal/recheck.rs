//! Judging entries again: after a word of the owner, and where an arrival puts
//! others in another light.

use std::collections::BTreeSet;

use rusqlite::{OptionalExtension, Transaction, params};

use super::StoreError;
use super::clock::Stamp;
use super::entry::Entry;
use super::insert::{device_number, set_aside};
use super::members::{Around, Aside, Members};
use super::reach::Reach;
use super::read::{Stored, each_entry_of, entries_of_number};
use super::withdrawal::{is_admitted, is_withdrawn, settle};
use crate::device::DeviceId;
use crate::event::{EntryId, Event};

/// Judges every entry of a device again, and counts what is believed of it.
pub(super) fn device(
    work: &Transaction<'_>,
    members: &Members,
    id: &DeviceId,
    reach: &mut Reach,
) -> Result<(), StoreError> {
    let number = device_number(work, id)?;
    each_entry_of::<StoreError>(work, id, 0, |stored| {
        again(work, members, number, &stored, reach)?;
        Ok(())
    })?;
    count_believed(work, number)
}

/// Judges the entries of one number of a device again; tells whether one of them is
/// taken back.
fn number(
    work: &Transaction<'_>,
    members: &Members,
    (device, seq): (i64, u64),
    reach: &mut Reach,
) -> Result<bool, StoreError> {
    let mut taken_back = false;
    for stored in entries_of_number(work, device, seq)? {
        again(work, members, device, &stored, reach)?;
        if is_withdrawn(work, &stored.hash)? {
            taken_back = true;
        }
    }
    Ok(taken_back)
}

/// The same, and of those that follow them.
pub(super) fn number_and_followers(
    work: &Transaction<'_>,
    members: &Members,
    place: (i64, u64),
    reach: &mut Reach,
) -> Result<(), StoreError> {
    number(work, members, place, reach)?;
    followers(work, members, place, reach)
}

/// Judges every entry again, as if it had just come in. `altered` are those that
/// their devices are not proven to have written.
///
/// # Errors
/// [`StoreError`] if the store cannot be read or written.
pub fn everything(
    work: &Transaction<'_>,
    altered: &BTreeSet<EntryId>,
) -> Result<Reach, StoreError> {
    super::withdrawal::index_anew(work)?;
    let members = Members::load(work)?;
    let mut reach = Reach::default();
    // What is admitted or withdrawn depends on who is believed.
    loop {
        let mut changed = false;
        for tally in super::read::tallies(work)? {
            let number = device_number(work, &tally.id)?;
            each_entry_of::<StoreError>(work, &tally.id, 0, |mut stored| {
                stored.proven &= !altered.contains(&EntryId::new(stored.hash));
                if again(work, &members, number, &stored, &mut reach)? {
                    changed = true;
                }
                Ok(())
            })?;
        }
        if settle(work)?.is_empty() && !changed {
            break;
        }
    }
    for tally in super::read::tallies(work)? {
        count_believed(work, device_number(work, &tally.id)?)?;
    }
    Ok(reach)
}

/// The same where another key is the owner's now: what was found not to be as its device wrote
/// it stays so.
///
/// # Errors
/// [`StoreError`] if the store cannot be read or written.
pub(super) fn as_proven_before(work: &Transaction<'_>) -> Result<Reach, StoreError> {
    let mut altered = BTreeSet::new();
    for tally in super::read::tallies(work)? {
        each_entry_of::<StoreError>(work, &tally.id, 0, |stored| {
            if stored.aside == Some(Aside::Altered) {
                altered.insert(EntryId::new(stored.hash));
            }
            Ok(())
        })?;
    }
    everything(work, &altered)
}

/// Judges again what some new entries of this store's own put in another light:
/// withdrawals and admissions do.
///
/// # Errors
/// [`StoreError`] if the store cannot be read or written.
pub fn after(work: &Transaction<'_>, entries: &[Entry]) -> Result<Reach, StoreError> {
    let has = |kind| entries.iter().any(|entry: &Entry| entry.kind == kind);
    let mut reach = if has("withdrawn") { withdrawals(work)? } else { Reach::default() };
    if has("admitted") {
        unsigned(work, &Members::load(work)?, &mut reach)?;
    }
    Ok(reach)
}

/// Judges again what withdrawals put in another light.
pub(super) fn withdrawals(work: &Transaction<'_>) -> Result<Reach, StoreError> {
    let members = Members::load(work)?;
    let mut reach = Reach::default();
    loop {
        let changed = settle(work)?;
        if changed.is_empty() {
            return Ok(reach);
        }
        for id in changed {
            let place: Option<(i64, u64)> = work
                .prepare_cached(include_str!("sql/place_of_withdrawn.sql"))?
                .query_row([id.hash()], |row| Ok((row.get(0)?, row.get(1)?)))
                .optional()?;
            if let Some((device, seq)) = place {
                followers(work, &members, (device, seq), &mut reach)?;
                count_believed(work, device)?;
            }
        }
    }
}

/// Judges again what follows an entry: the next one, and those after it for as
/// long as what lies between is taken back.
fn followers(
    work: &Transaction<'_>,
    members: &Members,
    (device, mut seq): (i64, u64),
    reach: &mut Reach,
) -> Result<(), StoreError> {
    loop {
        seq += 1;
        if !number(work, members, (device, seq), reach)? {
            return Ok(());
        }
    }
}

/// Judges every unsigned entry again: some may have been admitted. Then what they
/// withdraw counts.
pub(super) fn unsigned(
    work: &Transaction<'_>,
    members: &Members,
    reach: &mut Reach,
) -> Result<(), StoreError> {
    for tally in super::read::tallies(work)?.iter().filter(|tally| !tally.id.signs()) {
        device(work, members, &tally.id, reach)?;
    }
    reach.join(withdrawals(work)?);
    Ok(())
}

fn again(
    work: &Transaction<'_>,
    members: &Members,
    device: i64,
    stored: &Stored,
    reach: &mut Reach,
) -> Result<bool, StoreError> {
    let Stored { entry, hash, aside, .. } = stored;
    let now = members.judge(entry, around(work, device, stored)?);
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

fn around(work: &Transaction<'_>, device: i64, stored: &Stored) -> Result<Around, StoreError> {
    let Stored { entry, hash, proven, .. } = stored;
    let sql = "SELECT count(*) > 1 FROM entry WHERE device = ?1 AND seq = ?2";
    let doubled =
        work.prepare_cached(sql)?.query_row(params![device, entry.seq], |row| row.get(0))?;
    let before = clock_before(work, device, entry)?;
    let back_dated = before.is_some_and(|at| at >= entry.at);
    let admitted = !entry.device.signs() && is_admitted(work, hash)?;
    Ok(Around { doubled, back_dated, admitted, altered: !proven })
}

/// The clock of the entry that one follows, if it is here. What is taken back
/// counts as never written, so the one before it is asked; a withdrawal follows
/// what comes before all that it takes back itself, and nothing else is left out
/// for it: two of them cannot vouch for one another.
pub(super) fn clock_before(
    work: &Transaction<'_>,
    device: i64,
    entry: &Entry,
) -> Result<Option<Stamp>, StoreError> {
    let event = (entry.kind == "withdrawn").then(|| entry.event()).flatten();
    let own: Option<&[EntryId]> = event.as_ref().and_then(Event::answers);
    let sql = "SELECT at_ms, at_count, previous FROM entry
               WHERE device = ?1 AND seq = ?2 AND hash = ?3";
    let (mut seq, mut previous) = (entry.seq, entry.previous);
    while let Some(hash) = previous {
        seq = seq.saturating_sub(1);
        let found: Option<(Stamp, Option<[u8; 32]>)> = work
            .prepare_cached(sql)?
            .query_row(params![device, seq, hash], |row| {
                Ok((Stamp(row.get(0)?, row.get(1)?), row.get(2)?))
            })
            .optional()?;
        let Some((at, before)) = found else { return Ok(None) };
        let left_out = match own {
            Some(own) => own.contains(&EntryId::new(hash)),
            None => is_withdrawn(work, &hash)?,
        };
        if !left_out {
            return Ok(Some(at));
        }
        previous = before;
    }
    Ok(None)
}

/// The newest day and clock of a device, of what is believed.
pub(super) fn count_believed(work: &Transaction<'_>, device: i64) -> Result<(), StoreError> {
    work.prepare_cached(include_str!("sql/tally_anew.sql"))?.execute([device])?;
    Ok(())
}
