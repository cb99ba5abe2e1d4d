//! `web`: the page for phones' browsers as files for any host.

use std::path::PathBuf;

use clap::Args;
use serde_json::json;

use crate::desk::{Desk, Outcome, Status};
use crate::failure::Failure;
use crate::paint::Painted;
use crate::web::{FILES, WITHOUT, write};

/// Writes the page that keeps a record in any phone's browser.
#[derive(Args)]
#[command(after_help = "Example:\n  hosewright web --out public\n\n\
    Put the files at the root of a host with a certificate that browsers trust: any host of \
    files does. The record stays in each phone's browser; the host never sees it.")]
pub struct Web {
    /// The folder to write the files to
    #[arg(long, value_name = "DIR")]
    out: PathBuf,
}

impl Web {
    /// Writes them.
    pub fn run(self, desk: &mut Desk) -> Outcome {
        if FILES.is_empty() {
            return Err(Failure::refused(WITHOUT));
        }
        let failed = |error| format!("cannot write to {}: {error}", self.out.display());
        write(FILES, &self.out).map_err(|error| Failure::refused(failed(error)))?;
        if desk.json {
            desk.json(&json!({ "files": FILES.len(), "out": self.out }))?;
        } else {
            let line = format!(
                "{} files in {}. Put them at the root of a host with a certificate that browsers \
                 trust.\n",
                FILES.len(),
                self.out.display()
            );
            desk.out.text(Painted::from(line))?;
        }
        Ok(Status::Done)
    }
}
