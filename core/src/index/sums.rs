//! What a hose adds to the sums over all hoses.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use rusqlite::{Connection, params};

use super::days;
use super::location::Location;
use super::row::Row;
use crate::answer::spans::Span;
use crate::inspection::Verdict;
use crate::journal::StoreError;
use crate::policy::Use;

/// Of verdicts: by how many more it is on a day than on the day before.
pub(super) const VERDICTS: &str = "verdict";
/// Of hoses by the day that they were made, by service.
pub(super) const MADE: &str = "made";
/// Of hoses by their first day in service, by service.
pub(super) const IN_SERVICE: &str = "in-service";
/// Of the centre's hoses that are out of service.
pub(super) const RETIRED: &str = "retired";

/// What is summed, of what, and on which day.
type Key = (&'static str, String, i64);

/// The verdict and the use that a sum is of.
pub(super) fn of(verdict: Verdict, in_use: Use) -> String {
    format!("{verdict} {in_use}")
}

/// What a hose adds.
pub(super) fn of_hose(row: &Row, standing: &[(Verdict, Span)]) -> BTreeMap<Key, i64> {
    let mut all: BTreeMap<Key, i64> = BTreeMap::new();
    for (verdict, span) in standing {
        let of = of(*verdict, row.in_use);
        *all.entry((VERDICTS, of.clone(), days::number(span.first))).or_default() += 1;
        if span.last < NaiveDate::MAX {
            *all.entry((VERDICTS, of, days::number(span.last) + 1)).or_default() -= 1;
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

/// Takes what a hose added before from the sums, and adds what it does now.
pub(super) fn change(
    work: &Connection,
    before: BTreeMap<Key, i64>,
    mut now: BTreeMap<Key, i64>,
) -> Result<(), StoreError> {
    for (key, added) in before {
        *now.entry(key).or_default() -= added;
    }
    for ((what, of, day), more) in now.into_iter().filter(|(_, more)| *more != 0) {
        work.prepare_cached(
            "INSERT INTO total (what, of, day, hoses) VALUES (?1, ?2, ?3, ?4)
             ON CONFLICT DO UPDATE SET hoses = hoses + excluded.hoses",
        )?
        .execute(params![what, of, day, more])?;
    }
    Ok(())
}
