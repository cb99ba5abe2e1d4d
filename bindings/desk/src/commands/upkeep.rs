//! The record as a whole: `check`, and `completions` for the shell.

use std::path::Path;

use clap::Args;
use clap_complete::Shell;
use hosewright_core::CheckReport;

use crate::desk::{Desk, Outcome, Status};
use crate::failure::Failure;
use crate::show::table::Column::{Text, Whole};
use crate::show::{Screen, progress, table};

/// Checks the record.
#[derive(Args)]
#[command(after_help = "Example:\n  hosewright check\n  hosewright check --rebuild\n\n\
    Exit code 1: something is wrong.")]
pub struct Check {
    /// First fold every record anew from the journal
    #[arg(long)]
    rebuild: bool,
}

impl Check {
    /// Checks, and says no by the exit code.
    pub fn run(self, desk: &mut Desk) -> Outcome {
        let mut logbook = desk.open()?;
        let bar = progress::bar("hoses", logbook.hoses().map_or(0, |hoses| hoses.len()));
        if self.rebuild {
            logbook.rebuild(progress::told(&bar))?;
        }
        let report = logbook.check(progress::told(&bar));
        bar.finish_and_clear();
        let report = report?;
        if desk.json {
            desk.json(&report)?;
        } else {
            shown(desk, logbook.path(), &report)?;
        }
        Ok(if report.sound() { Status::Done } else { Status::No })
    }
}

fn shown(desk: &mut Desk, store: &Path, report: &CheckReport) -> Result<(), Failure> {
    let mut rows = table::new(Screen::of_stdout(), [Text("What", 8), Whole("How many")]);
    for (what, count) in [
        ("entries", report.entries.to_string()),
        ("entries that this version cannot read", report.unread.to_string()),
        ("hoses", report.hoses.to_string()),
        ("sets", report.sets.to_string()),
        ("devices that wrote here", report.devices.to_string()),
    ] {
        rows.add_row([what.to_owned(), count]);
    }
    desk.out.line(format!("Store: {}\n", store.display()))?;
    desk.out.line(rows.trim_fmt())?;
    if report.set_aside > 0 {
        desk.out.line(format!(
            "{} entries are kept and not, or not wholly, believed: see device list.",
            report.set_aside
        ))?;
    }
    for device in &report.forked {
        desk.out.line(format!("Device {device} was copied: two wrote under its name."))?;
    }
    for device in &report.gaps {
        desk.out.line(format!("Some entries of device {device} have not reached this record."))?;
    }
    for problem in &report.problems {
        desk.out.line(format!("Wrong: {problem}"))?;
    }
    if report.sound() {
        desk.out.line("Nothing is wrong.")?;
    }
    Ok(())
}

/// Completions for a shell.
#[derive(Args)]
#[command(
    after_help = "Example:\n  hosewright completions bash > ~/.local/share/bash-completion/completions/hosewright"
)]
pub struct Completions {
    /// The shell
    #[arg(value_enum)]
    shell: Shell,
}

impl Completions {
    /// Prints them.
    pub fn run(self, desk: &mut Desk) -> Outcome {
        let mut script = Vec::new();
        clap_complete::generate(self.shell, &mut crate::cli::command(), "hosewright", &mut script);
        std::io::Write::write_all(&mut desk.out, &script)?;
        Ok(Status::Done)
    }
}
