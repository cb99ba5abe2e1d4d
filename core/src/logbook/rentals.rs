//! Handing sets out and taking them back.

use chrono::NaiveDate;
use rusqlite::Connection;
use serde::Serialize;

use super::answering::{answer_of, record_of, seat_of};
use super::places::{check_since, set_of};
use super::slips::of_return;
use super::{Found, Logbook, LogbookError, check_day, check_not_ahead};
use crate::event::{Event, PortName};
use crate::hose::Label;
use crate::inspection::{Form, InspectionKind, Look, Observation, Verdict};
use crate::journal::{Draft, Moment};
use crate::policy::Use;
use crate::record::{self, HandOut, HoseRecord, SetRecord};
use crate::rental::{HandOutCheck, Known, MOST_DIVES, Scanned, check};
use crate::set_view::Checked;
use crate::tag::Code;
use crate::words;

/// A set that came back.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TakenBack {
    /// The set.
    pub set: Label,
    /// What it comes to, in words.
    pub words: String,
    /// The ticket that it was out on.
    pub ticket: Label,
    /// Since when it was out.
    pub out_since: NaiveDate,
    /// Dives written down for each of its hoses.
    pub dives: u32,
    /// Whether a hose of it is on hold or to be retired.
    pub quarantined: bool,
    /// The hoses that came back, as they stand now.
    pub hoses: Vec<Checked>,
    /// The hoses of the set that are on hold or to be retired, by port.
    pub stops: Vec<Checked>,
    /// In words, one sentence each: hoses that were out with the set and are no
    /// longer in it on record, and hoses that are in it and were not out.
    pub differences: Vec<String>,
}

/// What was scanned or typed, and the hose that it names, or why it names none.
type Named = (String, Result<Found, String>);

impl Logbook {
    /// Checks what was scanned, in any order, against the hoses that a rental
    /// set should have. Something that names no hose is an answer, not an error.
    ///
    /// # Errors
    /// [`LogbookError`] where there is no such set, it is not for rental, or
    /// the store cannot be read.
    pub fn hand_out_check<S: AsRef<str>>(
        &self,
        set: &Label,
        scanned: &[S],
        moment: &Moment,
    ) -> Result<HandOutCheck, LogbookError> {
        let named = self.named(scanned)?;
        self.reading(|| check_of(&self.connection, set, &named, moment))
    }

    /// Hands a set out with the hoses that were scanned. What stops it can be
    /// lifted with a reason, but for what [`crate::rental::StopKind`] excepts;
    /// the reason stays on record with the name of who gave it. Where nothing
    /// stops it, a reason is not needed and not written down.
    ///
    /// # Errors
    /// [`LogbookError::HandOutStopped`] with the whole check; others where the
    /// set or the day cannot be.
    pub fn hand_out<S: AsRef<str>>(
        &mut self,
        set: &Label,
        ticket: Label,
        scanned: &[S],
        override_why: Option<Label>,
        on: Option<NaiveDate>,
        moment: &Moment,
    ) -> Result<HandOutCheck, LogbookError> {
        let on = on.unwrap_or(moment.today);
        check_not_ahead(on, moment)?;
        let named = self.named(scanned)?;
        let (_, check) = self.write(moment, |work, _| {
            let check = check_of(work, set, &named, moment)?;
            let lifted = override_why.is_some() && check.can_be_lifted();
            if !check.ready && !lifted {
                return Err(LogbookError::HandOutStopped(Box::new(check)));
            }
            let record = set_of(work, set, moment.today)?;
            check_after_return(&record, on)?;
            let override_why = override_why.filter(|_| !check.ready);
            let hoses = going(work, &check, on, moment)?;
            let event = Event::HandedOut { set: record.id, hoses, ticket, override_why };
            Ok((vec![Draft { on, event }], check))
        })?;
        Ok(check)
    }

    /// Takes a set back: the dives that were made with each of its hoses, and a
    /// quick inspection of each, with what was seen or with nothing found.
    ///
    /// # Errors
    /// [`LogbookError`] where the set is not out, the dives or the day cannot
    /// be, or something was seen on a hose that was not out with it.
    pub fn take_back<S: AsRef<str>>(
        &mut self,
        set: &Label,
        dives: u32,
        seen: &[(S, Observation)],
        on: Option<NaiveDate>,
        moment: &Moment,
    ) -> Result<TakenBack, LogbookError> {
        let on = on.unwrap_or(moment.today);
        check_not_ahead(on, moment)?;
        if dives > MOST_DIVES {
            return Err(LogbookError::TooManyDives { dives });
        }
        let seen: Vec<(Code, Observation)> = seen
            .iter()
            .map(|(typed, seen)| Ok((self.find_typed(typed.as_ref())?.hose, *seen)))
            .collect::<Result<_, LogbookError>>()?;
        if let Some(out) = self.set(set)?.out {
            self.ask(of_return(&out, dives, on))?;
        }
        let (_, (out, found)) = self.write(moment, |work, _| {
            let record = set_of(work, set, moment.today)?;
            let out = record.out.clone().ok_or_else(|| LogbookError::NotOut(set.clone()))?;
            check_after_hand_out(&out, on)?;
            let looks = looks(work, &record, &out, (&seen, moment))?;
            let found = looks.iter().filter(|(_, look)| !look.findings.is_empty()).count();
            let quarantine = quarantine(work, &looks, moment)?;
            Ok((return_of(&record, &out, dives, (looks, quarantine), on), (out, found)))
        })?;
        self.taken_back(set, out, (dives, found), moment)
    }

    /// How a set stands that was just taken back, with the dives that were made
    /// and the number of hoses on which something was found.
    fn taken_back(
        &self,
        set: &Label,
        out: HandOut,
        (dives, found): (u32, usize),
        moment: &Moment,
    ) -> Result<TakenBack, LogbookError> {
        let view = self.set_view(set, moment)?;
        let differences = self.reading(|| differences(&self.connection, set, &out, moment))?;
        let looked = words::sets::looked_at(out.hoses.len(), found);
        let back = words::sets::taken_back(set, &out.ticket, dives, &looked, view.quarantined);
        let hoses = self.reading(|| {
            let back = out.hoses.iter().map(|hose| {
                let found = Found { hose: *hose, tag: None };
                let answer = answer_of(&self.connection, found, moment)?;
                let port = view
                    .ports
                    .iter()
                    .find(|port| port.hose.as_ref().is_some_and(|hose| hose.code == answer.code));
                Ok(Checked::of(&answer, port.map(|port| port.port.name)))
            });
            back.collect::<Result<Vec<_>, LogbookError>>()
        })?;
        Ok(TakenBack {
            words: back,
            set: view.name,
            ticket: out.ticket,
            out_since: out.on,
            dives,
            quarantined: view.quarantined,
            hoses,
            stops: view.stops,
            differences,
        })
    }

    fn named<S: AsRef<str>>(&self, scanned: &[S]) -> Result<Vec<Named>, LogbookError> {
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

fn check_of(
    store: &Connection,
    set: &Label,
    named: &[Named],
    moment: &Moment,
) -> Result<HandOutCheck, LogbookError> {
    let set = set_of(store, set, moment.today)?;
    if set.in_use != Use::Rental {
        return Err(LogbookError::NotForRental(set.name));
    }
    let hoses = hoses_of(store, &set, moment)?;
    let scanned = named.iter().map(|(text, found)| {
        let hose = match found {
            Ok(found) => Ok(known(store, *found, moment)?),
            Err(why) => Err(why.clone()),
        };
        Ok(Scanned { text: text.clone(), hose })
    });
    let scanned: Vec<Scanned> = scanned.collect::<Result<_, LogbookError>>()?;
    Ok(check(&set, &hoses, &scanned))
}

fn known(store: &Connection, found: Found, moment: &Moment) -> Result<Known, LogbookError> {
    let answer = answer_of(store, found, moment)?;
    let record = record_of(store, answer.code, moment.today)?;
    let out_with = match record.out() {
        Some(out) => record::load_set(store, out.set)?.map(|set| set.name),
        None => None,
    };
    Ok(Known { record, out_with, answer })
}

/// The hoses of a set by port, each once: one that two devices put in two of
/// its ports counts where it came last.
fn hoses_of(
    store: &Connection,
    set: &SetRecord,
    moment: &Moment,
) -> Result<Vec<(PortName, Known)>, LogbookError> {
    let mut all: Vec<(PortName, Known)> = Vec::new();
    for (port, hose) in &set.hoses {
        let own = known(store, Found { hose: *hose, tag: None }, moment)?;
        let here = own.record.seat.as_ref().is_some_and(|seat| seat.port == *port);
        match all.iter_mut().find(|(_, earlier)| earlier.record.hose == *hose) {
            Some(earlier) if here => earlier.0 = *port,
            Some(_) => {}
            None => all.push((*port, own)),
        }
    }
    Ok(all)
}

/// The hoses that go out, each of which must have come where it is by then.
fn going(
    store: &Connection,
    check: &HandOutCheck,
    on: NaiveDate,
    moment: &Moment,
) -> Result<Vec<Code>, LogbookError> {
    let goes = |hose: &Checked| {
        let record = record_of(store, hose.code, moment.today)?;
        check_day(&record, on, moment)?;
        check_since(&record, on)?;
        Ok(record.hose)
    };
    check.going().into_iter().map(goes).collect()
}

/// Where the hoses that were out and the hoses of the set are not the same:
/// another device moved some meanwhile, or an objection was lifted.
fn differences(
    store: &Connection,
    set: &Label,
    out: &HandOut,
    moment: &Moment,
) -> Result<Vec<String>, LogbookError> {
    let record = set_of(store, set, moment.today)?;
    let (set, here) = (&record.name, record.hoses);
    let mut said = Vec::new();
    for hose in out.hoses.iter().filter(|hose| !here.values().any(|own| own == *hose)) {
        let record = record_of(store, *hose, moment.today)?;
        let retired = record.retired.is_some();
        let seat = record.seat.map(|slot| seat_of(store, slot)).transpose()?;
        let ticket = record.out().map(|out| &out.ticket);
        let place = words::whereabouts(seat.as_ref(), ticket, retired);
        said.push(words::sets::no_longer_in(set, record.tag(), &place));
    }
    for (port, hose) in here.iter().filter(|(_, hose)| !out.hoses.contains(hose)) {
        let tag = record_of(store, *hose, moment.today)?.tag();
        said.push(words::sets::was_not_out(set, *port, tag));
    }
    Ok(said)
}

fn check_after_return(set: &SetRecord, on: NaiveDate) -> Result<(), LogbookError> {
    match set.back_on {
        Some(back) if on < back => {
            Err(LogbookError::BeforeReturn { set: set.name.clone(), on, back })
        }
        _ => Ok(()),
    }
}

fn check_after_hand_out(out: &HandOut, on: NaiveDate) -> Result<(), LogbookError> {
    if on < out.on {
        return Err(LogbookError::BeforeHandOut { on, since: out.on });
    }
    Ok(())
}

/// A quick inspection of each hose that was out.
fn looks(
    store: &Connection,
    set: &SetRecord,
    out: &HandOut,
    (seen, moment): (&[(Code, Observation)], &Moment),
) -> Result<Vec<(Code, Look)>, LogbookError> {
    if let Some((stranger, _)) = seen.iter().find(|(hose, _)| !out.hoses.contains(hose)) {
        let (set, ticket) = (set.name.clone(), out.ticket.clone());
        return Err(LogbookError::NotOutWith { hose: *stranger, set, ticket });
    }
    let look = |hose: &Code| {
        let seen = seen.iter().filter(|(of, _)| of == hose).map(|(_, seen)| *seen);
        let record = record_of(store, *hose, moment.today)?;
        Ok((*hose, quick_look(&record, seen.collect())?))
    };
    out.hoses.iter().map(look).collect()
}

/// A hose whose description has not reached this store can have no findings
/// held against it; that it was looked at can be said.
fn quick_look(record: &HoseRecord, findings: Vec<Observation>) -> Result<Look, LogbookError> {
    let kind = InspectionKind::Quick;
    let Some(specification) = record.specification.as_ref() else {
        return match findings.is_empty() {
            true => Ok(Look::of(kind, findings)),
            false => Err(LogbookError::Undescribed(record.tag())),
        };
    };
    let mut form = Form::new(kind, specification);
    for seen in findings {
        form.found(seen)?;
    }
    Ok(form.finish()?)
}

/// Why a set that came back goes into quarantine: something was found that holds
/// a hose of it or retires it.
fn quarantine(
    store: &Connection,
    looks: &[(Code, Look)],
    moment: &Moment,
) -> Result<Option<Label>, LogbookError> {
    for (hose, look) in looks {
        let record = record_of(store, *hose, moment.today)?;
        let bad = look
            .findings
            .iter()
            .find_map(|seen| record.rule(seen).filter(|rule| rule.verdict >= Verdict::Hold));
        if let Some(rule) = bad {
            let why = words::sets::quarantine(record.tag(), rule.seen);
            return Ok(Some(Label::clipped(&why)));
        }
    }
    Ok(None)
}

fn return_of(
    set: &SetRecord,
    out: &HandOut,
    dives: u32,
    (looks, quarantine): (Vec<(Code, Look)>, Option<Label>),
    on: NaiveDate,
) -> Vec<Draft> {
    let (set, hoses) = (set.id, out.hoses.clone());
    let looked = looks.into_iter().map(|(hose, look)| Event::Inspected {
        hose,
        look,
        at: None,
        answers: Vec::new(),
    });
    let (tickets, answers) = (out.tickets.clone(), out.entries.clone());
    let back = Event::Returned { set, hoses, tickets, dives, answers };
    let quarantine = quarantine.map(|why| Event::Quarantined { set, why });
    let events = std::iter::once(back).chain(looked).chain(quarantine);
    events.map(|event| Draft { on, event }).collect()
}

#[cfg(test)]
#[path = "rentals_tests.rs"]
mod tests;
