//! What is written for many hoses at once: dives, limits, recalls.

use std::collections::BTreeSet;

use super::checks::{check_day, check_not_ahead, not_after_incident, not_out, set_not_out};
use super::slips::of_dives;
use super::{FormRefused, Logbook, LogbookError, believed};
use crate::event::{Event, RecallOf};
use crate::fleet::recalled_already;
use crate::hose::{Label, Prose};
use crate::journal::{Draft, Moment, StoreError};
use crate::policy::{Change, Scope};
use crate::record::{self, FleetRecord, SetRecord};
use crate::tag::{Code, Prefix};
use crate::view::form::{Filled, care};
use chrono::NaiveDate;

impl Logbook {
    /// Records dives made with some hoses outside a rental. More than people make in a
    /// day are asked about.
    ///
    /// # Errors
    /// [`LogbookError`] if a hose is unknown or out, or there is nothing to count.
    pub fn dived(
        &mut self,
        hoses: &[Code],
        dives: u32,
        on: Option<NaiveDate>,
        moment: &Moment,
    ) -> Result<(), LogbookError> {
        let on = on.unwrap_or(moment.today);
        if hoses.is_empty() || dives == 0 {
            return Err(LogbookError::Nothing("name at least one hose and one dive"));
        }
        self.ask(of_dives(dives))?;
        self.write(moment, |work, _| {
            let mut own = Vec::with_capacity(hoses.len());
            for hose in hoses {
                let record = believed::record_of(work, *hose, moment.today)?;
                check_day(&record, on, moment)?;
                not_after_incident(work, &record, moment)?;
                not_out(&record)?;
                own.push(record.hose);
            }
            Ok((vec![Draft { on, event: Event::Dived { hoses: own, dives, list: None } }], ()))
        })?;
        Ok(())
    }

    /// Records dives made with every hose that is in a set; says with how many.
    ///
    /// # Errors
    /// As [`Logbook::dived`], and [`LogbookError`] if there is no such set.
    pub fn set_dived(
        &mut self,
        set: &Label,
        dives: u32,
        on: Option<NaiveDate>,
        moment: &Moment,
    ) -> Result<usize, LogbookError> {
        let record = self.set(set)?;
        set_not_out(&record)?;
        let hoses: BTreeSet<Code> = record.hoses.into_values().collect();
        let hoses = Vec::from_iter(hoses);
        self.dived(&hoses, dives, on, moment)?;
        Ok(hoses.len())
    }

    /// Records the dives that a form about a set says.
    ///
    /// # Errors
    /// [`FormRefused`] if something is missing or wrong, or the record refuses it.
    pub fn submit_set_dives(
        &mut self,
        set: &Label,
        filled: &Filled,
        moment: &Moment,
    ) -> Result<usize, FormRefused> {
        let (dives, on) = (care::read_dives(filled)?, filled.day("on")?);
        Ok(self.set_dived(set, dives, on, moment)?)
    }

    /// Sets limits for the hoses of a scope. All hoses are worked out again: `progress`
    /// is told how many of how many are done.
    ///
    /// # Errors
    /// [`LogbookError`] if the store cannot be written.
    pub fn limit(
        &mut self,
        scope: Scope,
        limits: Change,
        moment: &Moment,
        progress: impl FnMut(usize, usize),
    ) -> Result<(), LogbookError> {
        self.write_telling(moment, progress, |_, _| {
            let on = moment.today;
            Ok((vec![Draft { on, event: Event::Limited { scope, limits } }], ()))
        })?;
        Ok(())
    }

    /// Calls back a lot.
    ///
    /// # Errors
    /// [`LogbookError`] if the day lies ahead or the lot is recalled already.
    pub fn recall(
        &mut self,
        lot: Label,
        maker: Option<Label>,
        why: Prose,
        on: Option<NaiveDate>,
        moment: &Moment,
    ) -> Result<(), LogbookError> {
        self.recall_by(RecallOf::lot(lot, maker), why, on, moment)
    }

    /// Starts a recall by what its maker names. If hoses on record have a lot or a maker of
    /// nearly the same spelling, they are asked about first.
    ///
    /// # Errors
    /// [`LogbookError`] if it names too little, or a recall holds all of it
    /// already.
    pub fn recall_by(
        &mut self,
        of: RecallOf,
        why: Prose,
        on: Option<NaiveDate>,
        moment: &Moment,
    ) -> Result<(), LogbookError> {
        let on = on.unwrap_or(moment.today);
        check_not_ahead(on, moment)?;
        if !of.is_enough() {
            return Err(LogbookError::Nothing(
                "a recall names a lot, or a maker with a lot, a model or a made span: another \
                 maker's hoses may have the same",
            ));
        }
        if !self.sure {
            let report = self.look_up(of.clone(), moment)?;
            self.ask(if report.recall.is_some() { Vec::new() } else { report.questions() })?;
        }
        self.write(moment, |work, _| {
            let fleet = record::load_fleet(work)?;
            if let Some(known) = recalled_already(&fleet, &of) {
                let (of, on, why) = (known.of.to_string(), known.on, known.why.clone());
                return Err(LogbookError::RecalledAlready { of, on, why });
            }
            // One of a lot alone is written as earlier programs read it.
            let event = match of {
                RecallOf { lot: Some(lot), maker, model: None, made: None } => {
                    Event::Recalled { lot, maker, why }
                }
                of => Event::RecalledBy { of: Box::new(of), why },
            };
            Ok((vec![Draft { on, event }], ()))
        })?;
        Ok(())
    }

    /// The limits that were set and the lots that were called back.
    ///
    /// # Errors
    /// [`StoreError`] if the store cannot be read.
    pub fn fleet(&self) -> Result<FleetRecord, StoreError> {
        record::load_fleet(&self.connection)
    }

    /// Every hose on record, by identity.
    ///
    /// # Errors
    /// [`StoreError`] if the store cannot be read.
    pub fn hoses(&self) -> Result<Vec<Code>, StoreError> {
        record::recorded_hoses(&self.connection)
    }

    /// Hoses by their own tags, a page at a time: at most `most` of those whose
    /// tag comes after `after` and begins as `begins` says. However many hoses
    /// there are, a page costs the same.
    ///
    /// # Errors
    /// [`StoreError`] if the store cannot be read.
    pub fn hose_page(
        &self,
        after: Option<Code>,
        begins: Option<Prefix>,
        most: u32,
    ) -> Result<Vec<Code>, StoreError> {
        record::hose_page(&self.connection, after, begins, most)
    }

    /// Sets by name, a page at a time: at most `most` of those that come after
    /// `after` and whose name begins with `begins`, whether it is typed in capitals
    /// or in small letters. `after` is a set's name (an empty text starts), or its
    /// code, which tells apart sets of one name.
    ///
    /// # Errors
    /// [`StoreError`] if the store cannot be read.
    pub fn set_page(
        &self,
        after: &str,
        begins: &str,
        most: u32,
    ) -> Result<Vec<SetRecord>, StoreError> {
        record::set_page(&self.connection, after, begins, most)
    }

    /// Something that changes whenever an entry arrives or another is believed:
    /// an answer about many hoses holds for as long as it, and the day, stay.
    ///
    /// # Errors
    /// [`StoreError`] if the store cannot be read.
    pub fn state(&self) -> Result<String, StoreError> {
        record::state_of(&self.connection)
    }

    /// The sets that are with a hirer, by name.
    ///
    /// # Errors
    /// [`StoreError`] if the store cannot be read.
    pub fn sets_out(&self) -> Result<Vec<SetRecord>, StoreError> {
        record::sets_out(&self.connection)
    }
}
