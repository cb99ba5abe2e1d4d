//! The command line of Hosewright and its counter page: read what was typed,
//! ask the core, and show what it says. They decide nothing about a hose.

#[cfg(debug_assertions)]
mod announce;
mod ask;
mod branches;
mod calling;
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
mod web;

use std::process::ExitCode;

use hosewright_core::{LogbookError, StaffError};

use crate::ask::Answers;
use crate::desk::{Outcome, Status};
use crate::failure::Failure;

fn main() -> ExitCode {
    #[cfg(debug_assertions)]
    if let Err(failure) = announce::begin() {
        return failure.said();
    }
    match answered(Answers::default()) {
        Ok(Status::Done) => ExitCode::SUCCESS,
        Ok(Status::No) => ExitCode::from(1),
        Err(failure) => failure.said(),
    }
}

/// Runs what was typed. What looks like a slip, a person's PIN and the pass phrase of the owner's
/// key are asked for, and it is run once more with the answer.
fn answered(answers: Answers) -> Outcome {
    match run(answers.clone()) {
        Err(Failure::Logbook(LogbookError::AskFirst(questions))) => {
            let yes = ask::all_the_same(&questions);
            if yes {
                answered(Answers { sure: true, ..answers })
            } else {
                Err(ask::refused(&questions))
            }
        }
        Err(Failure::Logbook(LogbookError::Staff(needed @ StaffError::PinNeeded { .. })))
            if answers.pin.is_none() =>
        {
            answered(Answers { pin: Some(ask::pin(needed)?), ..answers })
        }
        Err(Failure::Logbook(LogbookError::OwnerSealed)) if answers.owner_pass.is_none() => {
            answered(Answers { owner_pass: Some(ask::owner_pass()?), ..answers })
        }
        outcome => outcome,
    }
}

fn run(answers: Answers) -> Outcome {
    match cli::read(answers)? {
        Some((command, desk)) => desk.run(|desk| command.run(desk)),
        None => Ok(Status::Done),
    }
}
