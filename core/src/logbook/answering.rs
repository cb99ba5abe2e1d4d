//! Finding a hose by what was scanned or typed, and answering for it.

use super::around::Around;
use super::believed::{heard, known, seat_of};
use super::numbers::numbered;
use super::set_line::with_set_line;
use super::tags::FEWEST_TYPED;
use super::{Logbook, LogbookError, NamingError};
use crate::answer::{Answer, Asked, Heard, answer};
use crate::event::Seat;
use crate::journal::{Moment, StoreError};
use crate::measure::PartialDate;
use crate::record::{
    self, FleetRecord, HoseRecord, find_barcode, find_set_tag, find_tag, find_tags,
};
use crate::tag::{Code, CodeError, Passport, Payload, PayloadError};

/// A hose that was found, and by which tag.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Found {
    /// The hose.
    pub hose: Code,
    /// The tag that was scanned or typed; none for a maker's barcode.
    pub tag: Option<Code>,
}

impl Logbook {
    /// The hose that something typed names: a whole code, the shop's own number for it,
    /// a maker's barcode, or the beginning of a code where a single hose matches.
    ///
    /// # Errors
    /// [`LogbookError`] says what is wrong, and which hoses come near.
    pub fn find(&self, typed: &str) -> Result<Found, LogbookError> {
        let parsed = Code::parse(typed);
        if let Ok(tag) = parsed
            && let Some(hose) = known(&self.connection, tag)?
        {
            return Ok(Found { hose, tag: Some(tag) });
        }
        if let Some(found) = self.find_numbered(typed)? {
            return Ok(found);
        }
        if let Some(found) = self.find_bound(typed)? {
            return Ok(found);
        }
        match parsed {
            Ok(tag) => Err(match find_set_tag(&self.connection, tag)? {
                Some(set) => LogbookError::Naming(NamingError::TagOfSet { tag, set: set.name }),
                None => LogbookError::Naming(NamingError::UnknownTag(tag)),
            }),
            Err(CodeError::WrongLength { .. }) if Code::prefix(typed).is_some() => {
                self.find_by_prefix(typed)
            }
            Err(error @ CodeError::WrongCheck { .. }) => {
                let near = Code::one_slip_away(typed);
                let near = near.into_iter().filter(|code| {
                    find_tag(&self.connection, *code).is_ok_and(|found| found.is_some())
                });
                Err(LogbookError::Naming(NamingError::WrongCheck { error, near: near.collect() }))
            }
            Err(error) => Err(LogbookError::Naming(NamingError::NotACode(error))),
        }
    }

    /// The hose whose tag is typed whole, or scanned: for what cannot be taken back
    /// lightly the beginning of a code is not enough.
    ///
    /// # Errors
    /// [`LogbookError::Naming`] if it is not whole; others as
    /// [`Logbook::find`].
    pub fn find_whole(&self, typed: &str) -> Result<Found, LogbookError> {
        let whole = Payload::parse(typed).is_ok() || Code::parse(typed).is_ok();
        let found = self.find_typed(typed)?;
        if whole {
            Ok(found)
        } else {
            Err(LogbookError::Naming(NamingError::WholeCodeNeeded(typed.trim().to_owned())))
        }
    }

    /// The hose of an own number. Where a code on record begins so too, or several
    /// hoses have the number, the person chooses.
    fn find_numbered(&self, typed: &str) -> Result<Option<Found>, LogbookError> {
        let mut hoses = numbered(&self.connection, typed)?;
        if hoses.is_empty() {
            return Ok(None);
        }
        let characters = typed.chars().filter(|c| c.is_alphanumeric()).count();
        if let Some(prefix) = Code::prefix(typed).filter(|_| characters >= FEWEST_TYPED) {
            for tag in find_tags(&self.connection, prefix, 9)? {
                hoses.extend(find_tag(&self.connection, tag)?);
            }
        }
        let mut seen = std::collections::BTreeSet::new();
        hoses.retain(|hose| seen.insert(*hose));
        match hoses.as_slice() {
            [hose] => Ok(Some(Found { hose: *hose, tag: None })),
            _ => {
                let tags = hoses.iter().map(|hose| Ok(self.record(*hose)?.tag()));
                let codes = tags.collect::<Result<_, LogbookError>>()?;
                Err(LogbookError::Naming(NamingError::Several {
                    typed: typed.trim().to_owned(),
                    codes,
                }))
            }
        }
    }

    fn find_tag(&self, tag: Code) -> Result<Found, LogbookError> {
        let hose = find_tag(&self.connection, tag)?
            .ok_or(LogbookError::Naming(NamingError::UnknownTag(tag)))?;
        Ok(Found { hose, tag: Some(tag) })
    }

    pub(super) fn find_bound(&self, text: &str) -> Result<Option<Found>, LogbookError> {
        let bound = find_barcode(&self.connection, text.trim())?;
        match bound.as_slice() {
            [] => Ok(None),
            [hose] => Ok(Some(Found { hose: *hose, tag: None })),
            _ => Err(LogbookError::Naming(NamingError::Several {
                typed: text.to_owned(),
                codes: bound,
            })),
        }
    }

    fn find_by_prefix(&self, typed: &str) -> Result<Found, LogbookError> {
        let prefix = Code::prefix(typed);
        let none = || LogbookError::Naming(NamingError::NothingBeginsSo(typed.trim().to_owned()));
        let characters = typed.chars().filter(|c| c.is_alphanumeric()).count();
        if characters < FEWEST_TYPED {
            return Err(LogbookError::Naming(NamingError::TooShort(typed.trim().to_owned())));
        }
        let tags = find_tags(&self.connection, prefix.ok_or_else(none)?, 9)?;
        match tags.as_slice() {
            [] => Err(none()),
            [tag] => self.find_tag(*tag),
            _ => Err(LogbookError::Naming(NamingError::Several {
                typed: typed.trim().to_owned(),
                codes: tags,
            })),
        }
    }

    /// Answers for what was scanned: one of our tags, with or without a record
    /// here, or a maker's barcode that is bound to a hose.
    ///
    /// # Errors
    /// [`LogbookError`] if the text is neither.
    pub fn answer_scan(&self, text: &str, moment: &Moment) -> Result<Answer, LogbookError> {
        match Payload::parse(text) {
            Ok(payload) => match known(&self.connection, payload.code)? {
                Some(hose) => {
                    let found = Found { hose, tag: Some(payload.code) };
                    self.answer_with_its_set(found, Some(&payload), moment)
                }
                None => Ok(self.answer_from_tag(&payload, moment)?),
            },
            Err(PayloadError::NotOurs { .. }) => {
                let bound = self.find_bound(text)?;
                match bound.map_or_else(|| self.find_numbered(text), |found| Ok(Some(found)))? {
                    Some(found) => self.answer_found(found, moment),
                    None => {
                        Err(LogbookError::Naming(NamingError::ForeignText(text.trim().to_owned())))
                    }
                }
            }
            Err(error) => Err(error.into()),
        }
    }

    /// Answers for something typed; see [`Logbook::find`].
    ///
    /// # Errors
    /// [`LogbookError`] if no hose is found.
    pub fn answer(&self, typed: &str, moment: &Moment) -> Result<Answer, LogbookError> {
        self.reading(|| self.answer_found(self.find(typed)?, moment))
    }

    /// Answers for a hose that was found, with the line for the set that it is in.
    ///
    /// # Errors
    /// [`LogbookError`] if the store cannot be read.
    pub fn answer_found(&self, found: Found, moment: &Moment) -> Result<Answer, LogbookError> {
        self.answer_with_its_set(found, None, moment)
    }

    /// The same without that line: for lists of many hoses.
    ///
    /// # Errors
    /// [`LogbookError`] if the store cannot be read.
    pub fn answer_alone(&self, found: Found, moment: &Moment) -> Result<Answer, LogbookError> {
        self.reading(|| {
            let mut around = self.around(moment.today)?;
            let record = around.record(found.hose)?;
            Ok(answer_with(&mut around, &record, found, None)?)
        })
    }

    fn answer_with_its_set(
        &self,
        found: Found,
        payload: Option<&Payload>,
        moment: &Moment,
    ) -> Result<Answer, LogbookError> {
        self.reading(|| {
            let mut around = self.around(moment.today)?;
            let record = around.record(found.hose)?;
            let answer = answer_with(&mut around, &record, found, payload)?;
            with_set_line(&mut around, answer, &record)
        })
    }

    /// Reads in one transaction: all of an answer comes from one state of the
    /// store, and SQLite takes its lock once and not for each row.
    pub(super) fn reading<T>(
        &self,
        read: impl FnOnce() -> Result<T, LogbookError>,
    ) -> Result<T, LogbookError> {
        if !self.connection.is_autocommit() {
            return read();
        }
        let work = self.connection.unchecked_transaction().map_err(StoreError::from)?;
        let result = read();
        drop(work);
        result
    }

    fn answer_from_tag(&self, payload: &Payload, moment: &Moment) -> Result<Answer, StoreError> {
        Ok(answer(&Asked {
            record: &HoseRecord::of_tag(payload),
            sets: &[],
            fleet: &FleetRecord::default(),
            today: moment.today,
            scanned: None,
            tag_shared: false,
            as_used: None,
            tag_only: Some(payload),
            heard: self.heard()?,
        }))
    }

    /// What a hose's own tag carries.
    ///
    /// # Errors
    /// [`LogbookError`] if the hose is unknown.
    pub fn payload(&self, hose: Code) -> Result<Payload, LogbookError> {
        let record = self.record(hose)?;
        let in_service = record.in_service_since().map(PartialDate::Day);
        let passport = record.specification.as_ref().map(|specification| {
            let made = record.origin.made.is_some();
            Passport::of(specification, record.origin.born(), made, in_service)
        });
        Ok(Payload { code: record.tag(), passport })
    }

    /// The record of a hose.
    ///
    /// # Errors
    /// [`LogbookError::Naming`] if there is none.
    pub fn record(&self, hose: Code) -> Result<HoseRecord, LogbookError> {
        let own = find_tag(&self.connection, hose)?.unwrap_or(hose);
        record::load_hose(&self.connection, own)?
            .ok_or(LogbookError::Naming(NamingError::UnknownTag(hose)))
    }

    /// Where a hose is, for people; nothing if it is in no port.
    ///
    /// # Errors
    /// [`StoreError`] if the store cannot be read.
    pub fn seat(&self, record: &HoseRecord) -> Result<Option<Seat>, StoreError> {
        record.seat.map(|slot| seat_of(&self.connection, slot)).transpose()
    }

    pub(super) fn heard(&self) -> Result<Heard, StoreError> {
        heard(&self.connection)
    }
}

/// Answers for a hose; where nobody registered it here, with what its tag says.
pub(super) fn answer_with(
    around: &mut Around<'_>,
    record: &HoseRecord,
    found: Found,
    payload: Option<&Payload>,
) -> Result<Answer, StoreError> {
    let tag_only = payload.filter(|_| !record.is_registered());
    let described = tag_only
        .map(|payload| HoseRecord { origin: HoseRecord::of_tag(payload).origin, ..record.clone() });
    around.ask(described.as_ref().unwrap_or(record), |asked| {
        answer(&Asked { scanned: found.tag, tag_only, ..*asked })
    })
}
