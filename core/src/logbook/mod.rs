//! The one door to a record: open it, ask it, write in it.

mod answering;
#[cfg(test)]
mod centre;
mod check;
mod chip;
mod describing;
mod devices;
mod error;
mod exchange;
mod fleet;
mod hoses;
mod inspections;
mod owner;
mod places;
mod rentals;
mod replacing;
mod salvage;
mod scanning;
mod sheets;
mod swaps;
mod transfer;

pub use answering::Found;
pub use check::CheckReport;
pub use describing::{FieldChoice, FieldEntry, FieldRefused, FormRefused, HoseForm};
pub use devices::{DeviceView, OwnDevice};
pub use error::LogbookError;
pub use exchange::{ExchangeReport, writer_named};
pub use hoses::Registration;
pub use inspections::ShownPhotograph;
pub use places::PortCount;
pub use rentals::TakenBack;
pub use salvage::SalvageReport;
pub use sheets::{SheetReport, Taken};
pub use swaps::SwapView;
pub use transfer::ImportReport;

use std::path::{Path, PathBuf};

use chrono::NaiveDate;
use rand_core::Rng;
use rusqlite::{Connection, Transaction, TransactionBehavior};

use crate::device::{DeviceId, DeviceKey, Keyring};
use crate::journal::{self, Draft, Entry, Members, Moment, StoreError};
use crate::record::{self, HoseRecord};
use crate::tag::Code;

/// A record in one file, and everything that can be asked of it or done to it.
///
/// Every change goes through one function: begin, check, write the entries and
/// what follows from them, commit. A refused command changes nothing.
pub struct Logbook {
    connection: Connection,
    path: PathBuf,
    random: Box<dyn Rng + Send>,
    keys: Box<dyn Keyring + Send>,
    /// The key of this record's device, once it was needed.
    key: Option<DeviceKey>,
}

impl Logbook {
    /// Opens the record at `path`, and begins one where there is none.
    /// `random` gives the bits of new codes and keys; `keys` keeps the device's
    /// key, apart from the record.
    ///
    /// # Errors
    /// [`StoreError`] where the file is not a store, damaged, too new,
    /// read-only or in use.
    pub fn open(
        path: &Path,
        random: Box<dyn Rng + Send>,
        keys: Box<dyn Keyring + Send>,
    ) -> Result<Self, StoreError> {
        let connection = journal::open(path)?;
        Ok(Self { connection, path: path.to_owned(), random, keys, key: None })
    }

    /// The file it is in.
    #[must_use]
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Plans in the state that the plan will meet, writes, and commits.
    fn write<T>(
        &mut self,
        moment: &Moment,
        plan: impl FnOnce(&Transaction<'_>, &mut dyn Rng) -> Result<(Vec<Draft>, T), LogbookError>,
    ) -> Result<(Vec<Entry>, T), LogbookError> {
        self.take_identity()?;
        let work = begin(&mut self.connection)?;
        let Some(key) = &self.key else { return Err(StoreError::Locked.into()) };
        if journal::own_device(&work)? != Some(key.id()) {
            // Another program took an identity for this store just now.
            return Err(StoreError::Locked.into());
        }
        let (drafts, result) = plan(&work, &mut *self.random)?;
        check_allowed(&work, &key.id(), &drafts)?;
        let entries = journal::append(&work, &drafts, key, moment)?;
        record::project(&work, &entries)?;
        work.commit().map_err(StoreError::from)?;
        Ok((entries, result))
    }

    /// Makes sure that this store has an identity and its key: a new one for a
    /// store that has none, or was copied from where the key is.
    fn take_identity(&mut self) -> Result<DeviceId, StoreError> {
        loop {
            let own = journal::own_device(&self.connection)?;
            if self.key.as_ref().map(DeviceKey::id) != own || own.is_none() {
                let kept = own.map(|own| self.keys.find(&own)).transpose()?.flatten();
                self.key = kept.map_or_else(|| self.new_identity(own), |key| Ok(Some(key)))?;
            }
            if let Some(key) = &self.key {
                return Ok(key.id());
            }
        }
    }

    /// Nothing where another program gave this store an identity just now.
    fn new_identity(&mut self, before: Option<DeviceId>) -> Result<Option<DeviceKey>, StoreError> {
        let key = DeviceKey::draw(&mut *self.random);
        self.keys.keep(&key)?;
        let work = begin(&mut self.connection)?;
        if journal::own_device(&work)? != before {
            return Ok(None);
        }
        journal::become_device(&work, Some(&key.id()))?;
        work.commit()?;
        Ok(Some(key))
    }

    /// Writes one thing that happened to a hose, if `check` finds it possible.
    fn write_of_hose(
        &mut self,
        hose: Code,
        on: Option<NaiveDate>,
        moment: &Moment,
        event: impl FnOnce(&HoseRecord, &Connection) -> Result<crate::event::Event, LogbookError>,
    ) -> Result<Code, LogbookError> {
        let on = on.unwrap_or(moment.today);
        let (_, tag) = self.write(moment, |work, _| {
            let record = answering::record_of(work, hose)?;
            check_day(&record, on, moment)?;
            let event = event(&record, work)?;
            Ok((vec![Draft { on, event }], record.tag()))
        })?;
        Ok(tag)
    }
}

/// A transaction that writes: it waits its turn before it reads.
fn begin(connection: &mut Connection) -> Result<Transaction<'_>, StoreError> {
    Ok(connection.transaction_with_behavior(TransactionBehavior::Immediate)?)
}

/// In a fleet with an owner a device writes what its role lets it write.
fn check_allowed(
    work: &Connection,
    device: &DeviceId,
    drafts: &[Draft],
) -> Result<(), LogbookError> {
    let members = Members::load(work)?;
    if members.owner.is_none() {
        return Ok(());
    }
    let seq = journal::newest_seq(work, device)? + 1;
    for draft in drafts {
        let (kind, _) = draft.event.to_parts();
        if let Some(why) = members.forbids(device, seq, &kind) {
            return Err(LogbookError::NotAllowed { device: *device, why });
        }
    }
    Ok(())
}

fn check_not_ahead(on: NaiveDate, moment: &Moment) -> Result<(), LogbookError> {
    if on > moment.today {
        return Err(LogbookError::FutureDay { on, today: moment.today });
    }
    Ok(())
}

/// Nothing happens to a hose in the future, or before it was made.
fn check_day(record: &HoseRecord, on: NaiveDate, moment: &Moment) -> Result<(), LogbookError> {
    check_not_ahead(on, moment)?;
    match record.origin.born() {
        Some(born) if on < born.earliest() => {
            Err(LogbookError::BeforeMade { on, born: born.to_string() })
        }
        _ => Ok(()),
    }
}

#[cfg(test)]
mod tests;
