//! The command line of Hosewright and its counter page: read what was typed,
//! ask the core, and show what it says. They decide nothing about a hose.

#[cfg(debug_assertions)]
mod announce;
mod ask;
mod cli;
mod commands;
mod demo;
mod desk;
mod failure;
mod moment;
mod output;
mod page;
mod paint;
mod show;
mod store;
mod terminal;
mod values;

use std::process::ExitCode;

use hosewright_core::LogbookError;

use crate::desk::{Outcome, Status};
use crate::failure::Failure;

fn main() -> ExitCode {
    #[cfg(debug_assertions)]
    if let Err(failure) = announce::begin() {
        return failure.said();
    }
    let outcome = match run(false) {
        // What looks like a slip is asked about, and done once someone says so.
        Err(Failure::Logbook(LogbookError::AskFirst(questions))) => {
            if ask::all_the_same(&questions) { run(true) } else { Err(ask::refused(&questions)) }
        }
        outcome => outcome,
    };
    match outcome {
        Ok(Status::Done) => ExitCode::SUCCESS,
        Ok(Status::No) => ExitCode::from(1),
        Err(failure) => failure.said(),
    }
}

fn run(sure: bool) -> Outcome {
    match cli::read(sure)? {
        Some((command, desk)) => desk.run(|desk| command.run(desk)),
        None => Ok(Status::Done),
    }
}
