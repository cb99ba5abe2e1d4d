//! The one place with a clock: everything below takes the time as an argument.

use std::sync::OnceLock;
use std::time::{Duration, Instant};

use chrono::{DateTime, Local, NaiveDate, Utc};
use hosewright_core::hose::Label;
use hosewright_core::journal::Moment;

/// Now, or the time of day now on the day that was asked for, so that what is
/// written on a pretended day does not lie in its future.
#[allow(clippy::disallowed_methods, reason = "the command line is where time comes in")]
pub fn moment(today: Option<NaiveDate>, by: Label) -> Moment {
    match today {
        Some(today) => Moment { today, time: at(today, Utc::now()), by },
        None => Moment { today: Local::now().date_naive(), time: Utc::now(), by },
    }
}

fn at(day: NaiveDate, now: DateTime<Utc>) -> DateTime<Utc> {
    day.and_time(now.time()).and_utc()
}

/// How long this program has run: for what ends after a while, whatever the
/// device's date is set to.
pub fn since_start() -> Duration {
    static START: OnceLock<Instant> = OnceLock::new();
    START.get_or_init(Instant::now).elapsed()
}

/// How long something took, in milliseconds.
pub fn timed<T>(work: impl FnOnce() -> T) -> (T, f64) {
    let start = Instant::now();
    let done = work();
    (done, start.elapsed().as_secs_f64() * 1000.0)
}
