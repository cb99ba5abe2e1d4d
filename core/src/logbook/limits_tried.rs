//! What other limits would change, asked before they are set.

use super::{Logbook, LogbookError};
use crate::fleet::{LimitsTrial, LimitsTried};
use crate::journal::Moment;
use crate::policy::{Change, Scope};
use crate::record;

impl Logbook {
    /// Which hoses would have another verdict today if these limits were set. Nothing is
    /// written, and nobody who writes has to wait: one state of the record is read.
    /// `progress` is told how many of how many hoses are judged.
    ///
    /// # Errors
    /// [`LogbookError`] if the store cannot be read.
    pub fn try_limits(
        &self,
        scope: Scope,
        limits: Change,
        moment: &Moment,
        mut progress: impl FnMut(usize, usize),
    ) -> Result<LimitsTried, LogbookError> {
        self.reading(|| {
            let all = record::recorded_hoses(&self.connection)?.len();
            let today = moment.today;
            let trial = self.each_asked(
                today,
                |around| Ok(LimitsTrial::new(around.fleet(), (scope, limits), today)),
                |trial, asked| {
                    trial.take(asked);
                    progress(trial.taken(), all);
                },
            )?;
            Ok(trial.found())
        })
    }
}

#[cfg(test)]
#[path = "limits_tried_tests.rs"]
mod tests;
