//! Writing about one hose: register, describe, tag, reseal, clean, retire.

use std::collections::BTreeSet;

use chrono::NaiveDate;
use rand_core::Rng;
use rusqlite::Connection;

use super::answering::{is_shared, not_after_incident, record_of};
use super::slips::{of_description, of_reseal};
use super::{Logbook, LogbookError, check_not_ahead};
use crate::event::{Changes, EntryId, Event, OriginField};
use crate::hose::{End, Grease, Label, Origin, Specification};
use crate::inspection::{InspectionKind, Look};
use crate::journal::{Draft, Moment, StoreError};
use crate::record::{self, HoseRecord};
use crate::tag::Code;
use crate::words::slips;

/// So many characters of a code are typed at least.
pub(super) const FEWEST_TYPED: usize = 5;

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
        let odd = hoses.iter().flat_map(|new| of_description(&new.specification, &new.origin));
        self.ask(odd.collect())?;
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

    /// Puts right what is written down about a hose. With a reason the new
    /// description replaces the earlier ones; without one it is judged beside
    /// them, for each reason the worst.
    ///
    /// # Errors
    /// [`LogbookError`] where the dates cannot be, nothing changes, or what was
    /// not known is filled in without a reason.
    pub fn describe(
        &mut self,
        hose: Code,
        (specification, origin): (Specification, Origin),
        why: Option<Label>,
        moment: &Moment,
    ) -> Result<Code, LogbookError> {
        origin.check(moment.today)?;
        self.ask(of_description(&specification, &origin))?;
        self.write_of_hose(hose, None, moment, |record, _| {
            let before = (record.specification.as_ref(), &record.origin);
            let mut changes = Changes::between(before, (&specification, &origin));
            if why.is_some() {
                // The reason holds for all that is said now, also for what stood
                // beside it.
                changes = settled(changes, record, &specification, &origin);
            }
            if changes.is_empty() {
                return Err(LogbookError::Nothing("nothing that is on record would change"));
            }
            if why.is_none() && fills_in(&changes, &record.origin) {
                return Err(LogbookError::ReasonNeeded(record.tag()));
            }
            let answers = if why.is_some() { record.descriptions.clone() } else { Vec::new() };
            let (hose, changes) = (record.hose, Box::new(changes));
            Ok(Event::Described { hose, changes, why, answers })
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
        self.ask(vec![slips::retag(self.record(hose)?.tag())])?;
        let (_, tag) = self.write(moment, |work, random| {
            let record = record_of(work, hose, moment.today)?;
            super::check_day(&record, on, moment)?;
            not_after_incident(work, &record, moment)?;
            if record.registrations.len() > 1 || is_shared(work, &record)? {
                return Err(LogbookError::TwoHoses(record.tag()));
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
    /// [`LogbookError`] where the tag names one hose, the registration is none of
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
            super::check_day(&record, on, moment)?;
            not_after_incident(work, &record, moment)?;
            if !record.registrations.contains(&registration) || record.registrations.len() < 2 {
                return Err(LogbookError::NotARegistration(record.tag()));
            }
            if look.kind != InspectionKind::Full {
                return Err(LogbookError::Nothing("a full inspection goes with the new tag"));
            }
            let entries = record::entries_about(work, record.hose)?;
            let of = entries.iter().find(|believed| believed.id == registration);
            let specification = match of.and_then(|believed| believed.entry.event()) {
                Some(Event::Registered { specification, .. }) => specification,
                _ => return Err(LogbookError::NotARegistration(record.tag())),
            };
            let look = super::inspections::checked(look, &specification)?;
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
    /// [`LogbookError`] where the barcode names another hose.
    pub fn bind(
        &mut self,
        hose: Code,
        barcode: Label,
        moment: &Moment,
    ) -> Result<Code, LogbookError> {
        self.write_of_hose(hose, None, moment, |record, work| {
            let holders = record::find_barcode(work, barcode.as_str())?;
            if may_begin_a_tag(work, barcode.as_str())? {
                return Err(LogbookError::BarcodeLikeTag(barcode));
            }
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
        self.reseal_with(hose, (end, seal, None), on, moment)
    }

    /// Writes down new O-rings at one end with the grease that is on them. Grease
    /// that is not for oxygen ends that a hose is cleaned for it: a description
    /// says so in the same act.
    ///
    /// # Errors
    /// [`LogbookError`] where the hose is unknown, the day cannot be, or nobody says
    /// what grease is on a hose that is cleaned for oxygen.
    pub fn reseal_with(
        &mut self,
        hose: Code,
        (end, seal, grease): (End, Option<Label>, Option<Grease>),
        on: Option<NaiveDate>,
        moment: &Moment,
    ) -> Result<Code, LogbookError> {
        self.ask(of_reseal(&self.record(hose)?, end))?;
        let on = on.unwrap_or(moment.today);
        let (_, tag) = self.write(moment, |work, _| {
            let record = record_of(work, hose, moment.today)?;
            super::check_day(&record, on, moment)?;
            not_after_incident(work, &record, moment)?;
            let mut drafts = vec![Event::Resealed { hose: record.hose, end, seal }];
            let clean = record.specification.clone().filter(Specification::oxygen);
            match (clean, grease) {
                (Some(_), None) => return Err(LogbookError::GreaseNeeded(record.tag())),
                (Some(clean), Some(Grease::Other)) => {
                    let specification = Some(clean.cleaned_for_oxygen(false));
                    let changes = Box::new(Changes { specification, ..Changes::default() });
                    let (why, answers) = (None, Vec::new());
                    drafts.push(Event::Described { hose: record.hose, changes, why, answers });
                }
                _ => {}
            }
            Ok((drafts.into_iter().map(|event| Draft { on, event }).collect(), record.tag()))
        })?;
        Ok(tag)
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
        let day = on.unwrap_or(moment.today);
        self.write_of_hose(hose, on, moment, |record, _| {
            let answers = record.cleaned_by(day);
            Ok(Event::Cleaned { hose: record.hose, answers })
        })
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
        self.ask(vec![slips::retire(self.record(hose)?.tag(), &why)])?;
        let (_, tag) = self.write(moment, |work, _| {
            let record = record_of(work, hose, moment.today)?;
            super::check_day(&record, on, moment)?;
            not_after_incident(work, &record, moment)?;
            not_retired(&record)?;
            not_out(&record)?;
            let mut drafts = Vec::new();
            if record.slots().next().is_some() {
                super::places::check_since(&record, on)?;
                drafts.push(Draft { on, event: removal(&record) });
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

/// What a reason settles: all that the earlier descriptions say differently.
fn settled(
    mut changes: Changes,
    record: &HoseRecord,
    specification: &Specification,
    origin: &Origin,
) -> Changes {
    let others = &record.alternatives;
    if !others.specifications.is_empty() {
        changes.specification = Some(specification.clone());
    }
    let mut settle = |field: OriginField, contested: bool, known: bool| {
        if contested && !known && !changes.unknown.contains(&field) {
            changes.unknown.push(field);
        }
        contested
    };
    if settle(OriginField::Made, !others.made.is_empty(), origin.made.is_some()) {
        changes.origin.made = origin.made;
    }
    if settle(OriginField::Bought, !others.bought.is_empty(), origin.bought.is_some()) {
        changes.origin.bought = origin.bought;
    }
    let in_service = !others.in_service.is_empty();
    if settle(OriginField::InService, in_service, origin.in_service.is_some()) {
        changes.origin.in_service = origin.in_service;
    }
    if settle(OriginField::Maker, !others.makers.is_empty(), origin.maker.is_some()) {
        changes.origin.maker.clone_from(&origin.maker);
    }
    if settle(OriginField::Lot, !others.lots.is_empty(), origin.lot.is_some()) {
        changes.origin.lot.clone_from(&origin.lot);
    }
    if settle(OriginField::Model, !others.models.is_empty(), origin.model.is_some()) {
        changes.origin.model.clone_from(&origin.model);
    }
    if others.owners.len() > 1 {
        changes.origin.own.owner = Some(origin.own.owner());
    }
    changes
}

/// Whether a change fills in a date, a lot or a model that was not known: that takes a
/// reason away, so it needs one.
fn fills_in(changes: &Changes, before: &Origin) -> bool {
    let new = &changes.origin;
    let born = before.born().is_none() && new.born().is_some();
    let made = before.made.is_none() && new.made.is_some();
    let lot = before.lot.is_none() && new.lot.is_some();
    born || made || lot || before.model.is_none() && new.model.is_some()
}

/// A hose's removal from wherever it is claimed.
pub(super) fn removal(record: &HoseRecord) -> Event {
    let sets = named(record.slots().map(|slot| slot.set));
    let answers = record.claims.iter().map(|claim| claim.entry).collect();
    Event::Removed { hose: record.hose, sets, answers }
}

/// Each once, in a stable order.
pub(super) fn named<T: Ord>(all: impl Iterator<Item = T>) -> Vec<T> {
    let all: BTreeSet<T> = all.collect();
    all.into_iter().collect()
}

/// Whether somebody who types a barcode could mean the beginning of a tag: it is
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
            Err(LogbookError::BeforeLastTag { on, since: tag.since, tag: tag.code })
        }
        _ => Ok(()),
    }
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
    match record.out() {
        Some(out) => {
            Err(LogbookError::RentedOut { hose: record.tag(), ticket: out.ticket.clone() })
        }
        None => Ok(()),
    }
}

fn free_tag(
    work: &Connection,
    tag: Option<Code>,
    random: &mut dyn Rng,
) -> Result<Code, LogbookError> {
    match tag {
        Some(tag) if record::is_known(work, tag)? => Err(LogbookError::TagInUse(tag)),
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
