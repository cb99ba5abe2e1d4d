//! NDEF records and messages (NFC Forum, NDEF 1.0): bytes in, bytes out.

use super::error::NdefError;

/// The type of the record with the last inspection.
pub const LOOK: &str = "hosewright:look";

/// The type of an Android application record (Android's NFC guide).
pub(super) const APPLICATION: &str = "android.com:pkg";

/// The app that an Android phone opens for a tag. Provisional: no app of this
/// name is published yet.
pub const PACKAGE: &str = "org.hosewright.companion";

/// What a record's type is a name of (the TNF field).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Naming {
    Empty,
    WellKnown,
    Media,
    Address,
    External,
    Unknown,
}

/// One record, borrowed from its message.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Record<'a> {
    pub(super) naming: Naming,
    pub(super) kind: &'a [u8],
    pub(super) id: &'a [u8],
    pub(super) payload: &'a [u8],
}

const BEGIN: u8 = 0x80;
const END: u8 = 0x40;
const CHUNK: u8 = 0x20;
const SHORT: u8 = 0x10;
const WITH_ID: u8 = 0x08;

/// The records of a message, which must be whole and nothing but a message.
///
/// # Errors
/// [`NdefError::NotAMessage`] or [`NdefError::Chunked`].
pub(super) fn records(message: &[u8]) -> Result<Vec<Record<'_>>, NdefError> {
    let mut rest = Rest(message);
    let mut found = Vec::new();
    loop {
        let flags = rest.byte()?;
        if (flags & BEGIN != 0) != found.is_empty() {
            return Err(NdefError::NotAMessage("its first record is not marked as the first"));
        }
        found.push(rest.record(flags)?);
        if flags & END != 0 {
            break;
        }
    }
    if !rest.0.is_empty() {
        return Err(NdefError::NotAMessage("it goes on after its last record"));
    }
    Ok(found)
}

/// The bytes of a message.
pub(super) fn message(records: &[Record<'_>]) -> Vec<u8> {
    let mut bytes = Vec::new();
    for (at, record) in records.iter().enumerate() {
        let begin = if at == 0 { BEGIN } else { 0 };
        let end = if at + 1 == records.len() { END } else { 0 };
        record.write(begin | end, &mut bytes);
    }
    bytes
}

impl Record<'_> {
    /// Ours are of a short type and have no ID.
    fn write(&self, place: u8, bytes: &mut Vec<u8>) {
        let naming = match self.naming {
            Naming::Empty => 0,
            Naming::WellKnown => 1,
            Naming::Media => 2,
            Naming::Address => 3,
            Naming::External => 4,
            Naming::Unknown => 5,
        };
        let length = u32::try_from(self.payload.len()).unwrap_or(u32::MAX);
        let short = u8::try_from(length).ok();
        bytes.push(place | naming | if short.is_some() { SHORT } else { 0 });
        bytes.push(u8::try_from(self.kind.len()).unwrap_or(u8::MAX));
        match short {
            Some(short) => bytes.push(short),
            None => bytes.extend(length.to_be_bytes()),
        }
        bytes.extend(self.kind);
        bytes.extend(self.payload);
    }
}

/// What is still to be read of a message.
struct Rest<'a>(&'a [u8]);

impl<'a> Rest<'a> {
    fn take(&mut self, count: usize) -> Result<&'a [u8], NdefError> {
        let split = self.0.split_at_checked(count);
        let (taken, rest) = split.ok_or(NdefError::NotAMessage("it breaks off"))?;
        self.0 = rest;
        Ok(taken)
    }

    fn byte(&mut self) -> Result<u8, NdefError> {
        self.number(1).map(|n| u8::try_from(n).unwrap_or(u8::MAX))
    }

    fn number(&mut self, bytes: usize) -> Result<usize, NdefError> {
        let read = self.take(bytes)?.iter().fold(0_u32, |n, b| n << 8 | u32::from(*b));
        Ok(usize::try_from(read).unwrap_or(usize::MAX))
    }

    fn record(&mut self, flags: u8) -> Result<Record<'a>, NdefError> {
        let naming = naming(flags)?;
        let kind = self.number(1)?;
        let payload = self.number(if flags & SHORT != 0 { 1 } else { 4 })?;
        let id = if flags & WITH_ID != 0 { self.number(1)? } else { 0 };
        let record = Record {
            naming,
            kind: self.take(kind)?,
            id: self.take(id)?,
            payload: self.take(payload)?,
        };
        match naming {
            Naming::Empty if kind + id + payload > 0 => {
                Err(NdefError::NotAMessage("a record that is said to be empty is not"))
            }
            Naming::Unknown if kind > 0 => {
                Err(NdefError::NotAMessage("a record without a type has one"))
            }
            _ => Ok(record),
        }
    }
}

fn naming(flags: u8) -> Result<Naming, NdefError> {
    match flags & 7 {
        _ if flags & CHUNK != 0 => Err(NdefError::Chunked),
        0 => Ok(Naming::Empty),
        1 => Ok(Naming::WellKnown),
        2 => Ok(Naming::Media),
        3 => Ok(Naming::Address),
        4 => Ok(Naming::External),
        // A later piece of a record, without the first.
        6 => Err(NdefError::Chunked),
        // 7 is reserved and to be taken as unknown (NDEF 1.0, section 3.2.6).
        _ => Ok(Naming::Unknown),
    }
}
