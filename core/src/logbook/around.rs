//! Asking about many hoses: what they share is read once.

use std::collections::HashMap;

use chrono::NaiveDate;

use super::{Logbook, LogbookError, believed};
use crate::answer::Asked;
use crate::event::SetId;
use crate::journal::StoreError;
use crate::record::{self, FleetRecord, HoseRecord, SetRecord};
use crate::tag::Code;

/// What every question needs besides the hoses: loaded once for each.
pub(super) struct Around {
    sets: HashMap<SetId, SetRecord>,
    /// Whether every set is here.
    whole: bool,
    fleet: FleetRecord,
    heard: crate::answer::Heard,
    today: NaiveDate,
}

impl Around {
    /// A set by its identity, or by that of a part of it.
    pub(super) fn set(&self, set: SetId) -> Option<&SetRecord> {
        self.sets.get(&set)
    }

    /// Limits and recalls.
    pub(super) const fn fleet(&self) -> &FleetRecord {
        &self.fleet
    }

    fn ask<T>(
        &self,
        record: &HoseRecord,
        tag_shared: bool,
        ask: impl FnOnce(&Asked<'_>) -> T,
    ) -> T {
        let mut sets: Vec<&SetRecord> = Vec::new();
        for set in believed::sets_of(record).filter_map(|set| self.set(set)) {
            if !sets.iter().any(|known| known.id == set.id) {
                sets.push(set);
            }
        }
        ask(&Asked {
            record,
            sets: &sets,
            fleet: &self.fleet,
            today: self.today,
            scanned: None,
            tag_shared,
            as_used: None,
            tag_only: None,
            heard: self.heard,
        })
    }
}

impl Logbook {
    /// Goes through every hose once, in one state of the store; memory holds
    /// the sets and what `take` keeps.
    pub(super) fn each_asked<T>(
        &self,
        today: NaiveDate,
        begin: impl FnOnce(&Around) -> T,
        mut take: impl FnMut(&mut T, &Asked<'_>),
    ) -> Result<T, LogbookError> {
        self.reading(|| {
            let mut around = self.around(today)?;
            for set in record::recorded_sets(&self.connection)? {
                let set = believed::set_as_of(&self.connection, set, today)?;
                for part in &set.joined {
                    around.sets.insert(*part, set.clone());
                }
                around.sets.insert(set.id, set);
            }
            around.whole = true;
            let mut kept = begin(&around);
            record::each_hose::<LogbookError>(&self.connection, |record| {
                let record = believed::believed(&self.connection, record, today)?;
                let shared = believed::is_shared(&self.connection, &record)?;
                around.ask(&record, shared, |asked| take(&mut kept, asked));
                Ok(())
            })?;
            Ok(kept)
        })
    }

    /// Asks about one of many hoses: sets are read once.
    pub(super) fn ask_of<T>(
        &self,
        around: &mut Around,
        hose: Code,
        ask: impl FnOnce(&Asked<'_>) -> T,
    ) -> Result<T, LogbookError> {
        let record = believed::record_on(&self.connection, hose, around.today)?;
        if !around.whole {
            for set in believed::sets_of(&record) {
                if !around.sets.contains_key(&set) {
                    let read = believed::set_on(&self.connection, set, around.today)?;
                    around.sets.extend(read.map(|record| (set, record)));
                }
            }
        }
        let shared = believed::is_shared(&self.connection, &record)?;
        Ok(around.ask(&record, shared, ask))
    }

    /// What every hose is asked with, without any set yet.
    pub(super) fn around(&self, today: NaiveDate) -> Result<Around, StoreError> {
        let fleet = believed::fleet_on(&self.connection, today)?;
        Ok(Around { sets: HashMap::new(), whole: false, fleet, heard: self.heard()?, today })
    }
}
