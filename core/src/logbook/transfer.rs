//! The whole journal as JSON Lines, out and in.

use std::io::{BufRead, Write};

use serde::Serialize;

use super::{Logbook, LogbookError};
use crate::journal::{
    self, Hashed, Merge, MergeReport, Signatures, StoreError, entry_of_line, line_of_entry,
};
use crate::record;

/// What an import of entries did.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct ImportReport {
    /// Lines that are no entries, with the reason.
    pub refused: Vec<(usize, String)>,
    /// What became of the others.
    pub merge: MergeReport,
}

impl Logbook {
    /// Writes every entry as one line of JSON, in the order in which they came
    /// here, and returns how many. `progress` is told how many of how many are done.
    ///
    /// # Errors
    /// [`LogbookError`] where the store cannot be read or `out` not written.
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
    /// or with `partial` all that can be read. Entries that are here already
    /// change nothing.
    ///
    /// # Errors
    /// [`LogbookError`] where the lines cannot be read or the store not written.
    pub fn import_lines(
        &mut self,
        lines: &mut dyn BufRead,
        partial: bool,
        mut progress: impl FnMut(usize, usize),
    ) -> Result<ImportReport, LogbookError> {
        let mut report = ImportReport::default();
        let mut entries = Vec::new();
        for (at, line) in lines.lines().enumerate() {
            let line = line.map_err(cannot_read)?;
            let line = line.trim_start_matches('\u{feff}').trim();
            if line.is_empty() {
                continue;
            }
            match entry_of_line(line) {
                Ok(entry) => entries.push(Hashed::from(entry)),
                Err(error) => report.refused.push((at + 1, error.to_string())),
            }
        }
        if !report.refused.is_empty() && !partial {
            return Ok(report);
        }
        progress(entries.len(), entries.len());
        report.merge = self.take_in(|merge| Ok(merge.take(entries, Signatures::All)?))?;
        Ok(report)
    }

    /// Merges what `take` brings in, in one transaction, and folds anew what it
    /// reached.
    pub(super) fn take_in(
        &mut self,
        take: impl FnOnce(&mut Merge<'_>) -> Result<(), LogbookError>,
    ) -> Result<MergeReport, LogbookError> {
        let work = super::begin(&mut self.connection)?;
        let mut merge = Merge::begin(&work)?;
        take(&mut merge)?;
        let (report, reach) = merge.finish()?;
        record::project_reach(&work, &reach, |_, _| ())?;
        work.commit().map_err(StoreError::from)?;
        Ok(report)
    }
}

fn cannot_write(source: std::io::Error) -> LogbookError {
    LogbookError::Io { path: "the export".into(), source }
}

fn cannot_read(source: std::io::Error) -> LogbookError {
    LogbookError::Io { path: "the import".into(), source }
}
