//! Finding a hose by what was scanned or typed, and answering for it.

use chrono::{DateTime, Days, NaiveDate, Utc};
use rusqlite::Connection;

use super::set_answers::with_set_line;
use super::{Logbook, LogbookError};
use crate::answer::{Answer, Asked, Heard, answer};
use crate::event::{Seat, SetId, Slot};
use crate::journal::{self, Believed, Moment, StoreError, Trust, entries_of_fleet, tallies};
use crate::measure::PartialDate;
use crate::record::{
    self, FleetRecord, HoseRecord, SetRecord, entries_about, find_barcode, find_set_tag, find_tag,
    find_tags, fold_hose, fold_set, gathered,
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
    /// The hose that something typed names: a whole code, the beginning of one
    /// where a single hose matches, or a maker's barcode.
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
        if let Some(found) = self.find_bound(typed)? {
            return Ok(found);
        }
        match parsed {
            Ok(tag) => Err(match find_set_tag(&self.connection, tag)? {
                Some(set) => LogbookError::TagOfSet { tag, set: set.name },
                None => LogbookError::UnknownTag(tag),
            }),
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

    /// The hose whose tag is typed whole, or scanned: for what cannot be taken back
    /// lightly the beginning of a code is not enough.
    ///
    /// # Errors
    /// [`LogbookError::WholeCodeNeeded`] where it is not whole; others as
    /// [`Logbook::find`].
    pub fn find_whole(&self, typed: &str) -> Result<Found, LogbookError> {
        let whole = Payload::parse(typed).is_ok() || Code::parse(typed).is_ok();
        let found = self.find_typed(typed)?;
        if whole { Ok(found) } else { Err(LogbookError::WholeCodeNeeded(typed.trim().to_owned())) }
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
        let characters = typed.chars().filter(|c| c.is_alphanumeric()).count();
        if characters < super::hoses::FEWEST_TYPED {
            return Err(LogbookError::TooShort(typed.trim().to_owned()));
        }
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
            Ok(payload) => match known(&self.connection, payload.code)? {
                Some(hose) => {
                    let found = Found { hose, tag: Some(payload.code) };
                    self.reading(|| {
                        let payload = Some(&payload);
                        let answer = answer_with(&self.connection, found, payload, moment)?;
                        self.with_its_set(answer, found, moment)
                    })
                }
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

    /// Answers for a hose that was found, with the line for the set that it is in.
    ///
    /// # Errors
    /// [`LogbookError`] where the store cannot be read.
    pub fn answer_found(&self, found: Found, moment: &Moment) -> Result<Answer, LogbookError> {
        self.reading(|| {
            let answer = answer_of(&self.connection, found, moment)?;
            self.with_its_set(answer, found, moment)
        })
    }

    /// The same without that line: for lists of many hoses.
    ///
    /// # Errors
    /// [`LogbookError`] where the store cannot be read.
    pub fn answer_alone(&self, found: Found, moment: &Moment) -> Result<Answer, LogbookError> {
        self.reading(|| answer_of(&self.connection, found, moment))
    }

    fn with_its_set(
        &self,
        answer: Answer,
        found: Found,
        moment: &Moment,
    ) -> Result<Answer, LogbookError> {
        let record = record_of(&self.connection, found.hose, moment.today)?;
        with_set_line(&self.connection, answer, &record, moment)
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
        let own = find_tag(&self.connection, hose)?.unwrap_or(hose);
        record::load_hose(&self.connection, own)?.ok_or(LogbookError::UnknownTag(hose))
    }

    /// Where a hose is, for people; nothing where it is in no port.
    ///
    /// # Errors
    /// [`StoreError`] where the store cannot be read.
    pub fn seat(&self, record: &HoseRecord) -> Result<Option<Seat>, StoreError> {
        record.seat.map(|slot| seat_of(&self.connection, slot)).transpose()
    }

    pub(super) fn heard(&self) -> Result<Heard, StoreError> {
        heard(&self.connection)
    }
}

/// The hose that carries or carried a tag, or of which anything at all is known
/// under that code.
fn known(store: &Connection, tag: Code) -> Result<Option<Code>, StoreError> {
    match find_tag(store, tag)? {
        Some(hose) => Ok(Some(hose)),
        None => Ok(record::load_hose(store, tag)?.map(|record| record.hose)),
    }
}

/// Answers for a hose in the state that a reader, or a change under way, sees.
pub(super) fn answer_of(
    store: &Connection,
    found: Found,
    moment: &Moment,
) -> Result<Answer, LogbookError> {
    answer_with(store, found, None, moment)
}

/// Answers for a hose; where nobody registered it here, with what its tag says.
fn answer_with(
    store: &Connection,
    found: Found,
    payload: Option<&Payload>,
    moment: &Moment,
) -> Result<Answer, LogbookError> {
    let mut record = record_on(store, found.hose, moment.today)?;
    let of_tag = payload.filter(|_| !record.is_registered());
    if let Some(payload) = of_tag {
        record.origin = HoseRecord::of_tag(payload).origin;
    }
    let scanned = found.tag;
    with_asked(store, &record, moment.today, |asked| {
        answer(&Asked { scanned, tag_only: of_tag, ..*asked })
    })
}

/// Asks about a hose, with everything that an answer depends on.
pub(super) fn with_asked<T>(
    store: &Connection,
    record: &HoseRecord,
    today: NaiveDate,
    ask: impl FnOnce(&Asked<'_>) -> T,
) -> Result<T, LogbookError> {
    let mut sets: Vec<SetRecord> = Vec::new();
    for set in sets_of(record) {
        if !sets.iter().any(|known| known.id == set || known.joined.contains(&set)) {
            sets.extend(set_on(store, set, today)?);
        }
    }
    let sets: Vec<&SetRecord> = sets.iter().collect();
    let fleet = fleet_on(store, today)?;
    Ok(ask(&Asked {
        record,
        sets: &sets,
        fleet: &fleet,
        today,
        scanned: None,
        tag_shared: is_shared(store, record)?,
        as_used: None,
        tag_only: None,
        heard: heard(store)?,
    }))
}

/// The sets that a hose is claimed for, or ever was in.
pub(super) fn sets_of(record: &HoseRecord) -> impl Iterator<Item = SetId> {
    let claimed = record.slots().map(|slot| slot.set);
    claimed.chain(record.stays.iter().map(|stay| stay.set))
}

/// The sets that a hose may be in, as they are to be believed today.
pub(super) fn sets_in(
    store: &Connection,
    record: &HoseRecord,
    today: NaiveDate,
) -> Result<Vec<SetRecord>, StoreError> {
    let mut sets: Vec<SetRecord> = Vec::new();
    for slot in record.slots() {
        if !sets.iter().any(|set| set.id == slot.set || set.joined.contains(&slot.set)) {
            sets.extend(set_on(store, slot.set, today)?);
        }
    }
    Ok(sets)
}

/// Whether the tag of a hose names another hose too.
pub(super) fn is_shared(store: &Connection, record: &HoseRecord) -> Result<bool, StoreError> {
    let sql = "SELECT count(*) > 1 FROM tag WHERE tag = ?1";
    let tag = record.tag().bits();
    Ok(store.prepare_cached(sql)?.query_row([tag], |row| row.get(0))?)
}

/// While an accident is looked into nothing is done to a hose.
pub(super) fn not_after_incident(
    store: &Connection,
    record: &HoseRecord,
    moment: &Moment,
) -> Result<(), LogbookError> {
    let after = with_asked(store, record, moment.today, crate::answer::after_incident)?;
    if after { Err(LogbookError::AfterIncident(record.tag())) } else { Ok(()) }
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
    if record.unread == 0 && !is_future(record.newest_on, record.newest_at.time(), today) {
        return Ok(record);
    }
    let hose = record.hose;
    let entries = as_of(entries_about(store, hose)?, today);
    fold_hose(hose, &entries).ok_or(LogbookError::UnknownTag(hose))
}

/// A set as it is to be believed today; see [`record_on`].
pub(super) fn set_on(
    store: &Connection,
    set: SetId,
    today: NaiveDate,
) -> Result<Option<SetRecord>, StoreError> {
    let Some(record) = record::load_set(store, set)? else { return Ok(None) };
    set_as_of(store, record, today).map(Some)
}

/// See [`set_on`], for a record that is loaded already.
pub(super) fn set_as_of(
    store: &Connection,
    record: SetRecord,
    today: NaiveDate,
) -> Result<SetRecord, StoreError> {
    if record.unread == 0 && !is_future(record.newest_on, record.newest_at.time(), today) {
        return Ok(record);
    }
    let entries = as_of(gathered(store, record.id)?, today);
    Ok(fold_set(record.id, &entries).unwrap_or(record))
}

/// Limits and recalls as they are to be believed today; see [`record_on`].
pub(super) fn fleet_on(store: &Connection, today: NaiveDate) -> Result<FleetRecord, StoreError> {
    let record = record::load_fleet(store)?;
    if record.unread == 0 && !is_future(record.newest_on, record.newest_at.time(), today) {
        return Ok(record);
    }
    Ok(FleetRecord::fold(&as_of(entries_of_fleet(store)?, today)))
}

/// Entries as they count on a day: those of the future add, and end nothing.
fn as_of(mut entries: Vec<Believed>, today: NaiveDate) -> Vec<Believed> {
    for believed in &mut entries {
        if is_future(believed.entry.on, believed.entry.at.time(), today) {
            believed.trust = believed.trust.min(Trust::AddsOnly);
        }
    }
    entries
}

/// A clock a day ahead may only be east of here.
fn is_future(on: NaiveDate, written: DateTime<Utc>, today: NaiveDate) -> bool {
    on > today || written.date_naive() > today.checked_add_days(Days::new(1)).unwrap_or(today)
}

pub(super) fn heard(store: &Connection) -> Result<Heard, StoreError> {
    let tallies = tallies(store)?;
    // What nobody believes must not show in an answer.
    let heard = tallies.iter().filter_map(|tally| Some((tally, tally.newest?)));
    let mut gap = None;
    if heard.clone().any(|(tally, _)| tally.has_gap()) {
        let lost = record::load_fleet(store)?.lost;
        for (tally, _) in heard.clone().filter(|(tally, _)| tally.has_gap()) {
            let lost = lost.iter().filter(|lost| lost.device == tally.id);
            let lost: Vec<(u64, u64)> = lost.flat_map(|lost| lost.missing.clone()).collect();
            gap = gap.max(journal::after_last_gap(store, &tally.id, &lost)?);
        }
    }
    Ok(Heard {
        newest_on: heard.clone().map(|(_, (on, _))| on).max().unwrap_or(NaiveDate::MIN),
        devices: heard.clone().count(),
        complete: !heard.clone().any(|(tally, _)| tally.has_gap()),
        forked: heard.clone().any(|(tally, _)| tally.forked),
        gap,
        met_on: journal::met_on(store)?,
    })
}

/// The record of a hose, by any of its tags, as it is to be believed today.
pub(super) fn record_of(
    work: &Connection,
    hose: Code,
    today: NaiveDate,
) -> Result<HoseRecord, LogbookError> {
    let own = find_tag(work, hose)?.unwrap_or(hose);
    record_on(work, own, today).map_err(|error| match error {
        LogbookError::UnknownTag(_) => LogbookError::UnknownTag(hose),
        other => other,
    })
}

/// A port for people: with the name of its set.
pub(super) fn seat_of(work: &Connection, slot: Slot) -> Result<Seat, StoreError> {
    let set = record::load_set(work, slot.set)?;
    let name = set.map_or_else(|| slot.set.into(), |set| set.name);
    Ok(Seat { set: name, port: slot.port })
}
