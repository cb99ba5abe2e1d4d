//! Months and years by the calendar, and periods between two days.

use std::fmt;

use chrono::{Datelike, Months, NaiveDate};
use serde::{Serialize, Serializer};

/// `date` plus whole months; a day that the month lacks becomes its last day
/// (31 January plus one month is the end of February).
#[must_use]
pub fn add_months(date: NaiveDate, months: u32) -> NaiveDate {
    date.checked_add_months(Months::new(months)).unwrap_or(NaiveDate::MAX)
}

/// `date` plus whole years; 29 February plus one year is 28 February.
#[must_use]
pub fn add_years(date: NaiveDate, years: u32) -> NaiveDate {
    add_months(date, years.saturating_mul(12))
}

/// A span of calendar years, months and days, written as in ISO 8601: `P4Y2M3D`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Period {
    /// Whole years.
    pub years: u32,
    /// Whole months beyond the years, 0 to 11.
    pub months: u32,
    /// Days beyond the months, 0 to 30.
    pub days: u32,
}

impl Period {
    /// The period from `origin` to `day`; nothing if `day` is earlier.
    ///
    /// Months are always counted from the origin, never step by step, so that
    /// 29 February 2024 to 28 February 2025 is one year, and `origin` plus the
    /// period's months is never after `day`.
    #[must_use]
    pub fn between(origin: NaiveDate, day: NaiveDate) -> Self {
        if day <= origin {
            return Self { years: 0, months: 0, days: 0 };
        }
        let guess = (day.year() - origin.year()) * 12 + i32::try_from(day.month()).unwrap_or(0)
            - i32::try_from(origin.month()).unwrap_or(0);
        let guess = u32::try_from(guess).unwrap_or(0);
        let months = if add_months(origin, guess) > day { guess.saturating_sub(1) } else { guess };
        let days = (day - add_months(origin, months)).num_days();
        Self { years: months / 12, months: months % 12, days: u32::try_from(days).unwrap_or(0) }
    }

    /// The period in words: `4 years 2 months`, `8 months`, `3 days`. Days are
    /// left out once there are months: nobody asks for them.
    #[must_use]
    pub fn in_words(self) -> String {
        let counted = |n: u32, unit: &str| format!("{n} {unit}{}", if n == 1 { "" } else { "s" });
        match (self.years, self.months) {
            (0, 0) => counted(self.days, "day"),
            (0, months) => counted(months, "month"),
            (years, 0) => counted(years, "year"),
            (years, months) => format!("{} {}", counted(years, "year"), counted(months, "month")),
        }
    }

    /// Its whole months.
    #[must_use]
    pub const fn whole_months(self) -> u32 {
        self.years.saturating_mul(12).saturating_add(self.months)
    }
}

impl fmt::Display for Period {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if (self.years, self.months, self.days) == (0, 0, 0) {
            return f.write_str("P0D");
        }
        f.write_str("P")?;
        for (n, letter) in [(self.years, 'Y'), (self.months, 'M'), (self.days, 'D')] {
            if n > 0 {
                write!(f, "{n}{letter}")?;
            }
        }
        Ok(())
    }
}

impl Serialize for Period {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(text: &str) -> NaiveDate {
        text.parse().unwrap_or(NaiveDate::MIN)
    }

    /// Added and compared by python-dateutil 4.0.0 (`relativedelta`).
    #[test]
    fn the_calendar_as_dateutil_adds() {
        let table = [
            ("2024-02-29", 12, "2025-02-28"),
            ("2024-02-29", 48, "2028-02-29"),
            ("2024-02-29", 60, "2029-02-28"),
            ("2096-02-29", 48, "2100-02-28"),
            ("2020-02-29", 120, "2030-02-28"),
            ("2023-02-28", 12, "2024-02-28"),
            ("2024-01-31", 1, "2024-02-29"),
            ("2023-01-31", 1, "2023-02-28"),
            ("2024-08-31", 6, "2025-02-28"),
            ("2024-05-31", 6, "2024-11-30"),
            ("2024-01-31", 2, "2024-03-31"),
            ("2020-03-01", 60, "2025-03-01"),
        ];
        for (from, months, to) in table {
            assert_eq!(add_months(day(from), months), day(to), "{from} + {months} months");
        }
    }

    #[test]
    fn periods_count_from_the_origin() {
        let table = [
            ("2024-02-29", "2025-02-28", "P1Y"),
            ("2024-02-29", "2025-02-27", "P11M29D"),
            ("2024-02-29", "2024-02-29", "P0D"),
            ("2024-02-29", "2023-02-28", "P0D"),
            ("2020-01-31", "2020-03-01", "P1M1D"),
            ("2021-09-22", "2025-11-25", "P4Y2M3D"),
        ];
        for (from, to, iso) in table {
            assert_eq!(Period::between(day(from), day(to)).to_string(), iso, "{from} to {to}");
        }
    }

    #[test]
    fn days_are_said_of_less_than_a_month_alone() {
        let table = [
            ("2026-06-15", "0 days"),
            ("2026-06-14", "1 day"),
            ("2026-05-16", "30 days"),
            ("2026-05-15", "1 month"),
            ("2025-10-01", "8 months"),
            ("2025-06-15", "1 year"),
            ("2025-05-01", "1 year 1 month"),
            ("2022-04-12", "4 years 2 months"),
        ];
        for (from, words) in table {
            assert_eq!(Period::between(day(from), day("2026-06-15")).in_words(), words, "{from}");
        }
    }
}
