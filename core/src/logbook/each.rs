//! Questions that go through every hose.

use chrono::NaiveDate;

use super::around::Around;
use super::{Logbook, LogbookError, believed};
use crate::answer::Asked;
use crate::journal::StoreError;
use crate::record;

impl Logbook {
    /// Goes through every hose once, in one state of the store; memory holds
    /// the sets and what `take` keeps.
    pub(super) fn each_asked<T>(
        &self,
        today: NaiveDate,
        begin: impl FnOnce(&mut Around<'_>) -> Result<T, StoreError>,
        mut take: impl FnMut(&mut T, &Asked<'_>),
    ) -> Result<T, LogbookError> {
        self.reading(|| {
            let mut around = self.around(today)?;
            around.read_sets()?;
            let mut kept = begin(&mut around)?;
            record::each_hose::<LogbookError>(&self.connection, |record| {
                let record = believed::believed(&self.connection, record, today)?;
                Ok(around.ask(&record, |asked| take(&mut kept, asked))?)
            })?;
            Ok(kept)
        })
    }

    /// What every hose is asked with.
    pub(super) fn around(&self, today: NaiveDate) -> Result<Around<'_>, StoreError> {
        Ok(Around::of(&self.connection, today)?.in_units(self.units))
    }
}
