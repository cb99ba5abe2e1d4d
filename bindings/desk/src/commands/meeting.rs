//! Records that meet: `bundle`, `merge` and `exchange`.

use std::collections::BTreeSet;
use std::io::{BufWriter, IsTerminal, Write};
use std::path::{Path, PathBuf};

use clap::Args;
use hosewright_core::device::{CounterAddress, DeviceId, Invitation, InvitationError};
use hosewright_core::journal::{MergeReport, Stop, Writer};
use hosewright_core::words::{self, meeting};
use hosewright_core::{Logbook, make_folder};
use serde_json::json;

use super::files;
use super::film::{header, source};
use crate::calling::{self, Place};
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
    /// Leave out what the device that made this bundle or picture had
    #[arg(long, value_name = "FILE")]
    since: Option<PathBuf>,
    /// Overwrite an existing file
    #[arg(long)]
    force: bool,
}

impl Bundle {
    /// Writes it.
    pub fn run(self, desk: &mut Desk) -> Outcome {
        let logbook = desk.open_to_read()?;
        let since = self.since.as_deref().map(|file| header(&logbook, file)).transpose()?;
        let bar = progress::bar("entries", progress::UNKNOWN);
        let written = files::write(&self.out, self.force, |out| {
            let mut out = BufWriter::new(out);
            let written = logbook.bundle(&mut out, since.as_ref(), desk.moment.today, |done| {
                bar.set_position(done);
            })?;
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
#[command(after_help = "Example:\n  hosewright merge boat.hwbundle bench.hwbundle\n  \
    hosewright merge found.hwbundle --list\n  \
    hosewright merge found.hwbundle --without 3f9c12ab\n\n\
    Files may come in any order and as often as you like; what is good in them is merged.\n\
    Exit code 1: some of it was refused.")]
pub struct Merge {
    /// Bundles, or films as pictures
    #[arg(value_name = "FILE", required = true)]
    files: Vec<PathBuf>,
    /// Only say who wrote them, and which writers are believed here
    #[arg(long, conflicts_with = "without")]
    list: bool,
    /// Leave out what a device wrote, by the beginning of its number
    #[arg(long, value_name = "DEVICE")]
    without: Vec<String>,
}

impl Merge {
    /// Takes them in, one after another.
    pub fn run(self, desk: &mut Desk) -> Outcome {
        let mut logbook = desk.open()?;
        if self.list {
            return listed(&logbook, &self.files, desk);
        }
        let without = left_out(&logbook, &self.files, &self.without)?;
        let watched = is_watched(desk);
        let mut status = Status::Done;
        let mut failed = None;
        for path in &self.files {
            if watched {
                warned(&logbook, path, &without);
            }
            let bar = progress::bar("entries", progress::UNKNOWN);
            let merged = source(path).and_then(|bundle| {
                let (bundle, today) = (bundle.as_ref(), desk.moment.today);
                let told = |done, _| bar.set_position(done);
                Ok(logbook.merge_without(bundle, &without, today, told)?)
            });
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

/// Who wrote in some files; nothing is taken in.
fn listed(logbook: &Logbook, files: &[PathBuf], desk: &mut Desk) -> Outcome {
    for path in files {
        let writers = writers(logbook, path)?;
        if desk.json {
            desk.json(&json!({ "file": path, "writers": writers }))?;
            continue;
        }
        desk.out.line(format!("{}:", path.display()))?;
        for writer in &writers {
            desk.out.line(format!("  {}", meeting::writer(writer)))?;
        }
    }
    Ok(Status::Done)
}

/// The devices that are left out: each is named once in the files at least.
fn left_out(
    logbook: &Logbook,
    files: &[PathBuf],
    without: &[String],
) -> Result<BTreeSet<DeviceId>, Failure> {
    if without.is_empty() {
        return Ok(BTreeSet::new());
    }
    let mut all = Vec::new();
    for path in files {
        all.extend(writers(logbook, path)?);
    }
    let named = |typed: &String| Ok(hosewright_core::writer_named(&all, typed)?);
    without.iter().map(named).collect()
}

/// Whether someone sees what is said beside the work.
fn is_watched(desk: &Desk) -> bool {
    !desk.json && std::io::stderr().is_terminal()
}

fn writers(logbook: &Logbook, path: &Path) -> Result<Vec<Writer>, Failure> {
    let bar = progress::bar("entries", progress::UNKNOWN);
    let writers = source(path).and_then(|bundle| {
        Ok(logbook.writers_in(bundle.as_ref(), |done, _| bar.set_position(done))?)
    });
    bar.finish_and_clear();
    writers
}

/// Names those who would bring what is not believed. A file that cannot be read
/// is said where it is to be taken in.
fn warned(logbook: &Logbook, path: &Path, without: &BTreeSet<DeviceId>) {
    let all = writers(logbook, path).unwrap_or_default();
    let doubtful = |writer: &&Writer| writer.brings_doubt() && !without.contains(&writer.device);
    let doubtful: Vec<&Writer> = all.iter().filter(doubtful).collect();
    if !doubtful.is_empty() {
        aside(&format!("{}: {}", path.display(), meeting::NOT_BELIEVED_HERE));
        doubtful.iter().for_each(|writer| aside(&format!("  {}", meeting::writer(writer))));
    }
}

/// What a merge did.
pub(super) fn said(desk: &mut Desk, path: &Path, report: &MergeReport) -> Result<(), Failure> {
    if desk.json {
        return desk.json(&json!({ "file": path, "merge": report }));
    }
    desk.out.line(format!("{}:", path.display()))?;
    for line in meeting::merge(report) {
        desk.out.line(format!("  {line}"))?;
    }
    Ok(())
}

/// Meets other devices: in a shared folder, on a stick, at a counter in the shop's network, or at
/// the branches' PostgreSQL server.
#[derive(Args)]
#[command(after_help = "Example:\n  hosewright exchange /media/stick/hoses\n  \
    hosewright exchange /media/stick/hoses --list\n  \
    hosewright exchange /media/stick/hoses --without 3f9c12ab\n  \
    hosewright exchange HWC1:…\n  \
    hosewright exchange\n  \
    hosewright exchange 'postgres://desk@db.example/fleet'\n\n\
    A folder: reads what other devices left in it, and leaves the whole record of this one there. \
    One that is not there yet, as on a fresh stick, is made.\n\n\
    A counter: the text of the symbol that it shows under “Meet other devices” lets this device \
    in. From then on `exchange` alone meets every counter that it knows, and https://… one of \
    them. Everything is encrypted, and each proves to the other who it is.\n\n\
    A server: reads the entries that are new there, and sends those that it lacks; its tables are \
    made the first time. It can forge nothing, but whoever runs it can read everything, and can \
    hold entries back. The pass word is taken from PGPASSWORD. Unless the server is on this \
    computer TLS is needed (sslmode=disable in the address ends that) and its certificate is \
    checked, by the system's authorities or those of sslrootcert=FILE.\n\n\
    Exit code 1: some of it was refused.")]
pub struct Exchange {
    /// The folder, the text of a counter's symbol, or the address of a counter (https://…) or a
    /// server (postgres://…); without one, every counter that this device knows
    #[arg(value_name = "DIR|SYMBOL|ADDRESS")]
    place: Option<PathBuf>,
    /// Only say who wrote the files in the folder, and which of them are believed here
    #[arg(long, conflicts_with_all = ["without", "again"])]
    list: bool,
    /// Leave out what a device wrote, by the beginning of its number
    #[arg(long, value_name = "DEVICE")]
    without: Vec<String>,
    /// Send everything to the server again: rows that somebody changed there are made good
    #[arg(long)]
    again: bool,
}

impl Exchange {
    /// Reads and writes.
    pub fn run(self, desk: &mut Desk) -> Outcome {
        let refused = |error: InvitationError| Failure::refused(error.to_string());
        let Some(place) = &self.place else { return self.at_counter(None, desk) };
        match Place::typed(&place.to_string_lossy()).map_err(refused)? {
            Some(Place::Server(address)) => self.at_server(&address, desk),
            _ if self.again => Err(Failure::refused(
                "--again is for a server: elsewhere everything that the other lacks is sent",
            )),
            Some(Place::Counter(invited, addresses)) => {
                self.at_counter(Some((&addresses, invited.as_ref())), desk)
            }
            None => self.in_folder(desk),
        }
    }

    /// At the counter that a symbol or an address names, or at all that are known.
    fn at_counter(&self, named: Option<Named<'_>>, desk: &mut Desk) -> Outcome {
        if self.list || self.again || !self.without.is_empty() {
            return Err(Failure::refused(
                "--list, --without and --again are not for a counter: it is let in whole, or not at \
                 all",
            ));
        }
        let mut logbook = desk.open()?;
        match named {
            Some(named) => met_counter(&mut logbook, named, desk),
            None => at_all_counters(&mut logbook, desk),
        }
    }

    fn at_server(&self, address: &str, desk: &mut Desk) -> Outcome {
        if self.list {
            return Err(Failure::refused(
                "--list reads the files of a folder; without it, what came of a server is told \
                 device by device",
            ));
        }
        let mut logbook = desk.open()?;
        let bar = progress::far();
        let told = &mut |far| bar.set_message(words::counters::how_far(far));
        let (at, terms) = ((address, None), (self.without.as_slice(), self.again));
        let met = calling::server(&mut logbook, at, terms, &desk.moment, &Stop::default(), told);
        bar.finish_and_clear();
        let met = met?;
        if desk.json {
            desk.json(&met)?;
        } else {
            for line in words::branches::met(&met, desk.moment.today) {
                desk.out.line(line)?;
            }
        }
        Ok(if met.merge.refused == 0 { Status::Done } else { Status::No })
    }

    fn in_folder(self, desk: &mut Desk) -> Outcome {
        let folder = self.place.unwrap_or_default();
        let mut logbook = desk.open()?;
        if !self.list && make_folder(&folder)? && !desk.json {
            desk.out.line(format!("Made the folder {}", folder.display()))?;
        }
        let there = logbook.left_in(&folder)?;
        if self.list {
            return listed(&logbook, &there, desk);
        }
        let without = left_out(&logbook, &there, &self.without)?;
        if is_watched(desk) {
            there.iter().for_each(|path| warned(&logbook, path, &without));
        }
        let report = logbook.meet_in_without(&folder, &without, desk.moment.today, |_, _| ())?;
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

/// A counter: where it is reached, and the symbol that it shows.
type Named<'n> = (&'n [CounterAddress], Option<&'n Invitation>);

/// Each counter that is known, one after the other: one that does not answer keeps none of the
/// others waiting for long.
fn at_all_counters(logbook: &mut Logbook, desk: &mut Desk) -> Outcome {
    let known = logbook.met_counters()?;
    if known.is_empty() {
        return Err(Failure::refused(
            "this device knows no counter yet; type the text of the symbol that a counter shows, \
             or name a folder: hosewright exchange DIR",
        ));
    }
    let (mut status, mut reached) = (Status::Done, false);
    for counter in &known {
        match met_counter(logbook, (&counter.addresses, None), desk) {
            Ok(done) => {
                reached = true;
                status = if done == Status::Done { status } else { done };
            }
            Err(failure) => {
                status = Status::No;
                aside(&format!("hosewright: {}: {failure}", counter.device.short()));
            }
        }
    }
    if reached { Ok(status) } else { Err(Failure::Told) }
}

fn met_counter(logbook: &mut Logbook, named: Named<'_>, desk: &mut Desk) -> Outcome {
    let bar = progress::far();
    let told = &mut |far| bar.set_message(words::counters::how_far(far));
    // Control-C stops it: nothing is half done.
    let met = hosewright_calling::meet(logbook, named, &desk.moment, &Stop::default(), told);
    bar.finish_and_clear();
    let met = met?;
    if desk.json {
        desk.json(&met)?;
    } else {
        for line in words::counters::met(&met) {
            desk.out.line(line)?;
        }
    }
    let refused = met.merge.refused + met.refused_there;
    Ok(if refused == 0 { Status::Done } else { Status::No })
}
