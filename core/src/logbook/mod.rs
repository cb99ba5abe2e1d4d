//! The one door to a record: open it, ask it, write in it.

mod already;
mod answering;
mod around;
mod asking;
#[cfg(test)]
mod asking_tests;
mod backup;
mod believed;
mod case;
mod case_limits;
mod case_lines;
#[cfg(test)]
mod centre;
mod check;
mod checks;
mod chip;
mod conflicts;
mod devices;
mod doubt;
mod each;
mod error;
mod fleet;
mod forms;
mod history;
mod holds;
mod homes;
mod hoses;
mod inspections;
mod intake;
mod jobs;
mod labels;
mod last_return;
mod limits_tried;
mod lost;
mod making;
mod may;
mod meeting;
mod moves;
mod numbers;
mod owner;
mod owner_key;
mod packing;
mod pins;
mod place_forms;
mod places;
mod ports;
mod refusal;
mod rental_forms;
mod rentals;
mod replacing;
mod return_differences;
mod returned;
mod returns;
mod salvage;
mod scanning;
mod set_answers;
mod set_forms;
mod set_inspections;
mod set_line;
mod sets;
mod sheet_report;
mod sheets;
mod slips;
mod staff;
mod succession;
mod swap_exchange;
mod swap_forms;
mod swap_help;
mod swap_pair;
mod swaps;
mod tags;
mod today;
mod told;
#[cfg(test)]
mod units_tests;
mod upgrade;
mod walk;
mod withdrawal_forms;

pub use answering::Found;
pub use asking::{Hit, HoseList, Page, SetList};
pub use backup::{Restored, Restoring};
pub use check::CheckReport;
pub use devices::{DeviceView, OwnDevice};
pub use error::{
    CounterError, DayError, LogbookError, NamingError, PackingError, PlaceError, StaffError,
};
pub use forms::{FormRefused, Saved};
pub use history::{HistoryLine, TakenBackBy};
pub use inspections::ShownPhotograph;
pub use jobs::Job;
pub use meeting::{
    BranchTerms, Counter, FolderMeeting, Given, ImportReport, device_named, make_folder,
    writer_named,
};
pub use ports::{PortCount, PortDevice, PortIs};
pub use returned::ComingBack;
pub use returns::TakenBack;
pub use salvage::SalvageReport;
pub use set_answers::Answered;
pub use set_inspections::ScannedSet;
pub use sets::{NewSet, SetEdit};
pub use sheet_report::{Brought, NamedSet, SheetReport, Taken, Taking};
pub use staff::CarriedDevice;
pub use succession::Replaced;
pub use swap_pair::SwapView;
pub use told::{Told, told};

use std::path::{Path, PathBuf};

use chrono::NaiveDate;
use rand_core::Rng;
use rusqlite::{Connection, Transaction};
use tempfile::TempDir;
use zeroize::Zeroizing;

use crate::device::{DeviceId, DeviceKey, Keyring};
use crate::index;
use crate::journal::{self, Draft, Entry, Members, Moment, Opened, Right, Stop, StoreError};
use crate::measure::Units;
use crate::record::{self, HoseRecord};
use crate::staff::PersonId;
use crate::tag::Code;

/// A record in one file, and everything that can be asked of it or done to it.
///
/// Every change goes through one function: begin, check, write the entries and
/// what follows from them, commit. A refused command changes nothing.
pub struct Logbook {
    connection: Connection,
    path: PathBuf,
    random: Box<dyn Rng + Send>,
    keys: Box<dyn Keyring + Send>,
    /// The key of this record's device, once it was needed.
    key: Option<DeviceKey>,
    /// What looks like a slip is written anyway.
    sure: bool,
    /// The units in which people read lengths and pressures.
    units: Units,
    /// Who proved by their PIN that it is they who write now.
    proven: Option<PersonId>,
    /// The pass phrase of the owner's key, given for what is done now.
    owner_pass: Option<Zeroizing<String>>,
    /// Whether nothing can be written in it.
    only_read: bool,
    /// What the rules of this program made worse when it was opened.
    news: Vec<String>,
    /// The folder of the copy that stands for the file, where it is read from one.
    _copy: Option<TempDir>,
}

impl Logbook {
    /// Opens the record at `path`, and begins one if there is none.
    /// `random` gives the bits of new codes and keys; `keys` keeps the device's
    /// key, apart from the record.
    ///
    /// # Errors
    /// [`StoreError`] if the file is not a store, damaged, too new,
    /// read-only or in use.
    pub fn open(
        path: &Path,
        random: Box<dyn Rng + Send>,
        keys: Box<dyn Keyring + Send>,
    ) -> Result<Self, StoreError> {
        let connection = journal::open(path)?;
        Self::of(Opened { connection, only_read: false, copy: None }, path, random, keys)
    }

    /// Opens the record of a name in a storage into which only SQLite sees, as a browser
    /// gives a page one, and begins it if there is none. `:memory:` is one that is kept
    /// nowhere.
    ///
    /// # Errors
    /// As [`Logbook::open`].
    pub fn open_kept(
        name: &Path,
        random: Box<dyn Rng + Send>,
        keys: Box<dyn Keyring + Send>,
    ) -> Result<Self, StoreError> {
        let connection = journal::open_kept(name)?;
        Self::of(Opened { connection, only_read: false, copy: None }, name, random, keys)
    }

    /// Opens the record at `path` to ask it: also if it can only be read.
    /// None is begun.
    ///
    /// # Errors
    /// [`StoreError`] if there is none, or the file is not a store, damaged,
    /// too new or in use.
    pub fn open_to_read(
        path: &Path,
        random: Box<dyn Rng + Send>,
        keys: Box<dyn Keyring + Send>,
    ) -> Result<Self, StoreError> {
        Self::of(journal::open_to_read(path)?, path, random, keys)
    }

    /// A record with nothing in it, for where there is none at `path`: it answers
    /// from tags alone. Nothing can be written in it, and no file is made.
    ///
    /// # Errors
    /// [`StoreError`] if there is no memory for it.
    pub fn empty(
        path: &Path,
        random: Box<dyn Rng + Send>,
        keys: Box<dyn Keyring + Send>,
    ) -> Result<Self, StoreError> {
        Self::of(journal::open_empty()?, path, random, keys)
    }

    /// What was folded by another program's rules is folded again, in a copy where
    /// the file can only be read.
    fn of(
        mut opened: Opened,
        path: &Path,
        random: Box<dyn Rng + Send>,
        keys: Box<dyn Keyring + Send>,
    ) -> Result<Self, StoreError> {
        let mut news = Vec::new();
        if record::rules_of(&opened.connection)? != record::RULES {
            opened.connection.pragma_update(None, "query_only", false)?;
            if opened.connection.is_readonly("main")? {
                opened = journal::into_copy(opened.connection)?;
                opened.connection.pragma_update(None, "query_only", false)?;
            }
            news = upgrade::brought_up(&mut opened.connection)?;
            opened.connection.pragma_update(None, "query_only", opened.only_read)?;
        }
        let Opened { connection, only_read, copy } = opened;
        let (path, key, sure, proven) = (path.to_owned(), None, true, None);
        let (units, owner_pass, _copy) = (Units::AsWritten, None, copy);
        Ok(Self {
            connection,
            path,
            random,
            keys,
            key,
            sure,
            units,
            proven,
            owner_pass,
            only_read,
            news,
            _copy,
        })
    }

    /// Shows lengths and pressures of hoses in these units from now on. What was written stays
    /// as it is, also in what is exported, and stands beside what is converted.
    pub const fn set_units(&mut self, units: Units) {
        self.units = units;
    }

    /// Ends whatever is asked of this record from now on as soon as it is stopped, with
    /// [`StoreError::Stopped`]; what was not committed then leaves nothing behind.
    ///
    /// # Errors
    /// [`StoreError`] if SQLite refuses.
    pub fn obey(&mut self, stop: &Stop) -> Result<(), StoreError> {
        journal::obey(&mut self.connection, stop)
    }

    /// The file it is in.
    #[must_use]
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// The owner's key of the fleet that it belongs to, if any.
    ///
    /// # Errors
    /// [`StoreError`] if the store cannot be read.
    pub fn owner(&self) -> Result<Option<DeviceId>, StoreError> {
        Ok(Members::load(&self.connection)?.owner)
    }

    fn check_writable(&self) -> Result<(), StoreError> {
        if self.only_read {
            return Err(StoreError::ReadOnly(self.path.clone()));
        }
        Ok(())
    }

    /// Plans in the state that the plan will meet, writes, and commits.
    fn write<T>(
        &mut self,
        moment: &Moment,
        plan: impl FnOnce(&Transaction<'_>, &mut dyn Rng) -> Result<(Vec<Draft>, T), LogbookError>,
    ) -> Result<(Vec<Entry>, T), LogbookError> {
        self.write_telling(moment, |_, _| (), plan)
    }

    /// The same for what may reach every hose: `progress` is told how many of how many
    /// are done.
    fn write_telling<T>(
        &mut self,
        moment: &Moment,
        progress: impl FnMut(usize, usize),
        plan: impl FnOnce(&Transaction<'_>, &mut dyn Rng) -> Result<(Vec<Draft>, T), LogbookError>,
    ) -> Result<(Vec<Entry>, T), LogbookError> {
        self.write_in_turn(moment, progress, plan, |_, _| Vec::new())
    }

    /// The same, and then what names the entries that this wrote: both or nothing.
    fn write_in_turn<T>(
        &mut self,
        moment: &Moment,
        progress: impl FnMut(usize, usize),
        plan: impl FnOnce(&Transaction<'_>, &mut dyn Rng) -> Result<(Vec<Draft>, T), LogbookError>,
        then: impl FnOnce(&[Entry], &T) -> Vec<Draft>,
    ) -> Result<(Vec<Entry>, T), LogbookError> {
        self.check_writable()?;
        self.take_identity()?;
        let work = journal::begin(&mut self.connection)?;
        let Some(key) = &self.key else {
            return Err(StoreError::Locked.into());
        };
        if journal::own_device(&work)? != Some(key.id()) {
            // Another program took an identity for this store just now.
            return Err(StoreError::Locked.into());
        }
        let (drafts, result) = plan(&work, &mut *self.random)?;
        let who = (&*self.keys, self.proven);
        check_allowed(&work, &key.id(), &drafts)?;
        may::check_may(&work, &drafts, &moment.by, who)?;
        let mut entries = journal::append(&work, &drafts, key, moment)?;
        let more = then(&entries, &result);
        check_allowed(&work, &key.id(), &more)?;
        may::check_may(&work, &more, &moment.by, who)?;
        if !more.is_empty() {
            entries.extend(journal::append(&work, &more, key, moment)?);
        }
        index::project(&work, &entries, progress)?;
        let judged = journal::judge_after(&work, &entries)?;
        index::project_reach(&work, &judged, |_, _| ())?;
        work.commit().map_err(StoreError::from)?;
        Ok((entries, result))
    }

    /// Makes sure that this store has an identity and its key: a new one for a
    /// store that has none, or was copied from where the key is.
    fn take_identity(&mut self) -> Result<DeviceId, StoreError> {
        loop {
            let own = journal::own_device(&self.connection)?;
            if self.key.as_ref().map(DeviceKey::id) != own || own.is_none() {
                let kept = own.map(|own| self.keys.find(&own)).transpose()?.flatten();
                self.key = kept.map_or_else(|| self.new_identity(own), |key| Ok(Some(key)))?;
            }
            if let Some(key) = &self.key {
                return Ok(key.id());
            }
        }
    }

    /// Nothing if another program gave this store an identity just now.
    fn new_identity(&mut self, before: Option<DeviceId>) -> Result<Option<DeviceKey>, StoreError> {
        self.check_writable()?;
        let key = DeviceKey::draw(&mut *self.random);
        self.keys.keep(&key)?;
        let work = journal::begin(&mut self.connection)?;
        if journal::own_device(&work)? != before {
            return Ok(None);
        }
        journal::become_device(&work, Some(&key.id()))?;
        work.commit()?;
        Ok(Some(key))
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
            let record = believed::record_of(work, hose, moment.today)?;
            checks::check_day(&record, on, moment)?;
            checks::not_after_incident(work, &record, moment)?;
            let event = event(&record, work)?;
            Ok((vec![Draft { on, event }], record.tag()))
        })?;
        Ok(tag)
    }
}

/// In a fleet with an owner a device writes what its role lets it write.
fn check_allowed(
    work: &Connection,
    device: &DeviceId,
    drafts: &[Draft],
) -> Result<(), LogbookError> {
    let members = Members::load(work)?;
    if members.owner.is_none() {
        return Ok(());
    }
    let seq = journal::newest_seq(work, device)? + 1;
    for draft in drafts {
        if let Some(why) = members.forbids(device, seq, Right::of_event(&draft.event)) {
            return Err(LogbookError::NotAllowed { device: *device, why });
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests;
