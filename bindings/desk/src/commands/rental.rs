//! `rental`: handing sets out, and taking them back.

use chrono::NaiveDate;
use clap::{Args, Subcommand};
use hosewright_core::hose::{Label, Prose};
use hosewright_core::index::SetFilter;
use hosewright_core::inspection::Verdict;
use hosewright_core::rental::{BroughtBack, SeenOn};
use hosewright_core::words;
use hosewright_core::{LogbookError, Page};
use serde_json::json;

use super::packing::{self, Pack, Unpack};
use crate::desk::{Desk, Outcome, Status};
use crate::failure::Failure;
use crate::show::csv::{self, Csv};
use crate::show::hand_out::{Told, reasons, told};
use crate::show::part::Part;
use crate::show::{brief, table};
use crate::terminal::Screen;
use crate::values::{self, Given, On};

/// Sets that are rented out.
#[derive(Args)]
pub struct Rental {
    #[command(subcommand)]
    command: RentalCommand,
}

#[derive(Subcommand)]
enum RentalCommand {
    /// Hand a set out: every hose of it is scanned
    Out(Out),
    /// Pack a set for a hirer: every hose of it is scanned, and it goes out later
    Pack(Pack),
    /// Unpack a set: it does not go out by that packing
    Unpack(Unpack),
    /// Say what would stop a hand-out; nothing is written
    Check(Check),
    /// Take a set back: the dives, and a quick look at each hose
    In(In),
    /// The sets that are out
    List(List),
}

impl Rental {
    /// Runs one of its commands.
    pub fn run(self, desk: &mut Desk) -> Outcome {
        match self.command {
            RentalCommand::Out(out) => out.run(desk),
            RentalCommand::Pack(pack) => pack.run(desk),
            RentalCommand::Unpack(unpack) => unpack.run(desk),
            RentalCommand::Check(check) => check.run(desk),
            RentalCommand::In(back) => back.run(desk),
            RentalCommand::List(list) => list.run(desk),
        }
    }
}

/// A hand-out.
#[derive(Args)]
#[command(after_help = "Example:\n  hosewright rental out R3 --ticket 4711 7K2M9 3FQ8Z XJ4TT\n  \
    hosewright rental out R3 --ticket 4711 7K2M9 --override --why \"pool session, gauge not used\"\n\n\
    Scan the hoses in any order. A set that is packed goes out without codes, if nothing is new\n\
    since. Exit code 1: something stops it; nothing was changed.")]
struct Out {
    /// The set
    #[arg(value_parser = values::set_name)]
    set: Label,
    /// The hirer's ticket: a number, never a person; of a packed set it is that of its packing
    #[arg(long, value_parser = values::ticket)]
    ticket: Option<Label>,
    /// The codes of the hoses that are handed over; none of a set that is packed
    #[arg(value_name = "CODE")]
    codes: Vec<String>,
    /// Hand it out anyway; the name and the reason stay on record
    #[arg(long = "override", requires = "why")]
    lift: bool,
    /// Why
    #[arg(long, value_name = "TEXT", value_parser = values::why, requires = "lift")]
    why: Option<Prose>,
    #[command(flatten)]
    when: On,
}

impl Out {
    fn run(self, desk: &mut Desk) -> Outcome {
        let mut logbook = desk.open()?;
        let (set, on, now) = (&self.set, self.when.on, &desk.moment);
        let packed = packing::ticket_of(&logbook, set)?;
        let waits = packed.is_some() && self.codes.is_empty();
        let Some(ticket) = self.ticket.or(packed) else {
            return Err(Failure::refused(NO_TICKET.to_owned()));
        };
        let handed = match waits {
            true => logbook.hand_out_packed(set, Some(&ticket), self.why, on, now),
            false => logbook.hand_out(set, ticket.clone(), &self.codes, self.why, on, now),
        };
        match handed {
            Ok(check) => told(desk, &check, Told::Out(&ticket)).map(|()| Status::Done),
            Err(LogbookError::HandOutStopped(check)) => {
                told(desk, &check, Told::Checked).map(|()| Status::No)
            }
            Err(other) => packing::not_gone(desk, other),
        }
    }
}

/// Said if a set that is not packed has no ticket to go out on.
const NO_TICKET: &str = "the set is not packed, so name the hirer's ticket: --ticket 4711";

/// A check alone.
#[derive(Args)]
#[command(after_help = "Example:\n  hosewright rental check R3 7K2M9 3FQ8Z XJ4TT\n\n\
    Exit code 1: something would stop it.")]
struct Check {
    /// The set
    #[arg(value_parser = values::set_name)]
    set: Label,
    /// The codes of the hoses that were scanned
    #[arg(value_name = "CODE")]
    codes: Vec<String>,
}

impl Check {
    fn run(self, desk: &mut Desk) -> Outcome {
        let check = desk.open_to_read()?.hand_out_check(&self.set, &self.codes, &desk.moment)?;
        told(desk, &check, Told::Checked)?;
        Ok(if check.ready { Status::Done } else { Status::No })
    }
}

/// A return.
#[derive(Args)]
#[command(
    after_help = "Example:\n  hosewright rental in R3 --dives 4 --nothing-found 7K2M9 3FQ8Z XJ4TT\n  \
    hosewright rental in R3 --dives 4 --nothing-found 7K2M9 3FQ8Z --missing XJ4TT\n  \
    hosewright rental in R3 --dives unknown --nothing-found 3FQ8Z XJ4TT --finding 7K2M9:run:cut:cover\n\n\
    Every hose that is out is scanned, or named missing; one with a finding counts as scanned. A\n\
    quick look is recorded for each that was scanned: with what was found, or with nothing found\n\
    if you looked at the others and say so by --nothing-found.\n\
    A missing hose is taken off the set, and is on hold until it is found. If nobody knows the\n\
    dives, the owner's number a day counts: limits set --unknown-dives N."
)]
struct In {
    /// The set
    #[arg(value_parser = values::set_name)]
    set: Label,
    /// The codes of the hoses that came back
    #[arg(value_name = "CODE")]
    codes: Vec<String>,
    /// The dives that were made with it, or unknown
    #[arg(long, value_name = "N|unknown", value_parser = values::dives)]
    dives: Given<u32>,
    /// A hose that did not come back; may be given again
    #[arg(long, value_name = "CODE")]
    missing: Vec<String>,
    /// The hoses without a finding were looked at, and nothing was found on them
    #[arg(long)]
    nothing_found: bool,
    /// What was seen on a hose that came back; may be given again
    #[arg(long = "finding", value_name = "CODE:PLACE:FINDING[:GRADE]", value_parser = values::finding::<SeenOn>)]
    findings: Vec<SeenOn>,
    #[command(flatten)]
    when: On,
}

impl In {
    fn run(self, desk: &mut Desk) -> Outcome {
        let mut logbook = desk.open()?;
        let back = BroughtBack {
            dives: self.dives.known(),
            clear: if self.nothing_found { self.codes.clone() } else { Vec::new() },
            scanned: self.codes,
            missing: self.missing,
            seen: self.findings.into_iter().map(|on| (on.hose, on.seen)).collect(),
            photographs: Vec::new(),
        };
        let back = logbook.take_back(&self.set, &back, self.when.on, &desk.moment)?;
        if desk.json {
            desk.json(&back)?;
            return Ok(Status::Done);
        }
        desk.out.text(brief::filled(Screen::of_stdout(), &back.words))?;
        let screen = Screen::of_stdout();
        for difference in &back.differences {
            desk.out.text(brief::indented(screen, difference, ""))?;
        }
        let held = back.missing.iter().chain(&back.stops);
        held.into_iter().try_for_each(|hose| reasons(desk, screen, hose))?;
        let watch = back.hoses.iter().filter(|hose| hose.verdict == Verdict::Watch);
        watch.into_iter().try_for_each(|hose| reasons(desk, screen, hose))?;
        Ok(Status::Done)
    }
}

/// The sets that are out.
#[derive(Args)]
#[command(
    after_help = "Example:\n  hosewright rental list\n  hosewright rental list --before 2026-06-01 --csv > late.csv"
)]
struct List {
    /// Only sets of this branch
    #[arg(long, value_name = "NAME", value_parser = values::branch)]
    branch: Option<Label>,
    /// Only sets that went out before this day
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = values::day)]
    before: Option<NaiveDate>,
    #[command(flatten)]
    part: Part,
    #[command(flatten)]
    csv: Csv,
}

impl List {
    fn run(self, desk: &mut Desk) -> Outcome {
        let filter = SetFilter { branch: self.branch, out: true, ..SetFilter::default() };
        let sets = desk.open_to_read()?.list_sets(&filter, &Page::ALL)?.rows;
        let mut out: Vec<_> =
            sets.into_iter().filter_map(|set| set.out.map(|out| (set.name, out))).collect();
        out.retain(|(_, out)| self.before.is_none_or(|day| out.on < day));
        // The longest out comes first; those of one day by name.
        out.sort_by_key(|(_, out)| out.on);
        let total = u64::try_from(out.len()).unwrap_or(u64::MAX);
        let page = self.part.page(desk.json || self.csv.csv);
        let number = |n: u64| usize::try_from(n).unwrap_or(usize::MAX);
        let out: Vec<_> = out.into_iter().skip(number(page.from)).take(number(page.most)).collect();
        if desk.json {
            let shown: Vec<_> =
                out.iter().map(|(set, out)| json!({ "set": set, "out": out })).collect();
            desk.json(&shown)?;
            return Ok(Status::Done);
        }
        if self.csv.csv {
            let head = ["set", "ticket", "out since", "days", "hoses", "handed out by"];
            let rows = out.iter().map(|(set, out)| {
                [
                    set.to_string(),
                    out.ticket.to_string(),
                    out.on.to_string(),
                    (desk.moment.today - out.on).num_days().to_string(),
                    out.hoses.len().to_string(),
                    out.by.to_string(),
                ]
            });
            let rows: Vec<_> = rows.collect();
            csv::write(desk, head, rows)?;
            return Ok(Status::Done);
        }
        if out.is_empty() {
            desk.out.line(words::sets::NOTHING_OUT)?;
            return Ok(Status::Done);
        }
        let mut rows = table::new(
            Screen::of_stdout(),
            [
                table::Column::Text("Set", 8),
                table::Column::Text("Ticket", 8),
                table::Column::Text("Out", 16),
                table::Column::Whole("Hoses"),
                table::Column::Text("Handed out by", 12),
            ],
        );
        for (set, out) in &out {
            rows.add_row([
                set.to_string(),
                out.ticket.to_string(),
                words::sets::out_for(out.on, desk.moment.today),
                out.hoses.len().to_string(),
                out.by.to_string(),
            ]);
        }
        desk.out.text(rows.drawn())?;
        self.part.rest(desk, out.len(), total)?;
        Ok(Status::Done)
    }
}
