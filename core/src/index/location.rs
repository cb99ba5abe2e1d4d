//! Where a hose is, as lists tell places apart.

use crate::hose::words;
use crate::record::HoseRecord;

words!(
    /// Where a hose is, as lists tell places apart.
    Location, "place", {
        /// In stock.
        Stock = "stock",
        /// In a port of a set.
        Set = "set",
        /// With a hirer.
        Out = "out" | "rented",
        /// At home with its customer.
        Home = "home",
        /// It did not come back with its set.
        Missing = "missing",
        /// Out of service.
        Retired = "retired",
    }
);

impl Location {
    /// Where a hose is.
    #[must_use]
    pub fn of(record: &HoseRecord) -> Self {
        if record.retired.is_some() {
            Self::Retired
        } else if record.home.is_some() {
            Self::Home
        } else if record.missing.is_some() {
            Self::Missing
        } else if record.out().is_some() {
            Self::Out
        } else if record.seat.is_some() {
            Self::Set
        } else {
            Self::Stock
        }
    }
}
