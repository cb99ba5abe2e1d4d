//! Writing about one hose: register, describe, tag, reseal, clean, retire.

use chrono::NaiveDate;
use rand_core::Rng;
use rusqlite::Connection;

use super::{Logbook, LogbookError, check_not_ahead};
use crate::event::Event;
use crate::hose::{End, Label, Origin, Specification};
use crate::journal::{Draft, Moment, StoreError};
use crate::record::{self, HoseRecord};
use crate::tag::Code;

/// A hose to be registered.
#[derive(Debug, Clone, PartialEq)]
pub struct Registration {
    /// What it is.
    pub specification: Specification,
    /// Where it came from.
    pub origin: Origin,
    /// A tag that was printed blank; none draws a new one.
    pub tag: Option<Code>,
}

impl Logbook {
    /// Registers a hose and returns the code of its tag.
    ///
    /// # Errors
    /// [`LogbookError`] where its dates cannot be or its tag is in use.
    pub fn register(
        &mut self,
        hose: Registration,
        on: Option<NaiveDate>,
        moment: &Moment,
    ) -> Result<Code, LogbookError> {
        let codes = self.register_all(vec![hose], on, moment)?;
        codes.first().copied().ok_or(LogbookError::Nothing("no hose was given"))
    }

    /// Registers hoses, all or none, and returns the codes of their tags.
    ///
    /// # Errors
    /// [`LogbookError`] where the dates of one cannot be or its tag is in use.
    pub fn register_all(
        &mut self,
        hoses: Vec<Registration>,
        on: Option<NaiveDate>,
        moment: &Moment,
    ) -> Result<Vec<Code>, LogbookError> {
        let on = on.unwrap_or(moment.today);
        check_not_ahead(on, moment)?;
        let (_, codes) = self.write(moment, |work, random| {
            let mut drafts = Vec::with_capacity(hoses.len());
            let mut codes: Vec<Code> = Vec::with_capacity(hoses.len());
            for new in hoses {
                let (hose, event) = registered(work, new, &codes, moment.today, random)?;
                codes.push(hose);
                drafts.push(Draft { on, event });
            }
            Ok((drafts, codes))
        })?;
        Ok(codes)
    }

    /// Draws codes for tags that are printed blank. They are on no record until
    /// a hose is registered with one.
    ///
    /// # Errors
    /// [`StoreError`] where the store cannot be read.
    pub fn blank_tags(&mut self, count: usize) -> Result<Vec<Code>, StoreError> {
        (0..count).map(|_| new_tag(&self.connection, &mut *self.random)).collect()
    }

    /// Puts right what is written down about a hose, as a whole.
    ///
    /// # Errors
    /// [`LogbookError`] where the dates cannot be.
    pub fn describe(
        &mut self,
        hose: Code,
        specification: Specification,
        origin: Origin,
        moment: &Moment,
    ) -> Result<Code, LogbookError> {
        origin.check(moment.today)?;
        self.write_of_hose(hose, None, moment, |record, _| {
            Ok(Event::Described { hose: record.hose, specification, origin })
        })
    }

    /// Gives a hose a new tag and withdraws the old one; returns the new code.
    ///
    /// # Errors
    /// [`LogbookError`] where the hose is unknown or the tag is in use.
    pub fn retag(
        &mut self,
        hose: Code,
        tag: Option<Code>,
        on: Option<NaiveDate>,
        moment: &Moment,
    ) -> Result<Code, LogbookError> {
        let on = on.unwrap_or(moment.today);
        let (_, tag) = self.write(moment, |work, random| {
            let record = super::answering::record_of(work, hose)?;
            super::check_day(&record, on, moment)?;
            let tag = free_tag(work, tag, random)?;
            Ok((vec![Draft { on, event: Event::Tagged { hose: record.hose, tag } }], tag))
        })?;
        Ok(tag)
    }

    /// Binds a maker's own barcode to a hose as a second tag.
    ///
    /// # Errors
    /// [`LogbookError`] where the barcode names another hose.
    pub fn bind(
        &mut self,
        hose: Code,
        barcode: Label,
        moment: &Moment,
    ) -> Result<Code, LogbookError> {
        self.write_of_hose(hose, None, moment, |record, work| {
            let holders = record::find_barcode(work, barcode.as_str())?;
            match holders.first() {
                Some(other) => Err(LogbookError::BarcodeInUse(*other)),
                None => Ok(Event::Bound { hose: record.hose, barcode }),
            }
        })
    }

    /// What a hose is, for filling in a form about it.
    ///
    /// # Errors
    /// [`LogbookError`] where the hose is unknown or nobody has described it.
    pub fn specification(&self, hose: Code) -> Result<Specification, LogbookError> {
        described(&self.record(hose)?)
    }

    /// Writes down new O-rings at one end.
    ///
    /// # Errors
    /// [`LogbookError`] where the hose is unknown or the day cannot be.
    pub fn reseal(
        &mut self,
        hose: Code,
        end: End,
        seal: Option<Label>,
        on: Option<NaiveDate>,
        moment: &Moment,
    ) -> Result<Code, LogbookError> {
        self.write_of_hose(hose, on, moment, |record, _| {
            Ok(Event::Resealed { hose: record.hose, end, seal })
        })
    }

    /// Writes down a cleaning.
    ///
    /// # Errors
    /// [`LogbookError`] where the hose is unknown or the day cannot be.
    pub fn clean(
        &mut self,
        hose: Code,
        on: Option<NaiveDate>,
        moment: &Moment,
    ) -> Result<Code, LogbookError> {
        self.write_of_hose(hose, on, moment, |record, _| Ok(Event::Cleaned { hose: record.hose }))
    }

    /// Takes a hose out of service for good.
    ///
    /// # Errors
    /// [`LogbookError`] where it is retired already or the day cannot be.
    pub fn retire(
        &mut self,
        hose: Code,
        why: Label,
        on: Option<NaiveDate>,
        moment: &Moment,
    ) -> Result<Code, LogbookError> {
        let on = on.unwrap_or(moment.today);
        let (_, tag) = self.write(moment, |work, _| {
            let record = super::answering::record_of(work, hose)?;
            super::check_day(&record, on, moment)?;
            not_retired(&record)?;
            not_out(&record)?;
            let mut drafts = Vec::new();
            if let Some(seat) = record.seat.clone() {
                super::places::check_since(&record, on)?;
                let (set, port) = (seat.set, seat.port);
                drafts.push(Draft { on, event: Event::Removed { hose: record.hose, set, port } });
            }
            drafts.push(Draft { on, event: Event::Retired { hose: record.hose, why } });
            Ok((drafts, record.tag()))
        })?;
        Ok(tag)
    }
}

/// A hose as it is entered, with a tag that neither the record nor `taken` has.
pub(super) fn registered(
    work: &Connection,
    new: Registration,
    taken: &[Code],
    today: NaiveDate,
    random: &mut dyn Rng,
) -> Result<(Code, Event), LogbookError> {
    new.origin.check(today)?;
    let hose = free_tag(work, new.tag, random)?;
    if taken.contains(&hose) {
        return Err(LogbookError::TagInUse(hose));
    }
    let (specification, origin) = (new.specification, new.origin);
    Ok((hose, Event::Registered { hose, specification, origin }))
}

/// A finished inspection of another hose's form would be held against the
/// wrong table; it is filled in again for this one.
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
    match &record.out {
        Some(ticket) => Err(LogbookError::RentedOut { hose: record.tag(), ticket: ticket.clone() }),
        None => Ok(()),
    }
}

fn free_tag(
    work: &Connection,
    tag: Option<Code>,
    random: &mut dyn Rng,
) -> Result<Code, LogbookError> {
    match tag {
        Some(tag) if record::find_tag(work, tag)?.is_some() => Err(LogbookError::TagInUse(tag)),
        Some(tag) => Ok(tag),
        None => Ok(new_tag(work, random)?),
    }
}

fn new_tag(work: &Connection, mut random: &mut dyn Rng) -> Result<Code, StoreError> {
    loop {
        let code = Code::draw(&mut random);
        if record::find_tag(work, code)?.is_none() {
            return Ok(code);
        }
    }
}
