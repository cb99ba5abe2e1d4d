//! The one door to a record: open it, ask it, write in it.

mod answering;
mod check;
mod chip;
mod error;
mod fleet;
mod hoses;
mod owner;
mod places;
mod rentals;
mod scanning;
mod sheets;
mod swaps;
mod transfer;

pub use answering::Found;
pub use check::CheckReport;
pub use error::LogbookError;
pub use hoses::Registration;
pub use places::PortCount;
pub use rentals::TakenBack;
pub use sheets::{SheetReport, Taken};
pub use swaps::SwapView;
pub use transfer::ImportReport;

use std::path::{Path, PathBuf};

use chrono::NaiveDate;
use rand_core::Rng;
use rusqlite::{Connection, Transaction, TransactionBehavior};

use crate::journal::{self, DeviceId, Draft, Entry, Moment, StoreError};
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
}

impl Logbook {
    /// Opens the record at `path`, and begins one where there is none.
    /// `random` gives the bits of new codes and of a new store's identity.
    ///
    /// # Errors
    /// [`StoreError`] where the file is not a store, damaged, too new,
    /// read-only or in use.
    pub fn open(path: &Path, mut random: Box<dyn Rng + Send>) -> Result<Self, StoreError> {
        let mut device = [0; 16];
        random.fill_bytes(&mut device);
        let connection = journal::open(path, DeviceId(device))?;
        Ok(Self { connection, path: path.to_owned(), random })
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
        let work = self
            .connection
            .transaction_with_behavior(TransactionBehavior::Immediate)
            .map_err(StoreError::from)?;
        let (drafts, result) = plan(&work, &mut *self.random)?;
        let entries = journal::append(&work, &drafts, moment)?;
        record::project(&work, &entries)?;
        work.commit().map_err(StoreError::from)?;
        Ok((entries, result))
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
