//! A shop's own list of hoses, taken into the record.

use chrono::NaiveDate;
use rand_core::Rng;
use rusqlite::Connection;
use serde::Serialize;

use super::already::already_here;
use super::believed::set_of;
use super::checks::set_not_out;
use super::hoses::registered;
use super::numbers::NumbersGiven;
use super::places::goes_in;
use super::{Logbook, LogbookError, NamingError, PlaceError};
use crate::event::{Event, Fitted, Registration, Seat, Slot};
use crate::journal::{self, Draft, Moment};
use crate::record;
use crate::set_view::free_ports;
use crate::spreadsheet::{Assumed, Place, Refused, Repeated, Row, Sheet};
use crate::tag::Code;

/// A hose of a sheet that is on record.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Taken {
    /// The line of the sheet that it is on.
    pub line: usize,
    /// The code of its tag.
    pub code: Code,
}

/// What an import of a sheet did, and what it left.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct SheetReport {
    /// Hoses that were registered; none if a row is not good and the import
    /// was to be whole.
    pub taken: Vec<Taken>,
    /// Hoses that were on record before: nothing is written of their rows.
    pub already: Vec<Taken>,
    /// How many of those that were registered were put in a port.
    pub placed: usize,
    /// Hoses that were registered, but not put where the sheet says, and why.
    pub unplaced: Vec<Refused>,
    /// Rows that are not understood, or that the record speaks against.
    pub refused: Vec<Refused>,
    /// Rows that repeat an earlier one.
    pub repeated: Vec<Repeated>,
    /// What the sheet leaves open and how it was taken.
    pub assumed: Vec<Assumed>,
    /// Columns that were not read.
    pub ignored_columns: Vec<String>,
}

impl SheetReport {
    fn of(sheet: &Sheet) -> Self {
        Self {
            refused: sheet.refused.clone(),
            repeated: sheet.repeated.clone(),
            assumed: sheet.assumed.clone(),
            ignored_columns: sheet.ignored_columns.clone(),
            ..Self::default()
        }
    }

    /// What was done, in one sentence.
    #[must_use]
    pub fn done_in_words(&self) -> String {
        counts(self, "registered")
    }

    /// What would be done, in one sentence.
    #[must_use]
    pub fn planned_in_words(&self) -> String {
        counts(self, "to register")
    }

    /// Whether every row of the sheet is good.
    #[must_use]
    pub fn whole(&self) -> bool {
        self.refused.is_empty() && self.repeated.is_empty()
    }
}

/// What an import of a sheet would do, or did, in one sentence.
fn counts(report: &SheetReport, registered: &str) -> String {
    let already = match report.already.len() {
        0 => String::new(),
        count => format!("{count} already here, "),
    };
    format!(
        "{} {registered}, {} of them fitted; {already}{} refused, {} repeated",
        report.taken.len(),
        report.placed,
        report.refused.len(),
        report.repeated.len()
    )
}

impl Logbook {
    /// What an import of a sheet would do with the rows that are good; nothing
    /// is written, and the codes are not those that an import will draw.
    ///
    /// # Errors
    /// [`LogbookError`] if the store cannot be read, or this device may not
    /// write it.
    pub fn plan_sheet(
        &mut self,
        sheet: &Sheet,
        moment: &Moment,
    ) -> Result<SheetReport, LogbookError> {
        let own = self.take_identity()?;
        let work = journal::begin(&mut self.connection)?;
        let mut intake = Intake::new(&work, SheetReport::of(sheet), moment.today);
        intake.take_all(&sheet.rows, &mut *self.random)?;
        let (drafts, report) = intake.finish(true);
        super::check_allowed(&work, &own, &drafts)?;
        Ok(report)
    }

    /// Registers the hoses of a sheet that are not on record yet, in one transaction: all
    /// of them, or with `partial` those whose rows are good. If a row is not good and
    /// `partial` is not given nothing is written, and the report says which
    /// rows are in the way.
    ///
    /// A number of the shop's own is bound to its hose as a second tag, so that
    /// it can be typed from now on. A hose whose row names a set and a port is
    /// put there today if the set is on record and the port takes it; else it
    /// goes to stock and the report says why, since a sheet does not say what
    /// ports a set has.
    ///
    /// # Errors
    /// [`LogbookError`] if the store cannot be read or written.
    pub fn import_sheet(
        &mut self,
        sheet: &Sheet,
        partial: bool,
        moment: &Moment,
    ) -> Result<SheetReport, LogbookError> {
        let report = SheetReport::of(sheet);
        if !report.whole() && !partial {
            return Ok(report);
        }
        let (_, report) = self.write(moment, |work, random| {
            let mut intake = Intake::new(work, report, moment.today);
            intake.take_all(&sheet.rows, random)?;
            Ok(intake.finish(partial))
        })?;
        Ok(report)
    }
}

/// What an import is about to write.
struct Intake<'w> {
    work: &'w Connection,
    on: NaiveDate,
    codes: Vec<Code>,
    slots: Vec<(Slot, Code)>,
    numbers: NumbersGiven,
    drafts: Vec<Draft>,
    report: SheetReport,
}

impl<'w> Intake<'w> {
    fn new(work: &'w Connection, report: SheetReport, on: NaiveDate) -> Self {
        let (codes, slots, drafts) = (Vec::new(), Vec::new(), Vec::new());
        Self { work, on, codes, slots, numbers: NumbersGiven::default(), drafts, report }
    }

    fn take_all(&mut self, rows: &[Row], random: &mut dyn Rng) -> Result<(), LogbookError> {
        for (row, already) in rows.iter().zip(already_here(self.work, rows)?) {
            match already {
                Some(hose) => {
                    let code = record::load_hose(self.work, hose)?.map_or(hose, |one| one.tag());
                    self.report.already.push(Taken { line: row.line, code });
                }
                None => self.take(row, random)?,
            }
        }
        Ok(())
    }

    fn take(&mut self, row: &Row, random: &mut dyn Rng) -> Result<(), LogbookError> {
        let line = row.line;
        match self.planned(row, random) {
            Err(LogbookError::Store(error)) => Err(error.into()),
            Err(error) => {
                self.report.refused.push(Refused { line, reason: error.to_string() });
                Ok(())
            }
            Ok((code, events)) => {
                self.codes.push(code);
                self.report.taken.push(Taken { line, code });
                self.draft(events);
                self.place(row, code)
            }
        }
    }

    fn draft(&mut self, events: impl IntoIterator<Item = Event>) {
        let on = self.on;
        self.drafts.extend(events.into_iter().map(|event| Draft { on, event }));
    }

    fn planned(
        &mut self,
        row: &Row,
        random: &mut dyn Rng,
    ) -> Result<(Code, Vec<Event>), LogbookError> {
        let new = row.registration.clone();
        let own = new.origin.own.clone();
        let (hose, event) = registered(self.work, new, &self.codes, self.on, random)?;
        let mut events = vec![event];
        self.numbers.take(&own)?;
        // What is too long for an own number is a maker's.
        if let Some(barcode) = row.number.clone().filter(|_| own.number.is_none()) {
            if let Some(holder) = record::find_barcode(self.work, barcode.as_str())?.first() {
                return Err(LogbookError::Naming(NamingError::BarcodeInUse(*holder)));
            }
            events.push(Event::Bound { hose, barcode });
        }
        Ok((hose, events))
    }

    fn place(&mut self, row: &Row, hose: Code) -> Result<(), LogbookError> {
        let Some(place) = &row.place else { return Ok(()) };
        match self.seat(place, hose, &row.registration) {
            Err(LogbookError::Store(error)) => return Err(error.into()),
            Err(error) => {
                self.report.unplaced.push(Refused { line: row.line, reason: error.to_string() });
            }
            Ok(slot) => {
                self.slots.push((slot, hose));
                self.report.placed += 1;
                let Slot { set, port } = slot;
                let (sets, answers) = (Vec::new(), Vec::new());
                self.draft([Event::Fitted(Fitted { hose, set, port, sets, answers })]);
            }
        }
        Ok(())
    }

    /// The port that a row names, if it is there, free and takes the hose.
    fn seat(&self, place: &Place, hose: Code, new: &Registration) -> Result<Slot, LogbookError> {
        let specification = &new.specification;
        let set = set_of(self.work, &place.set, self.on)?;
        set_not_out(&set)?;
        let port = place.port.clone().map_err(PlaceError::BadPorts)?;
        if let Some(ticket) = new.origin.own.owner().ticket() {
            // A customer's hose goes to sets of its ticket alone.
            if set.owners.iter().any(|owner| owner.ticket() != Some(ticket)) {
                let why = crate::words::of_another(ticket, &set.owner);
                return Err(LogbookError::Place(PlaceError::DoesNotFit { hose, why }));
            }
        }
        goes_in(hose, specification, &set, port)?;
        let slot = Slot { set: set.id, port };
        let held = self.slots.iter().find(|(taken, _)| *taken == slot).map(|(_, hose)| hose);
        match set.hoses.get(&port).or(held) {
            Some(holder) => {
                let mut free = free_ports(specification, &set, None);
                free.retain(|port| {
                    !self
                        .slots
                        .iter()
                        .any(|(taken, _)| taken.set == slot.set && taken.port == *port)
                });
                let seat = Seat { set: set.name, port };
                Err(LogbookError::Place(PlaceError::PortTaken { seat, holder: *holder, free }))
            }
            None => Ok(slot),
        }
    }

    /// What is to be written: nothing if the import was to be whole and the
    /// record speaks against a row.
    fn finish(mut self, partial: bool) -> (Vec<Draft>, SheetReport) {
        if !partial && !self.report.whole() {
            self.drafts.clear();
            self.report.taken.clear();
            self.report.unplaced.clear();
            self.report.placed = 0;
        }
        self.report.refused.sort_by_key(|refused| refused.line);
        (self.drafts, self.report)
    }
}

#[cfg(test)]
#[path = "sheets_tests.rs"]
mod tests;
