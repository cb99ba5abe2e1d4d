//! The record as a whole: `check`, and `completions` for the shell.

use std::path::{Path, PathBuf};

use clap::Args;
use clap_complete::Shell;
use hosewright_core::{CheckReport, Logbook};

use crate::desk::{Desk, Outcome, Status};
use crate::failure::Failure;
use crate::show::table::Column::{Text, Whole};
use crate::show::{progress, table};
use crate::store;
use crate::terminal::Screen;

/// Checks the record.
#[derive(Args)]
#[command(after_help = "Example:\n  hosewright check\n  hosewright check --rebuild\n\n\
    To save what can still be read of a damaged store into a new one:\n  \
    hosewright --store damaged.hosewright check --salvage new.hosewright\n\n\
    Exit code 1: something is wrong, or was lost.")]
pub struct Check {
    /// First compute every record again from the journal
    #[arg(long)]
    rebuild: bool,
    /// Take what can still be read of a damaged store into a new one, and say what was lost
    #[arg(long, value_name = "NEW", conflicts_with = "rebuild")]
    salvage: Option<PathBuf>,
}

impl Check {
    /// Checks, and says no by the exit code.
    pub fn run(self, desk: &mut Desk) -> Outcome {
        if let Some(into) = &self.salvage {
            return salvaged(desk, into);
        }
        let mut logbook = desk.open_to_read()?;
        let bar = progress::bar("hoses", logbook.hoses().map_or(0, |hoses| hoses.len()));
        if self.rebuild {
            logbook.rebuild(progress::told(&bar))?;
        }
        let report = logbook.check(progress::told(&bar));
        bar.finish_and_clear();
        let report = report?;
        // Where a table is missing no record can be asked.
        let conflicts = if report.sound() { logbook.conflicts(&desk.moment)? } else { Vec::new() };
        if desk.json {
            let mut shown = serde_json::to_value(&report).unwrap_or_default();
            if let Some(fields) = shown.as_object_mut() {
                fields.insert("conflicts".to_owned(), serde_json::json!(conflicts));
            }
            desk.json(&shown)?;
        } else {
            shown(desk, logbook.path(), &report)?;
            if !conflicts.is_empty() {
                desk.out.text("\nIn doubt on record:\n")?;
            }
            for line in conflicts {
                desk.out.line(format!("- {line}"))?;
            }
        }
        Ok(if report.sound() { Status::Done } else { Status::No })
    }
}

fn shown(desk: &mut Desk, store: &Path, report: &CheckReport) -> Result<(), Failure> {
    let mut rows = table::new(Screen::of_stdout(), [Text("What", 8), Whole("How many")]);
    for (what, count) in report.counts() {
        rows.add_row([what.to_owned(), count]);
    }
    desk.out.line(format!("Store: {}\n", store.display()))?;
    desk.out.text(rows.drawn())?;
    for line in report.words() {
        desk.out.line(line)?;
    }
    Ok(())
}

/// Takes what can be read of a damaged store into a new one.
fn salvaged(desk: &mut Desk, into: &Path) -> Outcome {
    let bar = progress::bar("pages", progress::UNKNOWN);
    let report = Logbook::salvage(&desk.place()?, into, &*store::keyring()?, progress::told(&bar));
    bar.finish_and_clear();
    let report = report?;
    if desk.json {
        desk.json(&report)?;
    } else {
        for line in report.words() {
            desk.out.line(line)?;
        }
        desk.out.line(format!("Use it with --store {}", into.display()))?;
    }
    Ok(if report.complete() { Status::Done } else { Status::No })
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
        clap_complete::generate(self.shell, &mut (desk.grammar)(), "hosewright", &mut script);
        std::io::Write::write_all(&mut desk.out, &script)?;
        Ok(Status::Done)
    }
}
