//! Meeting in a folder, where each device leaves a bundle for the others.

use std::collections::BTreeSet;
use std::fs;
use std::io::{BufWriter, ErrorKind, Write};
use std::path::{Path, PathBuf};

use chrono::NaiveDate;
use serde::Serialize;

use super::super::{Logbook, LogbookError};
use super::bundle::{open, unreadable};
use crate::device::DeviceId;
use crate::file::{NewFile, Replace};
use crate::journal::{Header, MergeReport, reached};

/// How the files in a shared folder end.
const ENDING: &str = "hwbundle";

/// What a meeting in a folder came to.
#[derive(Debug, Clone, Default, Serialize)]
pub struct FolderMeeting {
    /// Each other device's file, and what it brought or why it cannot be read.
    pub files: Vec<(PathBuf, Result<MergeReport, String>)>,
    /// This device's own file.
    pub own: PathBuf,
}

/// Makes the folder of a meeting, as on a fresh stick, and tells whether it had to. Only the
/// last part of the path is made: where a stick is not plugged in there is nothing to make.
///
/// # Errors
/// [`LogbookError::Io`] if it can't be made.
pub fn make_folder(folder: &Path) -> Result<bool, LogbookError> {
    match fs::create_dir(folder) {
        Ok(()) => Ok(true),
        Err(error) if error.kind() == ErrorKind::AlreadyExists => Ok(false),
        Err(source) => Err(LogbookError::Io { path: folder.to_owned(), source }),
    }
}

impl Logbook {
    /// Meets other devices in a folder: reads what they left there, and leaves
    /// all that is here for them. A file that is copied only in part brings what
    /// is whole in it, and the rest next time.
    ///
    /// # Errors
    /// [`LogbookError`] if the folder cannot be read or written.
    pub fn meet_in(
        &mut self,
        folder: &Path,
        today: NaiveDate,
    ) -> Result<FolderMeeting, LogbookError> {
        self.meet_in_without(folder, &BTreeSet::new(), today, |_, _| ())
    }

    /// The same without what some devices wrote, as in [`Logbook::merge_without`], which says
    /// what `progress` is told of each file.
    ///
    /// # Errors
    /// As [`Logbook::meet_in`].
    pub fn meet_in_without(
        &mut self,
        folder: &Path,
        without: &BTreeSet<DeviceId>,
        today: NaiveDate,
        mut progress: impl FnMut(u64, u64),
    ) -> Result<FolderMeeting, LogbookError> {
        self.take_identity()?;
        let mut report = FolderMeeting::default();
        for path in self.left_in(folder)? {
            match self.merge_without(&path, without, today, &mut progress) {
                Ok(merged) => report.files.push((path, Ok(merged))),
                Err(LogbookError::Store(error)) => return Err(error.into()),
                Err(error) => report.files.push((path, Err(error.to_string()))),
            }
        }
        // A merge may have shown that this device was copied.
        report.own = folder.join(format!("{}.{ENDING}", self.take_identity()?.short()));
        self.leave(&report.own, today)?;
        Ok(report)
    }

    /// The files that other devices left in a folder, by name.
    ///
    /// # Errors
    /// [`LogbookError`] if the folder cannot be read.
    pub fn left_in(&self, folder: &Path) -> Result<Vec<PathBuf>, LogbookError> {
        let mut there = bundles_in(folder)?;
        if let Some(key) = &self.key {
            let own = folder.join(format!("{}.{ENDING}", key.id().short()));
            there.retain(|path| *path != own);
        }
        Ok(there)
    }

    /// Writes a file for others: whole beside its place, then moved there.
    fn leave(&self, path: &Path, today: NaiveDate) -> Result<(), LogbookError> {
        let now = Header::of(&self.connection, today)?;
        if open(&path).is_ok_and(|there| *there.header() == now) {
            return Ok(());
        }
        let mut file = NewFile::begin(path, Replace::File)?;
        let mut out = BufWriter::new(&mut file);
        self.bundle(&mut out, None, today, |_| ())?;
        out.flush().map_err(|e| unreadable(&path, e.into()))?;
        drop(out);
        reached("file for others beside its place");
        file.finish()?;
        reached("file for others in its place");
        Ok(())
    }
}

fn bundles_in(folder: &Path) -> Result<Vec<PathBuf>, LogbookError> {
    let io = |e: std::io::Error| LogbookError::Io { path: folder.to_owned(), source: e };
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).map_err(io)? {
        let path = entry.map_err(io)?.path();
        if path.extension().is_some_and(|ending| ending == ENDING) && path.is_file() {
            found.push(path);
        }
    }
    found.sort();
    Ok(found)
}
