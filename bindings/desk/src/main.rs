//! The command line of Hosewright: reads what was typed, asks the core, and
//! shows what it says. It decides nothing about a hose.

mod cli;
mod commands;
mod demo;
mod desk;
mod failure;
mod moment;
mod output;
mod show;
mod store;

use std::process::ExitCode;

fn main() -> ExitCode {
    let (command, desk) = match cli::read() {
        Ok(Some(read)) => read,
        Ok(None) => return ExitCode::SUCCESS,
        Err(failure) => return failure.said(),
    };
    desk.run(|desk| command.run(desk))
}
