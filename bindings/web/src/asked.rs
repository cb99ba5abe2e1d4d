//! What the shell asks, and what goes back to it: plain values.

use chrono::{DateTime, NaiveDate, Utc};

/// What a form sends in a field.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Sent {
    /// What was typed or chosen.
    Text(String),
    /// A file, whole; empty where none was chosen.
    File {
        /// Its name on the device.
        name: String,
        /// What is in it.
        bytes: Vec<u8>,
    },
}

/// What is asked.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Asked {
    /// `GET` or `POST`.
    pub method: String,
    /// The path with what follows a `?`, as the browser has it.
    pub address: String,
    /// The fields of a form, in their order.
    pub fields: Vec<(String, Sent)>,
}

impl Asked {
    /// A page that is only shown.
    #[must_use]
    pub fn get(address: &str) -> Self {
        Self { method: "GET".to_owned(), address: address.to_owned(), fields: Vec::new() }
    }

    /// A form that is sent.
    #[must_use]
    pub fn post(address: &str, fields: Vec<(String, Sent)>) -> Self {
        Self { method: "POST".to_owned(), address: address.to_owned(), fields }
    }
}

/// Now, as the browser's clock has it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Now {
    /// The day where the person is.
    pub today: NaiveDate,
    /// The time.
    pub time: DateTime<Utc>,
}

impl Now {
    /// From milliseconds since 1970 and the minutes by which the person's time is behind
    /// UTC, as JavaScript counts both.
    #[must_use]
    pub fn of(milliseconds: f64, minutes_behind: f64) -> Option<Self> {
        let whole = |number: f64, most: f64| {
            #[allow(clippy::cast_possible_truncation, reason = "within what a whole number holds")]
            (number.is_finite() && number.abs() <= most).then_some(number.trunc() as i64)
        };
        let time = DateTime::from_timestamp_millis(whole(milliseconds, 8.64e15)?)?;
        let behind = chrono::Duration::minutes(whole(minutes_behind, 24.0 * 60.0)?);
        Some(Self { today: time.checked_sub_signed(behind)?.date_naive(), time })
    }
}

/// What goes back.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Reply {
    /// The status, as on the network.
    pub status: u16,
    /// The headers, their names in lower case.
    pub headers: Vec<(String, String)>,
    /// What is shown or kept.
    pub body: Vec<u8>,
}

impl Reply {
    /// A header's text.
    #[must_use]
    pub fn header(&self, name: &str) -> Option<&str> {
        self.headers.iter().find(|(known, _)| known == name).map(|(_, text)| text.as_str())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 2026-06-15T23:30Z is the next day two hours east of Greenwich.
    #[test]
    fn the_day_is_that_of_the_place() {
        let at =
            |behind: f64| Now::of(1_781_566_200_000.0, behind).map(|now| now.today.to_string());
        assert_eq!(at(0.0).as_deref(), Some("2026-06-15"));
        assert_eq!(at(-120.0).as_deref(), Some("2026-06-16"));
        assert_eq!(at(300.0).as_deref(), Some("2026-06-15"));
        for nonsense in [f64::NAN, f64::INFINITY, 1e18] {
            assert_eq!(Now::of(nonsense, 0.0), None);
            assert_eq!(Now::of(0.0, nonsense), None);
        }
    }
}
