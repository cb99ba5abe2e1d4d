//! How old the fleet is, and how long its hoses lasted.

use chrono::NaiveDate;
use rusqlite::{Connection, params};

use super::ask::SUM;
use super::{days, sums};
use crate::hose::Service;
use crate::journal::StoreError;

/// How many of the centre's hoses that serve are of one first day and service.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AgeSum {
    /// The day that they were made, or that their service began; none if nobody
    /// knows, or it never did.
    pub day: Option<NaiveDate>,
    /// What they do, if that is known.
    pub service: Option<Service>,
    /// How many.
    pub hoses: u32,
}

/// Ages from made, ages in service, and how many are out of service: of all hoses.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn age_sums(connection: &Connection) -> Result<(Vec<AgeSum>, Vec<AgeSum>, u32), StoreError> {
    let of = |what: &str| -> Result<Vec<AgeSum>, StoreError> {
        let mut statement = connection.prepare_cached(AGES)?;
        let rows = statement.query_map([what], |row| {
            let day = days::day(row.get(1)?);
            let (service, hoses): (String, u32) = (row.get(0)?, row.get(2)?);
            let (day, service) = (Some(day).filter(|d| *d < NaiveDate::MAX), service.parse().ok());
            Ok(AgeSum { day, service, hoses })
        })?;
        Ok(rows.collect::<Result<_, _>>()?)
    };
    let retired = connection
        .prepare_cached(SUM)?
        .query_row(params![sums::RETIRED, "", 0], |row| row.get(0))?;
    Ok((of(sums::MADE)?, of(sums::IN_SERVICE)?, retired))
}

pub(super) const AGES: &str = "SELECT of, day, hoses FROM total WHERE what = ?1 AND hoses > 0";

/// How long one of the centre's hoses lasted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Life {
    /// Its first day in service; none if it never was.
    pub since: Option<NaiveDate>,
    /// The end of its service.
    pub ended: Option<NaiveDate>,
    /// How it is built.
    pub construction: Option<String>,
    /// Its maker, as written.
    pub maker: Option<String>,
    /// Its lot, as written.
    pub lot: Option<String>,
    /// How many hoses lasted just so.
    pub hoses: u32,
}

pub(super) const LIVES: &str =
    "SELECT in_service, ended, construction, maker_shown, lot_shown, count(*)
    FROM hose_row INDEXED BY row_life WHERE customers = 0
    GROUP BY in_service, ended, construction, maker_shown, lot_shown";

/// Goes through how long the centre's hoses lasted: those that lasted alike at once.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn lives(connection: &Connection, mut each: impl FnMut(Life)) -> Result<(), StoreError> {
    let mut statement = connection.prepare_cached(LIVES)?;
    let mut rows = statement.query([])?;
    while let Some(row) = rows.next()? {
        let day = |at| row.get(at).map(days::day).map(|d| Some(d).filter(|d| *d < NaiveDate::MAX));
        each(Life {
            since: day(0)?,
            ended: day(1)?,
            construction: row.get(2)?,
            maker: row.get(3)?,
            lot: row.get(4)?,
            hoses: row.get(5)?,
        });
    }
    Ok(())
}
