//! How far ahead an owner looks: `90d`, `6m`, `1y`.

use std::fmt;
use std::str::FromStr;

use chrono::{Days, NaiveDate};
use thiserror::Error;

use crate::measure::add_months;
use crate::words::counted;

/// Why a text is not a time to look ahead.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum HorizonError {
    /// No number and unit.
    #[error(
        "“{0}” is not a time to look ahead; write days, weeks, months or years, as 90d, 2w, 6m or 1y"
    )]
    BadForm(String),
    /// Further ahead than any limit reaches.
    #[error("“{0}” is too far ahead; the most is 50 years")]
    TooFar(String),
}

/// The calendar's units.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Unit {
    Day,
    Week,
    Month,
    Year,
}

/// A time to look ahead, from nothing (only what is overdue, and today) to 50
/// years: the longest limit that can be set.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Horizon {
    count: u32,
    unit: Unit,
}

impl Default for Horizon {
    /// 90 days, from which on a limit counts as near.
    fn default() -> Self {
        Self { count: 90, unit: Unit::Day }
    }
}

impl Horizon {
    /// One week.
    pub const WEEK: Self = Self { count: 1, unit: Unit::Week };
    /// One year.
    pub const YEAR: Self = Self { count: 1, unit: Unit::Year };

    /// The last day that lies within it. Months and years follow the calendar.
    #[must_use]
    pub fn until(self, today: NaiveDate) -> NaiveDate {
        let days = |n: u32| today.checked_add_days(Days::new(n.into())).unwrap_or(NaiveDate::MAX);
        match self.unit {
            Unit::Day => days(self.count),
            Unit::Week => days(self.count * 7),
            Unit::Month => add_months(today, self.count),
            Unit::Year => add_months(today, self.count * 12),
        }
    }
}

impl fmt::Display for Horizon {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let unit = match self.unit {
            Unit::Day => "day",
            Unit::Week => "week",
            Unit::Month => "month",
            Unit::Year => "year",
        };
        f.pad(&counted(self.count.into(), unit))
    }
}

impl FromStr for Horizon {
    type Err = HorizonError;

    /// Reads `90d`, `90 days`, `2w`, `6m`, `1 year`.
    fn from_str(typed: &str) -> Result<Self, HorizonError> {
        let text = typed.trim();
        let wrong = || HorizonError::BadForm(text.to_owned());
        let digits = text.find(|c: char| !c.is_ascii_digit()).unwrap_or(text.len());
        let (number, unit) = text.split_at(digits);
        let (unit, most) = match unit.trim().to_lowercase().as_str() {
            "d" | "day" | "days" => (Unit::Day, 18_263),
            "w" | "week" | "weeks" => (Unit::Week, 2_609),
            "m" | "month" | "months" => (Unit::Month, 600),
            "y" | "year" | "years" => (Unit::Year, 50),
            _ => return Err(wrong()),
        };
        if number.is_empty() {
            return Err(wrong());
        }
        let count = number.parse().ok().filter(|n| *n <= most);
        let count = count.ok_or_else(|| HorizonError::TooFar(text.to_owned()))?;
        Ok(Self { count, unit })
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::story::day;

    #[test]
    fn horizons_as_people_write_them() {
        let table = [
            ("90d", "90 days", "2024-05-29"),
            ("0d", "0 days", "2024-02-29"),
            (" 2 Weeks", "2 weeks", "2024-03-14"),
            ("6m", "6 months", "2024-08-29"),
            ("1y", "1 year", "2025-02-28"),
            ("50 years", "50 years", "2074-02-28"),
        ];
        for (typed, shown, until) in table {
            let horizon: Result<Horizon, _> = typed.parse();
            assert_eq!(horizon.clone().map(|h| h.to_string()), Ok(shown.to_owned()), "{typed}");
            assert_eq!(horizon.map(|h| h.until(day("2024-02-29"))), Ok(day(until)), "{typed}");
        }
        assert_eq!("90d".parse(), Ok(Horizon::default()));
    }

    #[test]
    fn what_is_no_horizon_is_refused() {
        for typed in ["", "d", "90", "-3d", "1.5y", "3 fortnights", "90 d d", "soon"] {
            assert!(matches!(typed.parse::<Horizon>(), Err(HorizonError::BadForm(_))), "{typed}");
        }
        for typed in ["51y", "601m", "99999999999999d"] {
            assert!(matches!(typed.parse::<Horizon>(), Err(HorizonError::TooFar(_))), "{typed}");
        }
    }

    proptest! {
        #[test]
        fn any_text_is_read_or_refused(typed in "\\PC{0,12}") {
            if let Ok(horizon) = typed.parse::<Horizon>() {
                prop_assert!(horizon.until(day("2024-02-29")) >= day("2024-02-29"));
                prop_assert_eq!(horizon.to_string().parse(), Ok(horizon));
            }
        }
    }
}
