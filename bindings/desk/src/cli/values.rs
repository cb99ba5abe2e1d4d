//! Values as they are typed, turned into what the core takes.

use std::str::FromStr;

use chrono::NaiveDate;
use clap::Args;
use hosewright_core::fit::FitError;
use hosewright_core::fit::seal::DashSize;
use hosewright_core::hose::{HoseError, Label, Particulars};
use hosewright_core::measure::PartialDate;

/// The day on which something happened.
#[derive(Args)]
pub struct On {
    /// The day on which it happened, where that was not today
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = day)]
    pub on: Option<NaiveDate>,
}

/// A whole day.
pub fn day(typed: &str) -> Result<NaiveDate, String> {
    match PartialDate::parse(typed) {
        Ok(PartialDate::Day(day)) => Ok(day),
        Ok(_) => Err(format!("“{}” is not a whole day; write it as 2022-03-14", typed.trim())),
        Err(error) => Err(error.to_string()),
    }
}

macro_rules! labels {
    ($($(#[$meta:meta])* $name:ident = $what:literal),+ $(,)?) => {
        $($(#[$meta])* pub fn $name(typed: &str) -> Result<Label, HoseError> {
            Label::new($what, typed)
        })+
    };
}

labels! {
    /// A person's name.
    name = "a name",
    /// A maker's name.
    maker = "a maker's name",
    /// A lot.
    lot = "a lot",
    /// A model.
    model = "a model",
    /// The name of a set.
    set_name = "the name of a set",
    /// A note.
    note = "a note",
    /// A reason.
    why = "a reason",
    /// A hirer's ticket.
    ticket = "a ticket",
    /// What a maker's barcode says.
    barcode = "the text of a barcode",
}

/// An O-ring's size: one that the core's table has, written its way.
pub fn seal(typed: &str) -> Result<Label, String> {
    let size: DashSize = typed.parse().map_err(|e: FitError| e.to_string())?;
    Label::new("the size of an O-ring", &size.to_string()).map_err(|e| e.to_string())
}

/// Something that may be put right to be unknown.
#[derive(Debug, Clone)]
pub enum Given<T> {
    /// It is known.
    Known(T),
    /// It is not known after all.
    Unknown,
}

impl<T> Given<T> {
    /// Puts it in the place of what was there.
    pub fn put(given: Option<Self>, place: &mut Option<T>) {
        match given {
            Some(Self::Known(value)) => *place = Some(value),
            Some(Self::Unknown) => *place = None,
            None => {}
        }
    }
}

/// A date as far as it is known, or `unknown`.
pub fn date_or_unknown(typed: &str) -> Result<Given<PartialDate>, String> {
    or_unknown(typed, |text| PartialDate::parse(text).map_err(|e| e.to_string()))
}

/// A maker, or `unknown`.
pub fn maker_or_unknown(typed: &str) -> Result<Given<Label>, String> {
    or_unknown(typed, |text| maker(text).map_err(|e| e.to_string()))
}

/// A lot, or `unknown`.
pub fn lot_or_unknown(typed: &str) -> Result<Given<Label>, String> {
    or_unknown(typed, |text| lot(text).map_err(|e| e.to_string()))
}

/// A model, or `unknown`.
pub fn model_or_unknown(typed: &str) -> Result<Given<Label>, String> {
    or_unknown(typed, |text| model(text).map_err(|e| e.to_string()))
}

/// A shop's own number.
pub fn own_number(typed: &str) -> Result<Label, HoseError> {
    Particulars::own_number(typed)
}

/// A shop's own number, or `none`.
pub fn own_number_or_none(typed: &str) -> Result<Given<Label>, String> {
    or_none(typed, own_number)
}

/// A note, or `none`.
pub fn note_or_none(typed: &str) -> Result<Given<Label>, String> {
    or_none(typed, note)
}

/// A ticket, or `none`.
pub fn ticket_or_none(typed: &str) -> Result<Given<Label>, String> {
    or_none(typed, ticket)
}

fn or_none(
    typed: &str,
    known: impl FnOnce(&str) -> Result<Label, HoseError>,
) -> Result<Given<Label>, String> {
    match typed.trim() {
        "none" => Ok(Given::Unknown),
        text => known(text).map(Given::Known).map_err(|e| e.to_string()),
    }
}

fn or_unknown<T>(
    typed: &str,
    known: impl FnOnce(&str) -> Result<T, String>,
) -> Result<Given<T>, String> {
    match typed.trim() {
        "unknown" => Ok(Given::Unknown),
        text => known(text).map(Given::Known),
    }
}

/// `yes` or `no`.
pub fn yes_or_no(typed: &str) -> Result<bool, String> {
    match typed.trim() {
        "yes" => Ok(true),
        "no" => Ok(false),
        other => Err(format!("“{other}” is neither yes nor no")),
    }
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
        assert_eq!(day("2024-02-29").ok(), NaiveDate::from_ymd_opt(2024, 2, 29));
        for typed in ["2024-02", "2024", "2023-02-29", "29.02.2024", "today"] {
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
