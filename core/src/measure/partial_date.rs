//! Dates known to the year, the quarter, the month, the week or the day.

use std::fmt;

use chrono::{Datelike, Days, NaiveDate, Weekday};
use serde::{Deserialize, Serialize};

use super::{MeasureError, Period};

/// A date as far as it is known. It stands for an interval of days, and an age
/// taken from it is an interval too.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub enum PartialDate {
    /// Some day of this year.
    Year(i32),
    /// Some day of this quarter, as hoses are marked (ISO 2230: 3/94 is July to
    /// September 1994).
    Quarter {
        /// The year.
        year: i32,
        /// The quarter, 1 to 4.
        quarter: u32,
    },
    /// Some day of this month.
    Month {
        /// The year.
        year: i32,
        /// The month, 1 to 12.
        month: u32,
    },
    /// Some day of this week (ISO 8601: Monday to Sunday).
    Week {
        /// The week's year.
        year: i32,
        /// The week, 1 to 53.
        week: u32,
    },
    /// This day.
    Day(NaiveDate),
}

/// The youngest and the oldest that something of partly known date can be.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct AgeRange {
    /// From the earliest day it can be; limits are judged on this end.
    pub oldest: Period,
    /// From the latest day it can be.
    pub youngest: Period,
}

impl PartialDate {
    /// Reads a date as records hold it: `2022-03-14`, `2022-03`, `2022`, `2022-Q1` or
    /// `2022-W11`. [`PartialDate::parse_typed`] reads what people type.
    ///
    /// # Errors
    /// [`MeasureError::NotADate`] or [`MeasureError::NoSuchDay`].
    pub fn parse(typed: &str) -> Result<Self, MeasureError> {
        let text = typed.trim();
        let parts: Vec<&str> = text.split('-').collect();
        if let [year, part] = parts.as_slice()
            && year.len() == 4
            && let Some(date) = Self::part_of_year(year, part)
        {
            return date.ok_or_else(|| MeasureError::NoSuchDay { typed: text.to_owned() });
        }
        let widths: Vec<usize> = parts.iter().map(|p| p.len()).collect();
        if !matches!(widths.as_slice(), [4] | [4, 2] | [4, 2, 2]) {
            return Err(MeasureError::NotADate { typed: text.to_owned() });
        }
        let numbers: Option<Vec<u32>> = parts
            .iter()
            .map(|p| p.bytes().all(|b| b.is_ascii_digit()).then(|| p.parse().ok()).flatten())
            .collect();
        match numbers.as_deref() {
            Some([year]) => Self::from_parts(*year, None, None, text),
            Some([year, month]) => Self::from_parts(*year, Some(*month), None, text),
            Some([year, month, day]) => Self::from_parts(*year, Some(*month), Some(*day), text),
            _ => Err(MeasureError::NotADate { typed: text.to_owned() }),
        }
    }

    /// Reads a date as spreadsheets hold it: besides the forms of
    /// [`PartialDate::parse`] also `03/2022`, `14.03.2022`, `14/03/2022`,
    /// `2022/03/14` and a spreadsheet's `2022-03-14 00:00:00`.
    ///
    /// # Errors
    /// As [`PartialDate::parse`]; and [`MeasureError::AmbiguousDate`] if day
    /// and month could be either way round (`03/04/2022`).
    pub fn parse_loosely(typed: &str) -> Result<Self, MeasureError> {
        let text = typed.trim();
        let text = text.strip_suffix("00:00:00").map_or(text, |t| t.trim_end_matches([' ', 'T']));
        let not_a_date = || MeasureError::NotADate { typed: text.to_owned() };
        let parts: Vec<&str> = text.split(['-', '/', '.']).map(str::trim).collect();
        let numbers: Option<Vec<u32>> = parts
            .iter()
            .map(|p| p.bytes().all(|b| b.is_ascii_digit()).then(|| p.parse().ok()).flatten())
            .collect();
        let numbers = numbers.ok_or_else(not_a_date)?;
        let year_at = parts.iter().position(|p| p.len() == 4).ok_or_else(not_a_date)?;
        let clear = text.contains('.');
        match (numbers.as_slice(), year_at) {
            ([year], 0) => Self::from_parts(*year, None, None, text),
            ([year, month], 0) | ([month, year], 1) => {
                Self::from_parts(*year, Some(*month), None, text)
            }
            ([year, month, day], 0) => Self::from_parts(*year, Some(*month), Some(*day), text),
            ([day, month, year], 2) if clear || *day > 12 || day == month => {
                Self::from_parts(*year, Some(*month), Some(*day), text)
            }
            ([month, day, year], 2) if *day > 12 => {
                Self::from_parts(*year, Some(*month), Some(*day), text)
            }
            ([one, other, year], 2) => Err(MeasureError::AmbiguousDate {
                typed: text.to_owned(),
                one: format!("{year:04}-{other:02}-{one:02}"),
                other: format!("{year:04}-{one:02}-{other:02}"),
            }),
            _ => Err(not_a_date()),
        }
    }

    /// `Q1` or `W11` of a year; the inner `None` if the year does not have it.
    fn part_of_year(year: &str, part: &str) -> Option<Option<Self>> {
        let number = |text: &str| {
            text.bytes().all(|byte| byte.is_ascii_digit()).then(|| text.parse().ok()).flatten()
        };
        let year = number(year)?;
        if let Some(quarter) = part.strip_prefix('Q').filter(|digits| digits.len() == 1) {
            return Some(Self::quarter(year, number(quarter)?));
        }
        let week = part.strip_prefix('W').filter(|digits| digits.len() == 2)?;
        Some(Self::week(year, number(week)?))
    }

    /// A quarter, 1 to 4, of a year from 1900 to 2999.
    pub(super) fn quarter(year: u32, quarter: u32) -> Option<Self> {
        let year = a_year(year)?;
        (1..=4).contains(&quarter).then_some(Self::Quarter { year, quarter })
    }

    /// A week of ISO 8601 of a year from 1900 to 2999.
    pub(super) fn week(year: u32, week: u32) -> Option<Self> {
        let year = a_year(year)?;
        NaiveDate::from_isoywd_opt(year, week, Weekday::Mon).map(|_| Self::Week { year, week })
    }

    pub(super) fn from_parts(
        year: u32,
        month: Option<u32>,
        day: Option<u32>,
        typed: &str,
    ) -> Result<Self, MeasureError> {
        let none = || MeasureError::NoSuchDay { typed: typed.to_owned() };
        let year = a_year(year);
        let year = year.ok_or_else(|| MeasureError::NotADate { typed: typed.to_owned() })?;
        let Some(month) = month else { return Ok(Self::Year(year)) };
        NaiveDate::from_ymd_opt(year, month, 1).ok_or_else(none)?;
        let Some(day) = day else { return Ok(Self::Month { year, month }) };
        NaiveDate::from_ymd_opt(year, month, day).map(Self::Day).ok_or_else(none)
    }

    /// The first day it can be.
    #[must_use]
    pub fn earliest(self) -> NaiveDate {
        match self {
            Self::Year(year) => NaiveDate::from_ymd_opt(year, 1, 1).unwrap_or(NaiveDate::MIN),
            Self::Month { year, month } => {
                NaiveDate::from_ymd_opt(year, month, 1).unwrap_or(NaiveDate::MIN)
            }
            Self::Quarter { year, quarter } => {
                NaiveDate::from_ymd_opt(year, 3 * quarter - 2, 1).unwrap_or(NaiveDate::MIN)
            }
            Self::Week { year, week } => {
                NaiveDate::from_isoywd_opt(year, week, Weekday::Mon).unwrap_or(NaiveDate::MIN)
            }
            Self::Day(day) => day,
        }
    }

    /// The last day it can be.
    #[must_use]
    pub fn latest(self) -> NaiveDate {
        let after = match self {
            Self::Year(year) => NaiveDate::from_ymd_opt(year + 1, 1, 1),
            Self::Month { year, month: 12 } => NaiveDate::from_ymd_opt(year + 1, 1, 1),
            Self::Month { year, month } => NaiveDate::from_ymd_opt(year, month + 1, 1),
            Self::Quarter { year, quarter: 4 } => NaiveDate::from_ymd_opt(year + 1, 1, 1),
            Self::Quarter { year, quarter } => NaiveDate::from_ymd_opt(year, 3 * quarter + 1, 1),
            Self::Week { .. } => self.earliest().checked_add_days(Days::new(7)),
            Self::Day(day) => return day,
        };
        after.and_then(|d| d.pred_opt()).unwrap_or(NaiveDate::MAX)
    }

    /// How old something of this date is on `today`.
    #[must_use]
    pub fn age(self, today: NaiveDate) -> AgeRange {
        AgeRange {
            oldest: Period::between(self.earliest(), today),
            youngest: Period::between(self.latest(), today),
        }
    }
}

fn a_year(year: u32) -> Option<i32> {
    i32::try_from(year).ok().filter(|year| (1900..=2999).contains(year))
}

impl fmt::Display for PartialDate {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Year(year) => write!(f, "{year:04}"),
            Self::Quarter { year, quarter } => write!(f, "{year:04}-Q{quarter}"),
            Self::Week { year, week } => write!(f, "{year:04}-W{week:02}"),
            Self::Month { year, month } => write!(f, "{year:04}-{month:02}"),
            Self::Day(day) => {
                write!(f, "{:04}-{:02}-{:02}", day.year(), day.month(), day.day())
            }
        }
    }
}

impl From<PartialDate> for String {
    fn from(date: PartialDate) -> Self {
        date.to_string()
    }
}

impl TryFrom<String> for PartialDate {
    type Error = MeasureError;

    fn try_from(typed: String) -> Result<Self, MeasureError> {
        Self::parse(&typed)
    }
}

impl std::str::FromStr for PartialDate {
    type Err = MeasureError;

    /// As [`PartialDate::parse_typed`].
    fn from_str(typed: &str) -> Result<Self, MeasureError> {
        Self::parse_typed(typed)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn three_precisions_and_their_borders() {
        let table = [
            ("2022", "2022-01-01", "2022-12-31"),
            ("2022-03", "2022-03-01", "2022-03-31"),
            ("2024-02", "2024-02-01", "2024-02-29"),
            ("2023-12", "2023-12-01", "2023-12-31"),
            ("2022-03-14", "2022-03-14", "2022-03-14"),
            // ISO 2230: 3/94 is July to September 1994.
            ("1994-Q3", "1994-07-01", "1994-09-30"),
            ("2021-Q4", "2021-10-01", "2021-12-31"),
            // ISO 8601-1, 5.2.3: week 53 of 2020 ends in January.
            ("2020-W53", "2020-12-28", "2021-01-03"),
            ("2021-W12", "2021-03-22", "2021-03-28"),
        ];
        for (typed, first, last) in table {
            let date = PartialDate::parse(typed);
            assert_eq!(date.as_ref().map(|d| d.earliest().to_string()), Ok(first.to_owned()));
            assert_eq!(date.as_ref().map(|d| d.latest().to_string()), Ok(last.to_owned()));
            assert_eq!(date.map(|d| d.to_string()), Ok(typed.to_owned()));
        }
    }

    #[test]
    fn impossible_dates_are_refused() {
        for typed in [
            "2023-02-29",
            "2022-13",
            "2022-00",
            "22-03",
            "2022-3",
            "",
            "x",
            "0022",
            "3000",
            "2022-Q5",
            "2022-Q0",
            "2021-W53",
            "2021-W00",
            "2021-W1",
            "22-Q1",
        ] {
            assert!(PartialDate::parse(typed).is_err(), "{typed}");
        }
    }

    #[test]
    fn spreadsheets_hold_dates_in_many_forms() {
        let table = [
            ("03/2022", Ok("2022-03")),
            ("2022-03", Ok("2022-03")),
            ("3.2022", Ok("2022-03")),
            ("14.3.2022", Ok("2022-03-14")),
            ("04.03.2022", Ok("2022-03-04")),
            ("14/03/2022", Ok("2022-03-14")),
            ("03/14/2022", Ok("2022-03-14")),
            ("2022/03/14", Ok("2022-03-14")),
            ("2022-03-14 00:00:00", Ok("2022-03-14")),
            ("2022", Ok("2022")),
            ("03/04/2022", Err(())),
            ("30/02/2022", Err(())),
            ("spring", Err(())),
            ("3/22", Err(())),
        ];
        for (typed, expected) in table {
            let date = PartialDate::parse_loosely(typed).map(|d| d.to_string()).map_err(|_| ());
            assert_eq!(date, expected.map(str::to_owned), "{typed}");
        }
    }

    #[test]
    fn an_age_is_an_interval() {
        let age = PartialDate::Year(2022).age(PartialDate::Year(2026).earliest());
        assert_eq!(
            (age.oldest.to_string(), age.youngest.to_string()),
            ("P4Y".into(), "P3Y1D".into())
        );
    }
}
