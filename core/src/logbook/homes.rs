//! Customers' hoses and sets: in for service under a ticket, home again, and in
//! once more under a new one.

use chrono::NaiveDate;
use rusqlite::Connection;

use super::believed::{record_of, seat_of, set_of};
use super::checks::{
    check_day, check_not_ahead, check_since, not_after_incident, not_at_home, not_out,
    set_not_after_incident, set_not_at_home, set_not_out,
};
use super::moves::named;
use super::{Logbook, LogbookError, PlaceError};
use crate::event::{CameIn, DetailChanges, EntryId, Event, GoneHome, SetChanges};
use crate::hose::{Label, Owner};
use crate::journal::{Draft, Moment};
use crate::record::{HoseRecord, SetRecord};
use crate::tag::Code;
use crate::view::Action;

impl Logbook {
    /// Records that a customer's hose went home. Reasons against it remain.
    ///
    /// # Errors
    /// [`LogbookError`] if it is the centre's own, in a set, out, in a swap or at
    /// home already.
    pub fn send_home(
        &mut self,
        hose: Code,
        on: Option<NaiveDate>,
        moment: &Moment,
    ) -> Result<Code, LogbookError> {
        let day = on.unwrap_or(moment.today);
        self.write_of_hose(hose, on, moment, |record, work| {
            let ticket = ticket_of(record)?;
            not_at_home(record)?;
            if let Some(slot) = record.slots().next() {
                let seat = seat_of(work, slot)?;
                return Err(LogbookError::Place(PlaceError::FittedElsewhere {
                    hose: record.tag(),
                    seat,
                }));
            }
            goes(record, day)?;
            let (hose, set, hoses) = (Some(record.hose), None, Vec::new());
            Ok(Event::GoneHome(GoneHome { hose, set, hoses, ticket }))
        })
    }

    /// Records that a customer's set went home with the hoses in it.
    ///
    /// # Errors
    /// [`LogbookError`] if it or a hose in it is the centre's own, it is out or at
    /// home already, or a swap in it is open.
    pub fn send_set_home(
        &mut self,
        set: &Label,
        on: Option<NaiveDate>,
        moment: &Moment,
    ) -> Result<(), LogbookError> {
        self.write_of_set(set, on, moment, |set, (work, on)| {
            set_not_out(set)?;
            set_not_at_home(set)?;
            let Owner::Ticket(ticket) = set.owner.clone() else {
                let edit = Action::ChangeSet { set: set.id };
                let what = format!("set {}", set.name);
                return Err(LogbookError::NotACustomers { what, edit });
            };
            let hoses = hoses_of(work, set, on, moment)?;
            for record in &hoses {
                if ticket_of(record)? != ticket {
                    return Err(not_a_customers(record));
                }
                goes(record, on)?;
            }
            let hoses = named(hoses.iter().map(|record| record.hose));
            Ok(vec![Event::GoneHome(GoneHome { hose: None, set: Some(set.id), hoses, ticket })])
        })
    }

    /// Records that a customer's hose that went home came in again, under a new
    /// ticket.
    ///
    /// # Errors
    /// [`LogbookError`] if it is not at home, or went there with its set.
    pub fn come_in(
        &mut self,
        hose: Code,
        ticket: Label,
        on: Option<NaiveDate>,
        moment: &Moment,
    ) -> Result<Code, LogbookError> {
        self.write_of_hose(hose, on, moment, |record, work| {
            let home = record.home.as_ref();
            let home = home.ok_or_else(|| LogbookError::NotAtHome(named_of(record)))?;
            if let Some(slot) = record.slots().next() {
                let seat = seat_of(work, slot)?;
                return Err(LogbookError::HomeWithSet { hose: record.tag(), set: seat.set });
            }
            new_ticket(&home.ticket, &ticket)?;
            let answers = answers_of(record, home.entry);
            let (hose, set, hoses) = (Some(record.hose), None, Vec::new());
            Ok(Event::CameIn(CameIn { hose, set, hoses, ticket, answers }))
        })
    }

    /// Records that a customer's set that went home came in again with its hoses,
    /// under a new ticket.
    ///
    /// # Errors
    /// [`LogbookError`] if it is not at home.
    pub fn set_comes_in(
        &mut self,
        set: &Label,
        ticket: Label,
        on: Option<NaiveDate>,
        moment: &Moment,
    ) -> Result<(), LogbookError> {
        self.write_of_set(set, on, moment, |set, (work, on)| {
            let home = set.home.clone();
            let home = home.ok_or_else(|| LogbookError::NotAtHome(format!("set {}", set.name)))?;
            new_ticket(&home.ticket, &ticket)?;
            let hoses = hoses_of(work, set, on, moment)?;
            let mut answers = vec![home.entry];
            for record in hoses.iter().filter(|record| record.home.is_some()) {
                answers.extend(answers_of(record, home.entry));
            }
            let back = hoses.iter().filter(|record| record.home.is_some());
            let back = named(back.map(|record| record.hose));
            let owner = Some(Owner::Ticket(ticket.clone()));
            let details = DetailChanges { owner, ..DetailChanges::default() };
            let changes = SetChanges { details, ..SetChanges::default() };
            let replaced = set.descriptions.clone();
            let changed = Event::SetChanged { set: set.id, changes, why: None, answers: replaced };
            let (hose, id, answers) = (None, Some(set.id), named(answers.into_iter()));
            Ok(vec![changed, Event::CameIn(CameIn { hose, set: id, hoses: back, ticket, answers })])
        })
    }

    /// Records what happened to a customer's set, if nothing keeps it as it is.
    fn write_of_set(
        &mut self,
        set: &Label,
        on: Option<NaiveDate>,
        moment: &Moment,
        plan: impl FnOnce(&SetRecord, (&Connection, NaiveDate)) -> Result<Vec<Event>, LogbookError>,
    ) -> Result<(), LogbookError> {
        let on = on.unwrap_or(moment.today);
        check_not_ahead(on, moment)?;
        self.write(moment, |work, _| {
            let set = set_of(work, set, moment.today)?;
            set_not_after_incident(&set)?;
            let events = plan(&set, (work, on))?;
            Ok((events.into_iter().map(|event| Draft { on, event }).collect(), ()))
        })?;
        Ok(())
    }
}

/// The hoses in a set, each with nothing against being written about.
fn hoses_of(
    work: &Connection,
    set: &SetRecord,
    on: NaiveDate,
    moment: &Moment,
) -> Result<Vec<HoseRecord>, LogbookError> {
    let codes = named(set.claims.iter().map(|claim| claim.hose));
    let mut all = Vec::new();
    for hose in codes {
        let record = record_of(work, hose, moment.today)?;
        check_day(&record, on, moment)?;
        not_after_incident(work, &record, moment)?;
        all.push(record);
    }
    Ok(all)
}

/// What a coming-in replaces: the going home, and whose the hose was before.
fn answers_of(record: &HoseRecord, home: EntryId) -> Vec<EntryId> {
    named(record.descriptions.iter().copied().chain([home]))
}

fn named_of(record: &HoseRecord) -> String {
    record.tag().to_string()
}

fn ticket_of(record: &HoseRecord) -> Result<Label, LogbookError> {
    let owner = record.origin.own.owner();
    let ticket = owner.ticket().cloned();
    ticket.ok_or_else(|| not_a_customers(record))
}

pub(super) fn not_a_customers(record: &HoseRecord) -> LogbookError {
    let edit = Action::Describe { hose: record.tag() };
    LogbookError::NotACustomers { what: named_of(record), edit }
}

/// One ticket is one time in the house.
fn new_ticket(old: &Label, new: &Label) -> Result<(), LogbookError> {
    if crate::record::folded(old) == crate::record::folded(new) {
        return Err(LogbookError::Nothing("it went home under that ticket; give it a new one"));
    }
    Ok(())
}

/// Whether a hose can leave the house on a day.
fn goes(record: &HoseRecord, on: NaiveDate) -> Result<(), LogbookError> {
    not_out(record)?;
    if record.swap().is_some() {
        return Err(LogbookError::Nothing(
            "it is in a swap that is not finished; finish that or give it up first",
        ));
    }
    check_since(record, on)
}
