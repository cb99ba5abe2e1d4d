//! What is due as a calendar (iCalendar, RFC 5545), for calendar programs.
//!
//! One event for each hose and thing due, not for each set and day: an event keeps its
//! UID when its day moves, so a file that is imported again moves what is there, where
//! an event of a set and a day would stay behind. There is no SEQUENCE: it would have to
//! be counted up, and nothing here remembers what was given out; of two events of one UID
//! the one with the later DTSTAMP is the newer (RFC 5546, 2.1.5).
//!
//! Written here and not by a library: the one that there is takes the time and random
//! bits from the system where it lacks them.

mod lines;

use std::collections::BTreeMap;

use chrono::{Days, NaiveDate};

use self::lines::{Lines, day};
use super::{DueList, DueRow, Horizon};
use crate::journal::Moment;
use crate::text::visible;
use crate::words::calendar as say;

/// How far ahead a calendar reaches: the longest usual time between two inspections.
pub const CALENDAR_WITHIN: Horizon = Horizon::YEAR;
/// The most events of a calendar that is asked for again and again.
pub const CALENDAR_MOST: u64 = 2_000;

/// What is due as a calendar.
#[must_use]
pub fn calendar(list: &DueList, moment: &Moment) -> String {
    let mut calendar = Lines::begin(say::NAME);
    let events = Events { stamp: lines::time(moment.time), today: moment.today };
    let mut given: BTreeMap<String, u32> = BTreeMap::new();
    for row in &list.rows {
        let uid = uid(row, &mut given);
        events.due(&mut calendar, &uid, row);
    }
    let after = list.from + u64::try_from(list.rows.len()).unwrap_or(0);
    match list.total.saturating_sub(after) {
        0 if list.rows.is_empty() => {
            events.note(&mut calendar, "nothing", &say::nothing(list.until));
        }
        0 => {}
        left => events.note(&mut calendar, "more", &say::more(left)),
    }
    calendar.end()
}

/// Stays the same for a hose and a thing due. Where a tag names two hoses, they are
/// counted.
fn uid(row: &DueRow, given: &mut BTreeMap<String, u32>) -> String {
    let name = format!("{}-{}", row.code, row.what);
    let count = given.entry(name.clone()).or_insert(0);
    *count += 1;
    if *count == 1 { name } else { format!("{name}-{count}") }
}

/// What every event has.
struct Events {
    stamp: String,
    today: NaiveDate,
}

impl Events {
    /// What is overdue goes on until today: nobody looks at days that are past.
    fn due(&self, calendar: &mut Lines, uid: &str, row: &DueRow) {
        let number = row.number.as_ref();
        self.begin(calendar, uid, row.on);
        if let Some(tomorrow) = self.today.checked_add_days(Days::new(1)).filter(|_| row.overdue) {
            calendar.line("DTEND;VALUE=DATE", &day(tomorrow));
        }
        let summary = say::summary(number, row.code, row.words, row.overdue);
        calendar.text("SUMMARY", &visible(&summary));
        let description = say::description(number, row.code, row.words, row.on);
        calendar.text("DESCRIPTION", &crate::text::visible_lines(&description));
        calendar.line("END", "VEVENT");
    }

    /// Something about the calendar itself, today.
    fn note(&self, calendar: &mut Lines, uid: &str, words: &str) {
        self.begin(calendar, uid, self.today);
        calendar.text("SUMMARY", words);
        calendar.line("END", "VEVENT");
    }

    fn begin(&self, calendar: &mut Lines, uid: &str, on: NaiveDate) {
        calendar.line("BEGIN", "VEVENT");
        calendar.line("UID", &format!("{uid}@hosewright"));
        calendar.line("DTSTAMP", &self.stamp);
        calendar.line("DTSTART;VALUE=DATE", &day(on));
        // Nobody is busy because of it.
        calendar.line("TRANSP", "TRANSPARENT");
    }
}

#[cfg(test)]
#[path = "calendar/tests.rs"]
mod tests;
