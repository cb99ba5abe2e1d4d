//! The tags of hoses: blank ones, new ones, one of two hoses of one tag, and makers' barcodes.

use chrono::NaiveDate;
use rand_core::Rng;
use rusqlite::Connection;

use super::believed::{is_shared, record_of};
use super::checks::{check_day, not_after_incident};
use super::inspections::checked;
use super::{DayError, Logbook, LogbookError, NamingError};
use crate::event::{EntryId, Event};
use crate::hose::Label;
use crate::inspection::{InspectionKind, Look};
use crate::journal::{Draft, Moment, StoreError};
use crate::record::{self, HoseRecord};
use crate::tag::{Code, Payload, PayloadError};
use crate::words::slips;

/// So many characters of a code are typed at least.
pub(super) const FEWEST_TYPED: usize = 5;

impl Logbook {
    /// Draws codes for tags that are printed blank. They are on no record until
    /// a hose is registered with one.
    ///
    /// # Errors
    /// [`StoreError`] if the store cannot be read.
    pub fn blank_tags(&mut self, count: usize) -> Result<Vec<Code>, StoreError> {
        (0..count).map(|_| new_tag(&self.connection, &mut *self.random)).collect()
    }

    /// Gives a hose a new tag and withdraws the old one; returns the new code.
    ///
    /// # Errors
    /// [`LogbookError`] if the hose is unknown or the tag is in use.
    pub fn retag(
        &mut self,
        hose: Code,
        tag: Option<Code>,
        on: Option<NaiveDate>,
        moment: &Moment,
    ) -> Result<Code, LogbookError> {
        let on = on.unwrap_or(moment.today);
        self.ask(vec![slips::retag(self.record(hose)?.tag())])?;
        let (_, tag) = self.write(moment, |work, random| {
            let record = record_of(work, hose, moment.today)?;
            check_day(&record, on, moment)?;
            not_after_incident(work, &record, moment)?;
            if record.registrations.len() > 1 || is_shared(work, &record)? {
                return Err(LogbookError::Naming(NamingError::TwoHoses(record.tag())));
            }
            check_after_last_tag(&record, on)?;
            let tag = free_tag(work, tag, random)?;
            Ok((vec![Draft { on, event: Event::Tagged { hose: record.hose, tag } }], tag))
        })?;
        Ok(tag)
    }

    /// Gives one of two hoses of one tag a new tag and with it an identity of its
    /// own: `registration` is the one of the two that is in the hand, and `look`
    /// is a full inspection of it. The old tag never answers a hose again.
    ///
    /// # Errors
    /// [`LogbookError`] if the tag names one hose, the registration is none of
    /// it, or the inspection is not a full one.
    pub fn identify(
        &mut self,
        tag: Code,
        registration: EntryId,
        look: Look,
        new: Option<Code>,
        on: Option<NaiveDate>,
        moment: &Moment,
    ) -> Result<Code, LogbookError> {
        let on = on.unwrap_or(moment.today);
        let (_, hose) = self.write(moment, |work, random| {
            let record = record_of(work, tag, moment.today)?;
            check_day(&record, on, moment)?;
            not_after_incident(work, &record, moment)?;
            if !record.registrations.contains(&registration) || record.registrations.len() < 2 {
                return Err(LogbookError::Naming(NamingError::NotARegistration(record.tag())));
            }
            if look.kind != InspectionKind::Full {
                return Err(LogbookError::Nothing("a full inspection goes with the new tag"));
            }
            let entries = record::entries_about(work, record.hose)?;
            let of = entries.iter().find(|believed| believed.id == registration);
            let specification = match of.and_then(|believed| believed.entry.event()) {
                Some(Event::Registered { specification, .. }) => specification,
                _ => return Err(LogbookError::Naming(NamingError::NotARegistration(record.tag()))),
            };
            let known = record.wants_answers(on);
            let look = checked(look, &specification, known)?;
            let hose = free_tag(work, new, random)?;
            let identified =
                Event::Identified { hose, hoses: [record.hose], answers: [registration] };
            let answers = record.judged_by(InspectionKind::Full, on);
            let inspected = Event::Inspected { hose, look, at: None, answers };
            Ok(([identified, inspected].map(|event| Draft { on, event }).to_vec(), hose))
        })?;
        Ok(hose)
    }

    /// Binds a maker's own barcode to a hose as a second tag.
    ///
    /// # Errors
    /// [`LogbookError`] if the barcode names another hose.
    pub fn bind(
        &mut self,
        hose: Code,
        barcode: Label,
        moment: &Moment,
    ) -> Result<Code, LogbookError> {
        self.write_of_hose(hose, None, moment, |record, work| {
            let holders = record::find_barcode(work, barcode.as_str())?;
            // The text of one of our tags, a hose's or a set's, is no maker's barcode.
            let ours =
                !matches!(Payload::parse(barcode.as_str()), Err(PayloadError::NotOurs { .. }));
            if ours || may_begin_a_tag(work, barcode.as_str())? {
                return Err(LogbookError::Naming(NamingError::BarcodeLikeTag(barcode)));
            }
            match holders.first() {
                Some(other) => Err(LogbookError::Naming(NamingError::BarcodeInUse(*other))),
                None => Ok(Event::Bound { hose: record.hose, barcode }),
            }
        })
    }
}

/// Whether someone who types a barcode could mean the beginning of a tag: it is
/// about as long as people type one, or a tag on record begins so.
fn may_begin_a_tag(work: &Connection, text: &str) -> Result<bool, StoreError> {
    let Some(prefix) = Code::prefix(text) else { return Ok(Code::parse(text).is_ok()) };
    let typed = text.chars().filter(|c| c.is_ascii_alphanumeric()).count();
    let as_typed = (FEWEST_TYPED..2 * FEWEST_TYPED - 2).contains(&typed);
    Ok(as_typed || !record::find_tags(work, prefix, 1)?.is_empty())
}

/// A hose gets no tag before the one that it carries.
fn check_after_last_tag(record: &HoseRecord, on: NaiveDate) -> Result<(), LogbookError> {
    match record.tags.last() {
        Some(tag) if on < tag.since => {
            Err(LogbookError::Day(DayError::BeforeLastTag { on, since: tag.since, tag: tag.code }))
        }
        _ => Ok(()),
    }
}

pub(super) fn free_tag(
    work: &Connection,
    tag: Option<Code>,
    random: &mut dyn Rng,
) -> Result<Code, LogbookError> {
    match tag {
        Some(tag) if record::is_known(work, tag)? => {
            Err(LogbookError::Naming(NamingError::TagInUse(tag)))
        }
        Some(tag) => Ok(tag),
        None => Ok(new_tag(work, random)?),
    }
}

fn new_tag(work: &Connection, mut random: &mut dyn Rng) -> Result<Code, StoreError> {
    loop {
        let code = Code::draw(&mut random);
        if !record::is_known(work, code)? {
            return Ok(code);
        }
    }
}
