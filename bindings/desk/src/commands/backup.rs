//! The whole record in one file, and a record brought back from it: `backup` and `restore`.

use std::io::{BufWriter, Read, Write};
use std::path::PathBuf;

use clap::Args;
use hosewright_core::Restoring;
use hosewright_core::hose::Label;
use hosewright_core::words::backup as say;
use serde_json::json;

use super::files;
use crate::desk::{Desk, Outcome, Status};
use crate::failure::Failure;
use crate::output::aside;
use crate::show::progress;
use crate::values;

/// Writes a backup.
#[derive(Args)]
#[command(after_help = "Example:\n  hosewright backup --out /media/stick/hoses.hwbundle\n\n\
    It is a bundle, and `merge` takes it too. No key and none of the owner's words are in it.")]
pub struct Backup {
    /// The file
    #[arg(long, value_name = "FILE")]
    out: PathBuf,
    /// Overwrite an existing file
    #[arg(long)]
    force: bool,
}

impl Backup {
    /// Writes it, and notes the day.
    pub fn run(self, desk: &mut Desk) -> Outcome {
        let logbook = desk.open_to_read()?;
        let bar = progress::bar("entries", progress::UNKNOWN);
        let written = files::write(&self.out, self.force, |out| {
            let mut out = BufWriter::new(out);
            let done = |done| bar.set_position(done);
            let written = logbook.backup(&mut out, &desk.moment, done)?;
            out.flush().map_err(Failure::io(&self.out))?;
            Ok(written)
        })?;
        bar.finish_and_clear();
        drop(logbook);
        // A record that can only be read is backed up all the same.
        if let Ok(mut logbook) = desk.open() {
            logbook.backed_up(&desk.moment)?;
        }
        if desk.json {
            desk.json(&json!({ "entries": written }))?;
        } else {
            desk.out.line(format!("{written} entries written to {}", self.out.display()))?;
        }
        Ok(Status::Done)
    }
}

/// Brings a record back.
#[derive(Args)]
#[command(
    after_help = "Example:\n  hosewright --store new.hosewright restore hoses.hwbundle --name counter < words.txt\n\n\
    Into an empty record. If the record has an owner, the owner's 24 words come on standard input;\n\
    they are used once and not kept. Exit code 1: some of the backup was refused."
)]
pub struct Restore {
    /// The backup
    #[arg(value_name = "FILE")]
    file: PathBuf,
    /// What this device is called from now on
    #[arg(long, value_parser = values::name)]
    name: Option<Label>,
    /// Dismiss the device that made the backup: it is gone
    #[arg(long)]
    dismiss: bool,
}

impl Restore {
    /// Brings it back, and says what may be missing.
    pub fn run(self, desk: &mut Desk) -> Outcome {
        let mut logbook = desk.open()?;
        let mut words = String::new();
        if logbook.bundle_header(&self.file)?.fleet.is_some() {
            aside(say::WORDS);
            // 24 words are a few hundred bytes.
            let read = std::io::stdin().take(4096).read_to_string(&mut words);
            read.map_err(Failure::io("the words".as_ref()))?;
        }
        let restoring = Restoring { words: &words, name: self.name, dismiss: self.dismiss };
        let bar = progress::bar("entries", progress::UNKNOWN);
        let restored = logbook.restore(&self.file, &restoring, &desk.moment, |done, _| {
            bar.set_position(done);
        });
        bar.finish_and_clear();
        let restored = restored?;
        if desk.json {
            desk.json(&restored)?;
        } else {
            restored.words.iter().try_for_each(|line| desk.out.line(line))?;
            desk.out.line(format!("{}:", say::MISSING))?;
            for line in &restored.missing {
                desk.out.line(format!("- {line}"))?;
            }
        }
        Ok(if restored.merge.refused > 0 { Status::No } else { Status::Done })
    }
}
