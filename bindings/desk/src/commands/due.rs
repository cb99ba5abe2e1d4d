//! `due`: what is due, as a list, set by set, and as a calendar.

use std::io::Write;
use std::path::{Path, PathBuf};

use clap::Args;
use hosewright_core::fleet::{CALENDAR_WITHIN, DueList, DueSheet, Horizon, calendar};
use hosewright_core::words::{CAUTION, counted, days_in_words};

use super::files;
use super::listing::WhichHoses;
use crate::desk::{Desk, Outcome, Status};
use crate::failure::Failure;
use crate::show::csv::{self, Csv};
use crate::show::numbered;
use crate::show::part::Part;
use crate::show::table;
use crate::show::table::Column::{Text, Whole};
use crate::terminal::Screen;

/// What is due.
#[derive(Args)]
#[command(
    after_help = "Example:\n  hosewright due\n  hosewright due --within 6m --set R3 --csv > due.csv\n  \
    hosewright due --by-set\n  hosewright due --calendar --out due.ics\n\n\
    Overdue comes first. A hose that is out of service, or at home with its customer, needs nothing\n\
    here; for one that a finding has retired see: hosewright order"
)]
pub struct Due {
    /// How far ahead to look, as 90d, 2w, 6m or 1y [default: 90d; of a calendar 1y]
    #[arg(long, value_name = "TIME")]
    within: Option<Horizon>,
    /// Print it set by set, to work through with a pen
    #[arg(long, conflicts_with_all = ["json", "csv", "limit", "from"])]
    by_set: bool,
    /// Write a calendar (iCalendar) for a calendar program
    #[arg(long, conflicts_with_all = ["json", "csv", "by_set", "limit", "from"])]
    calendar: bool,
    /// The calendar's file [else standard output]
    #[arg(long, value_name = "FILE", requires = "calendar")]
    out: Option<PathBuf>,
    /// Overwrite an existing file
    #[arg(long, requires = "out")]
    force: bool,
    #[command(flatten)]
    which: WhichHoses,
    #[command(flatten)]
    part: Part,
    #[command(flatten)]
    csv: Csv,
}

impl Due {
    /// Shows a row for each thing that is due.
    pub fn run(self, desk: &mut Desk) -> Outcome {
        let page = self.part.page(desk.json || self.csv.csv || self.by_set || self.calendar);
        let logbook = desk.open_to_read()?;
        let filter = self.which.filter(&logbook)?;
        let usual = if self.calendar { CALENDAR_WITHIN } else { Horizon::default() };
        let within = self.within.unwrap_or(usual);
        let list = logbook.due_page(within, &filter, &page, &desk.moment)?;
        if self.calendar {
            written(desk, &list, self.out.as_deref(), self.force)?;
        } else if self.by_set {
            by_set(desk, &DueSheet::of(&list))?;
        } else if desk.json {
            desk.json(&list)?;
        } else if self.csv.csv {
            due_csv(desk, &list)?;
        } else {
            due_shown(desk, &list)?;
            self.part.rest(desk, list.rows.len(), list.total)?;
        }
        Ok(Status::Done)
    }
}

fn due_csv(desk: &mut Desk, list: &DueList) -> Result<(), Failure> {
    let head = ["on", "days", "what", "number", "code", "hose", "set", "port", "place"];
    let rows = list.rows.iter().map(|row| {
        [
            row.on.to_string(),
            row.days.to_string(),
            row.what.to_string(),
            row.number.as_ref().map(ToString::to_string).unwrap_or_default(),
            row.code.to_string(),
            row.hose.clone(),
            row.set.as_ref().map(ToString::to_string).unwrap_or_default(),
            row.port.clone().unwrap_or_default(),
            row.place.clone(),
        ]
    });
    csv::write(desk, head, rows)
}

fn due_shown(desk: &mut Desk, list: &DueList) -> Result<(), Failure> {
    desk.out.line(list.heading())?;
    if !list.rows.is_empty() {
        desk.out.line("")?;
        let head =
            [Text("By", 13), Text("What", 12), Whole("Code"), Text("Hose", 13), Text("Where", 8)];
        let mut rows = table::new(Screen::of_stdout(), head);
        for row in &list.rows {
            rows.add_row([
                format!("{}\n{}", row.on, days_in_words(row.days)),
                row.words.to_owned(),
                numbered(row.number.as_ref(), row.code),
                row.short.clone(),
                row.place.clone(),
            ]);
        }
        desk.out.text(rows.drawn())?;
    }
    if let Some(left_out) = list.left_out() {
        desk.out.text(format!("\n{left_out}"))?;
    }
    Ok(())
}

/// Writes the calendar.
fn written(
    desk: &mut Desk,
    list: &DueList,
    out: Option<&Path>,
    force: bool,
) -> Result<(), Failure> {
    let text = calendar(list, &desk.moment);
    let Some(path) = out else { return Ok(desk.out.write_all(text.as_bytes())?) };
    files::write(path, force, |file| file.write_all(text.as_bytes()).map_err(Failure::io(path)))?;
    let things = counted(i64::try_from(list.rows.len()).unwrap_or(i64::MAX), "thing");
    Ok(desk.out.line(format!("{things} due written to {}", path.display()))?)
}

/// A box to tick for each thing, set by set.
fn by_set(desk: &mut Desk, sheet: &DueSheet) -> Result<(), Failure> {
    desk.out.line(sheet.heading(desk.moment.today))?;
    for group in &sheet.groups {
        desk.out.line("")?;
        desk.out.line(&group.title)?;
        for hose in &group.hoses {
            let port = hose.port.as_deref().unwrap_or("-");
            desk.out.line(format!("  {port:<5}{}: {}", hose.by_number(), hose.hose))?;
            for thing in &hose.due {
                desk.out.line(format!("       [ ] {}", thing.in_words()))?;
            }
        }
    }
    if let Some(left_out) = &sheet.left_out {
        desk.out.text(format!("\n{left_out}\n"))?;
    }
    let caution = textwrap::fill(CAUTION, Screen::of_stdout().width);
    Ok(desk.out.text(format!("\n{caution}"))?)
}
