//! Whether a store is sound, and folding it anew.

use std::collections::{BTreeSet, HashSet};

use rusqlite::Connection;

use super::{Logbook, LogbookError};
use crate::event::EntryId;
use crate::journal::{self, Cover, Flaw, Hashed, Signatures, StoreError, Stored};
use crate::record;
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
    /// Devices that were copied, so that two wrote under one name.
    pub forked: Vec<String>,
    /// Entries that are kept but not, or not wholly, believed.
    pub set_aside: u64,
    /// What is wrong; nothing for a sound store.
    pub problems: Vec<String>,
}

impl CheckReport {
    /// Whether nothing is wrong.
    #[must_use]
    pub fn sound(&self) -> bool {
        self.problems.is_empty()
    }

    /// How many there are of what.
    #[must_use]
    pub fn counts(&self) -> Vec<(&'static str, String)> {
        vec![
            ("entries", self.entries.to_string()),
            ("entries that this version cannot read", self.unread.to_string()),
            ("hoses", self.hoses.to_string()),
            ("sets", self.sets.to_string()),
            ("devices that wrote here", self.devices.to_string()),
        ]
    }

    /// What is to be known about it, a sentence a line.
    #[must_use]
    pub fn words(&self) -> Vec<String> {
        let mut said = Vec::new();
        if self.set_aside > 0 {
            said.push(format!(
                "{} entries are kept and not, or not wholly, believed: see device list.",
                self.set_aside
            ));
        }
        let copied = |device| format!("Device {device} was copied: two wrote under its name.");
        said.extend(self.forked.iter().map(copied));
        let gap = |device| format!("Some entries of device {device} have not reached this record.");
        said.extend(self.gaps.iter().map(gap));
        said.extend(self.problems.iter().map(|problem| format!("Wrong: {problem}")));
        if self.sound() {
            said.push("Nothing is wrong.".to_owned());
        }
        said
    }
}

impl Logbook {
    /// Checks the file, every entry and every record folded from them;
    /// `progress` is told how many of how many hoses are done.
    ///
    /// # Errors
    /// [`StoreError`] where the store cannot be read at all.
    pub fn check(&self, progress: impl FnMut(usize, usize)) -> Result<CheckReport, StoreError> {
        let flaws = journal::flaws(&self.connection)?;
        if flaws.iter().any(Flaw::is_of_journal) {
            let problems = flaws.iter().map(flaw_words).collect();
            return Ok(CheckReport { problems, ..CheckReport::default() });
        }
        let mut problems = journal::sound(&self.connection)?;
        problems.extend(flaws.iter().map(flaw_words));
        let walked = walk(&self.connection)?;
        let (entries, unread) = (walked.entries, walked.unread);
        problems.extend(walked.problems);
        let tallies = journal::tallies(&self.connection)?;
        let (hoses, sets) = if flaws.iter().any(Flaw::is_of_table) {
            // No record can be trusted then, and which are right says nothing.
            (
                journal::known_hoses(&self.connection)?.len(),
                journal::known_sets(&self.connection)?.len(),
            )
        } else {
            problems.extend(record::stale(&self.connection, progress)?.into_iter().map(|what| {
                format!(
                    "the record of {what} is not what the journal says; check --rebuild makes it so"
                )
            }));
            (
                record::recorded_hoses(&self.connection)?.len(),
                record::recorded_sets(&self.connection)?.len(),
            )
        };
        let wrote: Vec<_> = tallies.iter().filter(|tally| tally.entries > 0).collect();
        let gaps = wrote.iter().filter(|tally| tally.has_gap());
        let forked = wrote.iter().filter(|tally| tally.forked);
        Ok(CheckReport {
            entries,
            hoses,
            sets,
            devices: wrote.len(),
            unread,
            set_aside: journal::count_set_aside(&self.connection)?,
            gaps: gaps.map(|tally| tally.id.to_string()).collect(),
            forked: forked.map(|tally| tally.id.to_string()).collect(),
            problems,
        })
    }

    /// Makes anew the tables and indexes that can be, and folds every record anew
    /// from the journal; what its device is not proven to have written is not
    /// believed.
    ///
    /// # Errors
    /// [`LogbookError`] where the store cannot be read or written.
    pub fn rebuild(&mut self, progress: impl FnMut(usize, usize)) -> Result<(), LogbookError> {
        self.check_writable()?;
        let work = super::begin(&mut self.connection)?;
        journal::mend(&work).map_err(|error| match error {
            StoreError::Damaged { why, .. } => StoreError::Damaged { path: self.path.clone(), why },
            other => other,
        })?;
        let altered = walk(&work)?.altered;
        record::rebuild(&work, &altered, progress)?;
        work.commit().map_err(StoreError::from)?;
        Ok(())
    }
}

/// What a walk along every entry found.
#[derive(Default)]
struct Walked {
    entries: u64,
    unread: u64,
    problems: Vec<String>,
    /// The entries that their devices are not proven to have written.
    altered: BTreeSet<EntryId>,
}

/// The entries that their devices are not proven to have written.
pub(super) fn altered(connection: &Connection) -> Result<BTreeSet<EntryId>, StoreError> {
    Ok(walk(connection)?.altered)
}

fn walk(connection: &Connection) -> Result<Walked, StoreError> {
    let mut walked = Walked::default();
    for tally in journal::tallies(connection)? {
        let mut walk = Walk::default();
        journal::each_entry_of::<StoreError>(connection, &tally.id, 0, |stored| {
            walked.entries += 1;
            walked.unread += u64::from(stored.entry.event().is_none());
            walk.step(stored, &mut walked);
            Ok(())
        })?;
        walk.prove(&mut walked);
    }
    Ok(walked)
}

fn flaw_words(flaw: &Flaw) -> String {
    let todo = if flaw.is_of_journal() {
        "it holds the journal, so this is damage: check --salvage NEW takes what can still be read \
         into a new store"
    } else {
        "check --rebuild puts it right"
    };
    format!("{}; {todo}", flaw.words())
}

/// A walk along a device's entries: each is what was hashed, each is signed or
/// led up to by one that is, and each signature is its device's.
#[derive(Default)]
struct Walk {
    run: Vec<Hashed>,
    cover: Cover,
}

impl Walk {
    /// So many entries are proven at once, or a few more, until all are signed for.
    const RUN: usize = 1024;

    fn step(&mut self, stored: Stored, walked: &mut Walked) {
        let Stored { entry, hash, proven, .. } = stored;
        if !proven {
            walked.problems.push(format!(
                "entry {} of device {} was changed after it was written; it is not believed",
                entry.seq,
                entry.device.short()
            ));
            walked.altered.insert(EntryId::new(hash));
            return;
        }
        self.cover.add(&entry, hash);
        self.run.push(Hashed { entry, hash });
        if self.run.len() >= Self::RUN && self.cover.is_whole() {
            self.prove(walked);
        }
    }

    fn prove(&mut self, walked: &mut Walked) {
        let run = std::mem::take(&mut self.run);
        let signed = run.iter().filter(|hashed| hashed.entry.signature.is_some());
        let signed: HashSet<[u8; 32]> = signed.map(|hashed| hashed.hash).collect();
        let (good, forged) = journal::proven(run, Signatures::All);
        let spoilt = good
            .iter()
            .filter(|hashed| hashed.entry.signature.is_none() && signed.contains(&hashed.hash));
        let spoilt = spoilt.map(|hashed| &hashed.entry);
        walked.problems.extend(forged.iter().chain(spoilt).map(journal::not_signed));
        walked.altered.extend(forged.iter().map(crate::journal::Entry::id));
    }
}
