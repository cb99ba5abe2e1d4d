//! By what entries are named: an entry by its hash, a set by a code of its own.

use std::fmt;
use std::str::FromStr;

use data_encoding::HEXLOWER_PERMISSIVE;
use rand_core::Rng;
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

use crate::hose::Label;
use crate::tag::Code;

/// An entry: SHA-256 of its canonical bytes, in text as 64 hexadecimal digits.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct EntryId([u8; 32]);

impl EntryId {
    /// The fewest digits that are typed for one.
    pub const FEWEST: usize = 16;

    /// The entry of a hash.
    #[must_use]
    pub const fn new(hash: [u8; 32]) -> Self {
        Self(hash)
    }

    /// Its hash.
    #[must_use]
    pub const fn hash(&self) -> &[u8; 32] {
        &self.0
    }

    /// Whether it begins with these hexadecimal digits, at least
    /// [`EntryId::FEWEST`] of them.
    #[must_use]
    pub fn begins(&self, typed: &str) -> bool {
        typed.len() >= Self::FEWEST && self.to_string().starts_with(&typed.to_lowercase())
    }
}

impl fmt::Display for EntryId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&HEXLOWER_PERMISSIVE.encode(&self.0))
    }
}

impl FromStr for EntryId {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let bytes = HEXLOWER_PERMISSIVE.decode(text.trim().as_bytes()).ok();
        let hash = bytes.and_then(|bytes| bytes.try_into().ok());
        hash.map(Self).ok_or_else(|| "an entry's number has 64 hexadecimal digits".to_owned())
    }
}

impl From<EntryId> for String {
    fn from(id: EntryId) -> Self {
        id.to_string()
    }
}

impl TryFrom<String> for EntryId {
    type Error = String;

    fn try_from(text: String) -> Result<Self, String> {
        text.parse()
    }
}

/// A regulator set: a code like a hose's. Its name is a label that can change.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
pub struct SetId(Code);

impl SetId {
    /// The set of a code.
    #[must_use]
    pub const fn new(code: Code) -> Self {
        Self(code)
    }

    /// Draws a new one.
    #[must_use]
    pub fn draw(random: &mut impl Rng) -> Self {
        Self(Code::draw(random))
    }

    /// The set that earlier programs knew by its name alone: all that they wrote
    /// under one name is about one set.
    #[must_use]
    pub fn of_name(name: &str) -> Self {
        let mut digest = Sha256::digest(format!("set {name}"));
        loop {
            let bits = digest.iter().take(8).fold(0, |bits: u64, b| bits << 8 | u64::from(*b));
            // Six in seven draws are a code.
            if let Some(code) = Code::from_bits(bits >> 4) {
                return Self(code);
            }
            digest = Sha256::digest(digest);
        }
    }

    /// Its code.
    #[must_use]
    pub const fn code(self) -> Code {
        self.0
    }
}

impl From<SetId> for Label {
    /// Its code, which is a good label.
    fn from(set: SetId) -> Self {
        Self::clipped(&set.to_string())
    }
}

impl fmt::Display for SetId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_entry_is_named_by_its_hash() {
        let id = EntryId::new([0xa5; 32]);
        assert_eq!(id.to_string().parse(), Ok(id));
        assert!(id.begins("A5a5a5a5a5a5a5a5") && !id.begins("a5a5a5a5a5a5a5a"));
        assert!(!id.begins("a5a5a5a5a5a5a5a6"));
        for wrong in ["", "a5", &"a".repeat(63), &"g".repeat(64)] {
            assert!(wrong.parse::<EntryId>().is_err(), "{wrong}");
        }
    }

    #[test]
    fn one_name_of_earlier_programs_is_one_set() {
        // From SHA-256 and MOD 37-2 as Python computes them; the first draw of R12 is no code.
        for (name, code) in [
            ("Heron", "16HN-9B0A-2TYV-0"),
            ("heron", "GX2A-0JQ2-W7WY-E"),
            ("R12", "Y87V-C39T-BCWW-1"),
        ] {
            assert_eq!(SetId::of_name(name).code().to_string(), code);
        }
    }
}
