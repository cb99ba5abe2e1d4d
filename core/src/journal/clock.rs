//! The hybrid clock: time as it reads, kept from running backwards.

use chrono::{DateTime, NaiveDate, Utc};
use serde::{Deserialize, Serialize};

use crate::hose::Label;

/// Now, and who is asking: the only way in which time comes into the core.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Moment {
    /// Today, where the person is.
    pub today: NaiveDate,
    /// The time.
    pub time: DateTime<Utc>,
    /// Who writes.
    pub by: Label,
}

/// A reading of the hybrid clock: milliseconds UTC since 1970 and a counter
/// that tells apart what was written within one of them.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Stamp(pub i64, pub u32);

impl Stamp {
    /// The next reading: the time, or just after `self` where the time has
    /// stood still or gone backwards.
    #[must_use]
    pub fn next(self, time: DateTime<Utc>) -> Self {
        let now = time.timestamp_millis();
        if now > self.0 {
            return Self(now, 0);
        }
        self.1.checked_add(1).map_or(Self(self.0.saturating_add(1), 0), |n| Self(self.0, n))
    }

    /// The time that it stands for.
    #[must_use]
    pub fn time(self) -> DateTime<Utc> {
        DateTime::from_timestamp_millis(self.0).unwrap_or(DateTime::UNIX_EPOCH)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_next_reading_is_the_time_or_just_after_the_last() {
        let most = u32::MAX;
        for (last, time, next) in [
            (Stamp(5, 3), 6, Stamp(6, 0)),
            (Stamp(5, 3), 5, Stamp(5, 4)),
            (Stamp(5, 3), 4, Stamp(5, 4)),
            (Stamp(5, most), 5, Stamp(6, 0)),
            (Stamp(i64::MAX, 0), 5, Stamp(i64::MAX, 1)),
        ] {
            let time = DateTime::from_timestamp_millis(time).unwrap_or_default();
            assert_eq!(last.next(time), next, "{last:?} at {time}");
        }
    }

    #[test]
    fn a_reading_stands_for_its_time() {
        let time = DateTime::from_timestamp_millis(1_767_225_600_000).unwrap_or_default();
        assert_eq!(Stamp(1_767_225_600_000, 7).time(), time);
        assert_eq!(Stamp(i64::MAX, 7).time(), DateTime::UNIX_EPOCH);
    }

    proptest::proptest! {
        #[test]
        fn the_clock_never_runs_backwards(times in proptest::collection::vec(0_i64..1_000, 1..50)) {
            let mut last = Stamp::default();
            for ms in times {
                let next = last.next(DateTime::from_timestamp_millis(ms).unwrap_or_default());
                proptest::prop_assert!(next > last && next.0 >= ms);
                last = next;
            }
        }
    }
}
