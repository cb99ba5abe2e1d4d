//! A set's status: its own reasons, and those of every hose in it. The answer
//! to a set's tag, and the tags that sets get.

use chrono::NaiveDate;

use super::believed::{set_as_of, set_called, set_of};
use super::checks::{check_not_ahead, set_not_after_incident};
use super::set_line::{claimed, own_reasons};
use super::tags::{FEWEST_TYPED, free_tag};
use super::{DayError, Logbook, LogbookError, NamingError};
use crate::answer::answer;
use crate::event::Event;
use crate::hose::Label;
use crate::journal::{Draft, Moment};
use crate::record::{self, SetRecord, find_set_codes, find_set_tag};
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
    /// [`LogbookError`] if neither a hose nor a set is found.
    pub fn answered(&self, text: &str, moment: &Moment) -> Result<Answered, LogbookError> {
        self.reading(|| {
            if let Some(answer) = self.set_answer_of(text, moment)? {
                return Ok(Answered::Set(Box::new(answer)));
            }
            Ok(Answered::Hose(Box::new(self.view(self.answer_typed(text, moment)?)?)))
        })
    }

    /// The answer for a set's tag; nothing if what was scanned or typed is none
    /// of a set's.
    ///
    /// # Errors
    /// [`LogbookError`] if the store cannot be read, or what was typed could
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
            Ok(TagText::Badge(code)) => return Err(PayloadError::OfPerson { code }.into()),
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

    /// The set whose code begins so, if no hose's does.
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
            return Err(LogbookError::Naming(NamingError::Several {
                typed: typed.trim().to_owned(),
                codes,
            }));
        }
        let Some(set) = find_set_tag(&self.connection, first)? else { return Ok(None) };
        let set = set_as_of(&self.connection, set, moment.today)?;
        self.set_answer(&set, Some(first), moment).map(Some)
    }

    /// The answer for a set that someone names.
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
        let mut around = self.around(moment.today)?;
        let mut hoses: Vec<Checked> = Vec::new();
        for (port, hose) in claimed(set) {
            let answer = around.ask_of(hose, answer)?;
            if !hoses.iter().any(|known| known.code == answer.code) {
                hoses.push(Checked::of(&answer, Some(port)));
            }
        }
        Ok(SetAnswer::of(set, own_reasons(&around, set), hoses, scanned))
    }

    /// What a set's own tag carries.
    ///
    /// # Errors
    /// [`LogbookError::Naming`] for a set of earlier programs that nobody has
    /// given one; others if there is no such set.
    pub fn set_tag(&self, set: &Label) -> Result<TagText, LogbookError> {
        let set = set_called(&self.connection, set)?;
        set.tag().map(TagText::Set).ok_or(LogbookError::Naming(NamingError::SetHasNoTag(set.name)))
    }

    /// Gives a set a new tag for its first stage, one that was printed blank or a
    /// new code, and withdraws the one before; returns its code.
    ///
    /// # Errors
    /// [`LogbookError`] if there is no such set, the tag is in use, or the day
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
                return Err(LogbookError::Day(DayError::BeforeLastTag { on, since, tag }));
            }
            let tag = free_tag(work, tag, random)?;
            Ok((vec![Draft { on, event: Event::SetTagged { set: set.id, tag } }], tag))
        })?;
        Ok(tag)
    }
}

#[cfg(test)]
#[path = "set_answers_tests.rs"]
mod tests;
