//! Records that meet: `bundle`, `merge` and `exchange`.

use std::io::{BufWriter, Write};
use std::path::PathBuf;

use clap::Args;
use hosewright_core::journal::MergeReport;
use hosewright_core::words::meeting;
use serde_json::json;

use super::files;
use crate::desk::{Desk, Outcome, Status};
use crate::failure::Failure;
use crate::output::aside;
use crate::show::progress;

/// Writes the record into a file for another device.
#[derive(Args)]
#[command(after_help = "Example:\n  hosewright bundle --out boat.hwbundle\n  \
    hosewright bundle --out answer.hwbundle --since boat.hwbundle")]
pub struct Bundle {
    /// The file
    #[arg(long, value_name = "FILE")]
    out: PathBuf,
    /// Leave out what the maker of this bundle had
    #[arg(long, value_name = "FILE")]
    since: Option<PathBuf>,
    /// Write over a file that is there
    #[arg(long)]
    force: bool,
}

impl Bundle {
    /// Writes it.
    pub fn run(self, desk: &mut Desk) -> Outcome {
        let logbook = desk.open_to_read()?;
        let since = self.since.as_ref().map(|path| logbook.bundle_header(path)).transpose()?;
        let bar = progress::bar("entries", progress::UNKNOWN);
        let written = files::write(&self.out, self.force, |out| {
            let mut out = BufWriter::new(out);
            let written =
                logbook.bundle(&mut out, since.as_ref(), |done| bar.set_position(done))?;
            out.flush().map_err(Failure::io(&self.out))?;
            Ok(written)
        })?;
        bar.finish_and_clear();
        if desk.json {
            desk.json(&json!({ "entries": written }))?;
        } else {
            desk.out.line(format!("{written} entries written to {}", self.out.display()))?;
        }
        Ok(Status::Done)
    }
}

/// Takes in bundles of other devices.
#[derive(Args)]
#[command(after_help = "Example:\n  hosewright merge boat.hwbundle bench.hwbundle\n\n\
    What is good in a file goes in, whatever order files come in and however often.\n\
    Exit code 1: some of it was refused.")]
pub struct Merge {
    /// Bundles
    #[arg(value_name = "FILE", required = true)]
    files: Vec<PathBuf>,
}

impl Merge {
    /// Takes them in, one after another.
    pub fn run(self, desk: &mut Desk) -> Outcome {
        let mut logbook = desk.open()?;
        let mut status = Status::Done;
        let mut failed = None;
        for path in &self.files {
            let bar = progress::bar("entries", progress::UNKNOWN);
            let merged = logbook.merge(path, |done, _| bar.set_position(done));
            bar.finish_and_clear();
            match merged {
                Ok(report) => {
                    said(desk, path, &report)?;
                    if report.refused > 0 {
                        status = Status::No;
                    }
                }
                Err(error) => {
                    aside(&format!("hosewright: {error}"));
                    failed = Some(Failure::Told);
                }
            }
        }
        failed.map_or(Ok(status), Err)
    }
}

fn said(desk: &mut Desk, path: &std::path::Path, report: &MergeReport) -> Result<(), Failure> {
    if desk.json {
        return desk.json(&json!({ "file": path, "merge": report }));
    }
    desk.out.line(format!("{}:", path.display()))?;
    for line in meeting::merge(report) {
        desk.out.line(format!("  {line}"))?;
    }
    Ok(())
}

/// Meets other devices in a shared folder or on a stick.
#[derive(Args)]
#[command(after_help = "Example:\n  hosewright exchange /media/stick/hoses\n\n\
    Reads what other devices left in the folder, and leaves the whole record of this one there.")]
pub struct Exchange {
    /// The folder
    #[arg(value_name = "DIR")]
    folder: PathBuf,
}

impl Exchange {
    /// Reads and writes.
    pub fn run(self, desk: &mut Desk) -> Outcome {
        let mut logbook = desk.open()?;
        let report = logbook.exchange(&self.folder)?;
        let mut status = Status::Done;
        for (path, merged) in &report.files {
            match merged {
                Ok(merged) if merged.refused == 0 => said(desk, path, merged)?,
                Ok(merged) => {
                    status = Status::No;
                    said(desk, path, merged)?;
                }
                Err(why) => {
                    status = Status::No;
                    aside(&format!("hosewright: {why}"));
                }
            }
        }
        if !desk.json {
            desk.out.line(format!("Left for the others: {}", report.own.display()))?;
        }
        Ok(status)
    }
}
