//! The questions about many hoses. Each is a search of an index; what lies ahead on
//! the day of the question is left to who asks.

use std::collections::HashSet;

use chrono::NaiveDate;
use rusqlite::types::Value;
use rusqlite::{Connection, Statement, params, params_from_iter};

use super::days;
use super::filter::{Filter, Sort};
use super::sums;
use crate::answer::spans::Whole;
use crate::inspection::Verdict;
use crate::journal::StoreError;
use crate::policy::Use;
use crate::tag::Code;

/// The day of a question, and what holds for the whole record on it.
#[derive(Debug, Clone, Copy)]
pub struct Day {
    /// The day.
    pub today: NaiveDate,
    /// What holds for the whole record.
    pub whole: Whole,
}

impl Day {
    pub(super) fn number(&self) -> i64 {
        days::number(self.today)
    }

    /// Whether what is about the whole record leaves a row no better than `watch`, as
    /// SQL.
    fn no_better(&self) -> String {
        let whole = self.whole;
        if whole.clock_odd {
            return "1".to_owned();
        }
        let mut any = Vec::new();
        any.extend(whole.old_for_rental.then(|| "r.rental = 1".to_owned()));
        any.extend(whole.old_for_personal.then(|| "r.rental = 0".to_owned()));
        any.extend(whole.gap.map(|gap| {
            let (ms, count) = (gap.0, gap.1);
            format!(
                "r.registered_ms IS NULL OR (r.registered_ms, r.registered_count) < ({ms}, {count})"
            )
        }));
        if any.is_empty() { NOT_SO.to_owned() } else { format!("({})", any.join(" OR ")) }
    }

    /// What holds of a row whose verdict is this one.
    fn verdict(&self, verdict: Verdict) -> Holds {
        let (no_better, d) = (self.no_better(), self.number());
        let (by, index, rest) = match verdict {
            Verdict::Ready => {
                (format!("r.watch_from > {d}"), "row_watch", format!("NOT {no_better}"))
            }
            Verdict::Watch if no_better == NOT_SO => {
                (format!("r.watch_from <= {d} AND r.hold_from > {d}"), "row_watch", String::new())
            }
            Verdict::Watch => {
                let watch = format!("(r.watch_from <= {d} OR {no_better})");
                (format!("r.hold_from > {d}"), "row_hold", watch)
            }
            Verdict::Hold => {
                (format!("r.hold_from <= {d} AND r.retire_from > {d}"), "row_hold", String::new())
            }
            Verdict::Retire => (format!("r.retire_from <= {d}"), "row_retire", String::new()),
        };
        Holds { by, index, rest }
    }
}

/// What has to hold of a row, as SQL: what its index has, and the rest, if any.
struct Holds {
    by: String,
    index: &'static str,
    rest: String,
}

/// What holds of no row, as SQL.
const NOT_SO: &str = "0";

/// The hoses about which an entry lies ahead: of these the rules have to be asked.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn unsettled(connection: &Connection, day: &Day) -> Result<Vec<Code>, StoreError> {
    let mut statement = connection.prepare_cached(UNSETTLED)?;
    codes(&mut statement, [day.number()])
}

const UNSETTLED: &str = "SELECT hose FROM hose_row WHERE since > ?1";

pub(super) fn codes(
    statement: &mut Statement<'_>,
    parameters: impl rusqlite::Params,
) -> Result<Vec<Code>, StoreError> {
    let rows = statement.query_map(parameters, |row| row.get(0))?;
    let bits: Vec<u64> = rows.collect::<Result<_, _>>()?;
    Ok(bits.into_iter().filter_map(Code::from_bits).collect())
}

/// How rows are found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Way {
    /// Gone through in the order of a list, until there are enough.
    InOrder(Sort),
    /// Found by an index of what holds of them.
    By(&'static str),
    /// Gone through in an index of all that is filtered by.
    Through,
}

/// A question about rows: what must hold of them, and the values.
struct Query {
    today: i64,
    holds: Vec<Holds>,
    values: Vec<Value>,
    /// The one index that has all that is asked.
    whole: Option<&'static str>,
}

impl Query {
    fn of(filter: &Filter, day: &Day) -> Self {
        let conditions = filter.conditions();
        let whole = match conditions.as_slice() {
            [one] if filter.verdict.is_none() => Some(one.index),
            [one] if one.has_verdict() && day.whole.gap.is_none() => Some(one.index),
            _ => None,
        };
        let mut query = Self { today: day.number(), holds: Vec::new(), values: Vec::new(), whole };
        for condition in conditions {
            query.values.push(condition.value);
            let by = condition.sql.replace('?', &format!("?{}", query.values.len()));
            query.holds.push(Holds { by, index: condition.index, rest: String::new() });
        }
        query.holds.extend(filter.verdict.map(|verdict| day.verdict(verdict)));
        query
    }

    /// The way on which the fewest rows are read.
    fn way(&self, connection: &Connection) -> Result<Way, StoreError> {
        if let Some(index) = self.whole {
            return Ok(Way::By(index));
        }
        let mut best = (FOUND, Way::Through);
        for Holds { by, index, .. } in &self.holds {
            let mut statement = connection.prepare_cached(&some(by, index))?;
            let values = self.values.iter().take(statement.parameter_count());
            let there: u64 = statement.query_row(params_from_iter(values), |row| row.get(0))?;
            if there < best.0 {
                best = (there, Way::By(index));
            }
        }
        Ok(best.1)
    }

    fn from(&self, way: Way) -> String {
        let index = match way {
            Way::InOrder(sort) => sort.index(),
            Way::By(index) => index,
            Way::Through => "row_filter",
        };
        let holds = self.holds.iter().flat_map(|holds| [&holds.by, &holds.rest]);
        let holds = holds.filter(|sql| !sql.is_empty()).map(|sql| format!(" AND {sql}"));
        format!("FROM hose_row r INDEXED BY {index} WHERE 1{}", holds.collect::<String>())
    }

    /// Counts what passes, settled or not.
    fn count(&self, way: Way) -> String {
        format!("SELECT count(*) {}", self.from(way))
    }

    /// What passes, settled or not.
    fn all(&self, way: Way) -> String {
        format!("SELECT r.hose {}", self.from(way))
    }

    /// Counts what passes and is not settled.
    fn ahead(&self) -> String {
        format!("SELECT count(*) {} AND r.since > {}", self.from(Way::By("row_since")), self.today)
    }

    fn page(&self, way: Way, sort: Sort) -> String {
        let (column, at) = (sort.column(), self.values.len());
        format!(
            "SELECT r.hose, r.{column} {} AND r.since <= {} ORDER BY r.{column}, r.hose
             LIMIT ?{} OFFSET ?{}",
            self.from(way),
            self.today,
            at + 1,
            at + 2
        )
    }
}

/// Counts rows for which something holds, as far as they are few.
fn some(holds: &str, index: &str) -> String {
    let rows = format!("SELECT 1 FROM hose_row r INDEXED BY {index} WHERE {holds} LIMIT {FOUND}");
    format!("SELECT count(*) FROM ({rows})")
}

/// So few rows are read one by one. More are gone through in an index that has all that
/// is asked: each takes a tenth of the time there.
const FOUND: u64 = 4_000;

/// How many settled hoses pass.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn count(connection: &Connection, filter: &Filter, day: &Day) -> Result<u64, StoreError> {
    let alone = Filter { verdict: None, ..filter.clone() };
    if alone.is_all() && day.whole.gap.is_none() {
        let counts = standing_counts(connection, day)?;
        let of = |verdict: &Verdict| filter.verdict.is_none_or(|wanted| wanted == *verdict);
        return Ok(counts.iter().filter(|(verdict, _)| of(verdict)).map(|(_, n)| n).sum());
    }
    counted(connection, &Query::of(filter, day))
}

fn counted(connection: &Connection, query: &Query) -> Result<u64, StoreError> {
    let way = query.way(connection)?;
    let count = |sql: &str| -> Result<u64, StoreError> {
        let mut statement = connection.prepare(sql)?;
        Ok(statement.query_row(params_from_iter(&query.values), |row| row.get(0))?)
    };
    Ok(count(&query.count(way))?.saturating_sub(count(&query.ahead())?))
}

/// All hoses that pass, settled or not.
pub(super) fn all_of(
    connection: &Connection,
    filter: &Filter,
    day: &Day,
) -> Result<HashSet<u64>, StoreError> {
    let query = Query::of(filter, day);
    let mut statement = connection.prepare(&query.all(query.way(connection)?))?;
    let hoses = statement.query_map(params_from_iter(&query.values), |row| row.get(0))?;
    Ok(hoses.collect::<Result<_, _>>()?)
}

/// Settled hoses that pass, in the order of a list, with what they sort by: `most` of
/// them from one on; `all` is how many there are.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn page(
    connection: &Connection,
    filter: &Filter,
    day: &Day,
    sort: Sort,
    (from, most, all): (u64, u64, u64),
) -> Result<Vec<(Value, Code)>, StoreError> {
    let query = Query::of(filter, day);
    let way = match all > FOUND || filter.is_all() {
        true => Way::InOrder(sort),
        false => query.way(connection)?,
    };
    let mut statement = connection.prepare(&query.page(way, sort))?;
    let number = |n: u64| Value::Integer(i64::try_from(n).unwrap_or(i64::MAX));
    let mut values = query.values;
    values.extend([number(most), number(from)]);
    let rows = statement.query_map(params_from_iter(values), |row| {
        Ok((row.get::<_, Value>(1)?, row.get::<_, u64>(0)?))
    })?;
    let rows: Vec<(Value, u64)> = rows.collect::<Result<_, _>>()?;
    Ok(rows.into_iter().filter_map(|(key, bits)| Some((key, Code::from_bits(bits)?))).collect())
}

/// How many settled hoses are of each verdict, from the sums.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn standing_counts(
    connection: &Connection,
    day: &Day,
) -> Result<Vec<(Verdict, u64)>, StoreError> {
    let mut sum = connection.prepare_cached(SUM)?;
    let mut counts = Vec::new();
    for verdict in Verdict::ALL {
        counts.push((*verdict, 0_i64));
    }
    let mut add = |verdict: Verdict, hoses: i64| {
        for (_, count) in counts.iter_mut().filter(|(own, _)| *own == verdict) {
            *count += hoses;
        }
    };
    let least = |in_use: Use| Whole { gap: None, ..day.whole }.least(in_use, None);
    for in_use in Use::ALL {
        // Those that are at least so bad, less those that are worse.
        let mut worse = 0;
        for verdict in Verdict::ALL.iter().rev() {
            let of = sums::of(*verdict, *in_use);
            let at_least: i64 =
                sum.query_row(params![sums::VERDICTS, of, day.number()], |row| row.get(0))?;
            add((*verdict).max(least(*in_use)), at_least - worse);
            worse = at_least;
        }
    }
    let mut ahead = connection.prepare_cached(AHEAD)?;
    let rows = ahead.query_map([day.number()], |row| {
        Ok((row.get::<_, usize>(0)?, row.get::<_, bool>(1)?, row.get::<_, i64>(2)?))
    })?;
    for row in rows {
        let (rank, rental, hoses) = row?;
        let in_use = if rental { Use::Rental } else { Use::Personal };
        let verdict = Verdict::ALL.get(rank).copied().unwrap_or(Verdict::Hold);
        add(verdict.max(least(in_use)), -hoses);
    }
    let mut counts: Vec<(Verdict, u64)> =
        counts.into_iter().map(|(verdict, n)| (verdict, u64::try_from(n).unwrap_or(0))).collect();
    if let Some(gap) = day.whole.gap {
        // Of hoses that would be ready, those that were registered before.
        let whole = Whole { gap: None, ..day.whole };
        let without = Day { whole, ..*day };
        let filter = Filter { verdict: Some(Verdict::Ready), ..Filter::default() };
        let mut query = Query::of(&filter, &without);
        for holds in &mut query.holds {
            holds.rest.push_str(&format!(
                " AND (r.registered_ms IS NULL
                    OR (r.registered_ms, r.registered_count) < ({}, {}))",
                gap.0, gap.1
            ));
        }
        let before = counted(connection, &query)?;
        for (verdict, count) in &mut counts {
            match verdict {
                Verdict::Ready => *count = count.saturating_sub(before),
                Verdict::Watch => *count += before,
                _ => {}
            }
        }
    }
    Ok(counts)
}

pub(super) const SUM: &str =
    "SELECT coalesce(sum(hoses), 0) FROM total WHERE what = ?1 AND of = ?2 AND day <= ?3";

/// Those of which something lies ahead, by verdict (0 ready to 3 retire) and use.
const AHEAD: &str =
    "SELECT (watch_from <= ?1) + (hold_from <= ?1) + (retire_from <= ?1), rental, count(*)
    FROM hose_row INDEXED BY row_since WHERE since > ?1 GROUP BY 1, 2";

/// The settled hoses for which a reason holds.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn of_code(connection: &Connection, code: &str, day: &Day) -> Result<Vec<Code>, StoreError> {
    let mut statement = connection.prepare_cached(OF_CODE)?;
    codes(&mut statement, params![code, day.number()])
}

const OF_CODE: &str = "SELECT DISTINCT s.hose FROM span s JOIN hose_row r ON r.hose = s.hose
    WHERE s.code = ?1 AND s.first_day <= ?2 AND s.last_day >= ?2 AND r.since <= ?2";

#[cfg(test)]
#[path = "plan_tests.rs"]
pub(in crate::index) mod tests;
