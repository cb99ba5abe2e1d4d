//! What an import of a shop's list is about to write: hoses, the sets that it names, where
//! its hoses are, and what it says happened before.

use chrono::NaiveDate;
use rand_core::Rng;
use rusqlite::Connection;

use super::already::already_here;
use super::believed::{fleet_on, set_of};
use super::checks::{set_not_after_incident, set_not_at_home, set_not_out};
use super::hoses::registered;
use super::inspections::judged;
use super::making::SetsToMake;
use super::numbers::NumbersGiven;
use super::places::goes_in;
use super::sheet_report::{Brought, SheetReport, Taken, Taking};
use super::{LogbookError, NamingError, PlaceError};
use crate::event::{EntryId, Event, Fitted, PortName, Registration, Seat, Slot};
use crate::hose::Specification;
use crate::inspection::{FromList, InspectionKind, LeakTest, Look};
use crate::journal::{Draft, Entry, Moment};
use crate::record::{self, FleetRecord, SetRecord};
use crate::set_view::free_ports;
use crate::spreadsheet::{Assumed, Place, Refused, Row};
use crate::tag::Code;
use crate::words::brought;

/// A leak test that a list says, in the port that the hose is put in: it names that.
pub(super) struct Tested {
    on: NaiveDate,
    hose: Code,
    at: Slot,
    look: Look,
}

/// What is written of a row, wherever its hose is, and its leak test with its day.
struct Planned {
    hose: Code,
    test: Option<(NaiveDate, Look)>,
    drafts: Vec<Draft>,
}

/// The leak tests as they are written once their hoses are in their ports.
pub(super) fn leak_tests(entries: &[Entry], tested: &[Tested]) -> Vec<Draft> {
    if tested.is_empty() {
        return Vec::new();
    }
    let fitted: Vec<(Code, EntryId)> = entries
        .iter()
        .filter_map(|entry| match entry.event() {
            Some(Event::Fitted(Fitted { hose, .. })) => Some((hose, EntryId::new(entry.hash()))),
            _ => None,
        })
        .collect();
    let draft = |tested: &Tested| {
        let Tested { on, hose, at, look } = tested;
        let own = fitted.iter().filter(|(fitted, _)| fitted == hose);
        let (look, at, answers) = (look.clone(), Some(*at), own.map(|(_, id)| *id).collect());
        Draft { on: *on, event: Event::Inspected { hose: *hose, look, at, answers } }
    };
    tested.iter().map(draft).collect()
}

/// What an import is about to write.
pub(super) struct Intake<'w> {
    work: &'w Connection,
    on: NaiveDate,
    taking: Taking,
    fleet: FleetRecord,
    codes: Vec<Code>,
    slots: Vec<(Slot, Code)>,
    sets: SetsToMake,
    numbers: NumbersGiven,
    drafts: Vec<Draft>,
    tested: Vec<Tested>,
    report: SheetReport,
}

impl<'w> Intake<'w> {
    pub(super) fn new(
        work: &'w Connection,
        report: SheetReport,
        taking: Taking,
        moment: &Moment,
    ) -> Result<Self, LogbookError> {
        let (codes, slots, drafts, tested) = (Vec::new(), Vec::new(), Vec::new(), Vec::new());
        let (fleet, on) = (fleet_on(work, moment.today)?, moment.today);
        let (sets, numbers) = (SetsToMake::default(), NumbersGiven::default());
        Ok(Self { work, on, taking, fleet, codes, slots, sets, numbers, drafts, tested, report })
    }

    pub(super) fn take_all(
        &mut self,
        rows: &[Row],
        random: &mut dyn Rng,
    ) -> Result<(), LogbookError> {
        let already = already_here(self.work, rows)?;
        let new: Vec<&Row> =
            rows.iter().zip(&already).filter(|(_, at)| at.is_none()).map(|(row, _)| row).collect();
        self.sets = SetsToMake::named_in(self.work, &new, self.taking.make_sets, random)?;
        for (row, already) in rows.iter().zip(already) {
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
            Ok(Planned { hose, test, drafts }) => {
                self.codes.push(hose);
                self.report.taken.push(Taken { line, code: hose });
                self.drafts.extend(drafts);
                self.place(row, hose, test)
            }
        }
    }

    /// What is written of a row, wherever its hose is, and its leak test.
    fn planned(&mut self, row: &Row, random: &mut dyn Rng) -> Result<Planned, LogbookError> {
        let on = self.on;
        let new = row.registration.clone();
        let own = new.origin.own.clone();
        let (hose, event) = registered(self.work, new, &self.codes, on, random)?;
        let mut drafts = vec![Draft { on, event }];
        let test = self.leak_test(row)?;
        self.numbers.take(&own)?;
        // What is too long for an own number is a maker's.
        if let Some(barcode) = row.number.clone().filter(|_| own.number.is_none()) {
            if let Some(holder) = record::find_barcode(self.work, barcode.as_str())?.first() {
                return Err(LogbookError::Naming(NamingError::BarcodeInUse(*holder)));
            }
            drafts.push(Draft { on, event: Event::Bound { hose, barcode } });
        }
        if let Some((day, by)) = row.before.full.clone() {
            let look = Look::listed(InspectionKind::Full, None, FromList { of: on, by });
            let event = Event::Inspected { hose, look, at: None, answers: Vec::new() };
            drafts.push(Draft { on: day, event });
            self.report.brought.full += 1;
        }
        if let Some(dives) = row.before.dives {
            let event = Event::Dived { hoses: vec![hose], dives, list: Some(on) };
            drafts.push(Draft { on, event });
            self.report.brought.dives += 1;
        }
        Ok(Planned { hose, test, drafts })
    }

    /// The leak test of a row, at enough pressure to count.
    fn leak_test(&self, row: &Row) -> Result<Option<(NaiveDate, Look)>, LogbookError> {
        let Some((day, pressure)) = row.before.leak_test.clone() else { return Ok(None) };
        let test = Some(LeakTest::new(true, Some(pressure)));
        let list = FromList { of: self.on, by: None };
        let look = Look::listed(InspectionKind::LeakTest, test, list);
        Ok(Some((day, judged(look, &self.fleet, &row.registration.specification)?)))
    }

    fn place(
        &mut self,
        row: &Row,
        hose: Code,
        test: Option<(NaiveDate, Look)>,
    ) -> Result<(), LogbookError> {
        let seat = match &row.place {
            None => Err(None),
            Some(place) => self.seat(place, hose, &row.registration).map_err(Some),
        };
        match seat {
            Err(Some(LogbookError::Store(error))) => return Err(error.into()),
            Err(why) => {
                let line = row.line;
                let why = why.map(|error| Refused { line, reason: error.to_string() });
                self.report.unplaced.extend(why);
                if test.is_some() {
                    self.left_out(line);
                }
            }
            Ok(slot) => {
                self.slots.push((slot, hose));
                self.report.placed += 1;
                let Slot { set, port } = slot;
                let (sets, answers) = (Vec::new(), Vec::new());
                let event = Event::Fitted(Fitted { hose, set, port, sets, answers });
                let on = test.as_ref().map_or(self.on, |(day, _)| *day);
                self.sets.is_used(set, on);
                self.drafts.push(Draft { on, event });
                if let Some((on, look)) = test {
                    self.report.brought.leak_tests += 1;
                    self.tested.push(Tested { on, hose, at: slot, look });
                }
            }
        }
        Ok(())
    }

    /// A leak test of a hose in no port is none.
    fn left_out(&mut self, line: usize) {
        let words = brought::TEST_OF_STOCK;
        match self.report.assumed.iter_mut().find(|assumed| assumed.words == words) {
            Some(assumed) => assumed.lines.push(line),
            None => {
                let words = words.to_owned();
                self.report.assumed.push(Assumed { words, lines: vec![line] });
            }
        }
    }

    /// The port that a row names, if it is there, free and takes the hose; of a set that is
    /// made the next one of its kind, if it names none.
    fn seat(&self, place: &Place, hose: Code, new: &Registration) -> Result<Slot, LogbookError> {
        let specification = &new.specification;
        let made = self.sets.made(&place.set);
        let set = made.map_or_else(|| set_of(self.work, &place.set, self.on), Ok)?;
        set_not_out(&set)?;
        set_not_at_home(&set)?;
        set_not_after_incident(&set)?;
        let mut free = self.free(&set, specification);
        let port = match place.port.clone() {
            Err(_) if self.sets.made(&place.set).is_some() && !free.is_empty() => free.remove(0),
            port => port.map_err(PlaceError::BadPorts)?,
        };
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
                let seat = Seat { set: set.name, port };
                Err(LogbookError::Place(PlaceError::PortTaken { seat, holder: *holder, free }))
            }
            None => Ok(slot),
        }
    }

    /// The ports of a set that are free and take a hose.
    fn free(&self, set: &SetRecord, hose: &Specification) -> Vec<PortName> {
        let mut free = free_ports(hose, set, None);
        free.retain(|port| {
            !self.slots.iter().any(|(taken, _)| taken.set == set.id && taken.port == *port)
        });
        free
    }

    /// What is to be written, and the leak tests that name it: nothing if the import was to
    /// be whole and the record speaks against a row.
    pub(super) fn finish(mut self) -> (Vec<Draft>, (SheetReport, Vec<Tested>)) {
        let (made, named) = self.sets.finish(self.on);
        self.report.sets = named;
        self.drafts.splice(0..0, made);
        if !self.taking.partial && !self.report.whole() {
            self.drafts.clear();
            self.tested.clear();
            self.report.taken.clear();
            self.report.unplaced.clear();
            self.report.placed = 0;
            self.report.brought = Brought::default();
            for set in &mut self.report.sets {
                set.code = None;
            }
        }
        self.report.refused.sort_by_key(|refused| refused.line);
        (self.drafts, (self.report, self.tested))
    }
}
