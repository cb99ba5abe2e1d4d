//! What an import of a shop's list did, and what it left.

use serde::Serialize;

use crate::hose::Label;
use crate::policy::Use;
use crate::spreadsheet::{Assumed, Refused, Repeated, Sheet};
use crate::tag::Code;
use crate::words::brought;

/// A hose of a sheet that is on record.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Taken {
    /// The line of the sheet that it is on.
    pub line: usize,
    /// The code of its tag.
    pub code: Code,
}

/// A set that a sheet names and that was not on record.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct NamedSet {
    /// Its name.
    pub name: Label,
    /// The ports that its hoses need, in words.
    pub ports: String,
    /// Its code, once it is made.
    pub code: Option<Code>,
}

/// What a sheet says happened to its hoses before.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize)]
pub struct Brought {
    /// Full inspections.
    pub full: usize,
    /// Leak tests that were passed.
    pub leak_tests: usize,
    /// Hoses of which it knows dives.
    pub dives: usize,
}

/// How a sheet is taken in.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Taking {
    /// The rows that are good, though others are not.
    pub partial: bool,
    /// The sets that it names and that are not on record are made, for this use.
    pub make_sets: Option<Use>,
}

/// What an import of a sheet did, and what it left.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct SheetReport {
    /// Hoses that were registered; none if a row is not good and the import
    /// was to be whole.
    pub taken: Vec<Taken>,
    /// Hoses that were on record before: nothing is written of their rows.
    pub already: Vec<Taken>,
    /// How many of those that were registered were put in a port.
    pub placed: usize,
    /// Hoses that were registered, but not put where the sheet says, and why.
    pub unplaced: Vec<Refused>,
    /// Sets that the sheet names and that are not on record, in its order: those that were
    /// made, or could be.
    pub sets: Vec<NamedSet>,
    /// How many full inspections, leak tests and hoses with dives came from the sheet.
    pub brought: Brought,
    /// Rows that are not understood, or that the record speaks against.
    pub refused: Vec<Refused>,
    /// Rows that repeat an earlier one.
    pub repeated: Vec<Repeated>,
    /// What the sheet leaves open and how it was taken.
    pub assumed: Vec<Assumed>,
    /// Columns that were not read.
    pub ignored_columns: Vec<String>,
}

impl SheetReport {
    pub(super) fn of(sheet: &Sheet) -> Self {
        Self {
            refused: sheet.refused.clone(),
            repeated: sheet.repeated.clone(),
            assumed: sheet.assumed.clone(),
            ignored_columns: sheet.ignored_columns.clone(),
            ..Self::default()
        }
    }

    /// What was done, in one sentence.
    #[must_use]
    pub fn done_in_words(&self) -> String {
        counts(self, "registered")
    }

    /// What would be done, in one sentence.
    #[must_use]
    pub fn planned_in_words(&self) -> String {
        counts(self, "to register")
    }

    /// What the sheet says happened before, in one sentence; nothing if it says nothing.
    #[must_use]
    pub fn brought_in_words(&self) -> Option<String> {
        let Brought { full, leak_tests, dives } = self.brought;
        (full + leak_tests + dives > 0).then(|| brought::counts(full, leak_tests, dives))
    }

    /// Whether every row of the sheet is good.
    #[must_use]
    pub fn whole(&self) -> bool {
        self.refused.is_empty() && self.repeated.is_empty()
    }
}

/// What an import of a sheet would do, or did, in one sentence.
fn counts(report: &SheetReport, registered: &str) -> String {
    let already = match report.already.len() {
        0 => String::new(),
        count => format!("{count} already here, "),
    };
    format!(
        "{} {registered}, {} of them fitted; {already}{} refused, {} repeated",
        report.taken.len(),
        report.placed,
        report.refused.len(),
        report.repeated.len()
    )
}
