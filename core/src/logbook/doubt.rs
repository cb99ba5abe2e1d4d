//! Taking back what was written, and judging what is not believed.

use std::collections::BTreeSet;

use rusqlite::{Connection, OptionalExtension};

use super::history::not_withdrawable;
use super::moves::named;
use super::{HistoryLine, Logbook, LogbookError};
use crate::device::DeviceId;
use crate::event::{About, EntryId, Event, SetId};
use crate::hose::Prose;
use crate::journal::{
    self, Believed, Draft, Entry, Moment, StoreError, Trust, each_entry_of, missing_numbers,
};
use crate::record;
use crate::tag::Code;
use crate::words::slips;

impl Logbook {
    /// The entry that is named by the first digits of its hash, 16 at least.
    ///
    /// # Errors
    /// [`LogbookError::NoSuchEntry`] if none is, or several are.
    pub fn find_entry(&self, typed: &str) -> Result<EntryId, LogbookError> {
        let typed = typed.trim().to_lowercase();
        let wrong = || LogbookError::NoSuchEntry(typed.clone());
        if typed.len() < EntryId::FEWEST || !typed.chars().all(|c| c.is_ascii_hexdigit()) {
            return Err(wrong());
        }
        let sql = "SELECT hash FROM entry WHERE hex(hash) LIKE ?1 || '%' LIMIT 2";
        let mut statement = self.connection.prepare_cached(sql).map_err(StoreError::from)?;
        let rows = statement.query_map([&typed], |row| row.get(0)).map_err(StoreError::from)?;
        let found: Vec<[u8; 32]> = rows.collect::<Result<_, _>>().map_err(StoreError::from)?;
        match found.as_slice() {
            [hash] => Ok(EntryId::new(*hash)),
            _ => Err(wrong()),
        }
    }

    /// The entries that were written together with one, itself included: what is
    /// taken back with it, unless someone picks.
    ///
    /// # Errors
    /// [`LogbookError::NoSuchEntry`] if it is not on record.
    pub fn act_of(&self, entry: EntryId) -> Result<Vec<HistoryLine>, LogbookError> {
        let found = entry_of(&self.connection, entry)?;
        let together = taken_with(&self.connection, &found)?;
        let ids: Vec<EntryId> = together.iter().map(Entry::id).collect();
        let mut lines: Vec<HistoryLine> = Vec::new();
        for entry in &together {
            let whom = entry.touched();
            for hose in whom.hoses {
                lines.extend(self.history(hose)?);
            }
            for set in whom.sets {
                lines.extend(self.history_of_set(set)?);
            }
            if whom.fleet {
                lines.extend(self.fleet_history()?);
            }
        }
        let mut seen = BTreeSet::new();
        lines.retain(|line| ids.contains(&line.id) && seen.insert(line.id));
        lines.sort_by_key(|line| line.entry.seq);
        Ok(lines)
    }

    /// Whether an entry, with those written together with it unless it is taken
    /// back alone, can be taken back at all.
    ///
    /// # Errors
    /// [`LogbookError::NotWithdrawable`] if one of them cannot.
    pub fn check_withdrawable(&self, entry: EntryId, alone: bool) -> Result<(), LogbookError> {
        let entry = entry_of(&self.connection, entry)?;
        let together = if alone { vec![entry] } else { taken_with(&self.connection, &entry)? };
        together.iter().try_for_each(check_can_be_withdrawn)
    }

    /// Takes entries back. Nothing is erased: a history shows both. `alone` takes
    /// back the entries that are named and not those written together with them.
    ///
    /// # Errors
    /// [`LogbookError`] if an entry is not on record, cannot be taken back, or
    /// this device may not.
    pub fn withdraw(
        &mut self,
        entries: &[EntryId],
        alone: bool,
        why: &Prose,
        moment: &Moment,
    ) -> Result<Vec<EntryId>, LogbookError> {
        let on = moment.today;
        let mut lines = Vec::new();
        for id in entries {
            self.check_withdrawable(*id, alone)?;
            let of = if alone { Vec::new() } else { self.act_of(*id)? };
            lines.extend(of.iter().map(|line| format!("{}, {}", line.entry.on, line.words)));
        }
        self.ask(vec![slips::withdrawn(&lines)])?;
        let (_, taken) = self.write(moment, |work, _| {
            let mut all: Vec<Entry> = Vec::new();
            for id in entries {
                let entry = entry_of(work, *id)?;
                let together = if alone { vec![entry] } else { taken_with(work, &entry)? };
                for entry in together {
                    if !all.iter().any(|known| known.id() == entry.id()) {
                        all.push(entry);
                    }
                }
            }
            let answers = named(all.iter().map(Entry::id));
            check_clock_is_right(work, &answers, moment)?;
            let (about, why) = (about(&all), why.clone());
            let event = Event::Withdrawn { about, why, answers: answers.clone() };
            Ok((vec![Draft { on, event }], answers))
        })?;
        Ok(taken)
    }

    /// The entries of a device that are not believed, with what they say: they are
    /// to be listed before anybody judges them.
    ///
    /// # Errors
    /// [`StoreError`] if the store cannot be read.
    pub fn disbelieved_entries(&self, device: &DeviceId) -> Result<Vec<Entry>, StoreError> {
        let mut all = Vec::new();
        each_entry_of::<StoreError>(&self.connection, device, 0, |stored| {
            let trust = stored.aside.map_or(Trust::Full, journal::Aside::trust);
            if trust == Trust::Disbelieved {
                all.push(stored.entry);
            }
            Ok(())
        })?;
        Ok(all)
    }

    /// The same, as a history shows them.
    ///
    /// # Errors
    /// [`StoreError`] if the store cannot be read.
    pub fn disbelieved_lines(&self, device: &DeviceId) -> Result<Vec<HistoryLine>, StoreError> {
        let entries = self.disbelieved_entries(device)?.into_iter();
        let believed =
            entries.map(|entry| Believed { id: entry.id(), entry, trust: Trust::Disbelieved });
        self.lines(believed.collect(), None)
    }

    /// Believes the unsigned entries of a device of the time before keys that are
    /// here, each by its hash. In a fleet the owner alone may.
    ///
    /// # Errors
    /// [`LogbookError`] if the device signs, or has no such entries.
    pub fn admit_unsigned(
        &mut self,
        device: &DeviceId,
        moment: &Moment,
    ) -> Result<usize, LogbookError> {
        if device.signs() {
            return Err(LogbookError::Nothing("a device that signs is admitted by its key"));
        }
        let listed = self.disbelieved_entries(device)?;
        self.judge(&listed, moment, |about, answers| Event::Admitted { about, answers })
    }

    /// Says that the entries of a device that are not believed need no more
    /// attention. In a fleet the owner alone may.
    ///
    /// # Errors
    /// [`LogbookError`] if there are none.
    pub fn dismiss_entries(
        &mut self,
        device: &DeviceId,
        why: &Prose,
        moment: &Moment,
    ) -> Result<usize, LogbookError> {
        let listed = self.disbelieved_entries(device)?;
        self.judge(&listed, moment, |about, answers| Event::Dismissed {
            about,
            why: why.clone(),
            answers,
        })
    }

    fn judge(
        &mut self,
        listed: &[Entry],
        moment: &Moment,
        event: impl Fn(About, Vec<EntryId>) -> Event,
    ) -> Result<usize, LogbookError> {
        if listed.is_empty() {
            return Err(LogbookError::Nothing("every entry of that device is believed"));
        }
        let on = moment.today;
        self.write(moment, |_, _| {
            let events = listed.chunks(MOST_NAMED).map(|entries| {
                let ids = entries.iter().map(Entry::id).collect();
                Draft { on, event: event(about(entries), ids) }
            });
            Ok((events.collect(), ()))
        })?;
        Ok(listed.len())
    }

    /// Declares that the entries of a device that are missing here will never
    /// come. In a fleet the owner alone may.
    ///
    /// # Errors
    /// [`LogbookError`] if none is missing.
    pub fn declare_lost(
        &mut self,
        device: &DeviceId,
        why: Prose,
        moment: &Moment,
    ) -> Result<u64, LogbookError> {
        let on = moment.today;
        let (_, count) = self.write(moment, |work, _| {
            let missing = missing_numbers(work, device)?;
            let lost = record::load_fleet(work)?.lost.into_iter();
            let lost = lost.filter(|lost| lost.device == *device);
            let lost: Vec<(u64, u64)> = lost.flat_map(|lost| lost.missing).collect();
            if journal::after_last_gap(work, device, &lost)?.is_none() {
                return Err(LogbookError::Nothing("no entry of that device is missing"));
            }
            let count = missing.iter().map(|(first, last)| last - first + 1).sum();
            let event = Event::GapLost { device: *device, missing, why };
            Ok((vec![Draft { on, event }], count))
        })?;
        Ok(count)
    }
}

/// What is taken back with an entry: all that was written together, but for holds,
/// which are released.
fn taken_with(work: &Connection, entry: &Entry) -> Result<Vec<Entry>, LogbookError> {
    let mut together = act(work, entry)?;
    let is_hold = |other: &Entry| matches!(other.event(), Some(Event::Held(_)));
    together.retain(|other| other.id() == entry.id() || !is_hold(other));
    Ok(together)
}

/// So many entries are judged by one.
const MOST_NAMED: usize = 256;

pub(super) fn entry_of(work: &Connection, id: EntryId) -> Result<Entry, LogbookError> {
    let unknown = || LogbookError::NoSuchEntry(id.to_string());
    let sql = "SELECT d.id, e.seq FROM entry e JOIN device d ON d.number = e.device
               WHERE e.hash = ?1";
    let found: Option<(Vec<u8>, u64)> = work
        .prepare_cached(sql)
        .and_then(|mut s| s.query_row([id.hash()], |row| Ok((row.get(0)?, row.get(1)?))).optional())
        .map_err(StoreError::from)?;
    let (device, seq) = found.ok_or_else(unknown)?;
    let device = DeviceId::from_bytes(&device).ok_or_else(unknown)?;
    let mut entry = None;
    each_entry_of::<StoreError>(work, &device, seq - 1, |stored| {
        if entry.is_none() && stored.hash == *id.hash() {
            entry = Some(stored.entry);
        }
        Ok(())
    })?;
    entry.ok_or_else(unknown)
}

/// The entries that were written together with one.
pub(super) fn act(work: &Connection, entry: &Entry) -> Result<Vec<Entry>, LogbookError> {
    let Some(first) = entry.act() else { return Ok(vec![entry.clone()]) };
    let mut all = Vec::new();
    let mut ended = false;
    each_entry_of::<StoreError>(work, &entry.device, first.saturating_sub(1), |stored| {
        ended |= stored.entry.act() != Some(first);
        if !ended {
            all.push(stored.entry);
        }
        Ok(())
    })?;
    Ok(all)
}

/// A withdrawal that had to follow entries of the future would be one itself, and
/// end nothing: they are taken back together.
fn check_clock_is_right(
    work: &Connection,
    named: &[EntryId],
    moment: &Moment,
) -> Result<(), LogbookError> {
    let mut others = Vec::new();
    for id in journal::written_ahead(work, moment)? {
        let withdrawable = || check_can_be_withdrawn(&entry_of(work, id)?);
        if !named.contains(&id) && withdrawable().is_ok() {
            others.push(id);
        }
    }
    if others.is_empty() { Ok(()) } else { Err(LogbookError::AlsoAhead(others)) }
}

fn check_can_be_withdrawn(entry: &Entry) -> Result<(), LogbookError> {
    match not_withdrawable(entry.event().as_ref()) {
        Some(why) => Err(LogbookError::NotWithdrawable { entry: entry.id(), why }),
        None => Ok(()),
    }
}

/// Whom some entries are about.
fn about(entries: &[Entry]) -> About {
    let touched: Vec<_> = entries.iter().map(Entry::touched).collect();
    let hoses: Vec<Code> = named(touched.iter().flat_map(|whom| whom.hoses.iter().copied()));
    let sets: Vec<SetId> = named(touched.iter().flat_map(|whom| whom.sets.iter().copied()));
    About { hoses, sets, fleet: touched.iter().any(|whom| whom.fleet) }
}
