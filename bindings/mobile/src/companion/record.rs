//! The record of a phone, opened with the first question and again where that fails;
//! and the name of who writes in it.

use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, PoisonError};

use super::meetings::Meetings;
use crate::drafts::Drafts;
use crate::{Logbook, Moment, Place, ProgressListener, RefusedError, Salvaged, salvage};

/// Who asks as long as nobody said who writes. It stands in no entry.
const NOBODY: &str = "nobody";

/// The one record of a phone. Making one opens nothing yet.
#[derive(uniffi::Object)]
pub struct PhoneRecord {
    place: Place,
    book: Mutex<Option<Arc<Logbook>>>,
    /// Counters that are met.
    pub(super) meetings: Meetings,
}

#[uniffi::export]
impl PhoneRecord {
    /// The record at a place.
    #[uniffi::constructor]
    #[must_use]
    pub fn new(place: Place) -> Arc<Self> {
        Arc::new(Self { place, book: Mutex::new(None), meetings: Meetings::default() })
    }

    /// The name that is kept with what is entered; empty as long as nobody gave one.
    #[must_use]
    pub fn name(&self) -> String {
        self.drafts().writer()
    }

    /// Closes the record, and stops what is under way over a network; the next question opens
    /// it again.
    pub fn let_go(&self) {
        self.meetings.stop();
        *self.book.lock().unwrap_or_else(PoisonError::into_inner) = None;
    }
}

impl PhoneRecord {
    /// The record, opened.
    pub(super) fn book(&self) -> Result<Arc<Logbook>, RefusedError> {
        let mut book = self.book.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(book) = &*book {
            return Ok(Arc::clone(book));
        }
        Ok(Arc::clone(book.insert(Logbook::open(self.place.clone())?)))
    }

    /// When it is, and who asks.
    pub(super) fn moment(&self, today: &str) -> Moment {
        let name = self.name();
        let by = if name.is_empty() { NOBODY.to_owned() } else { name };
        Moment { today: today.to_owned(), by }
    }

    /// Keeps the name of who writes from now on.
    pub(super) fn rename(&self, name: &str) -> Result<(), RefusedError> {
        self.drafts().keep_writer(name)
    }

    /// Whether verdicts are told aloud.
    pub(super) fn speaks(&self) -> bool {
        self.drafts().speaks()
    }

    /// Saves a damaged record: it is closed first.
    pub(super) fn salvage(
        &self,
        progress: Option<Arc<dyn ProgressListener>>,
    ) -> Result<Salvaged, RefusedError> {
        self.let_go();
        let _alone = self.meetings.alone();
        salvage(self.place.clone(), progress)
    }

    /// Damaged files that were set aside.
    pub(super) fn set_aside(&self) -> Vec<String> {
        crate::set_aside_files(self.place.clone())
    }

    /// Where it is.
    pub(super) const fn place(&self) -> &Place {
        &self.place
    }

    pub(super) fn drafts(&self) -> Drafts {
        let store: &Path = &PathBuf::from(&self.place.store);
        Drafts::of_store(store)
    }
}
