//! Finding a hose by what was scanned or typed, and answering for it.

use chrono::{Days, NaiveDate};
use rusqlite::Connection;

use super::{Logbook, LogbookError};
use crate::answer::{Answer, Asked, Heard, answer};
use crate::journal::{Believed, Entry, Moment, StoreError, Trust, entries_of_hose, tallies};
use crate::measure::PartialDate;
use crate::record::{self, FleetRecord, HoseRecord, find_barcode, find_tag, find_tags, fold_hose};
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
    /// The hose that something typed names: a whole code, the beginning of one
    /// where a single hose matches, or a maker's barcode.
    ///
    /// # Errors
    /// [`LogbookError`] says what is wrong, and which hoses come near.
    pub fn find(&self, typed: &str) -> Result<Found, LogbookError> {
        let parsed = Code::parse(typed);
        if let Ok(tag) = parsed
            && let Some(hose) = find_tag(&self.connection, tag)?
        {
            return Ok(Found { hose, tag: Some(tag) });
        }
        if let Some(found) = self.find_bound(typed)? {
            return Ok(found);
        }
        match parsed {
            Ok(tag) => Err(LogbookError::UnknownTag(tag)),
            Err(CodeError::WrongLength { .. }) if Code::prefix(typed).is_some() => {
                self.find_by_prefix(typed)
            }
            Err(error @ CodeError::WrongCheck { .. }) => {
                let near = Code::one_slip_away(typed);
                let near = near.into_iter().filter(|code| {
                    find_tag(&self.connection, *code).is_ok_and(|found| found.is_some())
                });
                Err(LogbookError::WrongCheck { error, near: near.collect() })
            }
            Err(error) => Err(LogbookError::NotACode(error)),
        }
    }

    fn find_tag(&self, tag: Code) -> Result<Found, LogbookError> {
        let hose = find_tag(&self.connection, tag)?.ok_or(LogbookError::UnknownTag(tag))?;
        Ok(Found { hose, tag: Some(tag) })
    }

    pub(super) fn find_bound(&self, text: &str) -> Result<Option<Found>, LogbookError> {
        let bound = find_barcode(&self.connection, text.trim())?;
        match bound.as_slice() {
            [] => Ok(None),
            [hose] => Ok(Some(Found { hose: *hose, tag: None })),
            _ => Err(LogbookError::Several { typed: text.to_owned(), codes: bound }),
        }
    }

    fn find_by_prefix(&self, typed: &str) -> Result<Found, LogbookError> {
        let prefix = Code::prefix(typed);
        let none = || LogbookError::NothingBeginsSo(typed.trim().to_owned());
        let tags = find_tags(&self.connection, prefix.ok_or_else(none)?, 9)?;
        match tags.as_slice() {
            [] => Err(none()),
            [tag] => self.find_tag(*tag),
            _ => Err(LogbookError::Several { typed: typed.trim().to_owned(), codes: tags }),
        }
    }

    /// Answers for what was scanned: a tag of ours, with or without a record
    /// here, or a maker's barcode that is bound to a hose.
    ///
    /// # Errors
    /// [`LogbookError`] where the text is neither.
    pub fn answer_scan(&self, text: &str, moment: &Moment) -> Result<Answer, LogbookError> {
        match Payload::parse(text) {
            Ok(payload) => match find_tag(&self.connection, payload.code)? {
                Some(hose) => self.answer_found(Found { hose, tag: Some(payload.code) }, moment),
                None => Ok(self.answer_from_tag(&payload, moment)?),
            },
            Err(PayloadError::NotOurs { .. }) => match self.find_bound(text)? {
                Some(found) => self.answer_found(found, moment),
                None => Err(LogbookError::ForeignText(text.trim().to_owned())),
            },
            Err(error) => Err(error.into()),
        }
    }

    /// Answers for something typed; see [`Logbook::find`].
    ///
    /// # Errors
    /// [`LogbookError`] where no hose is found.
    pub fn answer(&self, typed: &str, moment: &Moment) -> Result<Answer, LogbookError> {
        self.reading(|| self.answer_found(self.find(typed)?, moment))
    }

    /// Answers for a hose that was found.
    ///
    /// # Errors
    /// [`LogbookError`] where the store cannot be read.
    pub fn answer_found(&self, found: Found, moment: &Moment) -> Result<Answer, LogbookError> {
        self.reading(|| answer_of(&self.connection, found, moment))
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
            set: None,
            fleet: &FleetRecord::default(),
            today: moment.today,
            scanned: None,
            tag_only: Some(payload),
            heard: self.heard()?,
        }))
    }

    /// What a hose's own tag carries.
    ///
    /// # Errors
    /// [`LogbookError`] where the hose is unknown.
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
    /// [`LogbookError::UnknownTag`] where there is none.
    pub fn record(&self, hose: Code) -> Result<HoseRecord, LogbookError> {
        record_of(&self.connection, hose)
    }

    /// Everything that was written about a hose and is believed, in the order in which it happened.
    ///
    /// # Errors
    /// [`StoreError`] where the store cannot be read.
    pub fn history(&self, hose: Code) -> Result<Vec<Entry>, StoreError> {
        let believed = entries_of_hose(&self.connection, hose)?;
        Ok(believed.into_iter().map(|believed| believed.entry).collect())
    }

    pub(super) fn heard(&self) -> Result<Heard, StoreError> {
        heard(&self.connection)
    }
}

/// Answers for a hose in the state that a reader, or a change under way, sees.
pub(super) fn answer_of(
    store: &Connection,
    found: Found,
    moment: &Moment,
) -> Result<Answer, LogbookError> {
    let record = record_on(store, found.hose, moment.today)?;
    let set = record.seat.as_ref().map(|seat| record::load_set(store, &seat.set));
    let set = set.transpose()?.flatten();
    Ok(answer(&Asked {
        record: &record,
        set: set.as_ref(),
        fleet: &record::load_fleet(store)?,
        today: moment.today,
        scanned: found.tag,
        tag_only: None,
        heard: heard(store)?,
    }))
}

/// The record as it is to be believed today. Where an entry lies in the future
/// it is folded again, and that entry clears nothing; where it has entries that
/// were unread it is folded again too, since this program may be a later one
/// than the one that could not read them.
pub(super) fn record_on(
    store: &Connection,
    hose: Code,
    today: NaiveDate,
) -> Result<HoseRecord, LogbookError> {
    let record = record::load_hose(store, hose)?.ok_or(LogbookError::UnknownTag(hose))?;
    believed(store, record, today)
}

/// See [`record_on`], for a record that is loaded already.
pub(super) fn believed(
    store: &Connection,
    record: HoseRecord,
    today: NaiveDate,
) -> Result<HoseRecord, LogbookError> {
    let readable = record.unread == 0;
    if readable && record.newest_on <= today && !ahead(record.newest_at.time().date_naive(), today)
    {
        return Ok(record);
    }
    let hose = record.hose;
    let mut entries = entries_of_hose(store, hose)?;
    for Believed { entry, trust } in &mut entries {
        if entry.on > today || ahead(entry.at.time().date_naive(), today) {
            *trust = Trust::AddsOnly;
        }
    }
    fold_hose(hose, &entries).ok_or(LogbookError::UnknownTag(hose))
}

fn heard(store: &Connection) -> Result<Heard, StoreError> {
    let tallies = tallies(store)?;
    // What nobody believes must not show in an answer.
    let heard = tallies.iter().filter_map(|tally| Some((tally, tally.newest?)));
    Ok(Heard {
        newest_on: heard.clone().map(|(_, (on, _))| on).max().unwrap_or(NaiveDate::MIN),
        devices: heard.clone().count(),
        complete: !heard.clone().any(|(tally, _)| tally.has_gap()),
        forked: heard.clone().any(|(tally, _)| tally.forked),
    })
}

/// A clock a day ahead may only be east of here.
fn ahead(written: NaiveDate, today: NaiveDate) -> bool {
    written > today.checked_add_days(Days::new(1)).unwrap_or(today)
}

pub(super) fn record_of(work: &Connection, hose: Code) -> Result<HoseRecord, LogbookError> {
    let own = find_tag(work, hose)?.unwrap_or(hose);
    record::load_hose(work, own)?.ok_or(LogbookError::UnknownTag(hose))
}
