//! Records that meet: each takes in the entries that it lacks of the other.

mod bundle;
mod film;
mod folder;
mod lines;

pub use bundle::writer_named;
pub use folder::{FolderMeeting, make_folder};
pub use lines::ImportReport;

use super::{Logbook, LogbookError};
use crate::index;
use crate::journal::{self, Merge, MergeReport, StoreError};

impl Logbook {
    /// Merges what `take` brings in, in one transaction, and folds again what it
    /// reached.
    fn take_in(
        &mut self,
        take: impl FnOnce(&mut Merge<'_>) -> Result<(), LogbookError>,
    ) -> Result<MergeReport, LogbookError> {
        let work = journal::begin(&mut self.connection)?;
        let mut merge = Merge::begin(&work)?;
        take(&mut merge)?;
        let (report, reach) = merge.finish()?;
        index::project_reach(&work, &reach, |_, _| ())?;
        work.commit().map_err(StoreError::from)?;
        Ok(report)
    }
}

#[cfg(test)]
mod believing_tests;
#[cfg(test)]
mod film_tests;
#[cfg(test)]
mod tests;
