//! Writing about one hose: register, describe, tag, reseal, clean, retire.

use chrono::NaiveDate;
use rand_core::Rng;
use rusqlite::Connection;

use super::believed::record_of;
use super::checks::{
    check_day, check_not_ahead, check_since, described, not_after_incident, not_out, not_retired,
};
use super::moves::removal;
use super::numbers::{NumbersGiven, check_free};
use super::slips::{of_description, of_reseal};
use super::tags::free_tag;
use super::{Logbook, LogbookError, NamingError};
use crate::event::{Changes, Event, OriginField, Registration};
use crate::hose::{End, Grease, Label, Origin, Prose, Service, Specification};
use crate::journal::{Draft, Moment};
use crate::record::HoseRecord;
use crate::tag::Code;
use crate::words::slips;

impl Logbook {
    /// Registers a hose and returns the code of its tag.
    ///
    /// # Errors
    /// [`LogbookError`] if its dates are invalid or its tag is in use.
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
    /// [`LogbookError`] if the dates of one are invalid or its tag is in use.
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
            let mut numbers = NumbersGiven::default();
            for new in hoses {
                numbers.take(&new.origin.own)?;
                let (hose, event) = registered(work, new, &codes, moment.today, random)?;
                codes.push(hose);
                drafts.push(Draft { on, event });
            }
            Ok((drafts, codes))
        })?;
        Ok(codes)
    }

    /// Puts right what is recorded about a hose. With a reason the new
    /// description replaces the earlier ones; without one it is judged beside
    /// them, for each reason the worst.
    ///
    /// # Errors
    /// [`LogbookError`] if the dates are invalid, nothing changes, or what was
    /// not known is filled in without a reason.
    pub fn describe(
        &mut self,
        hose: Code,
        (specification, origin): (Specification, Origin),
        why: Option<Prose>,
        moment: &Moment,
    ) -> Result<Code, LogbookError> {
        origin.check(moment.today)?;
        self.ask(of_description(&specification, &origin))?;
        self.write_of_hose(hose, None, moment, |record, work| {
            let (was, is) = (&record.origin.own, &origin.own);
            let renamed = (&was.number, &was.branch) != (&is.number, &is.branch);
            if renamed && record.retired.is_none() {
                check_free(work, is, Some(record.hose))?;
            }
            let before = (record.specification.as_ref(), &record.origin);
            let mut changes = Changes::between(before, (&specification, &origin));
            if why.is_some() {
                // The reason holds for all that is said now, also for what stood
                // beside it.
                changes = settled(changes, record, &specification, &origin);
            }
            if changes.is_empty() {
                return Err(LogbookError::Nothing("nothing would change"));
            }
            if why.is_none() && fills_in(&changes, &record.origin) {
                return Err(LogbookError::ReasonNeeded(record.tag()));
            }
            let answers = if why.is_some() { record.descriptions.clone() } else { Vec::new() };
            let (hose, changes) = (record.hose, Box::new(changes));
            Ok(Event::Described { hose, changes, why, answers })
        })
    }

    /// What a hose is, for filling in a form about it.
    ///
    /// # Errors
    /// [`LogbookError`] if the hose is unknown or nobody has described it.
    pub fn specification(&self, hose: Code) -> Result<Specification, LogbookError> {
        described(&self.record(hose)?)
    }

    /// Records new O-rings at one end.
    ///
    /// # Errors
    /// [`LogbookError`] if the hose is unknown or the day is invalid.
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

    /// Records new O-rings at one end with the grease that is on them. Grease
    /// that is not for oxygen ends that a hose is cleaned for it: a description
    /// says so in the same act.
    ///
    /// # Errors
    /// [`LogbookError`] if the hose is unknown, the day is invalid, or nobody says
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
            check_day(&record, on, moment)?;
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

    /// Records a new valve core or coupling of an inflator hose.
    ///
    /// # Errors
    /// [`LogbookError`] if the hose is unknown, is no inflator hose, or the day
    /// cannot be.
    pub fn recouple(
        &mut self,
        hose: Code,
        on: Option<NaiveDate>,
        moment: &Moment,
    ) -> Result<Code, LogbookError> {
        self.write_of_hose(hose, on, moment, |record, _| {
            if !record.specifications().any(|hose| hose.service() == Service::Inflator) {
                return Err(LogbookError::NoCoupling(record.tag()));
            }
            Ok(Event::Recoupled { hose: record.hose })
        })
    }

    /// Records a cleaning.
    ///
    /// # Errors
    /// [`LogbookError`] if the hose is unknown or the day is invalid.
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
    /// [`LogbookError`] if it is retired already or the day is invalid.
    pub fn retire(
        &mut self,
        hose: Code,
        why: Prose,
        on: Option<NaiveDate>,
        moment: &Moment,
    ) -> Result<Code, LogbookError> {
        let on = on.unwrap_or(moment.today);
        self.ask(vec![slips::retire(self.record(hose)?.tag(), &why)])?;
        let (_, tag) = self.write(moment, |work, _| {
            let record = record_of(work, hose, moment.today)?;
            check_day(&record, on, moment)?;
            not_after_incident(work, &record, moment)?;
            not_retired(&record)?;
            not_out(&record)?;
            let mut drafts = Vec::new();
            if record.slots().next().is_some() {
                check_since(&record, on)?;
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
    check_free(work, &new.origin.own, None)?;
    let hose = free_tag(work, new.tag, random)?;
    if taken.contains(&hose) {
        return Err(LogbookError::Naming(NamingError::TagInUse(hose)));
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
