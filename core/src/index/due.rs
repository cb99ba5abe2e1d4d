//! What is due, by day.

use chrono::NaiveDate;
use rusqlite::types::Value;
use rusqlite::{Connection, params_from_iter};

use super::ask::{Day, codes};
use super::days;
use super::filter::Filter;
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

/// Of which hoses what is due is asked, as SQL; the values of a filter come sixth.
pub(super) fn of_which(filter: &Filter, settled: bool) -> String {
    let mut holds: Vec<String> = settled.then(|| "r.since <= ?3".to_owned()).into_iter().collect();
    let conditions = filter.conditions().into_iter().zip(6..);
    holds.extend(conditions.map(|(one, at)| one.sql.replace('?', &format!("?{at}"))));
    if holds.is_empty() {
        return String::new();
    }
    let holds = holds.join(" AND ");
    format!(" AND EXISTS (SELECT 1 FROM hose_row r WHERE r.hose = d.hose AND {holds})")
}

/// What is due between two days, as SQL.
pub(super) fn due_between(what: &str, holds: &str) -> String {
    format!(
        "SELECT {what} FROM due d INDEXED BY due_by_day
         WHERE d.on_day >= ?1 AND d.on_day <= ?2{holds}"
    )
}

/// What is due on one of two days, by kind and hose, as SQL.
pub(super) fn due_today(holds: &str) -> String {
    let one = |day: &str| {
        format!(
            "SELECT d.hose AS hose, d.what AS what, d.on_day AS on_day
             FROM due d INDEXED BY due_by_day WHERE d.on_day = {day}{holds}"
        )
    };
    format!("{} UNION ALL {} ORDER BY what, hose LIMIT ?4 OFFSET ?5", one("?1"), one("?2"))
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
    let holds = of_which(filter, !all_settled);
    let values = |numbers: [i64; 5], statement: &rusqlite::Statement<'_>| {
        let filtered = filter.conditions().into_iter().map(|condition| condition.value);
        let numbers = numbers.into_iter().map(Value::Integer);
        let taken = statement.parameter_count();
        numbers.chain(filtered).take(taken).collect::<Vec<Value>>()
    };
    let count = |first: i64, last: i64| -> Result<u64, StoreError> {
        let mut statement = connection.prepare_cached(&due_between("count(*)", &holds))?;
        let values = values([first, last, today, 0, 0], &statement);
        Ok(statement.query_row(params_from_iter(values), |row| row.get(0))?)
    };
    let mut total = 0;
    let mut things: Vec<DueThing> = Vec::new();
    // What was never done is due today, so it comes between what is overdue and the rest.
    let parts = [(never + 1, today - 1), (never, today), (today + 1, until)];
    for (at, (first, last)) in parts.into_iter().enumerate() {
        let of_today = at == 1;
        let there = match of_today {
            true => count(never, never)? + count(today, today)?,
            false => count(first, last)?,
        };
        total += there;
        if from >= there {
            from -= there;
            continue;
        }
        let sql = match of_today {
            true => due_today(&holds),
            false => format!(
                "{} ORDER BY d.on_day, d.what, d.hose LIMIT ?4 OFFSET ?5",
                due_between("d.hose, d.what, d.on_day", &holds)
            ),
        };
        let mut statement = connection.prepare_cached(&sql)?;
        let page = |n: u64| i64::try_from(n).unwrap_or(i64::MAX);
        let values = values([first, last, today, page(most), page(from)], &statement);
        let rows = statement.query_map(params_from_iter(values), |row| {
            Ok((row.get::<_, u64>(0)?, row.get::<_, usize>(1)?, row.get::<_, i64>(2)?))
        })?;
        let before = things.len();
        for row in rows {
            let (hose, what, on) = row?;
            let (Some(hose), Some(what)) = (Code::from_bits(hose), DueKind::ALL.get(what)) else {
                continue;
            };
            let on = if on == never { day.today } else { days::day(on) };
            things.push(DueThing { hose, what: *what, on });
        }
        most -= u64::try_from(things.len() - before).unwrap_or(0).min(most);
        from = 0;
    }
    Ok((total, things))
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
