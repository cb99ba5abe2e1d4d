//! What every command has at hand.

use std::io::Write;
use std::path::PathBuf;

use chrono::NaiveDate;
use hosewright_core::Logbook;
use hosewright_core::journal::Moment;
use hosewright_core::measure::Units;
use serde::Serialize;
use zeroize::Zeroizing;

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
    /// The units in which lengths and pressures are shown.
    pub units: Units,
    /// The day that is pretended, for a command that outlives a day.
    pub pretended: Option<NaiveDate>,
    /// What looks like a slip is written anyway.
    pub sure: bool,
    /// The PIN of whoever writes, if it was asked for.
    pub pin: Option<String>,
    /// The pass phrase of the owner's key, if it was asked for.
    pub owner_pass: Option<Zeroizing<String>>,
    /// The whole grammar of the command line, for completions.
    pub grammar: fn() -> clap::Command,
    /// The record's file, if someone named it.
    pub store: Option<PathBuf>,
}

impl Desk {
    /// Runs a command.
    pub fn run(mut self, command: impl FnOnce(&mut Self) -> Outcome) -> Outcome {
        let outcome = command(&mut self);
        let flushed = self.out.flush();
        outcome.and_then(|status| Ok(flushed.map(|()| status)?))
    }

    /// Opens the record to write in it, and begins one if there is none.
    pub fn open(&self) -> Result<Logbook, Failure> {
        let mut logbook = store::open(&self.place()?)?;
        logbook.set_sure(self.sure);
        logbook.set_units(self.units);
        if let Some(pin) = &self.pin {
            logbook.offer_pin(pin, &self.moment)?;
        }
        if let Some(pass) = &self.owner_pass {
            logbook.offer_owner_pass(pass);
        }
        logbook.news().iter().for_each(|line| crate::output::aside(line));
        Ok(logbook)
    }

    /// Opens the record to read it: one that is there, even if it can't be
    /// written.
    pub fn open_to_read(&self) -> Result<Logbook, Failure> {
        let mut logbook = store::open_to_read(&self.place()?)?;
        if let Some(pass) = &self.owner_pass {
            logbook.offer_owner_pass(pass);
        }
        logbook.set_units(self.units);
        logbook.news().iter().for_each(|line| crate::output::aside(line));
        Ok(logbook)
    }

    /// Opens the record to answer from it. If there is none and none was named
    /// a tag still answers for itself: so does the first that is ever scanned.
    pub fn open_to_answer(&self) -> Result<Logbook, Failure> {
        let place = self.place()?;
        if place.exists() || store::named(self.store.clone()).is_some() {
            return self.open_to_read();
        }
        store::empty(&place)
    }

    /// Opens the record for what reads it where it is there, and is a beginning
    /// where it is not.
    pub fn open_or_begin(&self) -> Result<Logbook, Failure> {
        if self.place()?.exists() { self.open_to_read() } else { self.open() }
    }

    /// Where the record is.
    pub fn place(&self) -> Result<PathBuf, Failure> {
        store::place(self.store.clone())
    }

    /// One line of JSON, for programs: texts stand in it as they are.
    pub fn json(&mut self, value: &impl Serialize) -> Result<(), Failure> {
        let text = serde_json::to_string(value)
            .map_err(|e| Failure::refused(format!("the result can't be written: {e}")))?;
        Ok(writeln!(self.out, "{text}")?)
    }
}
