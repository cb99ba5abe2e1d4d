//! What can be shown of a hose or a set, and checked by others: `case` and `verify`.

use std::fs::File;
use std::io::{BufReader, BufWriter, Write};
use std::path::{Path, PathBuf};

use clap::Args;
use hosewright_core::Logbook;
use hosewright_core::case::{CaseFile, CaseOf};
use hosewright_core::journal::{self, Statement, Verified};
use hosewright_core::words::case as say;
use serde_json::{Value, json};

use super::doubt::HoseOrSet;
use super::files;
use crate::desk::{Desk, Outcome, Status};
use crate::failure::Failure;

/// The case file of a hose or a set.
#[derive(Args)]
#[command(after_help = "Example:\n  hosewright case 7K2M9 --out case.pdf --entries case.jsonl\n  \
    hosewright case --set R3 --out r3.pdf\n\n\
    The entries are checked, without this record, by: hosewright verify case.jsonl")]
pub struct Case {
    #[command(flatten)]
    which: HoseOrSet,
    /// The case file to read and print, a PDF
    #[arg(long, value_name = "FILE", required_unless_present = "entries")]
    out: Option<PathBuf>,
    /// The signed entries, for others to check
    #[arg(long, value_name = "FILE")]
    entries: Option<PathBuf>,
    /// Overwrite existing files
    #[arg(long)]
    force: bool,
}

impl Case {
    /// Writes what was asked for.
    pub fn run(self, desk: &mut Desk) -> Outcome {
        let paths = || self.out.iter().chain(&self.entries);
        paths().try_for_each(|path| files::refuse_present(path, self.force))?;
        let logbook = desk.open_to_read()?;
        let of = match (self.which.set, self.which.code) {
            (Some(set), _) => CaseOf::Set(set),
            (None, code) => CaseOf::Hose(logbook.find_typed(&code.unwrap_or_default())?.hose),
        };
        let case = logbook.case_file(&of, &desk.moment)?;
        let force = self.force;
        let pages = self.out.as_ref().map(|path| printed(&logbook, &case, path, force));
        let pages = pages.transpose()?;
        self.entries.as_ref().map_or(Ok(()), |path| listed(&logbook, &case, path, force))?;
        said(desk, &case, (self.out.as_deref(), pages), self.entries.as_deref())
    }
}

fn printed(logbook: &Logbook, case: &CaseFile, path: &Path, force: bool) -> Result<usize, Failure> {
    files::write(path, force, |out| {
        let mut out = BufWriter::new(out);
        let pages = logbook.print_case(case, &mut out)?;
        out.flush().map_err(Failure::io(path))?;
        Ok(pages)
    })
}

fn listed(logbook: &Logbook, case: &CaseFile, path: &Path, force: bool) -> Result<(), Failure> {
    files::write(path, force, |out| {
        let mut out = BufWriter::new(out);
        logbook.case_entries(case, &mut out)?;
        out.flush().map_err(Failure::io(path))
    })
}

fn said(
    desk: &mut Desk,
    case: &CaseFile,
    (out, pages): (Option<&Path>, Option<usize>),
    entries: Option<&Path>,
) -> Outcome {
    let count = case.listed().len();
    if desk.json {
        desk.json(&json!({
            "about": case.about, "entries": count, "number": case.number, "pages": pages,
            "verdict": case.verdict,
        }))?;
        return Ok(Status::Done);
    }
    desk.out.line(format!("{}: {}", case.about, say::list(count, &case.number)))?;
    for path in out.into_iter().chain(entries) {
        desk.out.line(format!("Written to {}", path.display()))?;
    }
    Ok(Status::Done)
}

/// Checks a file of signed entries.
#[derive(Args)]
#[command(after_help = "Example:\n  hosewright verify case.jsonl\n\n\
    Needs no record. Exit code 1: something in it does not hold; each line of it is named.")]
pub struct Verify {
    /// The file that `case --entries` wrote
    #[arg(value_name = "FILE")]
    file: PathBuf,
}

impl Verify {
    /// Checks it, and names what does not hold.
    pub fn run(self, desk: &mut Desk) -> Outcome {
        let file = File::open(&self.file).map_err(Failure::io(&self.file))?;
        let verified = journal::verify(&mut BufReader::new(file));
        let verified = verified.map_err(Failure::io(&self.file))?;
        if desk.json {
            desk.json(&as_json(&verified))?;
        } else {
            say::verified(&verified).iter().try_for_each(|line| desk.out.line(line))?;
        }
        Ok(if verified.holds() { Status::Done } else { Status::No })
    }
}

fn as_json(verified: &Verified) -> Value {
    let statement = verified.statement.as_ref();
    let writers = verified.writers.iter().map(|writer| {
        json!({ "device": writer.device, "name": writer.name, "read": writer.read, "failing": writer.failing })
    });
    let problems = verified.problems.iter();
    let problems =
        problems.map(|problem| json!({ "line": problem.line, "why": say::problem(problem) }));
    json!({
        "about": statement.map(|statement| &statement.about),
        "by": statement.map(|statement| &statement.by),
        "device": statement.map(|statement| statement.device),
        "number": statement.map(|statement| Statement::number(&statement.entries)),
        "entries": statement.map(|statement| statement.entries.len()),
        "beside": verified.beside,
        "writers": writers.collect::<Vec<_>>(),
        "problems": problems.collect::<Vec<_>>(),
        "holds": verified.holds(),
    })
}
