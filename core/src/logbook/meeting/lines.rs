//! Meeting by JSON Lines: the whole journal, out and in.

use std::collections::{BTreeSet, HashMap};
use std::io::{BufRead, Write};

use chrono::NaiveDate;
use serde::Serialize;

use super::super::{Logbook, LogbookError};
use crate::device::DeviceId;
use crate::journal::{
    self, Entry, Hashed, MergeReport, Signatures, Writer, Writers, entry_of_line, line_of_entry,
    not_signed, proven,
};

/// The most lines that are told one by one.
const MOST_TOLD: usize = 1000;

/// What an import of entries did.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct ImportReport {
    /// Lines that are no entries, or not what their device signed, with the
    /// reason: the first of them.
    pub refused: Vec<(usize, String)>,
    /// What became of the others, and how many were refused in all.
    pub merge: MergeReport,
}

impl ImportReport {
    fn refuse(&mut self, line: usize, why: String) {
        self.merge.refuse(format!("line {line}: {why}"));
        if self.refused.len() < MOST_TOLD {
            self.refused.push((line, why));
        }
    }
}

/// The entries of some lines, each with its line's number.
struct Read {
    entries: Vec<Hashed>,
    at: HashMap<[u8; 32], usize>,
}

impl Read {
    /// Reads them; those that are none are refused in the report.
    fn from(lines: &mut dyn BufRead, report: &mut ImportReport) -> Result<Self, LogbookError> {
        let mut read = Self { entries: Vec::new(), at: HashMap::new() };
        for (at, line) in lines.lines().enumerate() {
            let line = line.map_err(cannot_read)?;
            let line = line.trim_start_matches('\u{feff}').trim();
            if line.is_empty() {
                continue;
            }
            match entry_of_line(line) {
                Ok(entry) => {
                    let hashed = Hashed::from(entry);
                    read.at.entry(hashed.hash).or_insert(at + 1);
                    read.entries.push(hashed);
                }
                Err(error) => report.refuse(at + 1, error.to_string()),
            }
        }
        Ok(read)
    }

    /// Those that their devices are proven to have written; the others are
    /// refused in the report.
    fn proven(self, report: &mut ImportReport) -> Vec<Hashed> {
        let (good, forged) = proven(self.entries, Signatures::All);
        let line = |entry: &Entry| self.at.get(&entry.hash()).copied().unwrap_or_default();
        let mut forged: Vec<_> = forged.iter().map(|e| (line(e), not_signed(e))).collect();
        forged.sort_unstable();
        forged.into_iter().for_each(|(line, why)| report.refuse(line, why));
        good
    }
}

impl Logbook {
    /// Writes every entry as one line of JSON, in the order in which they came
    /// here, and returns how many. `progress` is told how many of how many are done.
    ///
    /// # Errors
    /// [`LogbookError`] if the store cannot be read or `out` not written.
    pub fn export(
        &self,
        out: &mut dyn Write,
        mut progress: impl FnMut(usize, usize),
    ) -> Result<usize, LogbookError> {
        let all = usize::try_from(journal::count(&self.connection)?).unwrap_or(usize::MAX);
        let mut done = 0;
        journal::each_entry::<LogbookError>(&self.connection, |stored| {
            writeln!(out, "{}", line_of_entry(&stored.entry)).map_err(cannot_write)?;
            done += 1;
            progress(done, all);
            Ok(())
        })?;
        out.flush().map_err(cannot_write)?;
        Ok(done)
    }

    /// Takes in entries from lines of JSON, in one transaction: all of them,
    /// or with `partial` all that are good. Entries that are here already
    /// change nothing.
    ///
    /// # Errors
    /// [`LogbookError`] if the lines cannot be read or the store not written.
    pub fn import_lines(
        &mut self,
        lines: &mut dyn BufRead,
        partial: bool,
        today: NaiveDate,
        progress: impl FnMut(usize, usize),
    ) -> Result<ImportReport, LogbookError> {
        self.import_lines_without(lines, partial, &BTreeSet::new(), today, progress)
    }

    /// The same without what some devices wrote. The owner's words that others
    /// carry come in.
    ///
    /// # Errors
    /// As [`Logbook::import_lines`].
    pub fn import_lines_without(
        &mut self,
        lines: &mut dyn BufRead,
        partial: bool,
        without: &BTreeSet<DeviceId>,
        today: NaiveDate,
        mut progress: impl FnMut(usize, usize),
    ) -> Result<ImportReport, LogbookError> {
        let mut report = ImportReport::default();
        let good = Read::from(lines, &mut report)?.proven(&mut report);
        if !report.refused.is_empty() && !partial {
            return Ok(report);
        }
        progress(good.len(), good.len());
        let refused = std::mem::take(&mut report.merge);
        report.merge = self.take_in(today, |merge| {
            merge.leave_out(without);
            Ok(merge.take_proven((good, Vec::new()))?)
        })?;
        report.merge.refused = refused.refused;
        report.merge.refusals = refused.refusals;
        Ok(report)
    }

    /// The writers of an export's lines, and how far each is believed here:
    /// nothing of them is taken in. Lines that are no entries are passed over.
    ///
    /// # Errors
    /// [`LogbookError`] if the lines or the store cannot be read.
    pub fn writers_in_lines(&self, lines: &mut dyn BufRead) -> Result<Vec<Writer>, LogbookError> {
        let mut passed_over = ImportReport::default();
        let good = Read::from(lines, &mut passed_over)?.proven(&mut passed_over);
        let mut writers = Writers::begin(&self.connection)?;
        good.iter().for_each(|hashed| writers.hear(&hashed.entry));
        good.iter().try_for_each(|hashed| writers.count(hashed))?;
        Ok(writers.all())
    }
}

fn cannot_write(source: std::io::Error) -> LogbookError {
    LogbookError::Io { path: "the export".into(), source }
}

fn cannot_read(source: std::io::Error) -> LogbookError {
    LogbookError::Io { path: "the import".into(), source }
}
