//! `rental pack`, `rental unpack`: a set is packed the evening before.

use clap::Args;
use hosewright_core::hose::{Label, Prose};
use hosewright_core::{Logbook, LogbookError, PackingError, words};
use serde_json::json;

use crate::desk::{Desk, Outcome, Status};
use crate::failure::Failure;
use crate::show::brief;
use crate::show::hand_out::{Told, told};
use crate::terminal::Screen;
use crate::values::{self, On};

/// A packing.
#[derive(Args)]
#[command(after_help = "Example:\n  hosewright rental pack R3 --ticket 41 7K2M9 3FQ8Z XJ4TT\n  \
    hosewright rental out R3\n\n\
    Scan the hoses in any order, and look at each as for a hand-out. On the day it goes out by\n\
    rental out alone, if nothing is new since. Exit code 1: something stops it; nothing was changed.")]
pub struct Pack {
    /// The set
    #[arg(value_parser = values::set_name)]
    set: Label,
    /// The hirer's ticket: a number, never a person
    #[arg(long, value_parser = values::ticket)]
    ticket: Label,
    /// The codes of the hoses that are packed
    #[arg(value_name = "CODE")]
    codes: Vec<String>,
    /// Pack it anyway; the name and the reason stay on record
    #[arg(long = "override", requires = "why")]
    lift: bool,
    /// Why
    #[arg(long, value_name = "TEXT", value_parser = values::why, requires = "lift")]
    why: Option<Prose>,
    #[command(flatten)]
    when: On,
}

impl Pack {
    /// Packs it, or says what stops it.
    pub fn run(self, desk: &mut Desk) -> Outcome {
        let (mut logbook, ticket) = (desk.open()?, self.ticket.clone());
        let packed =
            logbook.pack(&self.set, ticket, &self.codes, self.why, self.when.on, &desk.moment);
        match packed {
            Ok(check) => told(desk, &check, Told::Packed(&self.ticket)).map(|()| Status::Done),
            Err(LogbookError::HandOutStopped(check)) => {
                told(desk, &check, Told::Checked).map(|()| Status::No)
            }
            Err(other) => Err(other.into()),
        }
    }
}

/// An unpacking.
#[derive(Args)]
#[command(after_help = "Example:\n  hosewright rental unpack R3")]
pub struct Unpack {
    /// The set
    #[arg(value_parser = values::set_name)]
    set: Label,
}

impl Unpack {
    /// Unpacks it.
    pub fn run(self, desk: &mut Desk) -> Outcome {
        let mut logbook = desk.open()?;
        logbook.unpack(&self.set, &desk.moment)?;
        if desk.json {
            desk.json(&json!({ "set": self.set, "packed": false }))?;
        } else {
            desk.out.line(words::packing::unpacked(&self.set))?;
        }
        Ok(Status::Done)
    }
}

/// The ticket that a set is packed for, if it is.
pub(super) fn ticket_of(logbook: &Logbook, set: &Label) -> Result<Option<Label>, Failure> {
    Ok(logbook.set(set)?.packed.map(|packed| packed.ticket))
}

/// Says what is new since a set was packed; of any other refusal it is that.
pub(super) fn not_gone(desk: &mut Desk, refused: LogbookError) -> Outcome {
    let LogbookError::Packing(PackingError::Changed { set, news }) = refused else {
        return Err(refused.into());
    };
    if desk.json {
        desk.json(&json!({ "set": set, "handed_out": false, "new": news }))?;
        return Ok(Status::No);
    }
    desk.out.line(format!("{}:", words::packing::NEW_SINCE))?;
    for new in &news {
        desk.out.text(brief::indented(Screen::of_stdout(), new, ""))?;
    }
    desk.out.line(words::packing::SCAN_AGAIN)?;
    Ok(Status::No)
}
