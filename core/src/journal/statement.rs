//! The last line of a file of signed entries: which entries it is about, the digest of all
//! the lines before, and who made it, signed. So an entry that is left out is missed.

use std::io::{self, Write};

use data_encoding::HEXLOWER;
use serde::Deserialize;
use serde_json::{Value, json};
use sha2::{Digest, Sha256};

use super::canonical::canonical_json;
use super::entry::Entry;
use super::lines::line_of_entry;
use crate::device::{DeviceId, DeviceKey, Signature};
use crate::event::EntryId;
use crate::hose::Label;

/// An entry that a file of signed entries is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Listed {
    /// The device that wrote it.
    pub device: DeviceId,
    /// Its number on that device.
    pub seq: u64,
    /// Its hash.
    pub id: EntryId,
}

/// What the maker of a file of signed entries says of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Statement {
    /// What it is about, in words.
    pub about: String,
    /// When it was made: milliseconds UTC since 1970.
    pub at: i64,
    /// Who made it.
    pub by: Label,
    /// On which device.
    pub device: DeviceId,
    /// The fleet of the record that it was made from: its owner's public key.
    pub fleet: Option<DeviceId>,
    /// The entries that it is about, in the order in which they happened.
    pub entries: Vec<Listed>,
    /// SHA-256 of all the lines before it, their ends included.
    pub digest: [u8; 32],
}

impl Statement {
    /// The number of a list of entries: the same for the same entries, on the paper and
    /// in the file.
    #[must_use]
    pub fn number(entries: &[Listed]) -> String {
        let mut digest = Sha256::new();
        entries.iter().for_each(|listed| digest.update(listed.id.hash()));
        HEXLOWER.encode(&digest.finalize()).chars().take(16).collect()
    }

    /// It as one line without its end, signed. Its fields stand in the order of their
    /// names, and the signature is over all of them. No entry looks like it.
    #[must_use]
    pub fn signed(&self, key: &DeviceKey) -> String {
        let mut line = self.text();
        let signature = HEXLOWER.encode(&key.sign(line.as_bytes()).0);
        line.truncate(line.len().saturating_sub(1));
        format!("{line},\"sig\":\"{signature}\"}}")
    }

    /// Reads a line; nothing if it is none, or not what its device signed to the letter.
    #[must_use]
    pub fn read(line: &str) -> Option<Self> {
        let sent: Sent = serde_json::from_str(line).ok()?;
        let signature = Signature(bytes(&sent.sig)?);
        let statement = sent.statement()?;
        let text = statement.text();
        let whole = format!("{},\"sig\":\"{}\"}}", text.strip_suffix('}')?, sent.sig);
        (whole == line && signature.proves(&statement.device, text.as_bytes())).then_some(statement)
    }

    fn text(&self) -> String {
        let entries = self.entries.iter();
        let entries: Vec<Value> =
            entries.map(|listed| json!([listed.device, listed.seq, listed.id])).collect();
        let value = json!({
            "about": self.about, "at": self.at, "by": self.by, "case": 1, "device": self.device,
            "digest": HEXLOWER.encode(&self.digest), "entries": entries, "fleet": self.fleet,
        });
        canonical_json(&value).unwrap_or_default()
    }
}

/// A statement as it is in a line.
#[derive(Deserialize)]
struct Sent {
    about: String,
    at: i64,
    by: Label,
    case: u32,
    device: DeviceId,
    digest: String,
    entries: Vec<(DeviceId, u64, EntryId)>,
    fleet: Option<DeviceId>,
    sig: String,
}

impl Sent {
    fn statement(&self) -> Option<Statement> {
        let listed = |(device, seq, id): &(DeviceId, u64, EntryId)| {
            let (device, seq, id) = (*device, *seq, *id);
            Listed { device, seq, id }
        };
        (self.case == 1).then_some(())?;
        Some(Statement {
            about: self.about.clone(),
            at: self.at,
            by: self.by.clone(),
            device: self.device,
            fleet: self.fleet,
            entries: self.entries.iter().map(listed).collect(),
            digest: bytes(&self.digest)?,
        })
    }
}

fn bytes<const N: usize>(text: &str) -> Option<[u8; N]> {
    HEXLOWER.decode(text.as_bytes()).ok()?.try_into().ok()
}

/// Writes the lines of a file of signed entries, and works out their digest.
pub struct StatementWriter<'w> {
    out: &'w mut dyn Write,
    digest: Sha256,
}

impl<'w> StatementWriter<'w> {
    /// Nothing is written yet.
    pub fn new(out: &'w mut dyn Write) -> Self {
        Self { out, digest: Sha256::new() }
    }

    /// Writes an entry as a line.
    ///
    /// # Errors
    /// What the system says.
    pub fn entry(&mut self, entry: &Entry) -> io::Result<()> {
        let mut line = line_of_entry(entry);
        line.push('\n');
        self.digest.update(line.as_bytes());
        self.out.write_all(line.as_bytes())
    }

    /// Writes the last line: the statement, with the digest of what was written.
    ///
    /// # Errors
    /// What the system says.
    pub fn end(self, statement: Statement, key: &DeviceKey) -> io::Result<()> {
        let statement = Statement { digest: self.digest.finalize().into(), ..statement };
        writeln!(self.out, "{}", statement.signed(key))?;
        self.out.flush()
    }
}
