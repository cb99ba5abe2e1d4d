//! What is due, by day.

use std::collections::HashSet;

use chrono::NaiveDate;
use rusqlite::types::Value;
use rusqlite::{Connection, Rows, params, params_from_iter};

use super::ask::{Day, all_of, codes, unsettled};
use super::days;
use super::filter::Filter;
use super::kept::ranked;
use crate::answer::DueKind;
use crate::journal::StoreError;
use crate::tag::Code;

/// One thing that is due for a settled hose.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct DueThing {
    /// The hose.
    pub hose: Code,
    /// What is due.
    pub what: DueKind,
    /// The last good day for it: what was never done is due on the day of the
    /// question.
    pub on: NaiveDate,
}

/// What is due between two days, as SQL.
pub(super) fn due_between(what: &str) -> String {
    format!(
        "SELECT {what} FROM due d INDEXED BY due_by_day
         WHERE d.on_day >= ?1 AND d.on_day <= ?2"
    )
}

/// The same by day, kind and hose.
pub(super) fn due_in_order() -> String {
    let rows = due_between("d.hose, d.what, d.on_day");
    format!("{rows} ORDER BY d.on_day, d.what, d.hose")
}

/// What is due on one of two days, by kind and hose, as SQL.
pub(super) const DUE_TODAY: &str = "
    SELECT d.hose AS hose, d.what AS what, d.on_day AS on_day
    FROM due d INDEXED BY due_by_day WHERE d.on_day = ?1
    UNION ALL
    SELECT d.hose AS hose, d.what AS what, d.on_day AS on_day
    FROM due d INDEXED BY due_by_day WHERE d.on_day = ?2
    ORDER BY what, hose";

/// How many things are due on some days: of all hoses, and of one.
pub(super) const DUE_SUM: &str = "SELECT coalesce(sum(hoses), 0) FROM total
    WHERE what = 'due' AND of = '' AND day >= ?1 AND day <= ?2";
pub(super) const DUE_OF_ONE: &str =
    "SELECT count(*) FROM due WHERE hose = ?3 AND on_day >= ?1 AND on_day <= ?2";

/// Of which hoses what is due is asked.
struct Of {
    /// All of them, or these.
    these: Option<HashSet<u64>>,
    /// But for those that are not settled.
    but: HashSet<u64>,
}

impl Of {
    fn read(
        connection: &Connection,
        filter: &Filter,
        (day, all_settled): (&Day, bool),
    ) -> Result<Self, StoreError> {
        let alone = Filter { verdict: None, ..filter.clone() };
        let these = if alone.is_all() { None } else { Some(all_of(connection, &alone, day)?) };
        let but = if all_settled { Vec::new() } else { unsettled(connection, day)? };
        Ok(Self { these, but: but.into_iter().map(Code::bits).collect() })
    }

    fn has(&self, hose: u64) -> bool {
        self.these.as_ref().is_none_or(|these| these.contains(&hose)) && !self.but.contains(&hose)
    }

    /// How many things are due on some days, where that is known without going through them.
    fn count(
        &self,
        connection: &Connection,
        (first, last): (i64, i64),
    ) -> Result<Option<u64>, StoreError> {
        if self.these.is_some() {
            return Ok(None);
        }
        let mut sum = connection.prepare_cached(DUE_SUM)?;
        let mut count: u64 = sum.query_row([first, last], |row| row.get(0))?;
        let mut of_one = connection.prepare_cached(DUE_OF_ONE)?;
        for hose in &self.but {
            let less: u64 = of_one.query_row(params![first, last, hose], |row| row.get(0))?;
            count = count.saturating_sub(less);
        }
        Ok(Some(count))
    }
}

/// What is due for settled hoses of a filter up to a day: how many things, and `most` of
/// them from one on, by day, kind and hose. `all_settled` says that nothing lies ahead at
/// all. The filter's verdict is not asked.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn due_up_to(
    connection: &Connection,
    (until, filter): (NaiveDate, &Filter),
    (day, all_settled): (&Day, bool),
    (mut from, mut most): (u64, u64),
) -> Result<(u64, Vec<DueThing>), StoreError> {
    let (never, today) = (days::number(super::NEVER), day.number());
    let until = days::number(until);
    let of = Of::read(connection, filter, (day, all_settled))?;
    let mut total = 0;
    let mut things: Vec<DueThing> = Vec::new();
    // What was never done is due today, so it comes between what is overdue and the rest.
    let parts = [(never + 1, today - 1), (never, today), (today + 1, until)];
    for (at, days_of_part) in parts.into_iter().enumerate() {
        let of_today = at == 1;
        let (first, last) = days_of_part;
        let counted = match of_today {
            true => {
                let never_done = of.count(connection, (never, never))?;
                never_done.zip(of.count(connection, (today, today))?).map(|(a, b)| a + b)
            }
            false => of.count(connection, days_of_part)?,
        };
        let wanted = (from, most);
        let (there, found) = match counted {
            Some(there) if from >= there || most == 0 => (there, Vec::new()),
            counted => {
                let sql = if of_today { DUE_TODAY.to_owned() } else { due_in_order() };
                let mut statement = connection.prepare_cached(&sql)?;
                let rows = statement.query([first, last])?;
                part_of(rows, &of, wanted, (counted, day))?
            }
        };
        total += there;
        from = from.saturating_sub(there);
        most -= u64::try_from(found.len()).unwrap_or(0).min(most);
        things.extend(found);
    }
    Ok((total, things))
}

/// The things of some rows that are asked for, and how many there are in all: where that is
/// known, the rows behind the last one wanted are not read.
fn part_of(
    mut rows: Rows<'_>,
    of: &Of,
    (from, most): (u64, u64),
    (counted, day): (Option<u64>, &Day),
) -> Result<(u64, Vec<DueThing>), StoreError> {
    let never = days::number(super::NEVER);
    let until = from.saturating_add(most);
    let (mut there, mut found) = (0, Vec::new());
    while let Some(row) = rows.next()? {
        let hose: u64 = row.get(0)?;
        if !of.has(hose) {
            continue;
        }
        there += 1;
        if there > from && there <= until {
            let (what, on): (usize, i64) = (row.get(1)?, row.get(2)?);
            if let (Some(hose), Some(what)) = (Code::from_bits(hose), DueKind::ALL.get(what)) {
                let on = if on == never { day.today } else { days::day(on) };
                found.push(DueThing { hose, what: *what, on });
            }
        }
        if there >= until
            && let Some(counted) = counted
        {
            return Ok((counted, found));
        }
    }
    Ok((counted.unwrap_or(there), found))
}

/// The hoses for which something of some kinds is due up to a day, settled or not.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn due_of_kinds(
    connection: &Connection,
    kinds: &[DueKind],
    until: NaiveDate,
) -> Result<Vec<Code>, StoreError> {
    let kinds: Vec<String> = kinds.iter().map(|kind| ranked(*kind).to_string()).collect();
    let sql = format!("{} AND d.what IN ({})", due_between("d.hose"), kinds.join(", "));
    let mut statement = connection.prepare_cached(&sql)?;
    codes(&mut statement, [i64::MIN, days::number(until)])
}

/// The tags of settled hoses of a filter that a finding retired and nobody took out of
/// service.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn condemned(
    connection: &Connection,
    filter: &Filter,
    day: &Day,
) -> Result<Vec<Code>, StoreError> {
    let conditions = filter.conditions();
    let holds: String = conditions.iter().map(|one| format!(" AND {}", one.sql)).collect();
    let mut statement = connection.prepare_cached(&format!("{CONDEMNED}{holds} ORDER BY r.tag"))?;
    let values = conditions.into_iter().map(|condition| condition.value);
    let day = Value::Integer(day.number());
    codes(&mut statement, params_from_iter(std::iter::once(day).chain(values)))
}

pub(super) const CONDEMNED: &str = "SELECT r.tag FROM hose_row r INDEXED BY row_condemned
    WHERE r.condemned = 1 AND r.since <= ?";
