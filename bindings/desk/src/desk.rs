//! What every command has at hand.

use std::io::Write;
use std::path::PathBuf;
use std::process::ExitCode;

use chrono::NaiveDate;
use hosewright_core::Logbook;
use hosewright_core::journal::Moment;
use serde::Serialize;

use crate::failure::Failure;
use crate::output::Output;
use crate::store;

/// How a command that was carried out ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Status {
    /// It is done.
    Done,
    /// The answer is no.
    No,
}

/// What a command comes to.
pub type Outcome = Result<Status, Failure>;

/// What every command has at hand: where the record is, when it is, who asks,
/// and where the result goes.
pub struct Desk {
    /// The result.
    pub out: Output,
    /// Whether the result is for a program.
    pub json: bool,
    /// Now, and who asks.
    pub moment: Moment,
    /// The day that is pretended, for a command that outlives a day.
    pub pretended: Option<NaiveDate>,
    store: Option<PathBuf>,
}

impl Desk {
    /// A desk; the store is opened by the commands that need one.
    pub fn new(
        store: Option<PathBuf>,
        json: bool,
        moment: Moment,
        pretended: Option<NaiveDate>,
    ) -> Self {
        Self { out: Output::new(), json, moment, pretended, store }
    }

    /// Runs a command and turns its end into an exit code.
    pub fn run(mut self, command: impl FnOnce(&mut Self) -> Outcome) -> ExitCode {
        let outcome = command(&mut self);
        let flushed = self.out.flush();
        match outcome.and_then(|status| Ok(flushed.map(|()| status)?)) {
            Ok(Status::Done) => ExitCode::SUCCESS,
            Ok(Status::No) => ExitCode::from(1),
            Err(failure) => failure.said(),
        }
    }

    /// Opens the record.
    pub fn open(&self) -> Result<Logbook, Failure> {
        store::open(&self.place()?)
    }

    /// Where the record is.
    pub fn place(&self) -> Result<PathBuf, Failure> {
        store::place(self.store.clone())
    }

    /// One line of JSON, for programs: texts stand in it as they are.
    pub fn json(&mut self, value: &impl Serialize) -> Result<(), Failure> {
        let text = serde_json::to_string(value)
            .map_err(|e| Failure::refused(format!("the result cannot be written: {e}")))?;
        Ok(writeln!(self.out, "{text}")?)
    }
}
