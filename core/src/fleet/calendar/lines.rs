//! The lines of a calendar: escaped, and folded (RFC 5545, 3.1 and 3.3.11).

use chrono::{DateTime, NaiveDate, Utc};

/// The most octets of a line, without its break.
pub(super) const MOST: usize = 75;

/// A calendar that is being written.
pub(super) struct Lines(String);

impl Lines {
    /// Begins a calendar of a name (RFC 7986, 5.1), which is asked for again twice a day.
    pub(super) fn begin(name: &str) -> Self {
        let mut calendar = Self(String::new());
        for (property, value) in [
            ("BEGIN", "VCALENDAR"),
            ("VERSION", "2.0"),
            ("PRODID", "-//Hosewright//Due//EN"),
            ("CALSCALE", "GREGORIAN"),
            ("METHOD", "PUBLISH"),
            ("REFRESH-INTERVAL;VALUE=DURATION", "PT12H"),
        ] {
            calendar.line(property, value);
        }
        calendar.text("NAME", name);
        calendar
    }

    /// A property whose value is written as it is.
    pub(super) fn line(&mut self, property: &str, value: &str) {
        self.0.push_str(&folded(&format!("{property}:{value}")));
    }

    /// A property whose value is a text.
    pub(super) fn text(&mut self, property: &str, text: &str) {
        self.line(property, &escaped(text));
    }

    /// Ends the calendar.
    pub(super) fn end(mut self) -> String {
        self.line("END", "VCALENDAR");
        self.0
    }
}

/// A day.
pub(super) fn day(day: NaiveDate) -> String {
    day.format("%Y%m%d").to_string()
}

/// A time, in UTC.
pub(super) fn time(time: DateTime<Utc>) -> String {
    time.format("%Y%m%dT%H%M%SZ").to_string()
}

/// A text as a value.
pub(super) fn escaped(text: &str) -> String {
    let mut value = String::with_capacity(text.len());
    for letter in text.chars() {
        match letter {
            '\\' | ';' | ',' => value.extend(['\\', letter]),
            '\n' => value.push_str("\\n"),
            _ => value.push(letter),
        }
    }
    value
}

/// A line in pieces of at most [`MOST`] octets, each but the first after a space. No
/// letter is cut.
pub(super) fn folded(line: &str) -> String {
    let mut pieces = String::with_capacity(line.len() + 8);
    let mut used = 0;
    for letter in line.chars() {
        if used + letter.len_utf8() > MOST {
            pieces.push_str("\r\n ");
            used = 1;
        }
        pieces.push(letter);
        used += letter.len_utf8();
    }
    pieces.push_str("\r\n");
    pieces
}
