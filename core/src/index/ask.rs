//! The questions about many hoses. Each is a search of an index; what lies ahead on
//! the day of the question is left to who asks.

use chrono::NaiveDate;
use rusqlite::types::Value;
use rusqlite::{Connection, OptionalExtension, Statement, params, params_from_iter};

use super::days;
use super::filter::{Filter, Sort};
use super::kept::rank;
use super::row::Row;
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
        if any.is_empty() { "0".to_owned() } else { format!("({})", any.join(" OR ")) }
    }

    /// The verdicts that what a hose has by itself may be where its verdict is this
    /// one, and what else has to hold of its row.
    fn of(&self, verdict: Verdict) -> (&'static [Verdict], String) {
        let no_better = self.no_better();
        match verdict {
            Verdict::Ready => (&[Verdict::Ready], format!("NOT {no_better}")),
            Verdict::Watch => {
                (&[Verdict::Ready, Verdict::Watch], format!("(+s.verdict = 1 OR {no_better})"))
            }
            Verdict::Hold => (&[Verdict::Hold], "1".to_owned()),
            Verdict::Retire => (&[Verdict::Retire], "1".to_owned()),
        }
    }
}

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

/// A question about rows: from where they are taken, what must hold, and the values.
struct Query {
    from: String,
    holds: Vec<String>,
    values: Vec<Value>,
}

impl Query {
    /// The rows that pass, found by the first condition's index, or gone through in
    /// the order of a list.
    fn of(filter: &Filter, day: &Day, in_order: Option<Sort>) -> Self {
        let conditions = filter.conditions();
        let mut holds = vec![format!("r.since <= {}", day.number())];
        let mut values = Vec::new();
        let standing = "s.hose = r.hose AND s.first_day <= ?d AND s.last_day >= ?d"
            .replace("?d", &day.number().to_string());
        let wanted = filter.verdict.map(|verdict| day.of(verdict));
        let by_row = in_order.map(Sort::index).or(conditions.first().map(|first| first.index));
        let from = match (by_row, &wanted) {
            (Some(index), None) => format!("hose_row r INDEXED BY {index}"),
            (Some(index), Some(_)) => {
                format!("hose_row r INDEXED BY {index} CROSS JOIN standing s ON {standing}")
            }
            (None, Some(_)) => {
                "standing s INDEXED BY standing_by_verdict CROSS JOIN hose_row r ON r.hose = s.hose"
                    .to_owned()
            }
            (None, None) => "hose_row r INDEXED BY row_since".to_owned(),
        };
        if let Some((verdicts, rows)) = wanted {
            let ranks: Vec<String> = verdicts.iter().map(|v| rank(*v).to_string()).collect();
            // Of a row that is known its own are asked, by their key: with its plus a verdict
            // finds no row.
            let plus = if by_row.is_some() { "+" } else { "" };
            holds.push(format!("{plus}s.verdict IN ({})", ranks.join(", ")));
            holds.push(format!("s.first_day <= {0} AND s.last_day >= {0}", day.number()));
            holds.push(rows);
        }
        for condition in conditions {
            values.push(condition.value);
            holds.push(condition.sql.replace('?', &format!("?{}", values.len())));
        }
        Self { from, holds, values }
    }

    fn count(&self) -> String {
        format!("SELECT count(*) FROM {} WHERE {}", self.from, self.holds.join(" AND "))
    }

    fn page(&self, sort: Sort) -> String {
        let (column, at) = (sort.column(), self.values.len());
        format!(
            "SELECT r.hose, r.{column} FROM {} WHERE {} ORDER BY r.{column}, r.hose
             LIMIT ?{} OFFSET ?{}",
            self.from,
            self.holds.join(" AND "),
            at + 1,
            at + 2
        )
    }
}

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
    let query = Query::of(filter, day, None);
    let mut statement = connection.prepare(&query.count())?;
    Ok(statement.query_row(params_from_iter(&query.values), |row| row.get(0))?)
}

/// So few rows are put in order after they are found; more are gone through in order
/// until there are enough.
const FEW: u64 = 4_000;

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
    let in_order = (all > FEW || filter.is_all()).then_some(sort);
    let query = Query::of(filter, day, in_order);
    let mut statement = connection.prepare(&query.page(sort))?;
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
        counts.push((*verdict, 0_u64));
    }
    let mut add = |verdict: Verdict, hoses: u64| {
        for (_, count) in counts.iter_mut().filter(|(own, _)| *own == verdict) {
            *count += hoses;
        }
    };
    for verdict in Verdict::ALL {
        for in_use in Use::ALL {
            let of = sums::of(*verdict, *in_use);
            let hoses: i64 =
                sum.query_row(params![sums::VERDICTS, of, day.number()], |row| row.get(0))?;
            let least = Whole { gap: None, ..day.whole }.least(*in_use, None);
            add((*verdict).max(least), u64::try_from(hoses).unwrap_or(0));
        }
    }
    if let Some(gap) = day.whole.gap {
        // Of hoses that would be ready, those that were registered before.
        let whole = Whole { gap: None, ..day.whole };
        let without = Day { whole, ..*day };
        let filter = Filter { verdict: Some(Verdict::Ready), ..Filter::default() };
        let mut query = Query::of(&filter, &without, None);
        query.holds.push(format!(
            "(r.registered_ms IS NULL OR (r.registered_ms, r.registered_count) < ({}, {}))",
            gap.0, gap.1
        ));
        let before: u64 = connection.prepare(&query.count())?.query_row([], |row| row.get(0))?;
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

/// The verdict that a settled hose has by itself, with its row.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn of_verdict(
    connection: &Connection,
    hose: Code,
    day: &Day,
) -> Result<Option<Verdict>, StoreError> {
    let sql = "SELECT verdict FROM standing
               WHERE hose = ?1 AND first_day <= ?2 AND last_day >= ?2";
    let mut statement = connection.prepare_cached(sql)?;
    let rank: Option<usize> =
        statement.query_row(params![hose.bits(), day.number()], |row| row.get(0)).optional()?;
    let Some(own) = rank.and_then(|rank| Verdict::ALL.get(rank)) else { return Ok(None) };
    let row = Row::load(connection, hose)?;
    let least = row.map(|row| day.whole.least(row.in_use, row.registered_at));
    Ok(Some((*own).max(least.unwrap_or(Verdict::Watch))))
}

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
