//! A hose's row: what it is filtered, sorted and counted by.

use chrono::NaiveDate;
use rusqlite::types::Value;
use rusqlite::{Connection, OptionalExtension, params_from_iter};

use super::days::{self, NEVER};
use super::location::Location;
use super::text::sorting;
use crate::answer::spans::Worsening;
use crate::answer::{Asked, Due, due, reasons, spans};
use crate::inspection::Verdict;
use crate::journal::{Stamp, StoreError};
use crate::policy::Use;
use crate::record::{HoseRecord, folded};
use crate::tag::Code;

/// Comes after any text that people write.
const LAST: &str = "\u{10FFFF}";

/// A hose's row.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// The tag that it carries.
    pub tag: Code,
    /// The first day on which no entry about it lies ahead.
    pub since: NaiveDate,
    /// The shop's own number, as texts are compared.
    pub number: Option<String>,
    pub(super) by_number: String,
    /// The branch within which its number is unique, as texts are compared.
    pub(super) number_branch: Option<String>,
    /// The branch where it is: that of its set, else its own.
    pub(super) branch: Option<String>,
    /// Where it is.
    pub location: Location,
    pub(super) regulator_set: Option<Code>,
    pub(super) by_set: String,
    pub(super) service: Option<String>,
    pub(super) construction: Option<String>,
    pub(super) maker: Option<String>,
    pub(super) maker_shown: Option<String>,
    pub(super) lot: Option<String>,
    pub(super) lot_shown: Option<String>,
    pub(super) born: NaiveDate,
    pub(super) in_service: NaiveDate,
    pub(super) ended: NaiveDate,
    pub(super) looked: NaiveDate,
    pub(super) due: NaiveDate,
    pub(super) in_use: Use,
    pub(super) registered_at: Option<Stamp>,
    pub(super) customers: bool,
    pub(super) condemned: bool,
    /// From when its verdict is how bad, but for what is about the whole record.
    pub(super) worsening: Worsening,
}

/// The columns, but for the first, in the order of [`Row::values`].
const COLUMNS: [&str; 28] = [
    "tag",
    "since",
    "number",
    "by_number",
    "location",
    "regulator_set",
    "by_set",
    "service",
    "construction",
    "maker",
    "maker_shown",
    "lot",
    "lot_shown",
    "born",
    "in_service",
    "ended",
    "looked",
    "due",
    "rental",
    "registered_ms",
    "registered_count",
    "customers",
    "condemned",
    "number_branch",
    "branch",
    "watch_from",
    "hold_from",
    "retire_from",
];

impl Row {
    /// The row of a hose that is asked about today, which is kept nowhere, and its verdict.
    #[must_use]
    pub fn today(asked: &Asked<'_>) -> (Self, Verdict) {
        let since = spans::settled_since(asked.record, asked.sets);
        let worst = reasons(asked).first().map_or(Verdict::Ready, |reason| reason.verdict);
        (Self::of(asked, (since, Worsening::NEVER), &due_of(asked)), worst)
    }

    /// The row of a hose that is asked about on whatever day; `due` is all that is
    /// due for it.
    pub(super) fn of(
        asked: &Asked<'_>,
        (since, worsening): (NaiveDate, Worsening),
        due: &[Due],
    ) -> Self {
        let record = asked.record;
        let origin = &record.origin;
        let number = origin.own.number.as_ref().map(folded);
        let tag = record.tag();
        let by_number = number.as_deref().map_or_else(|| format!("{LAST}{tag}"), sorting);
        let set = asked.own_set();
        let by_set = record.seat.map(|slot| {
            let name = set.map_or_else(|| slot.set.into(), |set| set.name.clone());
            format!("{} {}", sorting(&folded(&name)), slot.port)
        });
        let specification = record.specification.as_ref();
        let ended = [record.retired.as_ref().map(|end| end.on), record.condemned];
        Self {
            tag,
            since,
            number,
            by_number,
            location: Location::of(record),
            regulator_set: record.seat.map(|slot| set.map_or(slot.set, |set| set.id).code()),
            number_branch: origin.own.branch.as_ref().map(folded),
            branch: set
                .and_then(|set| set.branch.as_ref())
                .or(origin.own.branch.as_ref())
                .map(folded),
            by_set: by_set.unwrap_or_else(|| LAST.to_owned()),
            service: specification.map(|hose| hose.service().word().to_owned()),
            construction: specification.map(|hose| hose.construction().word().to_owned()),
            maker: origin.maker.as_ref().map(folded),
            maker_shown: origin.maker.as_ref().map(ToString::to_string),
            lot: origin.lot.as_ref().map(folded),
            lot_shown: origin.lot.as_ref().map(ToString::to_string),
            born: origin.born().map_or(NaiveDate::MAX, |born| born.earliest()),
            in_service: record.in_service_since().unwrap_or(NaiveDate::MAX),
            ended: ended.into_iter().flatten().min().unwrap_or(NaiveDate::MAX),
            looked: record.seen.iter().map(|seen| seen.on).max().unwrap_or(NEVER),
            due: due.iter().map(|due| due.on).min().unwrap_or(NaiveDate::MAX),
            in_use: spans::use_of(asked),
            registered_at: record.registered_at,
            customers: record.is_customers(),
            condemned: is_condemned(record),
            worsening,
        }
    }

    /// The day from which its verdict is at least so bad by itself; none if it never is.
    pub(super) fn worse_from(&self, verdict: Verdict) -> Option<i64> {
        let first = match verdict {
            Verdict::Ready => NEVER,
            Verdict::Watch => self.worsening.watch,
            Verdict::Hold => self.worsening.hold,
            Verdict::Retire => self.worsening.retire,
        };
        (first < NaiveDate::MAX).then(|| days::number(first))
    }

    fn values(&self) -> [Value; COLUMNS.len()] {
        let text = |text: &Option<String>| text.clone().map_or(Value::Null, Value::Text);
        let day = |day: NaiveDate| Value::Integer(days::number(day));
        let code = |code: Code| Value::Integer(code.bits().cast_signed());
        let flag = |flag: bool| Value::Integer(flag.into());
        let stamp = self.registered_at;
        [
            code(self.tag),
            day(self.since),
            text(&self.number),
            Value::Text(self.by_number.clone()),
            Value::Text(self.location.word().to_owned()),
            self.regulator_set.map_or(Value::Null, code),
            Value::Text(self.by_set.clone()),
            text(&self.service),
            text(&self.construction),
            text(&self.maker),
            text(&self.maker_shown),
            text(&self.lot),
            text(&self.lot_shown),
            day(self.born),
            day(self.in_service),
            day(self.ended),
            day(self.looked),
            day(self.due),
            flag(self.in_use == Use::Rental),
            stamp.map_or(Value::Null, |stamp| Value::Integer(stamp.0)),
            stamp.map_or(Value::Null, |stamp| Value::Integer(stamp.1.into())),
            flag(self.customers),
            flag(self.condemned),
            text(&self.number_branch),
            text(&self.branch),
            day(self.worsening.watch),
            day(self.worsening.hold),
            day(self.worsening.retire),
        ]
    }

    /// The row that is kept of a hose.
    pub(super) fn load(connection: &Connection, hose: Code) -> Result<Option<Self>, StoreError> {
        let sql = format!("SELECT {} FROM hose_row WHERE hose = ?1", COLUMNS.join(", "));
        let mut statement = connection.prepare_cached(&sql)?;
        Ok(statement.query_row([hose.bits()], read).optional()?.flatten())
    }

    /// Keeps the row in the place of an earlier one: only what is another is written,
    /// so that no index is touched for nothing.
    pub(super) fn keep(
        &self,
        work: &Connection,
        hose: Code,
        before: Option<&Self>,
    ) -> Result<(), StoreError> {
        let own = Value::Integer(hose.bits().cast_signed());
        let values = self.values();
        let Some(before) = before else {
            let marks: Vec<String> = (2..COLUMNS.len() + 2).map(|n| format!("?{n}")).collect();
            let sql = format!(
                "INSERT OR REPLACE INTO hose_row (hose, {}) VALUES (?1, {})",
                COLUMNS.join(", "),
                marks.join(", ")
            );
            let all = std::iter::once(own).chain(values);
            work.prepare_cached(&sql)?.execute(params_from_iter(all))?;
            return Ok(());
        };
        let changed = COLUMNS.iter().zip(values).zip(before.values());
        let changed: Vec<(&str, Value)> = changed
            .filter(|((_, new), old)| new != old)
            .map(|((column, new), _)| (*column, new))
            .collect();
        if changed.is_empty() {
            return Ok(());
        }
        let set: Vec<String> = changed
            .iter()
            .enumerate()
            .map(|(n, (column, _))| format!("{column} = ?{}", n + 2))
            .collect();
        let sql = format!("UPDATE hose_row SET {} WHERE hose = ?1", set.join(", "));
        let all = std::iter::once(own).chain(changed.into_iter().map(|(_, value)| value));
        work.prepare_cached(&sql)?.execute(params_from_iter(all))?;
        Ok(())
    }
}

/// What is due, as it is listed: nothing for what is out of service, at home, or
/// retired by a finding.
#[must_use]
pub fn due_of(asked: &Asked<'_>) -> Vec<Due> {
    let record = asked.record;
    let none = record.retired.is_some() || record.home.is_some() || record.condemned.is_some();
    if none { Vec::new() } else { due(asked) }
}

/// A finding retired it, and nobody has taken it out of service yet.
fn is_condemned(record: &HoseRecord) -> bool {
    record.condemned.is_some() && record.retired.is_none() && record.home.is_none()
}

/// Nothing if a word is none of this program's.
fn read(row: &rusqlite::Row<'_>) -> rusqlite::Result<Option<Row>> {
    let day = |at: usize| row.get(at).map(days::day);
    let code = |at: usize| row.get::<_, Option<u64>>(at).map(|bits| bits.and_then(Code::from_bits));
    let location: String = row.get(4)?;
    let (ms, count): (Option<i64>, Option<u32>) = (row.get(19)?, row.get(20)?);
    let (Some(tag), Ok(location)) = (code(0)?, location.parse()) else { return Ok(None) };
    let rental: bool = row.get(18)?;
    Ok(Some(Row {
        tag,
        since: day(1)?,
        number: row.get(2)?,
        by_number: row.get(3)?,
        location,
        regulator_set: code(5)?,
        by_set: row.get(6)?,
        service: row.get(7)?,
        construction: row.get(8)?,
        maker: row.get(9)?,
        maker_shown: row.get(10)?,
        lot: row.get(11)?,
        lot_shown: row.get(12)?,
        born: day(13)?,
        in_service: day(14)?,
        ended: day(15)?,
        looked: day(16)?,
        due: day(17)?,
        in_use: if rental { Use::Rental } else { Use::Personal },
        registered_at: ms.zip(count).map(|(ms, count)| Stamp(ms, count)),
        customers: row.get(21)?,
        condemned: row.get(22)?,
        number_branch: row.get(23)?,
        branch: row.get(24)?,
        worsening: Worsening { watch: day(25)?, hold: day(26)?, retire: day(27)? },
    }))
}
