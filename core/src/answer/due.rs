//! What is due for a hose, and by when.

use chrono::NaiveDate;
use serde::Serialize;

use super::facts::Facts;
use crate::hose::words;
use crate::words::CountedFrom;

words!(
    /// What can be due.
    DueKind, "thing that is due", {
        /// A leak test, because it was fitted, moved or resealed.
        LeakTest = "leak-test",
        /// A full inspection.
        FullInspection = "full-inspection",
        /// A replacement: its limit in service.
        ReplaceService = "replace-in-service",
        /// A replacement: its limit from made.
        ReplaceMade = "replace-from-made",
    }
);

/// Something that is due.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Due {
    /// What.
    pub what: DueKind,
    /// The last good day for it.
    pub on: NaiveDate,
}

impl DueKind {
    /// What is due, in words.
    #[must_use]
    pub const fn in_words(self) -> &'static str {
        match self {
            Self::LeakTest => "leak test",
            Self::FullInspection => "full inspection",
            Self::ReplaceService => "replacement, by its time in service",
            Self::ReplaceMade => "replacement, by its age from made",
        }
    }
}

/// Everything that is due, soonest first; a retired hose needs nothing.
pub(super) fn all(facts: &Facts<'_>) -> Vec<Due> {
    let record = facts.record();
    if record.retired.is_some() {
        return Vec::new();
    }
    let ages = facts.age_limits().into_iter().map(|limit| Due {
        what: match limit.from {
            CountedFrom::Service(_) => DueKind::ReplaceService,
            CountedFrom::Made(_) | CountedFrom::Bought(_) => DueKind::ReplaceMade,
        },
        on: limit.last_day,
    });
    // Never looked at: due since it is known, so today at the latest.
    let full = facts.full_inspection().map_or(facts.today(), |(_, last_day)| last_day);
    let full =
        facts.asked.tag_only.is_none().then_some(Due { what: DueKind::FullInspection, on: full });
    let leak = record.leak_due.iter().filter(|_| record.slots().next().is_some());
    let leak = leak.map(|due| due.since).min().map(|on| Due { what: DueKind::LeakTest, on });
    let mut due: Vec<Due> = ages.chain(full).chain(leak).collect();
    due.sort_by_key(|due| (due.on, due.what));
    due
}
