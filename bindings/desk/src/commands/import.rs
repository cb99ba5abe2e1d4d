//! The record in and out: `import` and `export`.

use std::fs::File;
use std::io::{BufRead, BufReader, BufWriter, Read, Write};
use std::path::{Path, PathBuf};

use clap::Args;
use hosewright_core::policy::Use;
use hosewright_core::spreadsheet::{Matched, read_sheet_as, template};
use hosewright_core::{ImportReport, Logbook, Taking};
use serde_json::json;

use super::files;
use crate::desk::{Desk, Outcome, Status};
use crate::failure::Failure;
use crate::output::aside;
use crate::show::{self, progress};

/// Takes in an export, or a spreadsheet of hoses.
#[derive(Args)]
#[command(
    after_help = "Example:\n  hosewright import record.jsonl\n  hosewright import hoses.csv --partial\n  \
    hosewright import hoses.csv --column Inspected=full-inspection --make-sets rental\n  \
    hosewright import --template > hoses.csv\n\n\
    The content says which it is. Without --partial, one bad line (not an entry, or not what its\n\
    device signed) refuses the whole file. Exit code 1: some lines were left out."
)]
pub struct Import {
    /// JSON Lines of an export, or CSV
    #[arg(required_unless_present = "template")]
    file: Option<PathBuf>,
    /// Print a spreadsheet to fill in, with its headings and an example
    #[arg(long, conflicts_with = "file")]
    template: bool,
    /// What a column of a spreadsheet says, if its heading is not understood
    #[arg(long = "column", value_name = "HEADING=FIELD")]
    columns: Vec<Matched>,
    /// Make the sets that a spreadsheet names and that are not on record, for this
    /// use: personal or rental
    #[arg(long, value_name = "USE")]
    make_sets: Option<Use>,
    /// Import what can be read, and leave out the rest
    #[arg(long)]
    partial: bool,
}

impl Import {
    /// Takes it in and says what became of it.
    pub fn run(self, desk: &mut Desk) -> Outcome {
        let Some(file) = self.file.as_deref().filter(|_| !self.template) else {
            desk.out.text(template())?;
            return Ok(Status::Done);
        };
        let mut logbook = desk.open()?;
        let mut lines = BufReader::new(File::open(file).map_err(Failure::io(file))?);
        if !looks_like_json(&mut lines, file)? {
            let mut bytes = Vec::new();
            lines.read_to_end(&mut bytes).map_err(Failure::io(file))?;
            return self.spreadsheet(&bytes, &mut logbook, desk);
        }
        let bar = progress::bar("entries", progress::UNKNOWN);
        let report =
            logbook.import_lines(&mut lines, self.partial, desk.moment.today, progress::told(&bar));
        bar.finish_and_clear();
        told(desk, file, &report?, self.partial)
    }

    fn spreadsheet(&self, bytes: &[u8], logbook: &mut Logbook, desk: &mut Desk) -> Outcome {
        let sheet = read_sheet_as(bytes, &self.columns, desk.moment.today)
            .map_err(|error| Failure::refused(error.to_string()))?;
        let taking = Taking { partial: self.partial, make_sets: self.make_sets };
        let report = logbook.import_sheet(&sheet, taking, &desk.moment)?;
        show::sheet::told(desk, &report)
    }
}

/// An export begins with a brace, behind any byte order mark and empty lines.
fn looks_like_json(lines: &mut impl BufRead, path: &Path) -> Result<bool, Failure> {
    let start = lines.fill_buf().map_err(Failure::io(path))?;
    let start = start.strip_prefix("\u{feff}".as_bytes()).unwrap_or(start);
    let first = start.iter().find(|byte| !byte.is_ascii_whitespace());
    match first {
        None => Err(Failure::refused(format!("{} is empty; nothing to take in", path.display()))),
        Some(first) => Ok(*first == b'{'),
    }
}

fn told(desk: &mut Desk, path: &Path, report: &ImportReport, partial: bool) -> Outcome {
    let whole = report.merge.refused == 0;
    let nothing = !whole && !partial;
    if desk.json {
        let refused = report.refused.iter();
        let refused: Vec<_> =
            refused.map(|(line, why)| json!({ "line": line, "reason": why })).collect();
        desk.json(&json!({ "file": path, "taken": report.merge.new,
            "known": report.merge.known, "refused": refused, "merge": report.merge }))?;
    } else if !nothing {
        super::meeting::said(desk, path, &report.merge)?;
    }
    if nothing {
        for (line, why) in &report.refused {
            aside(&format!("hosewright: line {line}: {why}"));
        }
        aside(
            "hosewright: nothing was changed; put the lines right, or take the rest with --partial",
        );
        return Err(Failure::Told);
    }
    Ok(if whole { Status::Done } else { Status::No })
}

/// Writes the whole record as JSON Lines.
#[derive(Args)]
#[command(
    after_help = "Example:\n  hosewright export --out record.jsonl\n  hosewright export | gzip > record.jsonl.gz"
)]
pub struct Export {
    /// The file [else standard output]
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
    /// Overwrite an existing file
    #[arg(long)]
    force: bool,
}

impl Export {
    /// Writes it.
    pub fn run(self, desk: &mut Desk) -> Outcome {
        let logbook = desk.open_to_read()?;
        let Some(path) = &self.out else {
            logbook.export(&mut desk.out, |_, _| ())?;
            return Ok(Status::Done);
        };
        let bar = progress::bar("entries", progress::UNKNOWN);
        let written = files::write(path, self.force, |out| {
            let mut out = BufWriter::new(out);
            let written = logbook.export(&mut out, progress::told(&bar))?;
            out.flush().map_err(Failure::io(path))?;
            Ok(written)
        })?;
        bar.finish_and_clear();
        if desk.json {
            desk.json(&json!({ "entries": written }))?;
        } else {
            desk.out.line(format!("{written} entries written to {}", path.display()))?;
        }
        Ok(Status::Done)
    }
}
