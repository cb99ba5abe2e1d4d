//! The memory of a chip (NFC Forum, Type 2 Tag Operation): the capability
//! container, and blocks of type, length and value in the data area.

use super::error::NdefError;

/// The chips that are offered for hoses.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Chip {
    /// 144 bytes.
    Ntag213,
    /// 504 bytes, of which its container announces 496.
    Ntag215,
    /// 888 bytes, of which its container announces 872.
    Ntag216,
}

impl Chip {
    /// Every chip, smallest first.
    pub const ALL: [Self; 3] = [Self::Ntag213, Self::Ntag215, Self::Ntag216];

    /// The bytes of its user memory (NXP NTAG213/215/216 data sheet, title).
    #[must_use]
    pub const fn user_memory(self) -> usize {
        match self {
            Self::Ntag213 => 144,
            Self::Ntag215 => 504,
            Self::Ntag216 => 888,
        }
    }

    /// The container that it leaves its factory with (NXP NTAG21x data sheet,
    /// from memory). Phones go by this one, so it bounds what is written.
    #[must_use]
    pub const fn container(self) -> Container {
        let eighths = match self {
            Self::Ntag213 => 0x12,
            Self::Ntag215 => 0x3E,
            Self::Ntag216 => 0x6D,
        };
        Container { eighths, locked: false }
    }
}

/// A capability container: the fourth page of a chip, which says that it holds
/// NDEF and how much.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Container {
    eighths: u8,
    locked: bool,
}

impl Container {
    /// Reads the four bytes.
    ///
    /// # Errors
    /// [`NdefError::NotNdef`] if they are not of a chip for NDEF,
    /// [`NdefError::LaterChip`] if they are of a later major version than 1,
    /// [`NdefError::Protected`] if not everyone may read.
    pub fn parse(bytes: [u8; 4]) -> Result<Self, NdefError> {
        let [magic, version, eighths, access] = bytes;
        if magic != 0xE1 || eighths == 0 {
            return Err(NdefError::NotNdef);
        }
        if version >> 4 != 1 {
            return Err(NdefError::LaterChip { major: version >> 4, minor: version & 15 });
        }
        if access >> 4 != 0 {
            return Err(NdefError::Protected);
        }
        Ok(Self { eighths, locked: access & 15 != 0 })
    }

    /// The four bytes: version 1.0, and whether it may be written.
    #[must_use]
    pub const fn bytes(self) -> [u8; 4] {
        [0xE1, 0x10, self.eighths, if self.locked { 0x0F } else { 0 }]
    }

    /// The size of the data area in bytes, 8 to 2040.
    #[must_use]
    pub fn size(self) -> usize {
        usize::from(self.eighths) * 8
    }

    /// Whether it may only be read.
    #[must_use]
    pub const fn is_locked(self) -> bool {
        self.locked
    }
}

/// What the data area holds, in pieces.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Blocks<'a> {
    /// The blocks before the message, which stay: they control the chip, or are
    /// another's.
    pub(super) before: &'a [u8],
    /// The message; none if there is none.
    pub(super) message: Option<&'a [u8]>,
    /// Whether anything follows the message.
    pub(super) goes_on: bool,
}

const NULL: u8 = 0x00;
const LOCK_CONTROL: u8 = 0x01;
const MEMORY_CONTROL: u8 = 0x02;
const MESSAGE: u8 = 0x03;
const TERMINATOR: u8 = 0xFE;
/// The length that says that two bytes with the length follow.
const LONG: u8 = 0xFF;
/// The data area begins behind four pages of four bytes.
const AREA_AT: usize = 16;

/// Takes a data area apart at its first message.
///
/// # Errors
/// [`NdefError::NotBlocks`] if it breaks off, [`NdefError::Riddled`] if
/// bytes within it are not its own.
pub(super) fn blocks(container: Container, area: &[u8]) -> Result<Blocks<'_>, NdefError> {
    let area = area.get(..container.size()).unwrap_or(area);
    let (mut before, mut at) = (0, 0);
    while let Some(kind) = block_at(area, &mut at) {
        let value = value(area, at + 1).ok_or(NdefError::NotBlocks)?;
        at = value.end;
        let value = area.get(value).unwrap_or_default();
        if kind == MESSAGE {
            let before = area.get(..before).unwrap_or_default();
            let goes_on = block_at(area, &mut at).is_some();
            return Ok(Blocks { before, message: Some(value), goes_on });
        }
        if kind == LOCK_CONTROL || kind == MEMORY_CONTROL {
            check_outside(kind, value, container)?;
        }
        before = at;
    }
    let before = area.get(..before).unwrap_or_default();
    Ok(Blocks { before, message: None, goes_on: false })
}

/// The kind of the next block, if there is one before the area ends; `at` is
/// moved to it.
fn block_at(area: &[u8], at: &mut usize) -> Option<u8> {
    *at += area.iter().skip(*at).take_while(|byte| **byte == NULL).count();
    area.get(*at).copied().filter(|kind| *kind != TERMINATOR)
}

/// Where the value of a block lies whose length is at `at`.
fn value(area: &[u8], at: usize) -> Option<std::ops::Range<usize>> {
    let (begin, length) = match *area.get(at)? {
        LONG => {
            let [high, low] = [area.get(at + 1)?, area.get(at + 2)?].map(|b| usize::from(*b));
            (at + 3, high << 8 | low)
        }
        short => (at + 1, usize::from(short)),
    };
    let end = begin + length;
    (end <= area.len()).then_some(begin..end)
}

/// A control block names bytes by a page and an offset (Type 2 Tag Operation,
/// lock control and memory control TLV). Where they lie within the data area
/// the message jumps over them, which this program does not follow.
fn check_outside(kind: u8, value: &[u8], container: Container) -> Result<(), NdefError> {
    let [position, size, page_size] = value else { return Err(NdefError::NotBlocks) };
    let whole = |n: u8| if n == 0 { 256 } else { usize::from(n) };
    let bytes = if kind == LOCK_CONTROL { whole(*size).div_ceil(8) } else { whole(*size) };
    let from = usize::from(position >> 4) * (1 << (page_size & 15)) + usize::from(position & 15);
    let inside = from < AREA_AT + container.size() && from + bytes > AREA_AT;
    if inside { Err(NdefError::Riddled) } else { Ok(()) }
}

/// The longest message that a data area of this size takes.
pub(super) const fn room(size: usize) -> usize {
    match size.saturating_sub(2) {
        short @ 0..=254 => short,
        // Its length takes three bytes, and 255 and 256 are too small for that.
        255 | 256 => 254,
        long => long - 2,
    }
}

/// A data area with this message, whole pages of it, behind what is `before`.
///
/// # Errors
/// [`NdefError::TooLong`] if it does not fit.
pub(super) fn area(
    container: Container,
    before: &[u8],
    message: &[u8],
) -> Result<Vec<u8>, NdefError> {
    let room = room(container.size().saturating_sub(before.len()));
    if message.len() > room {
        return Err(NdefError::TooLong { needed: message.len(), room });
    }
    let mut area = before.to_vec();
    area.push(MESSAGE);
    match u8::try_from(message.len()) {
        Ok(short) if short < LONG => area.push(short),
        _ => {
            area.push(LONG);
            area.extend(u16::try_from(message.len()).unwrap_or(u16::MAX).to_be_bytes());
        }
    }
    area.extend(message);
    // If the message fills the area to its end there is nothing to terminate.
    if area.len() < container.size() {
        area.push(TERMINATOR);
    }
    area.resize(area.len().next_multiple_of(4), NULL);
    Ok(area)
}
