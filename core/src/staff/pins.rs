//! PINs of people, as the counter's computer keeps them: hashed, on that device alone,
//! with what was tried. Nothing of it is an entry.

use std::collections::BTreeMap;

use argon2::password_hash::phc::PasswordHash;
use argon2::password_hash::{self, PasswordHasher, PasswordVerifier};
use argon2::{Algorithm, Argon2, Params, Version};
use chrono::{DateTime, TimeDelta, Utc};
use serde::{Deserialize, Serialize};
use thiserror::Error;

use super::PersonId;

/// The fewest and the most digits of a PIN.
pub const DIGITS: std::ops::RangeInclusive<usize> = 4..=12;

/// So many wrong ones in a row are answered at once.
const AT_ONCE: u32 = 3;

/// The longest that one has to wait.
const LONGEST: TimeDelta = TimeDelta::hours(1);

/// What a new hash costs with Argon2id (RFC 9106): 19 MiB, 2 passes and 1 lane, as OWASP
/// advises. A stored hash says what it has cost.
const COST: (u32, u32, u32) = (19 * 1024, 2, 1);

/// Why a PIN is not taken.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum PinError {
    /// It is no PIN.
    #[error("a PIN has {} to {} digits and nothing else", DIGITS.start(), DIGITS.end())]
    Shape,
    /// It is not that person's.
    #[error("that is not the right PIN; nothing was written")]
    Wrong,
    /// Too many were wrong.
    #[error(
        "too many PINs were wrong, so none is taken before {} UTC, not even the right one",
        .until.format("%H:%M on %-d %B")
    )]
    Wait {
        /// When the next one is looked at.
        until: DateTime<Utc>,
    },
    /// There is no memory for it.
    #[error("the PIN can't be hashed: {0}")]
    Hash(String),
    /// What keeps them is not ours, or of a later program.
    #[error("the file of PINs on this computer can't be read; move it away and choose PINs again")]
    Unreadable,
}

/// What is kept of one person's PIN.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
struct Pin {
    /// Its hash, as a PHC string.
    hash: String,
    /// How many in a row were wrong.
    #[serde(default)]
    in_a_row: u32,
    /// When the last of these was looked at.
    #[serde(default)]
    last: Option<DateTime<Utc>>,
    /// All that were wrong or came too early, until the owner has seen it.
    #[serde(default)]
    tried: u32,
    /// Since when.
    #[serde(default)]
    since: Option<DateTime<Utc>>,
}

/// Wrong PINs of a person, for the owner.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct WrongPins {
    /// Whose.
    pub person: PersonId,
    /// How many.
    pub tried: u32,
    /// Since when.
    pub since: DateTime<Utc>,
}

/// The PINs of one computer.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Pins {
    version: u32,
    pins: BTreeMap<PersonId, Pin>,
}

impl Pins {
    const VERSION: u32 = 1;

    /// Reads what [`Pins::text`] wrote; none from an empty text.
    ///
    /// # Errors
    /// [`PinError::Unreadable`] if it is something else.
    pub fn read(text: &str) -> Result<Self, PinError> {
        if text.is_empty() {
            return Ok(Self::default());
        }
        let read: Self = serde_json::from_str(text).map_err(|_| PinError::Unreadable)?;
        (read.version == Self::VERSION).then_some(read).ok_or(PinError::Unreadable)
    }

    /// As it is kept.
    ///
    /// # Errors
    /// [`PinError::Unreadable`] if it can't be written as text.
    pub fn text(&self) -> Result<String, PinError> {
        let now = Self { version: Self::VERSION, pins: self.pins.clone() };
        serde_json::to_string(&now).map_err(|_| PinError::Unreadable)
    }

    /// Whether a person has one here.
    #[must_use]
    pub fn has(&self, person: PersonId) -> bool {
        self.pins.contains_key(&person)
    }

    /// Chooses one, in place of the last.
    ///
    /// # Errors
    /// [`PinError`] if it is no PIN, or can't be hashed.
    pub fn choose(
        &mut self,
        person: PersonId,
        typed: &str,
        salt: [u8; 16],
    ) -> Result<(), PinError> {
        let typed = digits(typed).ok_or(PinError::Shape)?;
        let (memory, passes, lanes) = COST;
        let cost = Params::new(memory, passes, lanes, None).map_err(password_hash::Error::from);
        let hash = cost.and_then(|cost| {
            let argon2 = Argon2::new(Algorithm::Argon2id, Version::V0x13, cost);
            argon2.hash_password_with_salt(typed.as_bytes(), &salt)
        });
        let hash = hash.map_err(|error| PinError::Hash(error.to_string()))?.to_string();
        let pin = Pin { hash, in_a_row: 0, last: None, tried: 0, since: None };
        self.pins.insert(person, pin);
        Ok(())
    }

    /// Forgets a person's.
    pub fn forget(&mut self, person: PersonId) {
        self.pins.remove(&person);
    }

    /// Looks at what a person typed. After three wrong ones in a row the next has to
    /// wait a minute, then two, and so on to an hour; the right one ends that.
    ///
    /// # Errors
    /// [`PinError`] if it is wrong or too early. What was tried is counted, so keep it.
    pub fn prove(
        &mut self,
        person: PersonId,
        typed: &str,
        now: DateTime<Utc>,
    ) -> Result<(), PinError> {
        let Some(pin) = self.pins.get_mut(&person) else { return Ok(()) };
        let refused = match pin.waits_until() {
            Some(until) if now < until => PinError::Wait { until },
            _ if pin.is(typed)? => {
                (pin.in_a_row, pin.last) = (0, None);
                return Ok(());
            }
            _ => {
                (pin.in_a_row, pin.last) = (pin.in_a_row.saturating_add(1), Some(now));
                PinError::Wrong
            }
        };
        pin.tried = pin.tried.saturating_add(1);
        pin.since.get_or_insert(now);
        Err(refused)
    }

    /// What was tried and the owner has not seen yet.
    #[must_use]
    pub fn wrong(&self) -> Vec<WrongPins> {
        let each = self.pins.iter().filter_map(|(person, pin)| {
            let (person, tried) = (*person, pin.tried);
            Some(WrongPins { person, tried, since: pin.since? })
        });
        each.collect()
    }

    /// The owner has seen it.
    pub fn seen(&mut self) {
        for pin in self.pins.values_mut() {
            (pin.tried, pin.since) = (0, None);
        }
    }
}

impl Pin {
    fn waits_until(&self) -> Option<DateTime<Utc>> {
        let doublings = self.in_a_row.checked_sub(AT_ONCE)?;
        let minutes = 1_i64.checked_shl(doublings.min(16)).unwrap_or(i64::MAX);
        Some(self.last? + TimeDelta::minutes(minutes).min(LONGEST))
    }

    fn is(&self, typed: &str) -> Result<bool, PinError> {
        let hash = PasswordHash::new(&self.hash).map_err(|_| PinError::Unreadable)?;
        let Some(typed) = digits(typed) else { return Ok(false) };
        // The hash says which parameters hold, and is compared in constant time.
        match Argon2::default().verify_password(typed.as_bytes(), &hash) {
            Ok(()) => Ok(true),
            Err(password_hash::Error::PasswordInvalid) => Ok(false),
            Err(error) => Err(PinError::Hash(error.to_string())),
        }
    }
}

fn digits(typed: &str) -> Option<&str> {
    let typed = typed.trim();
    let plain = typed.bytes().all(|byte| byte.is_ascii_digit());
    (plain && DIGITS.contains(&typed.len())).then_some(typed)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::tag::Code;

    fn someone() -> PersonId {
        PersonId::new((0..).find_map(Code::from_bits).unwrap())
    }

    fn at(minutes: i64) -> DateTime<Utc> {
        DateTime::UNIX_EPOCH + TimeDelta::minutes(minutes)
    }

    #[test]
    fn a_pin_is_four_to_twelve_digits() {
        let mut pins = Pins::default();
        for (typed, good) in [
            ("123", false),
            ("1234", true),
            (" 1234 ", true),
            ("123456789012", true),
            ("1234567890123", false),
            ("12a4", false),
            ("12 34", false),
            ("", false),
        ] {
            assert_eq!(pins.choose(someone(), typed, [1; 16]).is_ok(), good, "{typed}");
        }
    }

    #[test]
    fn only_a_hash_is_kept_and_it_opens_again() {
        let mut pins = Pins::default();
        pins.choose(someone(), "48213", [7; 16]).unwrap();
        let text = pins.text().unwrap();
        assert!(text.contains("$argon2id$v=19$m=19456,t=2,p=1$") && !text.contains("48213"));
        let mut read = Pins::read(&text).unwrap();
        assert_eq!(read.prove(someone(), "48213", at(0)), Ok(()));
        assert_eq!(read.prove(someone(), "48214", at(0)), Err(PinError::Wrong));
        for other in ["{}", "[]", "{\"version\":2,\"pins\":{}}", "x"] {
            assert_eq!(Pins::read(other), Err(PinError::Unreadable), "{other}");
        }
    }

    #[test]
    fn wrong_pins_have_to_wait_longer_and_longer() {
        let mut pins = Pins::default();
        pins.choose(someone(), "4821", [7; 16]).unwrap();
        let mut tried = |typed, minute| pins.prove(someone(), typed, at(minute));
        for _ in 0..3 {
            assert_eq!(tried("0000", 0), Err(PinError::Wrong));
        }
        // A minute from the third on: not even the right one is looked at before.
        assert_eq!(tried("4821", 0), Err(PinError::Wait { until: at(1) }));
        assert_eq!(tried("0000", 1), Err(PinError::Wrong));
        assert_eq!(tried("4821", 2), Err(PinError::Wait { until: at(3) }));
        assert_eq!(tried("4821", 3), Ok(()));
        // The right one ends it.
        assert_eq!(tried("0000", 3), Err(PinError::Wrong));
        assert_eq!(tried("4821", 3), Ok(()));
    }

    /// Most of a thousand are not even looked at, and the owner is told of each.
    #[test]
    fn a_thousand_wrong_ones_are_slowed_and_told() {
        let mut pins = Pins::default();
        pins.choose(someone(), "4821", [7; 16]).unwrap();
        // One a second, for 1,000 seconds: 3 at once, then after 1, 2, 4 and 8 minutes.
        let looked_at = (0..1_000).filter(|second| {
            let now = DateTime::UNIX_EPOCH + TimeDelta::seconds(*second);
            pins.prove(someone(), "0000", now) == Err(PinError::Wrong)
        });
        assert_eq!(looked_at.count(), 7);
        let told = WrongPins { person: someone(), tried: 1_000, since: at(0) };
        assert_eq!(pins.wrong(), [told]);
        pins.seen();
        assert_eq!(pins.wrong(), []);
        // No wait is longer than an hour.
        let mut last = at(60);
        for _ in 0..12 {
            last += LONGEST;
            assert_eq!(pins.prove(someone(), "0000", last), Err(PinError::Wrong));
        }
        let early = last + LONGEST - TimeDelta::seconds(1);
        let until = last + LONGEST;
        assert_eq!(pins.prove(someone(), "4821", early), Err(PinError::Wait { until }));
        assert_eq!(pins.prove(someone(), "4821", until), Ok(()));
    }
}
