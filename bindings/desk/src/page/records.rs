//! The records that the page answers from: one connection that writes, some
//! that read beside it.

use std::path::{Path, PathBuf};
use std::sync::Mutex;

use hosewright_core::Logbook;
use hosewright_core::device::FolderKeyring;
use hosewright_core::measure::Units;
use tempfile::TempDir;

use super::lock::held;
use crate::demo;
use crate::failure::Failure;
use crate::store;

/// How many reading connections are kept open.
const KEPT: usize = 8;

/// One record.
pub struct Record {
    path: PathBuf,
    /// Where its keys are, if not in the account's own folder.
    keys: Option<PathBuf>,
    /// The units in which it is shown.
    units: Units,
    writer: Mutex<Logbook>,
    idle: Mutex<Vec<Logbook>>,
    /// A demonstration's folder, which goes when the page does.
    _folder: Option<TempDir>,
}

impl Record {
    /// Opens a record, and begins one if there is none. Its keys are in the
    /// account's own folder unless another is named.
    pub fn open(path: &Path, keys: Option<PathBuf>) -> Result<Self, Failure> {
        let writer = Mutex::new(open(path, keys.as_deref())?);
        let path = path.to_owned();
        let (units, idle) = (Units::default(), Mutex::default());
        Ok(Self { path, keys, units, writer, idle, _folder: None })
    }

    /// The same, shown in these units.
    pub fn in_units(self, units: Units) -> Self {
        held(&self.writer).set_units(units);
        Self { units, ..self }
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
        let mut logbook = idle.map_or_else(|| open(&self.path, self.keys.as_deref()), Ok)?;
        logbook.set_units(self.units);
        let result = work(&logbook);
        let mut idle = held(&self.idle);
        if idle.len() < KEPT {
            idle.push(logbook);
        }
        result
    }

    /// A connection of its own for what takes long: nobody waits for it but for moments.
    pub fn another(&self) -> Result<Logbook, Failure> {
        let mut logbook = open(&self.path, self.keys.as_deref())?;
        logbook.set_units(self.units);
        Ok(logbook)
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
