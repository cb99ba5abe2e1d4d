//! What is due, by day.

use std::collections::HashSet;

use chrono::NaiveDate;
use rusqlite::types::Value;
use rusqlite::{Connection, params_from_iter};

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

/// The same a part at a time, by day, kind and hose.
pub(super) fn due_in_order() -> String {
    let rows = due_between("d.hose, d.what, d.on_day");
    format!("{rows} ORDER BY d.on_day, d.what, d.hose LIMIT ?3 OFFSET ?4")
}

/// What is due on one of two days, by kind and hose, as SQL.
pub(super) const DUE_TODAY: &str = "
    SELECT d.hose AS hose, d.what AS what, d.on_day AS on_day
    FROM due d INDEXED BY due_by_day WHERE d.on_day = ?1
    UNION ALL
    SELECT d.hose AS hose, d.what AS what, d.on_day AS on_day
    FROM due d INDEXED BY due_by_day WHERE d.on_day = ?2
    ORDER BY what, hose LIMIT ?3 OFFSET ?4";

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

    fn is_all(&self) -> bool {
        self.these.is_none() && self.but.is_empty()
    }

    fn has(&self, hose: u64) -> bool {
        self.these.as_ref().is_none_or(|these| these.contains(&hose)) && !self.but.contains(&hose)
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
    let count = |first: i64, last: i64| -> Result<u64, StoreError> {
        let mut statement = connection.prepare_cached(&due_between("count(*)"))?;
        Ok(statement.query_row([first, last], |row| row.get(0))?)
    };
    let mut total = 0;
    let mut things: Vec<DueThing> = Vec::new();
    // What was never done is due today, so it comes between what is overdue and the rest.
    let parts = [(never + 1, today - 1), (never, today), (today + 1, until)];
    for (at, (first, last)) in parts.into_iter().enumerate() {
        let of_today = at == 1;
        let sql = if of_today { DUE_TODAY.to_owned() } else { due_in_order() };
        let mut statement = connection.prepare_cached(&sql)?;
        // Of all hoses the rows that are wanted are read, and the others counted; of some,
        // every row is looked at.
        let mut there = 0;
        let page = |n: u64| i64::try_from(n).unwrap_or(i64::MAX);
        let (limit, offset) = if of.is_all() {
            there = match of_today {
                true => count(never, never)? + count(today, today)?,
                false => count(first, last)?,
            };
            (page(most), page(from))
        } else {
            (-1, 0)
        };
        let before = things.len();
        if !of.is_all() || from < there {
            let mut rows = statement.query([first, last, limit, offset])?;
            while let Some(row) = rows.next()? {
                let hose: u64 = row.get(0)?;
                if !of.is_all() {
                    if !of.has(hose) {
                        continue;
                    }
                    there += 1;
                    if there <= from || there > from.saturating_add(most) {
                        continue;
                    }
                }
                let (what, on): (usize, i64) = (row.get(1)?, row.get(2)?);
                let (Some(hose), Some(what)) = (Code::from_bits(hose), DueKind::ALL.get(what))
                else {
                    continue;
                };
                let on = if on == never { day.today } else { days::day(on) };
                things.push(DueThing { hose, what: *what, on });
            }
        }
        total += there;
        from = from.saturating_sub(there);
        most -= u64::try_from(things.len() - before).unwrap_or(0).min(most);
    }
    Ok((total, things))
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
