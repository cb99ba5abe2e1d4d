//! Whether a store is sound, and folding it anew.

use super::{Logbook, LogbookError};
use crate::journal::{self, StoreError};
use crate::record;
use rusqlite::TransactionBehavior;
use serde::Serialize;

/// What a check of a store found.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct CheckReport {
    /// Entries in the journal.
    pub entries: u64,
    /// Hoses on record.
    pub hoses: usize,
    /// Sets on record.
    pub sets: usize,
    /// Devices that wrote here.
    pub devices: usize,
    /// Entries that this version cannot read; they are kept.
    pub unread: u64,
    /// Devices whose numbering has a gap: some of their entries are not here.
    pub gaps: Vec<String>,
    /// What is wrong; nothing for a sound store.
    pub problems: Vec<String>,
}

impl CheckReport {
    /// Whether nothing is wrong.
    #[must_use]
    pub fn sound(&self) -> bool {
        self.problems.is_empty()
    }
}

impl Logbook {
    /// Checks the file, every entry and every record folded from them;
    /// `progress` is told how many of how many hoses are done.
    ///
    /// # Errors
    /// [`StoreError`] where the store cannot be read at all.
    pub fn check(&self, progress: impl FnMut(usize, usize)) -> Result<CheckReport, StoreError> {
        let mut problems = journal::sound(&self.connection)?;
        let mut unread = 0;
        let mut entries = 0;
        journal::each_entry::<StoreError>(&self.connection, |entry, stored| {
            entries += 1;
            if entry.hash().as_slice() != stored {
                problems.push(format!(
                    "entry {} of device {} was changed after it was written",
                    entry.seq, entry.device
                ));
            }
            unread += u64::from(entry.event().is_none());
            Ok(())
        })?;
        let stale = record::stale(&self.connection, progress)?;
        problems.extend(stale.into_iter().map(|what| {
            format!(
                "the record of {what} is not what the journal says; check --rebuild makes it so"
            )
        }));
        let tallies = journal::tallies(&self.connection)?;
        let wrote: Vec<_> = tallies.iter().filter(|tally| tally.entries > 0).collect();
        let gaps = wrote.iter().filter(|tally| tally.entries != tally.newest_seq);
        Ok(CheckReport {
            entries,
            hoses: record::recorded_hoses(&self.connection)?.len(),
            sets: record::recorded_sets(&self.connection)?.len(),
            devices: wrote.len(),
            unread,
            gaps: gaps.map(|tally| tally.id.to_string()).collect(),
            problems,
        })
    }

    /// Folds every record anew from the journal.
    ///
    /// # Errors
    /// [`LogbookError`] where the store cannot be read or written.
    pub fn rebuild(&mut self, progress: impl FnMut(usize, usize)) -> Result<(), LogbookError> {
        let work = self
            .connection
            .transaction_with_behavior(TransactionBehavior::Immediate)
            .map_err(StoreError::from)?;
        record::rebuild(&work, progress)?;
        work.commit().map_err(StoreError::from)?;
        Ok(())
    }
}
