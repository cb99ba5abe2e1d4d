//! What has to hold before something is written about a hose or a set.

use chrono::NaiveDate;
use rusqlite::Connection;

use super::around::Around;
use super::{DayError, LogbookError, PackingError, PlaceError};
use crate::answer::not_of_this_set;
use crate::hose::{Label, Specification};
use crate::journal::Moment;
use crate::record::{HoseRecord, PackedSet, SetRecord};

/// Nothing is written for a day to come.
pub(super) fn check_not_ahead(on: NaiveDate, moment: &Moment) -> Result<(), LogbookError> {
    if on > moment.today {
        return Err(LogbookError::Day(DayError::FutureDay { on, today: moment.today }));
    }
    Ok(())
}

/// Nothing happens to a hose in the future, or before it was made.
pub(super) fn check_day(
    record: &HoseRecord,
    on: NaiveDate,
    moment: &Moment,
) -> Result<(), LogbookError> {
    check_not_ahead(on, moment)?;
    match record.origin.born() {
        Some(born) if on < born.earliest() => {
            Err(LogbookError::Day(DayError::BeforeMade { on, born: born.to_string() }))
        }
        _ => Ok(()),
    }
}

/// A hose is not moved on a day before the one on which it came where it is.
pub(super) fn check_since(record: &HoseRecord, on: NaiveDate) -> Result<(), LogbookError> {
    match record.seated_on {
        Some(since) if on < since => {
            Err(LogbookError::Day(DayError::BeforeLastPlace { on, since }))
        }
        _ => Ok(()),
    }
}

/// While an accident is looked into nothing is done to a hose.
pub(super) fn not_after_incident(
    store: &Connection,
    record: &HoseRecord,
    moment: &Moment,
) -> Result<(), LogbookError> {
    let after = Around::of(store, moment.today)?.ask(record, crate::answer::after_incident)?;
    if after { Err(LogbookError::AfterIncident(record.tag())) } else { Ok(()) }
}

/// What a hose is; of one that nobody has described too little is known.
pub(super) fn described(record: &HoseRecord) -> Result<Specification, LogbookError> {
    record.specification.clone().ok_or(LogbookError::Undescribed(record.tag()))
}

pub(super) fn not_retired(record: &HoseRecord) -> Result<(), LogbookError> {
    match &record.retired {
        Some(end) => {
            Err(LogbookError::Retired { hose: record.tag(), on: end.on, why: end.why.clone() })
        }
        None => Ok(()),
    }
}

pub(super) fn not_out(record: &HoseRecord) -> Result<(), LogbookError> {
    match record.out() {
        Some(out) => {
            Err(LogbookError::RentedOut { hose: record.tag(), ticket: out.ticket.clone() })
        }
        None => Ok(()),
    }
}

/// What is at home cannot be worked on.
pub(super) fn not_at_home(record: &HoseRecord) -> Result<(), LogbookError> {
    match &record.home {
        Some(_) => Err(LogbookError::AtHome(record.tag().to_string())),
        None => Ok(()),
    }
}

/// A customer's hose is fitted to sets of its ticket alone.
pub(super) fn of_this_set(record: &HoseRecord, set: &SetRecord) -> Result<(), LogbookError> {
    match not_of_this_set(record, set) {
        Some(why) => Err(LogbookError::Place(PlaceError::DoesNotFit { hose: record.tag(), why })),
        None => Ok(()),
    }
}

pub(super) fn set_not_after_incident(set: &SetRecord) -> Result<(), LogbookError> {
    if set.holds.iter().any(|hold| hold.incident) {
        return Err(LogbookError::SetAfterIncident(set.name.clone()));
    }
    Ok(())
}

/// What is with a hirer cannot be worked on.
pub(super) fn set_not_out(set: &SetRecord) -> Result<(), LogbookError> {
    match &set.out {
        Some(out) => Err(LogbookError::SetOut {
            set: set.name.clone(),
            ticket: out.ticket.clone(),
            since: out.on,
        }),
        None => Ok(()),
    }
}

pub(super) fn set_not_packed(set: &SetRecord) -> Result<(), LogbookError> {
    match &set.packed {
        Some(PackedSet { ticket, .. }) => {
            Err(PackingError::Packed { set: set.name.clone(), ticket: ticket.clone() }.into())
        }
        None => Ok(()),
    }
}

/// A set that is packed goes out under the ticket that it is packed for, and no other.
pub(super) fn packed_for(set: &SetRecord, ticket: &Label) -> Result<(), LogbookError> {
    let other = set.packed.iter().any(|packed| packed.tickets.iter().any(|own| own != ticket));
    if other { set_not_packed(set) } else { Ok(()) }
}

/// What is at home cannot be worked on.
pub(super) fn set_not_at_home(set: &SetRecord) -> Result<(), LogbookError> {
    match &set.home {
        Some(_) => Err(LogbookError::AtHome(format!("set {}", set.name))),
        None => Ok(()),
    }
}
