//! Values as people type them, for which their own types have no parser.

use std::str::FromStr;

use crate::fit::FitError;
use crate::fit::seal::DashSize;
use crate::hose::Label;
use crate::measure::PartialDate;
use chrono::NaiveDate;

/// A whole day.
///
/// # Errors
/// Why it is none, in words.
pub fn day(typed: &str) -> Result<NaiveDate, String> {
    match PartialDate::parse_typed(typed) {
        Ok(PartialDate::Day(day)) => Ok(day),
        Ok(_) => Err(format!("“{}” is not a whole day; write it as 2022-03-14", typed.trim())),
        Err(error) => Err(error.to_string()),
    }
}

/// An O-ring's size: one that the core's table has, written its way.
pub fn seal(typed: &str) -> Result<Label, String> {
    let size: DashSize = typed.parse().map_err(|e: FitError| e.to_string())?;
    Label::new("the size of an O-ring", &size.to_string()).map_err(|e| e.to_string())
}

/// A number of months, as `18`, `18m`, `18 months` or `5y`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Months(pub u32);

impl FromStr for Months {
    type Err = String;

    fn from_str(typed: &str) -> Result<Self, String> {
        let text = typed.trim();
        let digits = text.find(|c: char| !c.is_ascii_digit()).unwrap_or(text.len());
        let (number, unit) = text.split_at(digits);
        let wrong = || format!("“{text}” is not a time; write months or years, as 18m or 5y");
        let each = match unit.trim().to_lowercase().as_str() {
            "" | "m" | "month" | "months" => 1,
            "y" | "year" | "years" => 12,
            _ => return Err(wrong()),
        };
        let number: u32 = number.parse().map_err(|_| wrong())?;
        number.checked_mul(each).map(Self).ok_or_else(wrong)
    }
}

/// A limit of dives, or `none`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct DiveLimit(pub Option<u32>);

impl FromStr for DiveLimit {
    type Err = String;

    fn from_str(typed: &str) -> Result<Self, String> {
        match typed.trim() {
            "none" => Ok(Self(None)),
            text => match text.parse() {
                Ok(dives) if dives > 0 => Ok(Self(Some(dives))),
                _ => Err(format!("“{text}” is not a number of dives; write 1 or more, or none")),
            },
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn months_are_read_as_people_write_them() {
        let table = [("18", 18), ("18m", 18), ("6 months", 6), ("5y", 60), (" 1 Year", 12)];
        for (typed, months) in table {
            assert_eq!(typed.parse(), Ok(Months(months)), "{typed}");
        }
        for typed in ["", "y", "5w", "-1", "1.5y", "999999999y"] {
            assert!(typed.parse::<Months>().is_err(), "{typed}");
        }
    }

    #[test]
    fn a_day_is_whole_and_in_the_calendar() {
        for typed in ["2024-02-29", "29.02.2024"] {
            assert_eq!(day(typed).ok(), NaiveDate::from_ymd_opt(2024, 2, 29), "{typed}");
        }
        for typed in ["2024-02", "2024", "2023-02-29", "31.02.2024", "today"] {
            assert!(day(typed).is_err(), "{typed}");
        }
    }

    #[test]
    fn no_dives_is_said_and_not_typed_as_nought() {
        assert_eq!("none".parse(), Ok(DiveLimit(None)));
        assert_eq!("300".parse(), Ok(DiveLimit(Some(300))));
        assert!("0".parse::<DiveLimit>().is_err());
        assert!("-3".parse::<DiveLimit>().is_err());
    }
}
