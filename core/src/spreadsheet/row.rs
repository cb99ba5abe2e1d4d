//! One row of a sheet as a hose.

use chrono::NaiveDate;
use thiserror::Error;

use super::before::Before;
use super::cells::{self, CellError, DayOrder};
use super::column::Column;
use super::columns::Heads;
use super::text::{Record, fold};
use super::tongues;
use crate::event::{PortName, Registration};
use crate::hose::{
    Construction, Fitting, HoseError, Label, Origin, Owner, Particulars, Service, Specification,
    Thread,
};
use crate::measure::PartialDate;

/// Why a row is refused.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub(super) enum RowError {
    #[error("{head}: {why}")]
    Cell { head: String, why: CellError },
    #[error("{head} is empty, and a hose can't be registered without it")]
    Missing { head: String },
    #[error(transparent)]
    Hose(#[from] HoseError),
    #[error("a row with a tag or a number of its own is one hose, not {0}; split it")]
    ManyOfOne(usize),
    #[error(
        "a cell runs on from line {0} to line {1} and holds what looks like whole rows; a closing \
         quotation mark is missing"
    )]
    Swallowed(usize, usize),
}

/// Something that a row leaves open, in the order in which it is told.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Assumption {
    Rubber,
    EndA,
    EndB,
    Order,
    FirstDay,
    Half,
}

impl Assumption {
    /// What was taken for granted.
    pub(super) fn words(self, order: Option<DayOrder>) -> String {
        match (self, order) {
            (Self::Rubber, _) => "no construction is given; rubber was taken",
            (Self::EndA, _) => {
                "no first-stage fitting is given; 3/8-24 was taken, 7/16-20 for a gauge"
            }
            (Self::EndB, _) => {
                "no far-end fitting is given; 9/16-18 was taken for a second stage, \
                 quick-disconnect for an inflator, 7/16-20 for a gauge"
            }
            (Self::FirstDay, _) => {
                "only the month or the year of an inspection or a leak test is given; its first \
                 day was taken"
            }
            (Self::Half, _) => {
                "an inspection without its day was left out, and a leak test without its day or \
                 its pressure"
            }
            (Self::Order, Some(DayOrder::MonthFirst)) => {
                "day and month could be either way round; the month was taken to come first, as \
                 other dates of the sheet show"
            }
            (Self::Order, _) => {
                "day and month could be either way round; the day was taken to come first, as \
                 other dates of the sheet show"
            }
        }
        .to_owned()
    }
}

/// What holds for every row of a sheet.
pub(super) struct Context<'a> {
    pub(super) heads: &'a Heads,
    pub(super) order: Option<DayOrder>,
    pub(super) today: NaiveDate,
}

/// A hose that a sheet lists. A row with a quantity gives several.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// The line of the file on which the row begins, from 1.
    pub line: usize,
    /// The hose.
    pub registration: Registration,
    /// The shop's own number for it, or the serial number printed on it.
    pub number: Option<Label>,
    /// Where it is said to be; none is stock.
    pub place: Option<Place>,
    /// What happened to it before.
    pub before: Before,
}

/// Where a sheet says that a hose is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Place {
    /// The set.
    pub set: Label,
    /// The port, or why none is named.
    pub port: Result<PortName, String>,
}

/// A row that was read, what it left open, and how many hoses it means.
pub(super) struct Reading {
    pub(super) row: Row,
    pub(super) assumed: Vec<Assumption>,
    pub(super) count: usize,
}

/// A row under its heads.
struct Cells<'a> {
    record: &'a Record,
    context: &'a Context<'a>,
    assumed: Vec<Assumption>,
}

/// Reads a row.
pub(super) fn read(record: &Record, context: &Context<'_>) -> Result<Reading, RowError> {
    if swallows_rows(record, context.heads) {
        return Err(RowError::Swallowed(record.line, record.last_line));
    }
    let mut cells = Cells { record, context, assumed: Vec::new() };
    let specification = cells.specification()?;
    let mut origin = cells.origin()?;
    origin.check(context.today)?;
    let tag = cells.read(Column::Tag, cells::tag)?;
    let number = cells.read(Column::Number, |cell| cells::label("a number", cell))?;
    // A serial number may be longer than what a shop calls a hose by.
    origin.own.number =
        number.as_ref().and_then(|number| Particulars::own_number(number.as_str()).ok());
    let count = cells.read(Column::Quantity, cells::quantity)?.unwrap_or(1);
    if count > 1 && (tag.is_some() || number.is_some()) {
        return Err(RowError::ManyOfOne(count));
    }
    let place = cells.place()?;
    let before = before(&mut cells, origin.born())?;
    let registration = Registration { specification, origin, tag };
    let row = Row { line: record.line, registration, number, place, before };
    let mut assumed = cells.assumed;
    assumed.sort_unstable();
    assumed.dedup();
    Ok(Reading { row, assumed, count })
}

/// A quotation mark that is never closed takes all that follows into one cell.
fn swallows_rows(record: &Record, heads: &Heads) -> bool {
    let enough = heads.cells.len().saturating_sub(1).max(1);
    record
        .cells
        .iter()
        .filter(|cell| cell.contains('\n'))
        .any(|cell| cell.lines().any(|line| line.matches(heads.separator).count() >= enough))
}

impl Cells<'_> {
    /// What a column says here; none if it says nothing.
    fn text(&self, column: Column) -> Option<&str> {
        let head = self.context.heads.head(column)?;
        let cell = self.record.cells.get(head.at)?.trim();
        (!cells::is_blank(cell)).then_some(cell)
    }

    fn read<T>(
        &self,
        column: Column,
        parse: impl FnOnce(&str) -> Result<T, CellError>,
    ) -> Result<Option<T>, RowError> {
        let Some(cell) = self.text(column) else { return Ok(None) };
        parse(cell).map(Some).map_err(|why| RowError::Cell { head: self.name(column), why })
    }

    fn needed<T>(
        &self,
        column: Column,
        parse: impl FnOnce(&str) -> Result<T, CellError>,
    ) -> Result<T, RowError> {
        self.read(column, parse)?.ok_or_else(|| RowError::Missing { head: self.name(column) })
    }

    /// The unit of bare numbers in a column.
    fn unit(&self, column: Column) -> Option<String> {
        self.context.heads.head(column)?.unit.clone()
    }

    fn name(&self, column: Column) -> String {
        self.context.heads.head(column).map(|head| head.name.clone()).unwrap_or_default()
    }

    fn or_assume<T>(&mut self, found: Option<T>, otherwise: T, what: Assumption) -> T {
        found.unwrap_or_else(|| {
            self.assumed.push(what);
            otherwise
        })
    }

    fn specification(&mut self) -> Result<Specification, RowError> {
        let end_a = self.read(Column::EndA, cells::fitting)?;
        let end_b = self.read(Column::EndB, cells::fitting)?;
        let service = self.needed(Column::Service, |cell| cells::service(cell, end_b.as_ref()))?;
        let unit = self.unit(Column::Length);
        let length = self.needed(Column::Length, |cell| cells::length(cell, unit.as_deref()))?;
        let built = self.read(Column::Construction, cells::construction)?;
        let built = self.or_assume(built, Construction::Rubber, Assumption::Rubber);
        let (usual_a, usual_b) = usual_ends(service);
        let end_a = self.or_assume(end_a, usual_a, Assumption::EndA);
        let end_b = self.or_assume(end_b, usual_b, Assumption::EndB);
        let protector = self.read(Column::Protector, cells::yes_no)?.unwrap_or(false);
        let oxygen = self.read(Column::Oxygen, cells::yes_no)?.unwrap_or(false);
        let made = Specification::new(service, built, length, end_a, end_b, protector)?;
        Ok(made.cleaned_for_oxygen(oxygen))
    }

    fn origin(&mut self) -> Result<Origin, RowError> {
        Ok(Origin {
            made: self.date(Column::Made)?,
            bought: self.date(Column::Bought)?,
            in_service: self.date(Column::InService)?,
            maker: self.read(Column::Maker, |cell| cells::label("a maker", cell))?,
            lot: self.read(Column::Lot, |cell| cells::label("a lot", cell))?,
            model: self.read(Column::Model, |cell| cells::label("a model", cell))?,
            own: Particulars {
                number: None,
                note: self.read(Column::Note, |cell| cells::prose("a note", cell))?,
                branch: self.read(Column::Branch, |cell| cells::label("a branch", cell))?,
                owner: self.read(Column::Ticket, cells::ticket)?.map(Owner::Ticket),
            },
        })
    }

    fn date(&mut self, column: Column) -> Result<Option<PartialDate>, RowError> {
        let order = self.context.order;
        let date = self.read(column, |cell| cells::date(cell, order))?;
        if date.is_some_and(|(_, by_order)| by_order) {
            self.assumed.push(Assumption::Order);
        }
        Ok(date.map(|(date, _)| date))
    }

    /// The set and port; a hose that lies in stock has none.
    fn place(&self) -> Result<Option<Place>, RowError> {
        let set = self.read(Column::Set, |cell| cells::label("a set", cell))?;
        let stock = ["stock", "spare", "spares", "store", "shelf"];
        let set = set.filter(|set| {
            let folded = fold(set.as_str());
            let folded = folded.as_str();
            !stock.contains(&folded) && !tongues::STOCK.contains(&folded)
        });
        let Some(set) = set else { return Ok(None) };
        let unnamed = || "no port is named".to_owned();
        let port = self.text(Column::Port).ok_or_else(unnamed).and_then(str::parse);
        Ok(Some(Place { set, port }))
    }
}

/// What happened to a hose before, which is as old as `born` says.
fn before(cells: &mut Cells<'_>, born: Option<PartialDate>) -> Result<Before, RowError> {
    let full = day(cells, Column::FullOn, "last inspected fully", born)?;
    let by = cells.read(Column::FullBy, |cell| cells::label("who inspected it", cell))?;
    let leak = day(cells, Column::LeakOn, "last leak-tested", born)?;
    let unit = cells.unit(Column::LeakPressure);
    let pressure =
        cells.read(Column::LeakPressure, |cell| cells::pressure(cell, unit.as_deref()))?;
    let dives = cells.read(Column::Dives, cells::dives)?;
    if full.is_none() && by.is_some() || leak.is_some() != pressure.is_some() {
        cells.assumed.push(Assumption::Half);
    }
    Ok(Before {
        full: full.map(|full| (full, by)),
        leak_test: leak.zip(pressure),
        dives: dives.filter(|dives| *dives > 0),
    })
}

/// A day of the past, not before the hose was made.
fn day(
    cells: &mut Cells<'_>,
    column: Column,
    what: &'static str,
    born: Option<PartialDate>,
) -> Result<Option<NaiveDate>, RowError> {
    let Some(date) = cells.date(column)? else { return Ok(None) };
    let today = cells.context.today;
    if date.earliest() > today {
        return Err(HoseError::InTheFuture { what, date: date.to_string(), today }.into());
    }
    if let Some(born) = born.filter(|born| date.latest() < born.earliest()) {
        let (earlier, later) = (born.to_string(), date.to_string());
        return Err(HoseError::WrongOrder {
            earlier_what: "made or bought",
            earlier,
            later_what: what,
            later,
        }
        .into());
    }
    if !matches!(date, PartialDate::Day(_)) {
        cells.assumed.push(Assumption::FirstDay);
    }
    Ok(Some(born.map_or(date.earliest(), |born| date.earliest().max(born.earliest()))))
}

/// What nearly every hose of a service has at its ends (section 2 of the
/// trade's rules: common practice, no source).
const fn usual_ends(service: Service) -> (Fitting, Fitting) {
    match service {
        Service::SecondStage => {
            (Fitting::Thread(Thread::Unf3_8x24), Fitting::Thread(Thread::Unf9_16x18))
        }
        Service::Inflator => (Fitting::Thread(Thread::Unf3_8x24), Fitting::QuickDisconnect),
        Service::Gauge => {
            (Fitting::Thread(Thread::Unf7_16x20), Fitting::Thread(Thread::Unf7_16x20))
        }
    }
}
