//! The records that the page answers from: one connection that writes, some
//! that read beside it.

use std::any::Any;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use chrono::NaiveDate;
use hosewright_core::Logbook;
use hosewright_core::device::FolderKeyring;
use tempfile::TempDir;

use super::refusal::Refusal;
use crate::demo;
use crate::failure::Failure;
use crate::store;

/// How many reading connections are kept open.
const KEPT: usize = 8;

/// How many answers about the whole fleet are kept.
const ANSWERS: usize = 4;

/// An answer about the whole fleet.
struct Kept {
    /// The question, the state of the record, and the day.
    of: (String, String, NaiveDate),
    /// When the reading began, by the record's count.
    begun: u64,
    answer: Arc<dyn Any + Send + Sync>,
}

/// One record.
pub struct Record {
    path: PathBuf,
    /// Where its keys are, if not in the account's own folder.
    keys: Option<PathBuf>,
    writer: Mutex<Logbook>,
    idle: Mutex<Vec<Logbook>>,
    /// Answers about the whole fleet, the newest last.
    kept: Mutex<Vec<Kept>>,
    /// Counts who asks and what is begun, so that one can be said to be before
    /// the other.
    count: AtomicU64,
    /// A demonstration's folder, which goes when the page does.
    _folder: Option<TempDir>,
}

impl Record {
    /// Opens a record, and begins one where there is none. Its keys are in the
    /// account's own folder unless another is named.
    pub fn open(path: &Path, keys: Option<PathBuf>) -> Result<Self, Failure> {
        let writer = Mutex::new(open(path, keys.as_deref())?);
        let path = path.to_owned();
        let (idle, kept) = (Mutex::default(), Mutex::default());
        let count = AtomicU64::new(0);
        Ok(Self { path, keys, writer, idle, kept, count, _folder: None })
    }

    /// Makes the demonstration, in a folder that goes when the page does: a
    /// record is never mixed with an invented one.
    pub fn demo() -> Result<Self, Failure> {
        let folder = tempfile::tempdir()?;
        let keys = folder.path().join("keys");
        let path = demo::record(folder.path(), Box::new(FolderKeyring::new(keys.clone())))
            .map_err(|error| Failure::refused(error.to_string()))?;
        Ok(Self { _folder: Some(folder), ..Self::open(&path, Some(keys))? })
    }

    /// Reads with a connection of its own, so that nobody waits for a writer.
    pub fn read<T, E: From<Failure>>(
        &self,
        work: impl FnOnce(&Logbook) -> Result<T, E>,
    ) -> Result<T, E> {
        let idle = held(&self.idle).pop();
        let logbook = idle.map_or_else(|| open(&self.path, self.keys.as_deref()), Ok)?;
        let result = work(&logbook);
        let mut idle = held(&self.idle);
        if idle.len() < KEPT {
            idle.push(logbook);
        }
        result
    }

    /// Reads something that goes through every hose, and keeps the answer until
    /// the record or the day is another: the pages of a long list, and its file,
    /// are of one reading. Whoever `arrived` before a reading began has its answer
    /// too, whatever was written meanwhile: all that was acknowledged before they
    /// asked is in it.
    pub fn once<T: Send + Sync + 'static>(
        &self,
        (question, today): (String, NaiveDate),
        arrived: u64,
        work: impl FnOnce(&Logbook) -> Result<T, Refusal>,
    ) -> Result<Arc<T>, Refusal> {
        self.read(|logbook| {
            let begun = self.arrive();
            let of = (question, logbook.state()?, today);
            let good = |kept: &Kept| {
                let same = (&kept.of.0, kept.of.2) == (&of.0, of.2);
                kept.of == of || (same && kept.begun > arrived)
            };
            if let Some(answer) = self.kept(good) {
                return Ok(answer);
            }
            let answer = Arc::new(work(logbook)?);
            let mut kept = held(&self.kept);
            kept.retain(|kept| kept.of.2 == of.2 && kept.of != of);
            let over = (kept.len() + 1).saturating_sub(ANSWERS);
            kept.drain(..over);
            kept.push(Kept { of, begun, answer: answer.clone() });
            Ok(answer)
        })
    }

    /// A number that is higher than all before.
    pub fn arrive(&self) -> u64 {
        self.count.fetch_add(1, Ordering::Relaxed)
    }

    /// The answer that [`Record::once`] would give from what is kept.
    pub fn known<T: Send + Sync + 'static>(
        &self,
        question: &str,
        today: NaiveDate,
    ) -> Result<Option<Arc<T>>, Refusal> {
        self.read(|logbook| {
            let of = (question.to_owned(), logbook.state()?, today);
            Ok(self.kept(|kept| kept.of == of))
        })
    }

    /// The newest answer that will do.
    fn kept<T: Send + Sync + 'static>(&self, good: impl Fn(&Kept) -> bool) -> Option<Arc<T>> {
        let kept = held(&self.kept);
        let known = kept.iter().rev().find(|kept| good(kept));
        known.and_then(|kept| kept.answer.clone().downcast().ok())
    }

    /// Writes, one after the other.
    pub fn write<T>(&self, work: impl FnOnce(&mut Logbook) -> T) -> T {
        work(&mut held(&self.writer))
    }
}

fn open(path: &Path, keys: Option<&Path>) -> Result<Logbook, Failure> {
    match keys {
        Some(keys) => store::open_with(path, Box::new(FolderKeyring::new(keys.to_owned()))),
        None => store::open(path),
    }
}

/// A lock whose holder panicked holds a logbook whose transaction was rolled
/// back: it is as good as before.
fn held<T>(lock: &Mutex<T>) -> MutexGuard<'_, T> {
    lock.lock().unwrap_or_else(PoisonError::into_inner)
}
