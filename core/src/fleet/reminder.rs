//! On which day somebody is reminded of what is due, and of what.

use chrono::{Days, NaiveDate};
use serde::Serialize;

use super::{DueList, DueRow};
use crate::words::{called, reminder as say};

/// So many days before the last good day of something a reminder comes; another comes on
/// that day (common practice, no source).
pub const REMINDED_BEFORE: Days = Days::new(7);

/// The next reminder.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Reminder {
    /// The day on which it comes: never today, and never a day that is past.
    pub on: NaiveDate,
    /// What it is about.
    pub title: &'static str,
    /// What is due first, as it is to be said on that day.
    pub words: String,
}

impl Reminder {
    /// The next reminder of what is on a list; none if nothing on it is due later than
    /// today. Of what is overdue nobody is reminded: it is on hold, and says so itself.
    #[must_use]
    pub fn of(list: &DueList, today: NaiveDate) -> Option<Self> {
        let days = |row: &DueRow| {
            let before = row.on.checked_sub_days(REMINDED_BEFORE);
            before.into_iter().chain([row.on]).find(|day| *day > today)
        };
        let (on, first) = list
            .rows
            .iter()
            .filter_map(|row| Some((days(row)?, row)))
            .min_by_key(|(on, row)| (*on, row.on, row.code))?;
        let by_then = |row: &&DueRow| row.on > today && row.on <= first.on;
        let more = list.rows.iter().filter(by_then).count().saturating_sub(1);
        let hose = called(first.number.as_ref(), first.code);
        let words = say::due(&hose, first.words, (first.on, on), more);
        Some(Self { on, title: say::TITLE, words })
    }
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests {
    use super::*;
    use crate::answer::DueKind;
    use crate::fleet::Horizon;
    use crate::story::day;

    fn row(code: &str, on: &str) -> DueRow {
        let on = day(on);
        DueRow {
            code: code.parse().expect("a code"),
            number: None,
            what: DueKind::FullInspection,
            on,
            overdue: false,
            days: 0,
            words: DueKind::FullInspection.in_words(),
            hose: String::new(),
            short: String::new(),
            set: None,
            port: None,
            place: String::new(),
        }
    }

    fn reminder(rows: &[(&str, &str)], today: &str) -> Option<(String, String)> {
        let today = day(today);
        let rows = rows.iter().map(|(code, on)| row(code, on)).collect();
        let list = DueList { rows, ..DueList::new(Horizon::YEAR, today) };
        Reminder::of(&list, today).map(|it| (it.on.to_string(), it.words))
    }

    const ONE: &str = "1CSH-FY3A-172R-3";
    const TWO: &str = "GPBF-59NP-PV77-8";

    /// A week before, then on the day itself, then never again.
    #[test]
    fn it_comes_a_week_before_and_on_the_last_good_day() {
        for (today, on) in [
            ("2026-06-15", Some("2026-07-03")),
            ("2026-07-02", Some("2026-07-03")),
            ("2026-07-03", Some("2026-07-10")),
            ("2026-07-09", Some("2026-07-10")),
            ("2026-07-10", None),
            ("2026-07-11", None),
        ] {
            let it = reminder(&[(ONE, "2026-07-10")], today);
            assert_eq!(it.as_ref().map(|(on, _)| on.as_str()), on, "{today}");
        }
        assert_eq!(reminder(&[], "2026-06-15"), None);
    }

    #[test]
    fn it_names_the_first_and_counts_what_is_due_by_then() {
        let what = DueKind::FullInspection.in_words();
        let both = [(ONE, "2026-07-10"), (TWO, "2026-07-08"), (ONE, "2026-06-01")];
        let said = |today| reminder(&both, today).expect("one").1;
        assert_eq!(said("2026-06-15"), format!("{TWO}: {what}, due by 8 July."));
        assert_eq!(
            said("2026-07-02"),
            format!("{ONE}: {what}, due by 10 July. 1 thing more by then.")
        );
        assert_eq!(said("2026-07-07"), format!("{TWO}: {what}, today is the last good day."));
    }
}
