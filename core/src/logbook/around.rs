//! Asking about hoses: what they share is read once, in one state of the store.

use std::collections::HashMap;

use chrono::NaiveDate;
use rusqlite::Connection;

use super::{LogbookError, believed};
use crate::answer::{Asked, Heard};
use crate::event::SetId;
use crate::hose::Label;
use crate::journal::StoreError;
use crate::measure::Units;
use crate::record::{self, FleetRecord, HoseRecord, SetRecord};
use crate::tag::Code;

/// What questions need besides the hoses: each read once.
pub(super) struct Around<'s> {
    store: &'s Connection,
    sets: HashMap<SetId, Option<SetRecord>>,
    fleet: FleetRecord,
    heard: Heard,
    today: NaiveDate,
    units: Units,
}

impl<'s> Around<'s> {
    /// Without any set yet.
    pub(super) fn of(store: &'s Connection, today: NaiveDate) -> Result<Self, StoreError> {
        let (fleet, heard) = (believed::fleet_on(store, today)?, believed::heard(store)?);
        let units = Units::AsWritten;
        Ok(Self { store, sets: HashMap::new(), fleet, heard, today, units })
    }

    /// The same, for people who read lengths and pressures in these units. What is written
    /// never depends on them.
    pub(super) fn in_units(self, units: Units) -> Self {
        Self { units, ..self }
    }

    /// A set by its identity, or by that of a part of it, as it is to be believed today.
    pub(super) fn set(&mut self, set: SetId) -> Result<Option<&SetRecord>, StoreError> {
        self.read_set(set)?;
        Ok(self.set_read(set))
    }

    fn read_set(&mut self, set: SetId) -> Result<(), StoreError> {
        if !self.sets.contains_key(&set) {
            self.sets.insert(set, believed::set_on(self.store, set, self.today)?);
        }
        Ok(())
    }

    fn set_read(&self, set: SetId) -> Option<&SetRecord> {
        self.sets.get(&set)?.as_ref()
    }

    /// Every set that stands for itself: for questions that go through all hoses.
    pub(super) fn read_sets(&mut self) -> Result<(), StoreError> {
        for set in record::recorded_sets(self.store)? {
            let set = believed::set_as_of(self.store, set, self.today)?;
            for part in &set.joined {
                self.sets.insert(*part, Some(set.clone()));
            }
            self.sets.insert(set.id, Some(set));
        }
        Ok(())
    }

    /// Limits and recalls.
    pub(super) const fn fleet(&self) -> &FleetRecord {
        &self.fleet
    }

    /// What this store has heard.
    pub(super) const fn heard(&self) -> Heard {
        self.heard
    }

    /// The day of the questions.
    pub(super) const fn today(&self) -> NaiveDate {
        self.today
    }

    /// Asks about a hose, with everything that an answer depends on.
    pub(super) fn ask<T>(
        &mut self,
        record: &HoseRecord,
        ask: impl FnOnce(&Asked<'_>) -> T,
    ) -> Result<T, StoreError> {
        let shown = (self.units != Units::AsWritten).then(|| record.clone().in_units(self.units));
        let record = shown.as_ref().unwrap_or(record);
        for set in believed::sets_of(record) {
            self.read_set(set)?;
        }
        let mut sets: Vec<&SetRecord> = Vec::new();
        for set in believed::sets_of(record).filter_map(|set| self.set_read(set)) {
            if !sets.iter().any(|known| known.id == set.id) {
                sets.push(set);
            }
        }
        Ok(ask(&Asked {
            record,
            sets: &sets,
            fleet: &self.fleet,
            today: self.today,
            scanned: None,
            tag_shared: believed::is_shared(self.store, record)?,
            as_used: None,
            tag_only: None,
            heard: self.heard,
        }))
    }

    /// The set that a name means, as it is to be believed today.
    pub(super) fn set_named(&self, name: &Label) -> Result<SetRecord, LogbookError> {
        believed::set_of(self.store, name, self.today)
    }

    /// Asks about the hose of an identity.
    pub(super) fn ask_of<T>(
        &mut self,
        hose: Code,
        ask: impl FnOnce(&Asked<'_>) -> T,
    ) -> Result<T, LogbookError> {
        let record = self.record(hose)?;
        Ok(self.ask(&record, ask)?)
    }

    /// The record of the hose of an identity.
    pub(super) fn record(&self, hose: Code) -> Result<HoseRecord, LogbookError> {
        Ok(believed::record_on(self.store, hose, self.today)?.in_units(self.units))
    }

    /// The record of a hose, by any of its tags.
    pub(super) fn record_of(&self, hose: Code) -> Result<HoseRecord, LogbookError> {
        Ok(believed::record_of(self.store, hose, self.today)?.in_units(self.units))
    }
}
