//! Hoses as rows and columns: the same in a table, in a file and on a page.

use std::fmt;

use chrono::NaiveDate;

use crate::answer::Answer;
use crate::hose::End;
use crate::inspection::{InspectionKind, Verdict};
use crate::tag::Code;
use crate::words::{self, brief};

/// What a column says of a hose.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Cell {
    /// A text.
    Text(String),
    /// A hose's code.
    Code(Code),
    /// A verdict.
    Verdict(Verdict),
    /// A day.
    Day(NaiveDate),
    /// A number.
    Number(u32),
    /// Nothing is known.
    Empty,
}

impl fmt::Display for Cell {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Text(text) => f.pad(text),
            Self::Code(code) => code.fmt(f),
            Self::Verdict(verdict) => verdict.fmt(f),
            Self::Day(day) => day.fmt(f),
            Self::Number(number) => number.fmt(f),
            Self::Empty => Ok(()),
        }
    }
}

fn text(text: Option<impl ToString>) -> Cell {
    text.map_or(Cell::Empty, |text| Cell::Text(text.to_string()))
}

/// A column: its name, and what it says of a hose.
pub struct Column {
    /// Its name.
    pub name: &'static str,
    cell: fn(&Answer) -> Cell,
}

impl Column {
    /// What it says of a hose.
    #[must_use]
    pub fn of(&self, answer: &Answer) -> Cell {
        (self.cell)(answer)
    }
}

const fn column(name: &'static str, cell: fn(&Answer) -> Cell) -> Column {
    Column { name, cell }
}

/// Everything that a list says of a hose, a fact a column.
pub const HOSES: &[Column] = &[
    column("verdict", |answer| Cell::Verdict(answer.verdict)),
    column("number", |answer| text(answer.hose.origin.own.number.as_ref())),
    column("code", |answer| Cell::Code(answer.code)),
    column("service", |a| text(a.hose.specification.as_ref().map(|hose| hose.service()))),
    column("construction", |a| text(a.hose.specification.as_ref().map(|hose| hose.construction()))),
    column("length", |a| text(a.hose.specification.as_ref().map(|hose| hose.length().clone()))),
    column("end a", |a| text(a.hose.specification.as_ref().map(|h| h.fitting(End::A).clone()))),
    column("end b", |a| text(a.hose.specification.as_ref().map(|h| h.fitting(End::B).clone()))),
    column("made", |answer| text(answer.hose.origin.made)),
    column("bought", |answer| text(answer.hose.origin.bought)),
    column("maker", |answer| text(answer.hose.origin.maker.as_ref())),
    column("lot", |answer| text(answer.hose.origin.lot.as_ref())),
    column("model", |answer| text(answer.hose.origin.model.as_ref())),
    column("branch", |answer| text(answer.hose.origin.own.branch.as_ref())),
    column("set", |answer| text(answer.place.set.as_ref())),
    column("port", |answer| text(answer.place.port.as_ref())),
    column("ticket", |answer| text(answer.place.ticket.as_ref())),
    column("where", |answer| Cell::Text(answer.place.words.clone())),
    column("dives", |answer| answer.dives.map_or(Cell::Empty, Cell::Number)),
    column("last inspection", |answer| {
        let looks = answer.inspections.iter().filter(|look| look.kind != InspectionKind::LeakTest);
        looks.map(|look| look.on).max().map_or(Cell::Empty, Cell::Day)
    }),
    column("due", |answer| text(answer.due.first().map(|due| due.what))),
    column("due on", |answer| answer.due.first().map_or(Cell::Empty, |due| Cell::Day(due.on))),
    column("reasons", |answer| {
        let words: Vec<String> = answer.reasons.iter().map(|r| brief::reason(&r.code)).collect();
        if words.is_empty() { Cell::Empty } else { Cell::Text(words.join("; ")) }
    }),
    column("note", |answer| text(answer.hose.origin.own.note.as_ref())),
];

/// A hose in a row that has one line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct HoseLine {
    /// Its verdict.
    pub verdict: Verdict,
    /// Its own number, if it has one, and its code.
    pub hose: String,
    /// What it is.
    pub what: String,
    /// Where it is.
    pub place: String,
    /// The worst of the reasons, and how many more there are.
    pub why: String,
}

impl HoseLine {
    /// The row of a hose.
    #[must_use]
    pub fn of(answer: &Answer) -> Self {
        let number = answer.hose.origin.own.number.as_ref();
        let place = match (&answer.place.set, &answer.place.port, &answer.place.ticket) {
            _ if answer.place.home.is_some() || answer.place.missing.is_some() => None,
            (Some(set), Some(port), None) => Some(format!("{set}, {port}")),
            (_, _, Some(ticket)) => Some(format!("out, ticket {ticket}")),
            _ => None,
        };
        let why = answer.reasons.first().map(|reason| brief::reason(&reason.code));
        let more = match answer.reasons.len() {
            0 | 1 => String::new(),
            several => format!(" (+{})", several - 1),
        };
        Self {
            verdict: answer.verdict,
            hose: number.map_or_else(
                || answer.code.to_string(),
                |number| format!("{number} {}", answer.code),
            ),
            what: answer.hose.specification.as_ref().map_or_else(
                || words::UNKNOWN_BRIEFLY.to_owned(),
                |hose| format!("{}, {}", hose.service(), hose.length()),
            ),
            place: place.unwrap_or_else(|| answer.place.words.clone()),
            why: why.map(|why| why + &more).unwrap_or_default(),
        }
    }
}
