//! Records that meet: each takes in the entries that it lacks of the other.

mod branches;
mod bundle;
mod counter;
mod film;
mod folder;
mod lines;
mod sharing;

pub use branches::BranchTerms;
pub use bundle::{device_named, writer_named};
pub use counter::{Counter, Given};
pub use folder::{FolderMeeting, make_folder};
pub use lines::ImportReport;

use std::cmp::Reverse;

use chrono::NaiveDate;

use super::{Logbook, LogbookError, believed};
use crate::index;
use crate::inspection::Verdict;
use crate::journal::{self, Merge, MergeReport, StoreError, Turned};
use crate::tag::Code;
use crate::words;

impl Logbook {
    /// Merges what `take` brings in, in one transaction, folds again what it reached, and
    /// tells which hoses stand otherwise by it on a day.
    fn take_in(
        &mut self,
        today: NaiveDate,
        take: impl FnOnce(&mut Merge<'_>) -> Result<(), LogbookError>,
    ) -> Result<MergeReport, LogbookError> {
        let work = journal::begin(&mut self.connection)?;
        let mut merge = Merge::begin(&work)?;
        take(&mut merge)?;
        let (mut report, reach) = merge.finish()?;
        let stood = |hose: &Code| Ok((*hose, index::stood(&work, *hose, today)?));
        let told = reach.hoses.len() <= MOST_TOLD;
        let hoses = reach.hoses.iter().filter(|_| told);
        let before: Vec<(Code, Option<Verdict>)> =
            hoses.map(stood).collect::<Result<_, StoreError>>()?;
        index::project_reach(&work, &reach, |_, _| ())?;
        for (hose, before) in before {
            match (before, index::stood(&work, hose, today)?) {
                (None, Some(_)) => report.hoses += 1,
                (Some(before), Some(now)) if before != now => {
                    let record = believed::record_of(&work, hose, today)?;
                    let number = record.origin.own.number.as_ref();
                    let (hose, name) = (record.tag(), words::called(number, record.tag()));
                    report.turned.push(Turned { hose, name, before, now });
                }
                _ => {}
            }
        }
        report.turned.sort_by_key(|turned| (Reverse(turned.now), turned.hose));
        work.commit().map_err(StoreError::from)?;
        Ok(report)
    }
}

/// Of more hoses than this nobody reads how each of them stands since a merge.
const MOST_TOLD: usize = 1_000;

#[cfg(test)]
mod added_tests;
#[cfg(test)]
mod believing_tests;
#[cfg(test)]
mod branches_tests;
#[cfg(test)]
mod counter_tests;
#[cfg(test)]
mod film_tests;
#[cfg(test)]
mod sharing_tests;
#[cfg(test)]
mod stop_tests;
#[cfg(test)]
mod succession_tests;
#[cfg(test)]
mod tests;
