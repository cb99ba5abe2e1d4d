//! What became of a shop's spreadsheet, row by row.

use hosewright_core::SheetReport;

use super::table::{self, Column};
use crate::desk::{Desk, Outcome, Status};
use crate::failure::Failure;
use crate::output::aside;
use crate::terminal::Screen;

/// Says what was taken and what was not. A sheet of which nothing was taken has
/// failed.
pub fn told(desk: &mut Desk, report: &SheetReport) -> Outcome {
    if desk.json {
        desk.json(report)?;
    } else {
        in_words(desk, report)?;
    }
    for row in &report.refused {
        aside(&format!("hosewright: line {}: {}", row.line, row.reason));
    }
    for row in &report.repeated {
        aside(&format!("hosewright: line {}: {}", row.line, row.reason));
    }
    if !report.taken.is_empty() || report.whole() {
        return Ok(Status::Done);
    }
    aside("hosewright: nothing was changed; put the rows right, or take the rest with --partial");
    Err(Failure::Told)
}

fn in_words(desk: &mut Desk, report: &SheetReport) -> std::io::Result<()> {
    if !report.taken.is_empty() {
        let head = [Column::Whole("line"), Column::Whole("tag")];
        let mut taken = table::new(Screen::of_stdout(), head);
        for row in &report.taken {
            taken.add_row([row.line.to_string(), row.code.to_string()]);
        }
        desk.out.text(taken.drawn())?;
    }
    desk.out.line(report.done_in_words())?;
    if let Some(words) = report.brought_in_words() {
        desk.out.line(words)?;
    }
    for set in &report.sets {
        let made = if set.code.is_some() { "made" } else { "not on record; --make-sets makes it" };
        desk.out.line(format!("set {}: {made}: {}", set.name, set.ports))?;
    }
    for row in &report.already {
        desk.out.line(format!("line {}: already here: {}", row.line, row.code))?;
    }
    for row in &report.unplaced {
        desk.out.line(format!("line {}: in stock: {}", row.line, row.reason))?;
    }
    for assumed in &report.assumed {
        desk.out.line(assumed.in_words())?;
    }
    if !report.ignored_columns.is_empty() {
        desk.out.line(format!("Columns not read: {}", report.ignored_columns.join(", ")))?;
    }
    Ok(())
}
