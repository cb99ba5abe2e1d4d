//! What other devices have of what is here, as every face shows it.

use chrono::NaiveDate;
use serde::Serialize;

use crate::device::DeviceId;
use crate::words::sharing as say;

/// Another device, and how far the two records know each other.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct OtherDevice {
    /// The device.
    pub device: DeviceId,
    /// The newest day that it wrote about, of what is here.
    pub newest: Option<NaiveDate>,
    /// The day as of which it is known what that device has; nothing if it never said.
    pub met: Option<NaiveDate>,
    /// How many entries are here that it is not known to have.
    pub lacks: u64,
    /// All of it in words.
    pub words: String,
}

/// What other devices have of what is here.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct Sharing {
    /// Each other device, the one heard of last first.
    pub devices: Vec<OtherDevice>,
    /// How many entries were written here that no other device is known to have.
    pub alone: u64,
    /// Since when, if there are any.
    pub since: Option<NaiveDate>,
    /// Whether a day was closed since, and no backup has them.
    pub warn: bool,
    /// It in words, a sentence a line.
    pub words: Vec<String>,
}

impl Sharing {
    /// How it stands on a day. `backed_up` says that a backup of all that is here was made.
    #[must_use]
    pub fn of(
        mut devices: Vec<OtherDevice>,
        (alone, since): (u64, Option<NaiveDate>),
        backed_up: bool,
        today: NaiveDate,
    ) -> Self {
        devices.sort_by_key(|other| (std::cmp::Reverse(other.met.max(other.newest)), other.device));
        let since = since.filter(|_| alone > 0);
        let warn = since.is_some_and(|since| since < today) && !backed_up;
        let mut words = vec![say::alone(alone, since, today)];
        words.extend((alone > 0 && backed_up).then(|| say::BACKED_UP.to_owned()));
        words.extend((alone > 0 && !backed_up && !warn).then(|| say::BEFORE_CLOSING.to_owned()));
        words.extend(warn.then(|| say::CLOSED.to_owned()));
        Self { devices, alone, since, warn, words }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::story::day;

    #[test]
    fn a_warning_comes_once_a_day_was_closed_and_nothing_else_has_the_entries() {
        let today = day("2026-06-15");
        for (alone, since, backed_up, warn, last) in [
            (0, None, false, false, None),
            (3, Some("2026-06-15"), false, false, Some(say::BEFORE_CLOSING)),
            (3, Some("2026-06-14"), false, true, Some(say::CLOSED)),
            (3, Some("2026-06-14"), true, false, Some(say::BACKED_UP)),
            (1, None, false, false, Some(say::BEFORE_CLOSING)),
        ] {
            let sharing = Sharing::of(Vec::new(), (alone, since.map(day)), backed_up, today);
            assert_eq!(sharing.warn, warn, "{alone} {since:?} {backed_up}");
            assert_eq!(sharing.words.len(), 1 + usize::from(last.is_some()));
            assert_eq!(last.is_some(), sharing.words.last().map(String::as_str) == last);
        }
    }
}
