//! The command line of Hosewright and its counter page: read what was typed,
//! ask the core, and show what it says. They decide nothing about a hose.

#[cfg(debug_assertions)]
mod announce;
mod cli;
mod commands;
mod demo;
mod desk;
mod failure;
mod moment;
mod output;
mod page;
mod show;
mod store;

use std::process::ExitCode;

fn main() -> ExitCode {
    #[cfg(debug_assertions)]
    if let Err(failure) = announce::begin() {
        return failure.said();
    }
    let (command, desk) = match cli::read() {
        Ok(Some(read)) => read,
        Ok(None) => return ExitCode::SUCCESS,
        Err(failure) => return failure.said(),
    };
    desk.run(|desk| command.run(desk))
}
