//! Answering for what was typed, or for what a picture shows.

use super::{Answered, Found, Logbook, LogbookError, NamingError};
use crate::answer::Answer;
use crate::journal::Moment;
use crate::tag::{Payload, PayloadError, TagText, read_picture};
use crate::view::AnswerView;

impl Logbook {
    /// Answers for something typed: a code, the beginning of one, a bound
    /// barcode, or the text of a tag as a hand-held reader types it.
    ///
    /// # Errors
    /// [`LogbookError`] if no hose is found.
    pub fn answer_typed(&self, typed: &str, moment: &Moment) -> Result<Answer, LogbookError> {
        match Payload::parse(typed) {
            Err(PayloadError::NotOurs { .. }) => self.answer(typed, moment),
            _ => self.answer_scan(typed, moment),
        }
    }

    /// Draws up an answer for any face, with what can be done next.
    ///
    /// # Errors
    /// [`LogbookError`] if the store cannot be read.
    pub fn view(&self, answer: Answer) -> Result<AnswerView, LogbookError> {
        let record = match self.record(answer.code) {
            Ok(record) => Some(record),
            Err(LogbookError::Naming(NamingError::UnknownTag(_))) => None,
            Err(other) => return Err(other),
        };
        Ok(AnswerView::new(answer, record.as_ref()))
    }

    /// The hose that something typed names, as [`Logbook::find`]; the text of a
    /// tag counts as its code.
    ///
    /// # Errors
    /// [`LogbookError`] if no hose is found.
    pub fn find_typed(&self, typed: &str) -> Result<Found, LogbookError> {
        match Payload::parse(typed) {
            Ok(payload) => self.find(&payload.code.to_string()),
            Err(PayloadError::NotOurs { .. }) => self.find(typed),
            Err(error) => Err(error.into()),
        }
    }

    /// Answers for the one tag in a PNG or JPEG picture.
    ///
    /// # Errors
    /// [`LogbookError`] if the picture cannot be read, or shows no tag or
    /// more than one.
    pub fn answer_picture(&self, bytes: &[u8], moment: &Moment) -> Result<Answer, LogbookError> {
        let texts: Vec<String> = read_picture(bytes)?.into_iter().map(|f| f.text).collect();
        self.answer_seen(&texts, moment)
    }

    /// Answers for the one tag in a PNG or JPEG picture, a hose's or a set's.
    ///
    /// # Errors
    /// As [`Logbook::answer_picture`].
    pub fn answered_picture(
        &self,
        bytes: &[u8],
        moment: &Moment,
    ) -> Result<Answered, LogbookError> {
        let texts: Vec<String> = read_picture(bytes)?.into_iter().map(|f| f.text).collect();
        let of_sets: Vec<&String> =
            texts.iter().filter(|text| TagText::parse(text).is_ok()).collect();
        if let Some(text) = one_of(&of_sets)?
            && let Some(answer) = self.set_answer_of(text, moment)?
        {
            return Ok(Answered::Set(Box::new(answer)));
        }
        Ok(Answered::Hose(Box::new(self.view(self.answer_seen(&texts, moment)?)?)))
    }

    /// Answers for the texts that were seen in one picture. Other people's
    /// codes beside one of our tags are passed over; without one a barcode that
    /// is bound to a hose counts.
    ///
    /// # Errors
    /// As [`Logbook::answer_picture`].
    pub fn answer_seen(&self, texts: &[String], moment: &Moment) -> Result<Answer, LogbookError> {
        let own =
            |text: &&String| !matches!(Payload::parse(text), Err(PayloadError::NotOurs { .. }));
        let (ours, foreign): (Vec<&String>, Vec<&String>) = texts.iter().partition(own);
        if let Some(text) = one_of(&ours)? {
            return self.answer_scan(text, moment);
        }
        let mut bound = Vec::new();
        for text in &foreign {
            if let Some(found) = self.find_bound(text)? {
                bound.push(found);
            }
        }
        bound.dedup();
        match (bound.as_slice(), foreign.first()) {
            ([found], _) => self.answer_found(*found, moment),
            ([], Some(text)) => {
                Err(LogbookError::Naming(NamingError::ForeignText(text.trim().to_owned())))
            }
            ([], None) => Err(LogbookError::Naming(NamingError::NoTagSeen)),
            (several, _) => {
                let tags = several.iter().map(|found| found.hose.to_string());
                Err(LogbookError::Naming(NamingError::SeveralTagsSeen(tags.collect())))
            }
        }
    }
}

/// The one tag among Hosewright's texts; the same code twice, with and without a
/// page's name before it, is one tag.
fn one_of<'t>(texts: &[&'t String]) -> Result<Option<&'t String>, LogbookError> {
    let name = |text: &str| {
        TagText::parse(text).map_or_else(|_| text.to_owned(), |tag| tag.code().to_string())
    };
    let mut names: Vec<String> = texts.iter().map(|text| name(text)).collect();
    names.sort_unstable();
    names.dedup();
    match names.len() {
        0 | 1 => Ok(texts.first().copied()),
        _ => Err(LogbookError::Naming(NamingError::SeveralTagsSeen(names))),
    }
}
