//! What is on record as it is to be believed today: hoses, sets, limits, and all
//! that an answer depends on.

use chrono::{DateTime, Days, NaiveDate, Utc};
use rusqlite::Connection;

use super::{LogbookError, NamingError};
use crate::answer::Heard;
use crate::event::{Seat, SetId, Slot};
use crate::hose::Label;
use crate::journal::{self, Believed, StoreError, Trust, entries_of_fleet, tallies};
use crate::record::{
    self, FleetRecord, HoseRecord, SetRecord, entries_about, find_tag, fold_hose, fold_set,
    gathered,
};
use crate::tag::Code;

/// The hose that carries or carried a tag, or of which anything at all is known
/// under that code.
pub(super) fn known(store: &Connection, tag: Code) -> Result<Option<Code>, StoreError> {
    match find_tag(store, tag)? {
        Some(hose) => Ok(Some(hose)),
        None => Ok(record::load_hose(store, tag)?.map(|record| record.hose)),
    }
}

/// The sets that a hose is claimed for, or ever was in.
pub(super) fn sets_of(record: &HoseRecord) -> impl Iterator<Item = SetId> {
    let claimed = record.slots().map(|slot| slot.set);
    claimed.chain(record.stays.iter().map(|stay| stay.set))
}

/// The sets that a hose may be in, as they are to be believed today.
pub(super) fn sets_in(
    store: &Connection,
    record: &HoseRecord,
    today: NaiveDate,
) -> Result<Vec<SetRecord>, StoreError> {
    let mut sets: Vec<SetRecord> = Vec::new();
    for slot in record.slots() {
        if !sets.iter().any(|set| set.id == slot.set || set.joined.contains(&slot.set)) {
            sets.extend(set_on(store, slot.set, today)?);
        }
    }
    Ok(sets)
}

/// Whether the tag of a hose names another hose too.
pub(super) fn is_shared(store: &Connection, record: &HoseRecord) -> Result<bool, StoreError> {
    let sql = "SELECT count(*) > 1 FROM tag WHERE tag = ?1";
    let tag = record.tag().bits();
    Ok(store.prepare_cached(sql)?.query_row([tag], |row| row.get(0))?)
}

/// The record as it is to be believed today. If an entry lies in the future
/// it is folded again, and that entry clears nothing; where it has entries that
/// were unread it is folded again too, since this program may be a later one
/// than the one that could not read them.
pub(super) fn record_on(
    store: &Connection,
    hose: Code,
    today: NaiveDate,
) -> Result<HoseRecord, LogbookError> {
    let record = record::load_hose(store, hose)?
        .ok_or(LogbookError::Naming(NamingError::UnknownTag(hose)))?;
    believed(store, record, today)
}

/// See [`record_on`], for a record that is loaded already.
pub(super) fn believed(
    store: &Connection,
    record: HoseRecord,
    today: NaiveDate,
) -> Result<HoseRecord, LogbookError> {
    if record.unread == 0 && !is_future(record.newest_on, record.newest_at.time(), today) {
        return Ok(record);
    }
    let hose = record.hose;
    let entries = as_of(entries_about(store, hose)?, today);
    fold_hose(hose, &entries).ok_or(LogbookError::Naming(NamingError::UnknownTag(hose)))
}

/// A set as it is to be believed today; see [`record_on`].
pub(super) fn set_on(
    store: &Connection,
    set: SetId,
    today: NaiveDate,
) -> Result<Option<SetRecord>, StoreError> {
    let Some(record) = record::load_set(store, set)? else { return Ok(None) };
    set_as_of(store, record, today).map(Some)
}

/// See [`set_on`], for a record that is loaded already.
pub(super) fn set_as_of(
    store: &Connection,
    record: SetRecord,
    today: NaiveDate,
) -> Result<SetRecord, StoreError> {
    if record.unread == 0 && !is_future(record.newest_on, record.newest_at.time(), today) {
        return Ok(record);
    }
    let entries = as_of(gathered(store, record.id)?, today);
    Ok(fold_set(record.id, &entries).unwrap_or(record))
}

/// Limits and recalls as they are to be believed today; see [`record_on`].
pub(super) fn fleet_on(store: &Connection, today: NaiveDate) -> Result<FleetRecord, StoreError> {
    let record = record::load_fleet(store)?;
    if record.unread == 0 && !is_future(record.newest_on, record.newest_at.time(), today) {
        return Ok(record);
    }
    Ok(FleetRecord::fold(&as_of(entries_of_fleet(store)?, today)))
}

/// Entries as they count on a day: those of the future add, and end nothing.
fn as_of(mut entries: Vec<Believed>, today: NaiveDate) -> Vec<Believed> {
    for believed in &mut entries {
        if is_future(believed.entry.on, believed.entry.at.time(), today) {
            believed.trust = believed.trust.min(Trust::AddsOnly);
        }
    }
    entries
}

/// A clock a day ahead may only be east of here.
fn is_future(on: NaiveDate, written: DateTime<Utc>, today: NaiveDate) -> bool {
    on > today || written.date_naive() > today.checked_add_days(Days::new(1)).unwrap_or(today)
}

pub(super) fn heard(store: &Connection) -> Result<Heard, StoreError> {
    let tallies = tallies(store)?;
    // What nobody believes must not show in an answer.
    let heard = tallies.iter().filter_map(|tally| Some((tally, tally.newest?)));
    let mut gap = None;
    if heard.clone().any(|(tally, _)| tally.has_gap()) {
        let lost = record::load_fleet(store)?.lost;
        for (tally, _) in heard.clone().filter(|(tally, _)| tally.has_gap()) {
            let lost = lost.iter().filter(|lost| lost.device == tally.id);
            let lost: Vec<(u64, u64)> = lost.flat_map(|lost| lost.missing.clone()).collect();
            gap = gap.max(journal::after_last_gap(store, &tally.id, &lost)?);
        }
    }
    Ok(Heard {
        newest_on: heard.clone().map(|(_, (on, _))| on).max().unwrap_or(NaiveDate::MIN),
        devices: heard.clone().count(),
        complete: !heard.clone().any(|(tally, _)| tally.has_gap()),
        forked: heard.clone().any(|(tally, _)| tally.forked),
        gap,
        met_on: journal::met_on(store)?,
    })
}

/// The record of a hose, by any of its tags, as it is to be believed today.
pub(super) fn record_of(
    work: &Connection,
    hose: Code,
    today: NaiveDate,
) -> Result<HoseRecord, LogbookError> {
    let own = find_tag(work, hose)?.unwrap_or(hose);
    record_on(work, own, today).map_err(|error| match error {
        LogbookError::Naming(NamingError::UnknownTag(_)) => {
            LogbookError::Naming(NamingError::UnknownTag(hose))
        }
        other => other,
    })
}

/// A port for people: with the name of its set.
pub(super) fn seat_of(work: &Connection, slot: Slot) -> Result<Seat, StoreError> {
    let set = record::load_set(work, slot.set)?;
    let name = set.map_or_else(|| slot.set.into(), |set| set.name);
    Ok(Seat { set: name, port: slot.port })
}

/// The set that someone names, as it is to be believed today.
pub(super) fn set_of(
    work: &Connection,
    name: &Label,
    today: NaiveDate,
) -> Result<SetRecord, LogbookError> {
    let set = set_called(work, name)?;
    Ok(set_as_of(work, set, today)?)
}

/// The set that someone names: by its name, whether in capitals or not, or by
/// its code or a tag of its own, which tells apart two of one name.
pub(super) fn set_called(work: &Connection, name: &Label) -> Result<SetRecord, LogbookError> {
    let mut found = record::find_sets(work, name.as_str())?;
    if found.is_empty()
        && let Ok(code) = Code::parse(name.as_str())
    {
        found.extend(record::find_set_tag(work, code)?);
    }
    match found.as_slice() {
        [set] => Ok(set.clone()),
        [] => {
            let known = record::recorded_sets(work)?;
            let known: Vec<String> =
                known.iter().map(|set| set.name.to_string()).take(20).collect();
            Err(LogbookError::NoSuchSet { name: name.clone(), known })
        }
        _ => Err(LogbookError::SeveralSets { name: name.clone(), sets: made(&found) }),
    }
}

/// Sets with their codes and who put them on record.
fn made(sets: &[SetRecord]) -> Vec<String> {
    let by = |set: &SetRecord| match &set.made {
        Some(made) => format!("{}, put on record on {} by {}", set.id, made.on, made.by),
        None => format!("{}, whose making has not reached this device", set.id),
    };
    sets.iter().map(by).collect()
}
