//! What a list says happened to a hose before it came on record.

use chrono::NaiveDate;

use crate::hose::Label;
use crate::measure::TestPressure;
use crate::words::brought;

/// What happened to a hose before it came on record, as a list says. Days that the list
/// knows to the month or the year alone are the earliest that they can be, so that what
/// is due next is due earlier.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Before {
    /// Its last full inspection, and by whom.
    pub full: Option<(NaiveDate, Option<Label>)>,
    /// The last leak test that it passed, and the pressure in the cylinder.
    pub leak_test: Option<(NaiveDate, TestPressure)>,
    /// The dives that it has.
    pub dives: Option<u32>,
}

impl Before {
    /// The same in one line.
    #[must_use]
    pub fn in_words(&self) -> String {
        let full = self.full.as_ref().map(|(on, by)| (*on, by.as_ref()));
        let leak_test = self.leak_test.as_ref().map(|(on, pressure)| (*on, pressure));
        brought::before(full, leak_test, self.dives)
    }
}
