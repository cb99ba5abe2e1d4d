//! What was written about a hose, a set or the fleet, all of it: also what is
//! not believed, and what was taken back.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use super::{Logbook, LogbookError};
use crate::event::{EntryId, Event, SetId};
use crate::hose::{Label, Prose, Specification};
use crate::journal::{Believed, Entry, StoreError, Trust, entries_of_fleet};
use crate::record::{self, entries_about, gathered, taken_back};
use crate::tag::Code;
use crate::words;

/// Who took an entry back, and why.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TakenBackBy {
    /// When.
    pub on: NaiveDate,
    /// By whom.
    pub by: Label,
    /// Why.
    pub why: Prose,
}

/// A line of a history.
#[derive(Debug, Clone, PartialEq)]
pub struct HistoryLine {
    /// By what it is named.
    pub id: EntryId,
    /// The entry.
    pub entry: Entry,
    /// What happened; nothing for what this program cannot read.
    pub event: Option<Event>,
    /// How far it is believed.
    pub trust: Trust,
    /// Who took it back.
    pub withdrawn: Option<TakenBackBy>,
    /// What happened, in words, and how it counts if that is not wholly.
    pub words: String,
}

impl HistoryLine {
    /// Whether it counts as written.
    #[must_use]
    pub const fn counts(&self) -> bool {
        self.withdrawn.is_none() && !matches!(self.trust, Trust::Disbelieved)
    }

    /// Whether it can be taken back. What is not believed is dismissed instead.
    #[must_use]
    pub const fn can_be_taken_back(&self) -> bool {
        self.counts() && not_withdrawable(self.event.as_ref()).is_none()
    }
}

impl Logbook {
    /// Everything that was written about a hose, in the order in which it
    /// happened.
    ///
    /// # Errors
    /// [`StoreError`] if the store cannot be read.
    pub fn history(&self, hose: Code) -> Result<Vec<HistoryLine>, StoreError> {
        let hose = record::find_tag(&self.connection, hose)?.unwrap_or(hose);
        let of = record::load_hose(&self.connection, hose)?.and_then(|r| r.specification);
        self.lines(entries_about(&self.connection, hose)?, of.as_ref())
    }

    /// Everything that was written about a set, of one name or code.
    ///
    /// # Errors
    /// [`LogbookError`] if there is no such set.
    pub fn set_history(&self, set: &Label) -> Result<Vec<HistoryLine>, LogbookError> {
        let set = super::believed::set_called(&self.connection, set)?;
        Ok(self.history_of_set(set.id)?)
    }

    pub(super) fn history_of_set(&self, set: SetId) -> Result<Vec<HistoryLine>, StoreError> {
        self.lines(gathered(&self.connection, set)?, None)
    }

    /// Everything that was written about limits, recalls and devices.
    ///
    /// # Errors
    /// [`StoreError`] if the store cannot be read.
    pub fn fleet_history(&self) -> Result<Vec<HistoryLine>, StoreError> {
        self.lines(entries_of_fleet(&self.connection)?, None)
    }

    pub(super) fn lines(
        &self,
        entries: Vec<Believed>,
        of: Option<&Specification>,
    ) -> Result<Vec<HistoryLine>, StoreError> {
        let back = taken_back(&entries);
        let mut names: BTreeMap<SetId, Label> = BTreeMap::new();
        for believed in &entries {
            for set in believed.entry.touched().sets {
                if let Some(record) = record::load_set(&self.connection, set)? {
                    names.insert(set, record.name);
                }
            }
        }
        let name = |set: SetId| names.get(&set).cloned().unwrap_or_else(|| set.into());
        let line = |Believed { entry, id, trust }| {
            let event = entry.event();
            let withdrawn = back.get(&id).map(|withdrawal| TakenBackBy {
                on: withdrawal.on,
                by: withdrawal.by.clone(),
                why: withdrawal.why.clone(),
            });
            let said = event.as_ref().map_or_else(
                || words::UNREAD_ENTRY.to_owned(),
                |event| words::event(event, of, &name),
            );
            let words =
                words::counted_so(&said, trust, withdrawn.as_ref().map(|w| (w.on, &w.by, &w.why)));
            HistoryLine { id, entry, event, trust, withdrawn, words }
        };
        Ok(entries.into_iter().map(line).collect())
    }
}

/// Why what happened cannot be taken back, if it can't.
pub(super) const fn not_withdrawable(event: Option<&Event>) -> Option<&'static str> {
    match event {
        Some(Event::Held(_)) => Some("a hold is released, not withdrawn"),
        Some(Event::Enrolled { .. }) => {
            Some("a device's permission is replaced by a new one, not withdrawn")
        }
        Some(Event::Succeeded { .. }) => {
            Some("an owner's key that was replaced does not come back")
        }
        Some(Event::Admitted { .. }) => {
            Some("an admission cannot be withdrawn; dismiss the entries")
        }
        _ => None,
    }
}
