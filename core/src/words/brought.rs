//! What was not seen by its writer, but is in a shop's own list.

use chrono::NaiveDate;

use crate::hose::Label;
use crate::inspection::FromList;
use crate::measure::TestPressure;

/// What a list doesn't say of an inspection.
pub const NO_FINDINGS: &str = "findings not listed";

/// Of which list it is.
#[must_use]
pub fn from(of: NaiveDate) -> String {
    format!("from the list of {of}")
}

/// By whom it was, and of which list that is.
#[must_use]
pub fn listed(list: &FromList) -> String {
    match &list.by {
        Some(by) => format!("by {by}, {}", from(list.of)),
        None => from(list.of),
    }
}

/// How much of it there is.
#[must_use]
pub fn counts(full: usize, leak_tests: usize, dives: usize) -> String {
    let count = |n: usize, what| super::counted(i64::try_from(n).unwrap_or(i64::MAX), what);
    format!(
        "From the list: {}, {}, and the dives of {}.",
        count(full, "full inspection"),
        count(leak_tests, "leak test"),
        count(dives, "hose")
    )
}

/// A leak test of a hose that is in no port.
pub const TEST_OF_STOCK: &str =
    "a leak test is of a hose in its port; it was left out for hoses in stock";

/// What a list says happened to a hose before, in one line: its last full inspection and by
/// whom, its last leak test and the pressure, and its dives.
#[must_use]
pub fn before(
    full: Option<(NaiveDate, Option<&Label>)>,
    leak_test: Option<(NaiveDate, &TestPressure)>,
    dives: Option<u32>,
) -> String {
    let by = |by: Option<&Label>| by.map(|by| format!(" by {by}")).unwrap_or_default();
    let said = [
        full.map(|(on, who)| format!("full inspection {on}{}", by(who))),
        leak_test.map(|(on, pressure)| format!("leak test {on} at {pressure}")),
        dives.map(|dives| super::counted(i64::from(dives), "dive")),
    ];
    said.into_iter().flatten().collect::<Vec<_>>().join(", ")
}

/// Asks whether the sets that a list names are made.
pub const MAKE_SETS: &str = "Make these sets, and put their hoses in them?";
