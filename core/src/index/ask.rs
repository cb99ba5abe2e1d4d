//! The questions about many hoses. Each is a search of an index; what lies ahead on
//! the day of the question is left to who asks.

use chrono::NaiveDate;
use rusqlite::types::Value;
use rusqlite::{Connection, OptionalExtension, Statement, params, params_from_iter};

use super::days;
use super::filter::{Filter, Sort};
use super::row::Row;
use super::sums;
use super::write::rank;
use crate::answer::DueKind;
use crate::answer::spans::Whole;
use crate::hose::Service;
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
    fn number(&self) -> i64 {
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
                (&[Verdict::Ready, Verdict::Watch], format!("(s.verdict = 1 OR {no_better})"))
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

fn codes(
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
            holds.push(format!("s.verdict IN ({})", ranks.join(", ")));
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

const SUM: &str =
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
fn of_which(filter: &Filter, settled: bool) -> String {
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
fn due_between(what: &str, holds: &str) -> String {
    format!(
        "SELECT {what} FROM due d INDEXED BY due_by_day
         WHERE d.on_day >= ?1 AND d.on_day <= ?2{holds}"
    )
}

/// What is due on one of two days, by kind and hose, as SQL.
fn due_today(holds: &str) -> String {
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

const CONDEMNED: &str = "SELECT r.tag FROM hose_row r INDEXED BY row_condemned
    WHERE r.condemned = 1 AND r.since <= ?";

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

const AGES: &str = "SELECT of, day, hoses FROM total WHERE what = ?1 AND hoses > 0";

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

const LIVES: &str = "SELECT in_service, ended, construction, maker_shown, lot_shown, count(*)
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

#[cfg(test)]
#[path = "plan_tests.rs"]
pub(in crate::index) mod tests;
