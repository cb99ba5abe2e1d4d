//! What a counter looks at first: `today`.

use clap::Args;
use hosewright_core::view::{TodayKind, TodayPart, TodayRow};
use hosewright_core::words::sharing as say;

use crate::desk::{Desk, Outcome, Status};
use crate::show::brief;
use crate::terminal::Screen;

/// The day's view.
#[derive(Args)]
#[command(after_help = "Example:\n  hosewright today\n\n\
    Each part shows its first rows. The whole lists: hosewright rental list, list --verdict hold,\n\
    due --within 1w, set list, device list")]
pub struct Today {}

impl Today {
    /// Shows each part with its first rows.
    pub fn run(self, desk: &mut Desk) -> Outcome {
        let today = desk.open_to_read()?.today(&desk.moment)?;
        if desk.json {
            desk.json(&today)?;
            return Ok(Status::Done);
        }
        let screen = Screen::of_stdout();
        for (at, part) in today.parts.iter().enumerate() {
            if at > 0 {
                desk.out.line("")?;
            }
            let total = part.total.filter(|total| *total > 0).map(|total| format!(" ({total})"));
            desk.out.line(format!("{}{}", part.title, total.unwrap_or_default()))?;
            if part.rows.is_empty() {
                desk.out.line(format!("- {}", part.none))?;
            }
            for row in &part.rows {
                desk.out.text(brief::indented(screen, &line(row), ""))?;
            }
            if part.more {
                desk.out.line(format!("  All of them: hosewright {}", whole(part)))?;
            }
        }
        desk.out.line("")?;
        if let Some(sharing) = &today.sharing {
            desk.out.line(say::TITLE)?;
            for line in &sharing.words {
                desk.out.text(brief::indented(screen, line, ""))?;
            }
            desk.out.line("")?;
        }
        for line in &today.backup.words {
            desk.out.text(brief::indented(screen, line, ""))?;
        }
        Ok(Status::Done)
    }
}

fn line(row: &TodayRow) -> String {
    let shape = row.verdict.map(|verdict| format!("{} ", hosewright_core::words::shape(verdict)));
    let words = if row.words.is_empty() { String::new() } else { format!(": {}", row.words) };
    format!("{}{}{words}", shape.unwrap_or_default(), row.name)
}

/// The command that lists the whole of a part.
const fn whole(part: &TodayPart) -> &'static str {
    match part.part {
        TodayKind::Out => "rental list",
        TodayKind::Swaps | TodayKind::Hold => "list --verdict hold",
        TodayKind::Due => "due --within 1w",
        TodayKind::Packed | TodayKind::Ready => "set list",
        TodayKind::Devices => "device list",
        TodayKind::WrongPins => "staff list",
    }
}
