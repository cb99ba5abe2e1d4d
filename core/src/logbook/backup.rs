//! A backup out, and a record brought back from one on a new computer.

use std::io::Write;

use chrono::NaiveDate;
use serde::Serialize;

use super::{Logbook, LogbookError};
use crate::device::{DeviceId, DeviceKey, Role};
use crate::file::Source;
use crate::hose::Label;
use crate::journal::{
    self, Header, Members, MergeReport, Moment, StoreError, keep_backup, last_backup,
    missing_numbers, put_meeting, tallies, write_backup,
};
use crate::view::BackupState;
use crate::words::{backup as say, meeting};

/// What the owner says when a record is brought back.
#[derive(Debug, Default)]
pub struct Restoring<'w> {
    /// The owner's words, if the record has an owner: used once, and not kept.
    pub words: &'w str,
    /// What this device is called from now on.
    pub name: Option<Label>,
    /// The device that made the backup is gone, and is dismissed.
    pub dismiss: bool,
}

/// What came of bringing a record back.
#[derive(Debug, Clone, Serialize)]
pub struct Restored {
    /// What the merge did.
    pub merge: MergeReport,
    /// The device that this record writes as from now on.
    pub device: DeviceId,
    /// The device that made the backup.
    pub from: Option<DeviceId>,
    /// Whether that was dismissed.
    pub dismissed: bool,
    /// On which day the backup was made.
    pub made: Option<NaiveDate>,
    /// What may be missing, and from whom, a sentence a device.
    pub missing: Vec<String>,
    /// All of it in words, a sentence a line.
    pub words: Vec<String>,
}

impl Logbook {
    /// How the backups of this record stand.
    ///
    /// # Errors
    /// [`StoreError`] if the store cannot be read.
    pub fn backup_state(&self, moment: &Moment) -> Result<BackupState, StoreError> {
        let empty = journal::count(&self.connection)? == 0;
        Ok(BackupState::of(last_backup(&self.connection)?, empty, moment.today))
    }

    /// Writes a backup: a bundle of the whole record, which a merge takes too, with what
    /// this device alone knows of its meetings. No key is in it. Returns how many entries
    /// it has.
    ///
    /// # Errors
    /// [`LogbookError`] if the store cannot be read or `out` not written.
    pub fn backup(
        &self,
        out: &mut dyn Write,
        moment: &Moment,
        progress: impl FnMut(u64),
    ) -> Result<u64, LogbookError> {
        self.reading(|| write_backup(&self.connection, moment.today, out, progress))
    }

    /// Notes that a backup was made: it is written first.
    ///
    /// # Errors
    /// [`StoreError`] if the store cannot be written.
    pub fn backed_up(&mut self, moment: &Moment) -> Result<(), StoreError> {
        self.check_writable()?;
        keep_backup(&self.connection, moment.today)
    }

    /// Brings a record back from a backup into this one, which must be empty: this device
    /// is a new one of it, and the owner's words admit it.
    ///
    /// # Errors
    /// [`LogbookError`] if this record is not empty, the file is no bundle, or the words
    /// are not its owner's; nothing was changed then.
    pub fn restore(
        &mut self,
        backup: &dyn Source,
        restoring: &Restoring<'_>,
        moment: &Moment,
        progress: impl FnMut(u64, u64),
    ) -> Result<Restored, LogbookError> {
        self.check_writable()?;
        let header = self.bundle_header(backup)?;
        let pinned = self.owner()?.is_some_and(|owner| Some(owner) != header.fleet);
        if pinned || journal::count(&self.connection)? > 0 {
            return Err(LogbookError::Device(say::NOT_EMPTY.to_owned()));
        }
        let owner = header.fleet.map(|fleet| owner_of(fleet, restoring.words)).transpose()?;
        if let Some(owner) = &owner {
            self.join_fleet(&owner.id(), moment)?;
        }
        let merge = self.merge(backup, moment.today, progress)?;
        if let Some(note) = header.backup {
            put_meeting(&self.connection, note.met)?;
        }
        let device = self.take_identity()?;
        let lost = header.from.filter(|from| *from != device);
        let dismissed = self.admitted_by(owner.as_ref(), device, lost, restoring, moment)?;
        self.told_of(&header, merge, device, dismissed)
    }

    /// Admits this device, and dismisses the lost one if the owner says so.
    fn admitted_by(
        &mut self,
        owner: Option<&DeviceKey>,
        device: DeviceId,
        lost: Option<DeviceId>,
        restoring: &Restoring<'_>,
        moment: &Moment,
    ) -> Result<bool, LogbookError> {
        let Some(owner) = owner else { return Ok(false) };
        let word = (Role::Owner, restoring.name.clone());
        self.enrol_as(owner, device, word, false, moment)?;
        let lost = lost.filter(|_| restoring.dismiss);
        if let Some(lost) = lost {
            self.enrol_as(owner, lost, (Role::Dismissed, None), false, moment)?;
        }
        Ok(lost.is_some())
    }

    fn told_of(
        &self,
        header: &Header,
        merge: MergeReport,
        device: DeviceId,
        dismissed: bool,
    ) -> Result<Restored, LogbookError> {
        let (from, made) = (header.from, header.made);
        let members = Members::load(&self.connection)?;
        let named = |device: &DeviceId| called(&members, device);
        let mut words = vec![say::came(merge.new, made), say::admitted(&named(&device))];
        words.extend(from.filter(|_| dismissed).map(|from| say::dismissed(&named(&from))));
        words.extend(merge.refusals.iter().map(|why| format!("Refused: {why}.")));
        let mut missing = Vec::new();
        missing.extend(from.map(|from| say::lost_since(&named(&from), made)));
        for (other, lines) in self.missing_of_devices()? {
            if other != device && (Some(other) != from || !lines.1.is_empty()) {
                missing.push(lines.0);
            }
        }
        Ok(Restored { merge, device, from, dismissed, made, missing, words })
    }

    /// What is known to be missing of each device, in a sentence, and the numbers.
    pub(super) fn missing_of_devices(&self) -> Result<Vec<MissingOf>, LogbookError> {
        let members = Members::load(&self.connection)?;
        let mut all = Vec::new();
        for tally in tallies(&self.connection)?.into_iter().filter(|tally| tally.newest_seq > 0) {
            let mut runs = missing_numbers(&self.connection, &tally.id)?;
            let known = members.last_known(&tally.id);
            if known > tally.newest_seq {
                runs.push((tally.newest_seq + 1, known));
            }
            let name = called(&members, &tally.id);
            let on = tally.newest.map(|(on, _)| on);
            let said = match runs.is_empty() {
                true => say::complete(&name, tally.newest_seq, on),
                false => say::missing(&name, &runs),
            };
            all.push((tally.id, (said, runs)));
        }
        Ok(all)
    }
}

/// A device, what is missing of it in a sentence, and the numbers that are.
pub(super) type MissingOf = (DeviceId, (String, Vec<(u64, u64)>));

fn called(members: &Members, device: &DeviceId) -> String {
    meeting::named(device, members.newest(device).and_then(|word| word.name.as_ref()))
}

/// The owner's key of its words, which must be that of a fleet.
pub(super) fn owner_of(fleet: DeviceId, words: &str) -> Result<DeviceKey, LogbookError> {
    let owner = DeviceKey::from_words(words)?;
    let own = owner.id() == fleet;
    own.then_some(owner).ok_or_else(|| LogbookError::Device(say::ANOTHER_FLEET.to_owned()))
}

#[cfg(test)]
#[path = "backup_tests.rs"]
mod tests;
