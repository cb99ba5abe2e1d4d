//! What a hose adds to the sums over all hoses.

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;
use rusqlite::{Connection, params};

use super::days;
use super::location::Location;
use super::row::Row;
use crate::inspection::Verdict;
use crate::journal::StoreError;
use crate::policy::Use;

/// Of verdicts: how many become at least so bad on a day.
pub(super) const VERDICTS: &str = "verdict";
/// Of hoses by the day that they were made, by service.
pub(super) const MADE: &str = "made";
/// Of hoses by their first day in service, by service.
pub(super) const IN_SERVICE: &str = "in-service";
/// Of the centre's hoses that are out of service.
pub(super) const RETIRED: &str = "retired";
/// Of things that are due, by their day.
pub(super) const DUE: &str = "due";

/// What is summed, of what, and on which day: how many hoses, or how many things.
pub(super) type Sums = BTreeMap<(&'static str, String, i64), i64>;

/// The verdict and the use that a sum is of.
pub(super) fn of(verdict: Verdict, in_use: Use) -> String {
    format!("{verdict} {in_use}")
}

/// What a hose adds, with what is due for it.
pub(super) fn of_hose(row: &Row, due: &BTreeSet<(i64, NaiveDate)>) -> Sums {
    let mut all = Sums::new();
    for (_, on) in due {
        *all.entry((DUE, String::new(), days::number(*on))).or_default() += 1;
    }
    for verdict in Verdict::ALL {
        if let Some(first) = row.worse_from(*verdict) {
            all.insert((VERDICTS, of(*verdict, row.in_use), first), 1);
        }
    }
    if row.customers {
        return all;
    }
    if row.location == Location::Retired {
        all.insert((RETIRED, String::new(), 0), 1);
        return all;
    }
    let service = || row.service.clone().unwrap_or_default();
    all.insert((MADE, service(), days::number(row.born)), 1);
    all.insert((IN_SERVICE, service(), days::number(row.in_service)), 1);
    all
}

/// By how much the sums change: gathered over many hoses and written once.
#[derive(Debug, Default)]
pub(super) struct Change(Sums);

impl Change {
    /// What a hose added before goes, and what it adds now comes.
    pub(super) fn hose(&mut self, before: Option<Sums>, now: Sums) {
        for (key, hoses) in before.into_iter().flatten() {
            *self.0.entry(key).or_default() -= hoses;
        }
        for (key, hoses) in now {
            *self.0.entry(key).or_default() += hoses;
        }
    }

    /// Writes it.
    pub(super) fn keep(self, work: &Connection) -> Result<(), StoreError> {
        let mut add = work.prepare_cached(
            "INSERT INTO total (what, of, day, hoses) VALUES (?1, ?2, ?3, ?4)
             ON CONFLICT DO UPDATE SET hoses = hoses + excluded.hoses",
        )?;
        for ((what, of, day), more) in self.0.into_iter().filter(|(_, more)| *more != 0) {
            add.execute(params![what, of, day, more])?;
        }
        Ok(())
    }
}
