//! Records that meet: a bundle out, and one in.

use std::io::{BufWriter, Write};
use std::path::Path;
use std::sync::Arc;

use hosewright_core::LogbookError;
use hosewright_core::file::{NewFile, Replace, Source};
use hosewright_core::journal::Stop;

use crate::{Logbook, ProgressListener, RefusedError, Words, phone};

/// What came of a bundle that was taken in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Merged {
    /// Entries that are new here.
    pub new: u64,
    /// Entries that were here already.
    pub known: u64,
    /// How many were refused.
    pub refused: u64,
    /// The same in words, a sentence a line.
    pub words: Vec<Words>,
}

impl Logbook {
    /// Writes the whole record into a file for another device, and says what is
    /// in it. The file is whole, or not there.
    ///
    /// # Errors
    /// [`RefusedError`] if the store cannot be read or the file not written.
    pub fn bundle_out(&self, path: String) -> Result<String, RefusedError> {
        let path = Path::new(&path);
        let mut file = NewFile::begin(path, Replace::File).map_err(LogbookError::from)?;
        let written = {
            let mut out = BufWriter::new(&mut file);
            let written = self.core().bundle(&mut out, None, crate::moment::today(), |_| ())?;
            let io = |source| LogbookError::Io { path: path.to_owned(), source };
            out.flush().map_err(io)?;
            written
        };
        file.finish().map_err(LogbookError::from)?;
        Ok(phone::bundled(written))
    }

    /// Takes a bundle in: all that is good in it, in one transaction.
    /// `progress` is told how many of its entries are read. Stopped, it takes in nothing.
    ///
    /// # Errors
    /// [`RefusedError`] if it is not a bundle, or the store cannot be written.
    pub fn merge_in(
        &self,
        bundle: &dyn Source,
        progress: Option<Arc<dyn ProgressListener>>,
        stop: &Stop,
    ) -> Result<Merged, RefusedError> {
        let mut core = self.core();
        core.obey(stop)?;
        let report = core.merge(bundle, crate::moment::today(), |done, all| {
            if let Some(progress) = &progress {
                progress.told(done, all, phone::merging(done, all));
            }
        });
        core.obey(&Stop::default())?;
        let report = report?;
        let words = phone::merged(&report);
        Ok(Merged {
            new: report.new,
            known: report.known,
            refused: report.refused,
            words: Words::all(words),
        })
    }

    /// What the device had that made a bundle: a bundle that says so, without entries.
    pub(crate) fn held(&self, bundle: &dyn Source) -> Result<Vec<u8>, RefusedError> {
        let mut has = Vec::new();
        let io = |source| LogbookError::Io { path: bundle.name(), source };
        self.core().bundle_header(bundle)?.write(&mut has).map_err(io)?;
        Ok(has)
    }
}
