//! What can still be read of a damaged store, into a new one.

use std::io::{BufWriter, Write};
use std::path::{Path, PathBuf};

use rusqlite::Connection;
use serde::Serialize;

use super::{Logbook, LogbookError};
use crate::device::{DeviceId, Keyring};
use crate::file::{InMemory, NewFile, Replace, Source, beside};
use crate::index;
use crate::journal::{
    self, Merge, Numbers, Salvage, Signatures, StoreError, line_of_entry, proven,
};

/// What was saved of a damaged store, and what was not.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct SalvageReport {
    /// Entries that are in the new store.
    pub saved: u64,
    /// Pages of the file that the system could not read.
    pub unreadable_pages: u64,
    /// Rows that look like entries and are not what was written. The same entry
    /// may be elsewhere, whole.
    pub spoilt: u64,
    /// The numbers of each device that were given once and could not be found.
    pub lost: Vec<(DeviceId, Vec<Numbers>)>,
    /// Entries that are whole, but whose signature is lost: they are not in the
    /// new store, but in `unproven_in`.
    pub unproven: u64,
    /// A file with those entries as lines, to be looked through by a person.
    pub unproven_in: Option<PathBuf>,
    /// The fleet that the new store belongs to.
    pub fleet: Option<DeviceId>,
    /// The fleet whose owner spoke, if it is not known that the damaged
    /// store belonged to it.
    pub fleet_of_entries: Option<DeviceId>,
}

impl SalvageReport {
    /// Whether everything that the damaged store is known to have held was saved.
    #[must_use]
    pub fn complete(&self) -> bool {
        self.lost.is_empty() && self.unproven == 0
    }

    /// What was saved and what was lost, a sentence a line.
    #[must_use]
    pub fn words(&self) -> Vec<String> {
        let mut said = vec![format!("Saved into the new store: {}.", entries(self.saved))];
        for (device, lost) in &self.lost {
            let numbers: Vec<String> = lost.iter().map(numbers).collect();
            said.push(format!("Lost, of device {}: {}.", device.short(), numbers.join(", ")));
        }
        if let Some(path) = &self.unproven_in {
            said.push(format!(
                "{} whole, but without the signature that would prove them; left out, and written \
                 to {} for you to look through and write up again.",
                match self.unproven {
                    1 => "1 entry is".to_owned(),
                    n => format!("{n} entries are"),
                },
                path.display()
            ));
        }
        said.push(
            if self.complete() {
                "Nothing is known to be lost. What was written last may still be missing: check \
                 the newest inspections."
            } else {
                "Merge bundles of other devices, or import the newest export, to bring back what \
                 is missing. Until then, look again at the hoses that were handled lately."
            }
            .to_owned(),
        );
        if let Some(fleet) = &self.fleet_of_entries {
            said.push(format!(
                "To believe only the devices that the owner admitted: hosewright device join \
                 {fleet}"
            ));
        }
        said.push(
            "The damaged file was left as it is. The new store takes an identity of its own \
             before its next entry; if there is an owner, have it admitted."
                .to_owned(),
        );
        said
    }
}

impl SalvageReport {
    /// The same on a phone, which puts the new record in the place of the
    /// damaged one, and where nobody names a file or a command.
    #[must_use]
    pub fn words_on_phone(&self) -> Vec<String> {
        let mut said = vec![format!("Saved into a new record: {}.", entries(self.saved))];
        for (device, lost) in &self.lost {
            let numbers: Vec<String> = lost.iter().map(numbers).collect();
            said.push(format!("Lost, of device {}: {}.", device.short(), numbers.join(", ")));
        }
        if self.unproven > 0 {
            said.push(format!(
                "Left out, since the signature that would prove it is lost: {}. It is beside the \
                 damaged file.",
                entries(self.unproven)
            ));
        }
        said.push(
            if self.complete() {
                "Nothing is known to be lost. What was written last may still be missing: check \
                 the newest inspections."
            } else {
                "Import the record of another device, which may have what is missing. Until \
                 then, look again at the hoses that were handled lately."
            }
            .to_owned(),
        );
        said.push(
            "The damaged file was set aside as it is. This phone writes under a new number from \
             now on; if the fleet has an owner, have it admitted."
                .to_owned(),
        );
        said
    }
}

impl Logbook {
    /// Takes what can still be read of a damaged store into a new one, which is
    /// put at `into` when it is whole. `keys` are those of this machine, whose
    /// devices may have written the store. `progress` is told how many of how
    /// many pages are done. The damaged file is not changed.
    ///
    /// # Errors
    /// [`LogbookError`] if `into` is there already, the damaged file cannot be
    /// read at all, or has no Hosewright entry.
    pub fn salvage(
        damaged: &Path,
        into: &Path,
        keys: &dyn Keyring,
        progress: impl FnMut(usize, usize),
    ) -> Result<SalvageReport, LogbookError> {
        if into.exists() {
            return Err(LogbookError::AlreadyThere(into.to_owned()));
        }
        let salvage =
            Salvage::read((&damaged, &beside(damaged, "-wal")), &keys.devices(), progress)?;
        let mut report = begun(&salvage, damaged)?;
        let mut aside = Unproven::In(unproven_beside(into), None);
        let put = journal::made_whole::<LogbookError>(into, |made| {
            fill(journal::open(made)?, &salvage, &mut aside, &mut report)?;
            // They are on the disk before the new store is in its place.
            report.unproven_in = aside.end()?;
            Ok(())
        })?;
        if !put {
            return Err(LogbookError::AlreadyThere(into.to_owned()));
        }
        Ok(report)
    }

    /// The same into a new store in a storage without files ([`Logbook::open_kept`]). The
    /// entries that nothing proves are given back as lines.
    ///
    /// # Errors
    /// As [`Logbook::salvage`].
    pub fn salvage_kept(
        damaged: &dyn Source,
        into: &Path,
        keys: &dyn Keyring,
        progress: impl FnMut(usize, usize),
    ) -> Result<(SalvageReport, String), LogbookError> {
        let no_log = InMemory::new("no log", []);
        let salvage = Salvage::read((damaged, &no_log), &keys.devices(), progress)?;
        let mut report = begun(&salvage, &damaged.name())?;
        let mut aside = Unproven::Lines(String::new());
        fill(journal::open_kept(into)?, &salvage, &mut aside, &mut report)?;
        let Unproven::Lines(lines) = aside else { return Ok((report, String::new())) };
        Ok((report, lines))
    }
}

fn begun(salvage: &Salvage, damaged: &Path) -> Result<SalvageReport, LogbookError> {
    if salvage.is_empty()? {
        return Err(LogbookError::NothingToSave(damaged.to_owned()));
    }
    Ok(SalvageReport {
        unreadable_pages: salvage.unreadable,
        spoilt: salvage.spoilt,
        lost: salvage.lost()?,
        fleet: salvage.owner,
        ..SalvageReport::default()
    })
}

/// Fills a new store with what was saved, in one transaction.
fn fill(
    mut connection: Connection,
    salvage: &Salvage,
    aside: &mut Unproven,
    report: &mut SalvageReport,
) -> Result<(), LogbookError> {
    let work = journal::begin(&mut connection)?;
    if let Some(owner) = &salvage.owner {
        journal::set_owner(&work, owner)?;
    }
    let mut merge = Merge::begin(&work)?;
    salvage.each_run::<LogbookError>(|run| {
        let (good, alone) = proven(run, Signatures::All);
        for entry in &alone {
            aside.add(&line_of_entry(entry))?;
            report.unproven += 1;
        }
        Ok(merge.take(good, Signatures::All)?)
    })?;
    let (merged, reach) = merge.finish()?;
    report.saved = merged.new;
    report.fleet_of_entries = merged.fleet;
    index::project_reach(&work, &reach, |_, _| ())?;
    work.commit().map_err(StoreError::from)?;
    connection.close().map_err(|(_, error)| StoreError::from(error))?;
    Ok(())
}

/// Entries that nothing proves, as lines.
enum Unproven {
    /// In a file that is made for the first.
    In(PathBuf, Option<BufWriter<NewFile>>),
    /// In memory.
    Lines(String),
}

impl Unproven {
    fn add(&mut self, line: &str) -> Result<(), LogbookError> {
        let (path, file) = match self {
            Self::In(path, file) => (path, file),
            Self::Lines(lines) => {
                lines.push_str(line);
                lines.push('\n');
                return Ok(());
            }
        };
        let file = match file {
            Some(file) => file,
            none => none.insert(BufWriter::new(NewFile::begin(path, Replace::Nothing)?)),
        };
        writeln!(file, "{line}").map_err(|source| LogbookError::Io { path: path.clone(), source })
    }

    fn end(&mut self) -> Result<Option<PathBuf>, LogbookError> {
        let Self::In(path, file) = self else { return Ok(None) };
        let Some(file) = file.take() else { return Ok(None) };
        let io = |source| LogbookError::Io { path: path.clone(), source };
        file.into_inner().map_err(|error| io(error.into_error()))?.finish()?;
        Ok(Some(path.clone()))
    }
}

fn unproven_beside(into: &Path) -> PathBuf {
    let mut path = into.as_os_str().to_owned();
    path.push(".unproven.jsonl");
    path.into()
}

fn numbers((first, last): &Numbers) -> String {
    if first == last { format!("entry {first}") } else { format!("entries {first} to {last}") }
}

fn entries(n: u64) -> String {
    if n == 1 { "1 entry".to_owned() } else { format!("{n} entries") }
}

#[cfg(test)]
#[path = "salvage_tests.rs"]
mod tests;
