//! An entry: who wrote what, when, and when it happened.

use std::fmt;

use chrono::NaiveDate;
use sha2::{Digest, Sha256};

use super::clock::Stamp;
use crate::event::{Event, Touched, touched};
use crate::hose::Label;

/// A device: 128 random bits, drawn when its store begins.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct DeviceId(pub [u8; 16]);

impl fmt::Display for DeviceId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.iter().try_for_each(|byte| write!(f, "{byte:02x}"))
    }
}

impl std::str::FromStr for DeviceId {
    type Err = ();

    fn from_str(text: &str) -> Result<Self, ()> {
        if text.len() != 32 || !text.bytes().all(|b| b.is_ascii_hexdigit()) {
            return Err(());
        }
        u128::from_str_radix(text, 16).map(|n| Self(n.to_be_bytes())).map_err(|_| ())
    }
}

/// One entry of the journal. Its identity is device, seq and the hash of its bytes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Entry {
    /// The device that wrote it.
    pub device: DeviceId,
    /// Its number on that device: 1, 2, 3 … without gaps.
    pub seq: u64,
    /// The day on which it happened.
    pub on: NaiveDate,
    /// The hybrid clock when it was written.
    pub at: Stamp,
    /// Who wrote it.
    pub by: Label,
    /// What kind of thing happened.
    pub kind: String,
    /// The version of the kind.
    pub version: u32,
    /// The fields of the kind as canonical JSON.
    pub body: String,
    /// An Ed25519 signature over the canonical bytes.
    pub signature: Option<Vec<u8>>,
}

/// The order in which entries are folded: the day, the clock, then what tells
/// apart the rest, so that every device folds alike.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Order(NaiveDate, Stamp, DeviceId, u64, [u8; 32]);

impl Entry {
    /// The bytes that are hashed and signed: the entry as canonical JSON
    /// without its signature.
    #[must_use]
    pub fn canonical(&self) -> String {
        let quoted = |text: &str| serde_json::Value::from(text).to_string();
        format!(
            r#"{{"at":[{},{}],"body":{},"by":{},"device":"{}","kind":{},"on":"{}","seq":{},"v":{}}}"#,
            self.at.0,
            self.at.1,
            self.body,
            quoted(self.by.as_str()),
            self.device,
            quoted(&self.kind),
            self.on,
            self.seq,
            self.version,
        )
    }

    /// SHA-256 of the canonical bytes.
    #[must_use]
    pub fn hash(&self) -> [u8; 32] {
        Sha256::digest(self.canonical()).into()
    }

    /// Its place in the fold.
    #[must_use]
    pub fn order(&self) -> Order {
        Order(self.on, self.at, self.device, self.seq, self.hash())
    }

    /// What happened, if this program knows the kind and its version.
    #[must_use]
    pub fn event(&self) -> Option<Event> {
        Event::from_parts(&self.kind, self.version, &self.value())
    }

    /// Whom it is about, whether or not the kind is known.
    #[must_use]
    pub fn touched(&self) -> Touched {
        touched(&self.kind, &self.value())
    }

    fn value(&self) -> serde_json::Value {
        serde_json::from_str(&self.body).unwrap_or_default()
    }
}
