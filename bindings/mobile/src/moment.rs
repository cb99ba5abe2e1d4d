//! The one place with a clock.

use std::time::SystemTime;

use chrono::{DateTime, Duration, NaiveDate, Utc};
use hosewright_core::hose::Label;
use hosewright_core::journal;

use crate::RefusedError;

/// When it is where the person is, and who is asking.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct Moment {
    /// Today by the phone's own calendar, as `2026-06-15`.
    pub today: String,
    /// Who asks or writes.
    pub by: String,
}

impl Moment {
    /// The core's moment: today, and the time now. A day that cannot be today
    /// anywhere on earth is pretended, and gets the time of day now.
    pub(crate) fn core(&self) -> Result<journal::Moment, RefusedError> {
        let today: NaiveDate = self.today.parse().map_err(|_| RefusedError::Input {
            words: format!("“{}” is not a day; it is written as 2026-06-15", self.today).into(),
        })?;
        let by = Label::new("the name of who is asking", &self.by)?;
        Ok(journal::Moment { today, time: time_on(today, now()), by })
    }
}

#[allow(clippy::disallowed_methods, reason = "the phone's door is where time comes in")]
pub(crate) fn now() -> DateTime<Utc> {
    SystemTime::now().into()
}

/// Today by the clock of the world.
pub(crate) fn today() -> NaiveDate {
    now().date_naive()
}

/// Dates differ by one day at most between two places at one time.
fn time_on(today: NaiveDate, now: DateTime<Utc>) -> DateTime<Utc> {
    let apart = today - now.date_naive();
    if apart.abs() <= Duration::days(1) { now } else { today.and_time(now.time()).and_utc() }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test")]
mod tests {
    use super::*;

    #[test]
    fn a_day_of_this_earth_keeps_the_clock_and_a_pretended_one_does_not() {
        let now: DateTime<Utc> = "2026-06-15T23:30:00Z".parse().unwrap();
        let on = |day: &str| time_on(day.parse().unwrap(), now).to_string();
        // East of Greenwich it is tomorrow already, west of it still yesterday.
        for day in ["2026-06-14", "2026-06-15", "2026-06-16"] {
            assert_eq!(on(day), "2026-06-15 23:30:00 UTC", "{day}");
        }
        assert_eq!(on("2026-06-17"), "2026-06-17 23:30:00 UTC");
        assert_eq!(on("2020-02-29"), "2020-02-29 23:30:00 UTC");
    }

    #[test]
    fn what_is_no_day_or_no_name_is_refused() {
        let of = |today: &str, by: &str| Moment { today: today.into(), by: by.into() }.core();
        assert!(of("2026-06-15", "bench").is_ok());
        assert!(of("15.6.2026", "bench").is_err());
        assert!(of("2026-06-15", " ").is_err());
    }
}
