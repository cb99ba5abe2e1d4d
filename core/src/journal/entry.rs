//! An entry: who wrote what, when, and when it happened.

use chrono::NaiveDate;
use data_encoding::HEXLOWER;
use sha2::{Digest, Sha256};

use super::canonical::quoted;
use super::clock::Stamp;
use crate::device::{DeviceId, Signature};
use crate::event::{EntryId, Event, Touched, touched};
use crate::hose::Label;

/// The field of a body that names the act: entries that were written together
/// carry the number of the first of them.
pub(super) const ACT: &str = "act";

/// Bytes of an entry besides its body, its writer and its kind; more are allocated if
/// they are needed.
const LONGEST_FRAME: usize = 320;

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
    /// The hash of the device's entry before this one: none for its first, and
    /// for a device that does not sign.
    pub previous: Option<[u8; 32]>,
    /// The device's signature over the canonical bytes. It proves this entry
    /// and, by their hashes, all before it, so the last of those written
    /// together carries one.
    pub signature: Option<Signature>,
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
        // Written piece by piece: every entry that a fold reads is hashed.
        let mut text = String::with_capacity(self.body.len() + LONGEST_FRAME);
        let Stamp(ms, count) = self.at;
        text.push_str(&format!(r#"{{"at":[{ms},{count}],"body":"#));
        text.push_str(&self.body);
        text.push_str(r#","by":"#);
        quoted(self.by.as_str(), &mut text);
        text.push_str(r#","device":""#);
        HEXLOWER.encode_append(self.device.bytes(), &mut text);
        text.push_str(r#"","kind":"#);
        quoted(&self.kind, &mut text);
        text.push_str(&format!(r#","on":"{}""#, self.on));
        if let Some(hash) = &self.previous {
            text.push_str(r#","prev":""#);
            HEXLOWER.encode_append(hash, &mut text);
            text.push('"');
        }
        text.push_str(&format!(r#","seq":{},"v":{}}}"#, self.seq, self.version));
        text
    }

    /// SHA-256 of the canonical bytes.
    #[must_use]
    pub fn hash(&self) -> [u8; 32] {
        Sha256::digest(self.canonical()).into()
    }

    /// By what others name it.
    #[must_use]
    pub fn id(&self) -> EntryId {
        EntryId::new(self.hash())
    }

    /// The number of the first of the entries that it was written together with;
    /// nothing for one that was written alone.
    #[must_use]
    pub fn act(&self) -> Option<u64> {
        self.value().get(ACT)?.as_u64()
    }

    /// Its place in the fold.
    #[must_use]
    pub fn order(&self) -> Order {
        self.place(self.hash())
    }

    /// Its place in the fold, if its hash is known.
    pub(crate) const fn place(&self, hash: [u8; 32]) -> Order {
        Order(self.on, self.at, self.device, self.seq, hash)
    }

    /// What happened, if this program knows the kind and its version.
    #[must_use]
    pub fn event(&self) -> Option<Event> {
        Event::read(&self.kind, self.version, &self.body)
    }

    /// Whom it is about and what happened, for those that need both.
    pub(super) fn understood(&self) -> (Touched, Option<Event>) {
        let body = self.value();
        (
            touched(&self.kind, self.version, &body),
            Event::from_parts(&self.kind, self.version, body),
        )
    }

    /// Whom it is about, whether or not the kind is known.
    #[must_use]
    pub fn touched(&self) -> Touched {
        touched(&self.kind, self.version, &self.value())
    }

    fn value(&self) -> serde_json::Value {
        serde_json::from_str(&self.body).unwrap_or_default()
    }
}
