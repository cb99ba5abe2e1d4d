//! A damaged record: what can be read goes into a new one in its place, and the
//! damaged file is set aside as it is, never deleted.
//!
//! The change of places can be broken off anywhere. As long as the damaged file
//! is in its place nothing has happened; once it is not, the new record lies
//! whole beside it, and [`finish_change`] puts it there when it is next opened.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use hosewright_core::device::FolderKeyring;
use hosewright_core::file;
use hosewright_core::{Logbook as Core, LogbookError};

use crate::{Place, ProgressListener, RefusedError, Words, phone};

/// A damaged record that was saved.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct Salvaged {
    /// What was saved and what was lost, a sentence a line.
    pub words: Vec<Words>,
    /// Entries that are in the new record.
    pub saved: u64,
}

/// What is beside a file of SQLite.
const BESIDE: [&str; 2] = ["-wal", "-shm"];

/// Said before a damaged record is saved.
#[uniffi::export]
#[must_use]
pub fn salvage_lead() -> String {
    phone::SALVAGE_LEAD.to_owned()
}

/// Takes what can still be read of a damaged record into a new one, puts that
/// in its place, and sets the damaged file aside. If nothing can be read, a
/// new record is begun. No [`crate::Logbook`] may be open on it. Blocks.
///
/// # Errors
/// [`RefusedError`] if the file cannot be read or the new one not written;
/// the damaged record is in its place then.
#[uniffi::export]
pub fn salvage(
    place: Place,
    progress: Option<Arc<dyn ProgressListener>>,
) -> Result<Salvaged, RefusedError> {
    let store = PathBuf::from(&place.store);
    let saved = with(&store, SAVED);
    // One that was made before and never put in its place.
    for left in [saved.clone(), with(&saved, UNPROVEN)] {
        match fs::remove_file(&left) {
            Err(e) if e.kind() != io::ErrorKind::NotFound => return Err(failed(&left, e)),
            _ => {}
        }
    }
    let keys = FolderKeyring::new(&place.keys);
    let report = Core::salvage(&store, &saved, &keys, |done, all| {
        if let Some(progress) = &progress {
            let (done, all) = (count(done), count(all));
            progress.told(done, all, phone::salvaging(done, all));
        }
    });
    let said = match report {
        Ok(report) => Salvaged { words: Words::all(report.words_on_phone()), saved: report.saved },
        Err(LogbookError::NothingToSave(_)) => {
            Salvaged { words: Words::all(phone::nothing_to_save()), saved: 0 }
        }
        Err(other) => return Err(other.into()),
    };
    let aside = free_aside(&store);
    file::rename(&store, &aside).map_err(|e| failed(&store, e))?;
    finish_change(&store).map_err(|e| failed(&store, e))?;
    Ok(said)
}

/// Damaged files that were set aside, with what belongs to them, to be shared.
#[uniffi::export]
#[must_use]
pub fn set_aside_files(place: Place) -> Vec<String> {
    let store = PathBuf::from(place.store);
    let mut files = Vec::new();
    for aside in (1..).map(|number| aside(&store, number)).take_while(|aside| aside.exists()) {
        let beside = ["", "-wal", UNPROVEN].map(|ending| with(&aside, ending));
        files.extend(beside.into_iter().filter(|file| file.exists()));
    }
    files.into_iter().map(|file| file.to_string_lossy().into_owned()).collect()
}

/// Puts a new record in the place of one that was set aside, where a phone
/// stopped before it was done.
pub(crate) fn finish_change(store: &Path) -> io::Result<()> {
    let saved = with(store, SAVED);
    if store.exists() {
        return Ok(());
    }
    let Some(aside) =
        (1..).map(|number| aside(store, number)).take_while(|aside| aside.exists()).last()
    else {
        return Ok(());
    };
    // What SQLite had beside the damaged file would be taken for the new one's.
    for ending in BESIDE {
        rename_if_there(&with(store, ending), &with(&aside, ending))?;
    }
    rename_if_there(&with(&saved, UNPROVEN), &with(&aside, UNPROVEN))?;
    rename_if_there(&saved, store)
}

/// What a new record is called until it is in its place.
const SAVED: &str = ".saved";
/// What the core calls the entries that nothing proves.
const UNPROVEN: &str = ".unproven.jsonl";

fn rename_if_there(from: &Path, to: &Path) -> io::Result<()> {
    match file::rename(from, to) {
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(()),
        other => other,
    }
}

fn with(path: &Path, ending: &str) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(ending);
    name.into()
}

fn aside(store: &Path, number: u32) -> PathBuf {
    with(store, &format!(".damaged-{number}"))
}

fn free_aside(store: &Path) -> PathBuf {
    let free = (1..).map(|number| aside(store, number)).find(|aside| !aside.exists());
    free.unwrap_or_else(|| aside(store, 0))
}

fn failed(path: &Path, source: io::Error) -> RefusedError {
    LogbookError::Io { path: path.to_owned(), source }.into()
}

fn count(number: usize) -> u64 {
    u64::try_from(number).unwrap_or(u64::MAX)
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test")]
mod tests {
    use super::*;
    use crate::{FormOf, Logbook, Moment};

    fn moment() -> Moment {
        Moment { today: "2026-06-15".into(), by: "phone".into() }
    }

    fn place(folder: &Path) -> Place {
        let path = |name: &str| folder.join(name).to_string_lossy().into_owned();
        Place { store: path("record"), keys: path("keys") }
    }

    /// A record with one hose, all of it in its file.
    fn written(place: &Place) -> String {
        let book = Logbook::open(place.clone()).unwrap();
        let of = || FormOf::Register { tag: None };
        let filled = [("service", "gauge"), ("construction", "rubber"), ("length", "80 cm")];
        for (field, value) in filled {
            book.touch_form(of(), field.into(), value.into(), moment()).unwrap();
        }
        book.submit_form(of(), None, moment()).unwrap().answer.unwrap().code
    }

    #[test]
    fn a_change_of_places_that_was_broken_off_is_finished_at_the_next_start() {
        let folder = tempfile::tempdir().unwrap();
        let place = place(folder.path());
        let code = written(&place);
        let store = Path::new(&place.store);
        // As the phone stopped: the damaged file is away, the new one not there yet.
        fs::copy(store, with(store, SAVED)).unwrap();
        fs::write(store, "spoilt").unwrap();
        fs::write(with(store, "-wal"), "of the damaged file").unwrap();
        fs::rename(store, aside(store, 1)).unwrap();
        let book = Logbook::open(place.clone()).unwrap();
        assert_eq!(book.answer(code, moment()).unwrap().verdict, crate::Verdict::Hold);
        assert_eq!(fs::read(with(&aside(store, 1), "-wal")).unwrap(), b"of the damaged file");
        assert_eq!(set_aside_files(place).len(), 2);
    }

    #[test]
    fn a_file_with_nothing_of_ours_is_set_aside_and_a_record_begun() {
        let folder = tempfile::tempdir().unwrap();
        let place = place(folder.path());
        fs::write(&place.store, "holiday pictures").unwrap();
        let said = salvage(place.clone(), None).unwrap();
        assert_eq!(said.saved, 0);
        assert!(Logbook::open(place.clone()).unwrap().welcome().unwrap().is_some());
        let aside = set_aside_files(place);
        assert_eq!(aside.len(), 1);
        assert_eq!(fs::read(&aside[0]).unwrap(), b"holiday pictures");
    }
}
