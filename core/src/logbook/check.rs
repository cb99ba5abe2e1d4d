//! Whether a store is sound, and folding it again.

use serde::Serialize;

use super::walk::walk;
use super::{Logbook, LogbookError};
use crate::hose::Label;
use crate::index;
use crate::journal::{self, Flaw, StoreError};
use crate::record;
use crate::tag::Code;

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
    /// Own numbers that more than one hose in use has.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub doubled_numbers: Vec<(Label, Vec<Code>)>,
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
            let them = match self.set_aside {
                1 => "1 entry is".to_owned(),
                several => format!("{several} entries are"),
            };
            said.push(format!("{them} kept and not, or not wholly, believed: see device list."));
        }
        let copied = |device| format!("Device {device} was copied: two wrote under its name.");
        said.extend(self.forked.iter().map(copied));
        let gap = |device| format!("Some entries of device {device} have not reached this record.");
        said.extend(self.gaps.iter().map(gap));
        let doubled = |(number, codes): &(Label, Vec<Code>)| {
            let codes: Vec<String> = codes.iter().map(ToString::to_string).collect();
            format!(
                "The number {number} is that of {}: give all but one of them another.",
                codes.join(" and ")
            )
        };
        said.extend(self.doubled_numbers.iter().map(doubled));
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
    /// [`StoreError`] if the store cannot be read at all.
    pub fn check(&self, progress: impl FnMut(usize, usize)) -> Result<CheckReport, StoreError> {
        let flaws = journal::flaws(&self.connection)?;
        if flaws.iter().any(Flaw::is_of_journal) {
            let problems = flaws.iter().map(flaw_words).collect();
            return Ok(CheckReport { problems, ..CheckReport::default() });
        }
        let mut problems = if flaws.iter().any(Flaw::is_of_texts) {
            Vec::new()
        } else {
            journal::sound(&self.connection)?
        };
        problems.extend(flaws.iter().map(flaw_words));
        let walked = walk(&self.connection)?;
        let (entries, unread) = (walked.entries, walked.unread);
        problems.extend(walked.problems);
        let tallies = journal::tallies(&self.connection)?;
        let tables_are_whole = !flaws.iter().any(Flaw::is_of_table);
        let (hoses, sets) = if !tables_are_whole {
            // No record can be trusted then, and which are right says nothing.
            (
                journal::known_hoses(&self.connection)?.len(),
                journal::known_sets(&self.connection)?.len(),
            )
        } else {
            problems.extend(index::stale(&self.connection, progress)?.into_iter().map(|what| {
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
            doubled_numbers: if tables_are_whole { self.doubled_numbers()? } else { Vec::new() },
            problems,
        })
    }

    /// Rebuilds the tables and indexes that can be, and folds every record again
    /// from the journal; what its device is not proven to have written is not
    /// believed.
    ///
    /// # Errors
    /// [`LogbookError`] if the store cannot be read or written.
    pub fn rebuild(&mut self, progress: impl FnMut(usize, usize)) -> Result<(), LogbookError> {
        self.check_writable()?;
        let work = journal::begin(&mut self.connection)?;
        journal::mend(&work).map_err(|error| match error {
            StoreError::Damaged { why, .. } => StoreError::Damaged { path: self.path.clone(), why },
            other => other,
        })?;
        let altered = walk(&work)?.altered;
        index::rebuild(&work, &altered, progress)?;
        work.commit().map_err(StoreError::from)?;
        Ok(())
    }
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
