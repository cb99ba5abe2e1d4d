//! How the backups of a record stand, as every face shows it.

use chrono::NaiveDate;
use serde::Serialize;

use crate::journal::BackupMade;
use crate::words::backup;

/// A backup is old after so many days, if something was recorded since. Common practice,
/// no source: the owner can back up as often as there is work to lose.
pub const BACKUP_OLD_DAYS: i64 = 7;

/// How the backups of a record stand.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct BackupState {
    /// The day of the last one that was made on this device.
    pub last: Option<NaiveDate>,
    /// Whether it is time for another.
    pub remind: bool,
    /// Both in words, a sentence a line.
    pub words: Vec<String>,
}

impl BackupState {
    /// How they stand on a day. `empty` says that nothing is on record yet.
    #[must_use]
    pub fn of(last: Option<BackupMade>, empty: bool, today: NaiveDate) -> Self {
        let (on, remind, mut words) = match last {
            None => (None, !empty, vec![backup::NEVER.to_owned()]),
            Some(BackupMade { on, written_since }) => {
                let old = (today - on).num_days() > BACKUP_OLD_DAYS;
                let mut words = vec![backup::last(on, today)];
                words.extend((!written_since).then(|| backup::NOTHING_SINCE.to_owned()));
                (Some(on), old && written_since, words)
            }
        };
        words.extend(remind.then(|| backup::REMIND.to_owned()));
        Self { last: on, remind, words }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::story::day;

    #[test]
    fn a_reminder_comes_after_seven_days_with_something_to_lose() {
        let today = day("2026-06-15");
        for (on, written_since, remind) in [
            ("2026-06-15", true, false),
            ("2026-06-08", true, false),
            ("2026-06-07", true, true),
            ("2026-06-07", false, false),
            ("2025-06-07", false, false),
        ] {
            let last = Some(BackupMade { on: day(on), written_since });
            let state = BackupState::of(last, false, today);
            assert_eq!((state.last, state.remind), (Some(day(on)), remind), "{on}");
            assert_eq!(state.words.iter().any(|line| line == backup::REMIND), remind);
        }
        assert!(BackupState::of(None, false, today).remind);
        assert!(!BackupState::of(None, true, today).remind);
    }
}
