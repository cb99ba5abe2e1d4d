//! Entries as JSON Lines: one canonical object a line, the signature under `sig`.

use chrono::NaiveDate;
use data_encoding::HEXLOWER_PERMISSIVE;
use serde::Deserialize;
use serde_json::Value;
use thiserror::Error;

use super::canonical::canonical_json;
use super::clock::Stamp;
use super::entry::Entry;
use crate::device::{DeviceId, Signature};
use crate::hose::Label;

/// The most bytes of a line: ten times what an entry with a photo has.
const MOST: usize = 1 << 20;

/// Why a line is not an entry.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum LineError {
    /// It is not JSON with the fields of an entry.
    #[error("it is not an entry of a Hosewright export: {0}")]
    NotAnEntry(String),
    /// It has a number with a fraction.
    #[error("it has a number that is not whole, which no entry has")]
    Fraction,
    /// It is longer than any entry.
    #[error("it is longer than any entry")]
    TooLong,
}

/// An entry as it is in a line.
#[derive(Deserialize)]
struct Line {
    device: DeviceId,
    seq: u64,
    on: NaiveDate,
    at: Stamp,
    by: Label,
    kind: String,
    v: u32,
    body: Value,
    #[serde(default)]
    prev: Option<String>,
    #[serde(default)]
    sig: Option<String>,
}

/// An entry as one line of an export, without the line's end.
#[must_use]
pub fn line_of_entry(entry: &Entry) -> String {
    let mut line = entry.canonical();
    if let Some(signature) = &entry.signature {
        let hex = HEXLOWER_PERMISSIVE.encode(&signature.0);
        line.truncate(line.len().saturating_sub(1));
        line.push_str(&format!(",\"sig\":\"{hex}\"}}"));
    }
    line
}

/// The entry of one line of an export.
///
/// # Errors
/// [`LineError`] if the line is not an entry; kinds and versions that this
/// program does not know are entries anyway.
pub fn entry_of_line(line: &str) -> Result<Entry, LineError> {
    let not = |why: &str| LineError::NotAnEntry(why.to_owned());
    if line.len() > MOST {
        return Err(LineError::TooLong);
    }
    let read: Line = serde_json::from_str(line).map_err(|e| not(&e.to_string()))?;
    if !(1..=i64::MAX.unsigned_abs()).contains(&read.seq) {
        return Err(not("its number is not 1 or more"));
    }
    if !read.body.is_object() {
        return Err(not("its body is not an object"));
    }
    let signature = bytes(read.sig, "its signature is not 128 hexadecimal digits")?.map(Signature);
    let previous =
        bytes(read.prev, "the hash of the entry before it is not 64 hexadecimal digits")?;
    let chained = previous.is_some() == (read.device.signs() && read.seq > 1);
    if !chained || (signature.is_some() && !read.device.signs()) {
        return Err(not("its device, its number and the hash of the entry before it disagree"));
    }
    Ok(Entry {
        device: read.device,
        seq: read.seq,
        on: read.on,
        at: read.at,
        by: read.by,
        kind: read.kind,
        version: read.v,
        body: canonical_json(&read.body).ok_or(LineError::Fraction)?,
        previous,
        signature,
    })
}

fn bytes<const N: usize>(text: Option<String>, wrong: &str) -> Result<Option<[u8; N]>, LineError> {
    let read = |text: String| {
        let bytes = HEXLOWER_PERMISSIVE.decode(text.as_bytes()).ok();
        let bytes = bytes.and_then(|bytes| <[u8; N]>::try_from(bytes).ok());
        bytes.ok_or_else(|| LineError::NotAnEntry(wrong.to_owned()))
    };
    text.map(read).transpose()
}

#[cfg(test)]
mod tests {
    use super::*;

    const LINE: &str = r#"{"at":[1764060000000,2],"body":{"hose":"x","n":1},"by":"Ana \"A\"","device":"000102030405060708090a0b0c0d0e0f","kind":"polished","on":"2025-11-25","seq":7,"v":3}"#;

    #[test]
    fn a_line_is_the_canonical_entry() {
        let entry = entry_of_line(LINE);
        assert_eq!(entry.as_ref().map(line_of_entry), Ok(LINE.to_owned()));
        let (device, before) = ("1f".repeat(32), "2e".repeat(32));
        let signed = LINE
            .replace("000102030405060708090a0b0c0d0e0f", &device)
            .replace("\"seq\"", &format!("\"prev\":\"{before}\",\"seq\""));
        let read = entry_of_line(&signed);
        assert_eq!(read.as_ref().map(line_of_entry), Ok(signed.clone()));
        let sealed =
            signed.replace("\"v\":3}", &format!("\"v\":3,\"sig\":\"{}\"}}", "0f".repeat(64)));
        let sealed = entry_of_line(&sealed);
        assert_eq!(sealed.map(|e| e.hash()), read.map(|e| e.hash()));
    }

    #[test]
    fn a_line_must_be_of_one_piece() {
        let sig = format!("\"v\":3,\"sig\":\"{}\"}}", "0f".repeat(64));
        let prev = format!("\"prev\":\"{}\",\"seq\"", "2e".repeat(32));
        let keyed = LINE.replace("000102030405060708090a0b0c0d0e0f", &"1f".repeat(32));
        for wrong in [
            LINE.replace("\"v\":3}", &sig),
            LINE.replace("\"seq\"", &prev),
            keyed.clone(),
            keyed.replace("\"seq\":7", &format!("{prev}:1")),
            keyed.replace("\"seq\"", &prev.replace("2e2e", "2e")),
        ] {
            assert!(entry_of_line(&wrong).is_err(), "{wrong}");
        }
    }

    #[test]
    fn spaces_and_order_do_not_change_an_entry() {
        let loose = LINE
            .replace("\"n\":1", "\"n\" : 1")
            .replace("{\"hose\":\"x\",\"n\" : 1}", "{\"n\" : 1, \"hose\":\"x\"}");
        assert_eq!(entry_of_line(&loose).map(|e| e.hash()), entry_of_line(LINE).map(|e| e.hash()));
    }

    #[test]
    fn what_is_no_entry_is_refused() {
        for (from, to) in [
            ("\"seq\":7", "\"seq\":0"),
            ("\"seq\":7", "\"seq\":-7"),
            ("\"n\":1", "\"n\":1.5"),
            ("2025-11-25", "2025-02-30"),
            ("0001020304", "00010203"),
            ("\"body\":{", "\"body\":[{"),
            ("\"by\":\"Ana \\\"A\\\"\"", "\"by\":\"\""),
            ("\"kind\"", "\"kin\""),
        ] {
            assert!(entry_of_line(&LINE.replace(from, to)).is_err(), "{to}");
        }
    }
}
