//! One reason of a verdict.

use chrono::{Days, NaiveDate};
use serde::Serialize;

use crate::inspection::Verdict;
use crate::journal::Stamp;
use crate::words::Said;

/// Why a hose has the verdict it has.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Reason {
    /// The reason's code, for programs.
    pub code: String,
    /// How bad it is by itself.
    pub verdict: Verdict,
    /// Why, in words.
    pub words: String,
    /// What to do about it.
    pub todo: String,
}

/// A reason in words, and how bad it is where that is not its row's.
pub(super) struct Told {
    pub(super) said: Said,
    pub(super) verdict: Option<Verdict>,
}

impl From<Said> for Told {
    fn from(said: Said) -> Self {
        Self { said, verdict: None }
    }
}

/// The day of the newest record, if that is after today: by when a record
/// was written, or by what any entry is about.
pub(super) fn ahead(newest_at: Stamp, newest_on: NaiveDate, today: NaiveDate) -> Option<NaiveDate> {
    let written = newest_at.time().date_naive();
    // A clock a day ahead may only be east of here.
    let ahead = (written > today + Days::new(1)).then_some(written);
    let about = (newest_on > today).then_some(newest_on);
    [ahead, about].into_iter().flatten().max()
}

pub(super) fn some(holds: bool, said: impl FnOnce() -> Said) -> Vec<Told> {
    holds.then(|| said().into()).into_iter().collect()
}
