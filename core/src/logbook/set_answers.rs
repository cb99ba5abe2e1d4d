//! How a set stands: its own reasons, and those of every hose in it. The answer
//! to a set's tag, and the tags that sets get.

use chrono::NaiveDate;
use rusqlite::Connection;

use super::answering::{answer_of, fleet_on, heard, record_of, set_as_of, set_on, with_asked};
use super::hoses::{FEWEST_TYPED, free_tag};
use super::places::{set_called, set_not_after_incident, set_of};
use super::{Found, Logbook, LogbookError, check_not_ahead};
use crate::answer::{Answer, AskedOfSet, InPort, Reason, reasons, set_line, set_reasons};
use crate::event::{Event, PortName};
use crate::hose::Label;
use crate::journal::{Draft, Moment};
use crate::record::{self, HoseRecord, SetRecord, find_set_codes, find_set_tag};
use crate::set_answer::SetAnswer;
use crate::set_view::Checked;
use crate::tag::{Code, Payload, PayloadError, TagText};
use crate::view::AnswerView;
use crate::words::slips;

/// What a tag answers for: a hose, or a whole set.
#[derive(Debug, Clone, PartialEq)]
pub enum Answered {
    /// A hose.
    Hose(Box<AnswerView>),
    /// A set.
    Set(Box<SetAnswer>),
}

impl Logbook {
    /// Answers for something scanned or typed: a hose's tag or a set's, the
    /// beginning of a code, or a bound barcode.
    ///
    /// # Errors
    /// [`LogbookError`] where neither a hose nor a set is found.
    pub fn answered(&self, text: &str, moment: &Moment) -> Result<Answered, LogbookError> {
        self.reading(|| {
            if let Some(answer) = self.set_answer_of(text, moment)? {
                return Ok(Answered::Set(Box::new(answer)));
            }
            Ok(Answered::Hose(Box::new(self.view(self.answer_typed(text, moment)?)?)))
        })
    }

    /// The answer for a set's tag; nothing where what was scanned or typed is none
    /// of a set's.
    ///
    /// # Errors
    /// [`LogbookError`] where the store cannot be read, or what was typed could
    /// be a hose's code or a set's.
    pub fn set_answer_of(
        &self,
        text: &str,
        moment: &Moment,
    ) -> Result<Option<SetAnswer>, LogbookError> {
        let (code, says_so) = match TagText::parse(text) {
            Ok(TagText::Set(code)) => (code, true),
            // A tag with a hose's passport is never a set's.
            Ok(TagText::Hose(Payload { code, passport: None })) => (code, false),
            Ok(TagText::Hose(_)) => return Ok(None),
            Err(PayloadError::NotOurs { .. }) => match Code::parse(text) {
                Ok(code) => (code, false),
                Err(_) => return self.set_beginning(text, moment),
            },
            Err(_) => return Ok(None),
        };
        if !says_so && record::find_tag(&self.connection, code)?.is_some() {
            return Ok(None);
        }
        match find_set_tag(&self.connection, code)? {
            Some(set) => {
                let set = set_as_of(&self.connection, set, moment.today)?;
                self.set_answer(&set, Some(code), moment).map(Some)
            }
            None => Ok(says_so.then(|| SetAnswer::of_tag(code))),
        }
    }

    /// The set whose code begins so, where no hose's does.
    fn set_beginning(
        &self,
        typed: &str,
        moment: &Moment,
    ) -> Result<Option<SetAnswer>, LogbookError> {
        let characters = typed.chars().filter(|c| c.is_alphanumeric()).count();
        let Some(prefix) = Code::prefix(typed).filter(|_| characters >= FEWEST_TYPED) else {
            return Ok(None);
        };
        let sets = find_set_codes(&self.connection, prefix, 2)?;
        let Some(first) = sets.first().copied() else { return Ok(None) };
        let mut codes = record::find_tags(&self.connection, prefix, 9)?;
        if self.find_bound(typed)?.is_some() {
            return Ok(None);
        }
        if codes.len() + sets.len() > 1 {
            codes.extend(sets);
            return Err(LogbookError::Several { typed: typed.trim().to_owned(), codes });
        }
        let Some(set) = find_set_tag(&self.connection, first)? else { return Ok(None) };
        let set = set_as_of(&self.connection, set, moment.today)?;
        self.set_answer(&set, Some(first), moment).map(Some)
    }

    /// The answer for a set that somebody names.
    ///
    /// # Errors
    /// [`LogbookError::NoSuchSet`] with the sets there are.
    pub fn answer_set(&self, set: &Label, moment: &Moment) -> Result<SetAnswer, LogbookError> {
        self.reading(|| {
            let set = set_of(&self.connection, set, moment.today)?;
            self.set_answer(&set, None, moment)
        })
    }

    fn set_answer(
        &self,
        set: &SetRecord,
        scanned: Option<Code>,
        moment: &Moment,
    ) -> Result<SetAnswer, LogbookError> {
        let store = &self.connection;
        let mut hoses: Vec<Checked> = Vec::new();
        for (port, hose) in claimed(set) {
            let answer = answer_of(store, Found { hose, tag: None }, moment)?;
            if !hoses.iter().any(|known| known.code == answer.code) {
                hoses.push(Checked::of(&answer, Some(port)));
            }
        }
        Ok(SetAnswer::of(set, own_reasons(store, set, moment)?, hoses, scanned))
    }

    /// What a set's own tag carries.
    ///
    /// # Errors
    /// [`LogbookError::SetHasNoTag`] for a set of earlier programs that nobody has
    /// given one; others where there is no such set.
    pub fn set_tag(&self, set: &Label) -> Result<TagText, LogbookError> {
        let set = set_called(&self.connection, set)?;
        set.tag().map(TagText::Set).ok_or(LogbookError::SetHasNoTag(set.name))
    }

    /// Gives a set a new tag for its first stage, one that was printed blank or a
    /// new code, and withdraws the one before; returns its code.
    ///
    /// # Errors
    /// [`LogbookError`] where there is no such set, the tag is in use, or the day
    /// cannot be.
    pub fn tag_set(
        &mut self,
        set: &Label,
        tag: Option<Code>,
        on: Option<NaiveDate>,
        moment: &Moment,
    ) -> Result<Code, LogbookError> {
        let on = on.unwrap_or(moment.today);
        check_not_ahead(on, moment)?;
        let before = self.set(set)?.tag();
        self.ask(before.into_iter().map(slips::retag).collect())?;
        let (_, tag) = self.write(moment, |work, random| {
            let set = set_of(work, set, moment.today)?;
            set_not_after_incident(&set)?;
            if let Some(last) = set.tags.last().filter(|last| on < last.since) {
                let (since, tag) = (last.since, last.code);
                return Err(LogbookError::BeforeLastTag { on, since, tag });
            }
            let tag = free_tag(work, tag, random)?;
            Ok((vec![Draft { on, event: Event::SetTagged { set: set.id, tag } }], tag))
        })?;
        Ok(tag)
    }
}

/// Every hose that is claimed for a port of a set, by port: also those of which it
/// is in doubt.
fn claimed(set: &SetRecord) -> Vec<(PortName, Code)> {
    let mut all: Vec<_> = set.claims.iter().map(|claim| (claim.port, claim.hose)).collect();
    all.sort_unstable();
    all
}

/// The reasons that a set has by itself.
fn own_reasons(
    store: &Connection,
    set: &SetRecord,
    moment: &Moment,
) -> Result<Vec<Reason>, LogbookError> {
    let (fleet, today) = (fleet_on(store, moment.today)?, moment.today);
    Ok(set_reasons(&AskedOfSet { set, fleet: &fleet, today, heard: heard(store)? }))
}

/// The hoses of a set with their reasons, each once.
fn in_ports(
    store: &Connection,
    set: &SetRecord,
    moment: &Moment,
) -> Result<Vec<InPort>, LogbookError> {
    let mut all: Vec<InPort> = Vec::new();
    for (port, hose) in claimed(set) {
        let record = record_of(store, hose, moment.today)?;
        let code = record.tag();
        if !all.iter().any(|known| known.code == code) {
            let reasons = with_asked(store, &record, moment.today, reasons)?;
            all.push(InPort { port, code, reasons });
        }
    }
    Ok(all)
}

/// A hose's answer with the line for its set.
pub(super) fn with_set_line(
    store: &Connection,
    mut answer: Answer,
    record: &HoseRecord,
    moment: &Moment,
) -> Result<Answer, LogbookError> {
    // Of a hose that is not on record nothing is claimed, its place neither.
    let Some(slot) = record.seat.filter(|_| record.is_registered()) else { return Ok(answer) };
    if let Some(set) = set_on(store, slot.set, moment.today)? {
        let (own, hoses) = (own_reasons(store, &set, moment)?, in_ports(store, &set, moment)?);
        answer.set = Some(set_line(Some(answer.verdict), &set, &own, &hoses));
    }
    Ok(answer)
}

#[cfg(test)]
#[path = "set_answers_tests.rs"]
mod tests;
