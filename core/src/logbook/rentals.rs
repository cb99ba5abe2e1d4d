//! Handing sets out.

use chrono::NaiveDate;
use rusqlite::Connection;

use super::answering::answer_with;
use super::around::Around;
use super::believed::{record_of, set_of};
use super::checks::{check_day, check_not_ahead, check_since, packed_for};
use super::{DayError, Found, Logbook, LogbookError};
use crate::answer::Reason;
use crate::event::{Event, HandedOut, PortName, ReasonThen, ShownThen};
use crate::hose::{Label, Prose};
use crate::journal::{Draft, Moment};
use crate::policy::Use;
use crate::record::SetRecord;
use crate::rental::{HandOutCheck, Known, Scanned, check};
use crate::set_view::Checked;

/// What was scanned or typed, and the hose that it names, or why it names none.
pub(super) type Named = (String, Result<Found, String>);

impl Logbook {
    /// Checks what was scanned, in any order, against the hoses that a rental
    /// set should have. Something that names no hose is an answer, not an error.
    ///
    /// # Errors
    /// [`LogbookError`] if there is no such set, it is not for rental, or
    /// the store cannot be read.
    pub fn hand_out_check<S: AsRef<str>>(
        &self,
        set: &Label,
        scanned: &[S],
        moment: &Moment,
    ) -> Result<HandOutCheck, LogbookError> {
        let named = self.named(scanned)?;
        self.reading(|| check_of(&mut self.around(moment.today)?, set, &named))
    }

    /// Hands a set out with the hoses that were scanned. What stops it can be
    /// lifted with a reason, but for what [`crate::rental::StopKind`] excepts;
    /// the reason stays on record with the name of who gave it. If nothing
    /// stops it, a reason is not needed and not recorded.
    ///
    /// # Errors
    /// [`LogbookError::HandOutStopped`] with the whole check; others if the
    /// set or the day is invalid.
    pub fn hand_out<S: AsRef<str>>(
        &mut self,
        set: &Label,
        ticket: Label,
        scanned: &[S],
        override_why: Option<Prose>,
        on: Option<NaiveDate>,
        moment: &Moment,
    ) -> Result<HandOutCheck, LogbookError> {
        let on = on.unwrap_or(moment.today);
        check_not_ahead(on, moment)?;
        let named = self.named(scanned)?;
        let (_, check) = self.write(moment, |work, _| {
            let check = check_of(&mut Around::of(work, moment.today)?, set, &named)?;
            let override_why = lifted(&check, override_why)?;
            let record = set_of(work, set, moment.today)?;
            packed_for(&record, &ticket)?;
            let shown = gone(work, &record, &check, on, moment)?;
            let event = handed_out(&record, ticket, override_why, shown);
            Ok((vec![Draft { on, event }], check))
        })?;
        Ok(check)
    }

    pub(super) fn named<S: AsRef<str>>(&self, scanned: &[S]) -> Result<Vec<Named>, LogbookError> {
        let name = |text: &S| {
            let text = text.as_ref().trim().to_owned();
            match self.find_typed(&text) {
                Ok(found) => Ok((text, Ok(found))),
                Err(LogbookError::Store(error)) => Err(error.into()),
                Err(why) => Ok((text, Err(why.to_string()))),
            }
        };
        scanned.iter().map(name).collect()
    }
}

/// The reason that lifts what stops a set; none if nothing does.
pub(super) fn lifted(
    check: &HandOutCheck,
    override_why: Option<Prose>,
) -> Result<Option<Prose>, LogbookError> {
    let lifts = override_why.is_some() && check.can_be_lifted();
    if !check.ready && !lifts {
        return Err(LogbookError::HandOutStopped(Box::new(check.clone())));
    }
    Ok(override_why.filter(|_| !check.ready))
}

pub(super) fn handed_out(
    set: &SetRecord,
    ticket: Label,
    override_why: Option<Prose>,
    shown: Vec<ShownThen>,
) -> Event {
    let hoses = shown.iter().map(|shown| shown.hose).collect();
    Event::HandedOut(HandedOut { set: set.id, hoses, ticket, override_why, shown })
}

/// How a check shows the hoses that go, on a day on which they can.
pub(super) fn gone(
    work: &Connection,
    set: &SetRecord,
    check: &HandOutCheck,
    on: NaiveDate,
    moment: &Moment,
) -> Result<Vec<ShownThen>, LogbookError> {
    check_after_return(set, on)?;
    going(work, check, on, moment)
}

pub(super) fn check_of(
    around: &mut Around<'_>,
    set: &Label,
    named: &[Named],
) -> Result<HandOutCheck, LogbookError> {
    let set = around.set_named(set)?;
    if set.in_use != Use::Rental {
        return Err(LogbookError::NotForRental(set.name));
    }
    let hoses = hoses_of(around, &set)?;
    let scanned = named.iter().map(|(text, found)| {
        let hose = match found {
            Ok(found) => Ok(known(around, *found)?),
            Err(why) => Err(why.clone()),
        };
        Ok(Scanned { text: text.clone(), hose })
    });
    let scanned: Vec<Scanned> = scanned.collect::<Result<_, LogbookError>>()?;
    Ok(check(&set, &hoses, &scanned))
}

fn known(around: &mut Around<'_>, found: Found) -> Result<Known, LogbookError> {
    let record = around.record(found.hose)?;
    let answer = answer_with(around, &record, found, None)?;
    let out_with = match record.out() {
        Some(out) => around.set(out.set)?.map(|set| set.name.clone()),
        None => None,
    };
    Ok(Known { record, out_with, answer })
}

/// The hoses of a set by port, each once: one that two devices put in two of
/// its ports counts where it came last.
fn hoses_of(
    around: &mut Around<'_>,
    set: &SetRecord,
) -> Result<Vec<(PortName, Known)>, LogbookError> {
    let mut all: Vec<(PortName, Known)> = Vec::new();
    for (port, hose) in &set.hoses {
        let own = known(around, Found { hose: *hose, tag: None })?;
        let here = own.record.seat.as_ref().is_some_and(|seat| seat.port == *port);
        match all.iter_mut().find(|(_, earlier)| earlier.record.hose == *hose) {
            Some(earlier) if here => earlier.0 = *port,
            Some(_) => {}
            None => all.push((*port, own)),
        }
    }
    Ok(all)
}

/// The hoses that go out, as they were shown; each must have come where it is by
/// then.
fn going(
    store: &Connection,
    check: &HandOutCheck,
    on: NaiveDate,
    moment: &Moment,
) -> Result<Vec<ShownThen>, LogbookError> {
    let goes = |hose: &Checked| {
        let record = record_of(store, hose.code, moment.today)?;
        check_day(&record, on, moment)?;
        check_since(&record, on)?;
        let reason = |reason: &Reason| {
            let (code, words) = (reason.code.clone(), reason.words.clone());
            ReasonThen { code, words }
        };
        let reasons = hose.reasons.iter().map(reason).collect();
        Ok(ShownThen { hose: record.hose, verdict: hose.verdict, reasons })
    };
    check.going().into_iter().map(goes).collect()
}

fn check_after_return(set: &SetRecord, on: NaiveDate) -> Result<(), LogbookError> {
    match set.back_on {
        Some(back) if on < back => {
            Err(LogbookError::Day(DayError::BeforeReturn { set: set.name.clone(), on, back }))
        }
        _ => Ok(()),
    }
}

#[cfg(test)]
#[path = "rentals_back_tests.rs"]
mod back_tests;
#[cfg(test)]
#[path = "rentals_tests.rs"]
pub(super) mod tests;
