//! Dates as people type them and as hoses are marked.

use super::{MeasureError, PartialDate};

impl PartialDate {
    /// Reads a date as people type it: besides what [`PartialDate::parse`] and
    /// [`PartialDate::parse_loosely`] read also years of two digits (50 to 99 are of the
    /// 20th century), `3Q21`, `Q3 2021`, `W12/21`, and the marks `3/94` and `40/21`.
    ///
    /// # Errors
    /// As [`PartialDate::parse_loosely`]; and [`MeasureError::SeveralDates`] if a mark
    /// could be a month, a quarter or a week.
    pub fn parse_typed(typed: &str) -> Result<Self, MeasureError> {
        let text = typed.trim();
        let upper = text.to_uppercase().replace("KW", "W");
        if let Ok(date) = Self::parse(&upper) {
            return Ok(date);
        }
        if upper.contains(['Q', 'W']) {
            let none = || MeasureError::NotADate { typed: text.to_owned() };
            return named_part(&upper).ok_or_else(none);
        }
        let parts: Vec<&str> = upper.split(['-', '/', '.', ' ']).collect();
        match parts.as_slice() {
            [part, year] if is_short(part) && year.len() == 2 && is_short(year) => {
                of_mark(text, number(part), century(number(year)))
            }
            [one, other, year] if [one, other, year].iter().all(|part| is_short(part)) => {
                let mark = if upper.contains('.') { '.' } else { '/' };
                let year = century(number(year));
                Self::parse_loosely(&format!("{one}{mark}{other}{mark}{year:04}"))
            }
            _ => Self::parse_loosely(text),
        }
    }
}

/// One or two digits.
fn is_short(part: &str) -> bool {
    (1..=2).contains(&part.len()) && part.bytes().all(|byte| byte.is_ascii_digit())
}

fn number(digits: &str) -> u32 {
    digits.parse().unwrap_or_default()
}

const fn century(year: u32) -> u32 {
    match year {
        0..50 => 2000 + year,
        50..100 => 1900 + year,
        _ => year,
    }
}

/// `3Q21`, `Q3/2021`, `2021Q3`, and the same with weeks.
fn named_part(text: &str) -> Option<PartialDate> {
    let is_week = text.contains('W');
    let (before, after) = text.split_once(['Q', 'W'])?;
    let digits = |text: &str| -> Option<Vec<String>> {
        let parts: Vec<String> = text
            .split(['-', '/', '.', ' '])
            .filter(|part| !part.is_empty())
            .map(str::to_owned)
            .collect();
        let plain = |part: &String| part.len() <= 4 && part.bytes().all(|b| b.is_ascii_digit());
        parts.iter().all(plain).then_some(parts)
    };
    let (before, after) = (digits(before)?, digits(after)?);
    let (part, year) = match (before.as_slice(), after.as_slice()) {
        ([year], [part]) if year.len() == 4 => (part, year),
        ([part], [year]) => (part, year),
        ([], [part, year]) => (part, year),
        _ => return None,
    };
    if part.len() > 2 || !matches!(year.len(), 2 | 4) {
        return None;
    }
    let (part, year) = (number(part), century(number(year)));
    if is_week { PartialDate::week(year, part) } else { PartialDate::quarter(year, part) }
}

/// A mark such as `12/21`: a month, a quarter or a week of a year.
fn of_mark(typed: &str, part: u32, year: u32) -> Result<PartialDate, MeasureError> {
    let month = PartialDate::from_parts(year, Some(part), None, typed).ok();
    let readings = [month, PartialDate::quarter(year, part), PartialDate::week(year, part)];
    let readings: Vec<PartialDate> = readings.into_iter().flatten().collect();
    match readings.as_slice() {
        [] => Err(MeasureError::NotADate { typed: typed.to_owned() }),
        [one] => Ok(*one),
        several => {
            let readings: Vec<String> = several.iter().map(ToString::to_string).collect();
            Err(MeasureError::SeveralDates {
                typed: typed.to_owned(),
                readings: readings.join(" or "),
            })
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dates_are_read_as_people_type_them() {
        let table = [
            ("2022-03-14", Ok("2022-03-14")),
            ("24.03.2023", Ok("2023-03-24")),
            ("24.3.23", Ok("2023-03-24")),
            ("24/03/23", Ok("2023-03-24")),
            ("03.2023", Ok("2023-03")),
            ("03/2023", Ok("2023-03")),
            ("3Q21", Ok("2021-Q3")),
            ("3q2021", Ok("2021-Q3")),
            ("Q3 2021", Ok("2021-Q3")),
            ("Q3/21", Ok("2021-Q3")),
            ("2021Q3", Ok("2021-Q3")),
            ("2021-q3", Ok("2021-Q3")),
            ("W12/21", Ok("2021-W12")),
            ("kw 12/21", Ok("2021-W12")),
            ("12W21", Ok("2021-W12")),
            // No month and no quarter has this number.
            ("40/21", Ok("2021-W40")),
            ("40/99", Ok("1999-W40")),
            ("12/21", Err("could be 2021-12 or 2021-W12")),
            ("3/94", Err("could be 1994-03 or 1994-Q3 or 1994-W03")),
            ("04/03/23", Err("could be 2023-03-04 or 2023-04-03")),
            ("5Q21", Err("not a date")),
            ("54/21", Err("not a date")),
            ("W54 21", Err("not a date")),
            ("3Q", Err("not a date")),
            ("QW", Err("not a date")),
            ("1Q2Q3", Err("not a date")),
            ("soon", Err("not a date")),
            ("", Err("not a date")),
        ];
        for (typed, expected) in table {
            let read = typed.parse::<PartialDate>();
            match expected {
                Ok(date) => assert_eq!(read.map(|d| d.to_string()), Ok(date.to_owned()), "{typed}"),
                Err(why) => {
                    let said = read.err().map(|error| error.to_string()).unwrap_or_default();
                    assert!(said.contains(why), "{typed}: {said}");
                }
            }
        }
    }
}
