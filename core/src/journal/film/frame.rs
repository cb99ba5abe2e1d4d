//! One frame of a film, byte for byte.

use raptorq::{ObjectTransmissionInformation, PayloadId};

use super::MOST_BYTES;

/// What a frame begins with; no text of a tag does …
const MAGIC: [u8; 3] = [0xF1, b'H', b'W'];
/// … and the version of all that follows.
const VERSION: u8 = 1;
/// The first bytes of the SHA-256 of the whole content.
pub(super) type FilmId = [u8; 8];
/// Magic, version and id; what RFC 6330 has of the whole (3.3.2 and 3.3.3) and of this frame
/// (3.2).
const BEFORE: usize = 4 + 8 + 12 + 4;
/// The check: CRC-32 (ISO/IEC 3309, as in PNG) of all before it.
const BEHIND: usize = 4;
/// The bytes of a frame besides its part of the film.
pub(super) const AROUND: usize = BEFORE + BEHIND;
/// The most parts that a film is divided into (K'_max in RFC 6330, 5.1.2).
pub(super) const MOST_PARTS: u64 = 56_403;
/// The numbers that a frame can have: 24 bits.
pub(super) const NUMBERS: u32 = 1 << 24;

/// What all frames of a film say alike.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Title {
    pub(super) id: FilmId,
    /// The bytes of the whole.
    pub(super) length: u64,
    /// The bytes of each part.
    pub(super) part: u16,
}

/// A frame that was read and is what was written.
#[derive(Debug, PartialEq, Eq)]
pub(super) enum Read<'a> {
    /// One of a film.
    Frame(Title, u32, &'a [u8]),
    /// One of a later version.
    Later,
    /// None, or spoilt.
    No,
}

impl Title {
    /// A title that a film can have.
    pub(super) fn new(id: FilmId, length: u64, part: u16) -> Option<Self> {
        let good = (1..=MOST_BYTES).contains(&length) && part > 0;
        let parts = length.div_ceil(u64::from(part).max(1));
        (good && parts <= MOST_PARTS).then_some(Self { id, length, part })
    }

    /// How many parts it has.
    pub(super) fn parts(&self) -> u32 {
        let parts = self.length.div_ceil(u64::from(self.part).max(1));
        u32::try_from(parts).unwrap_or(u32::MAX)
    }

    /// As RFC 6330 has it: one source block of one sub-block, aligned to bytes.
    pub(super) fn object(&self) -> ObjectTransmissionInformation {
        ObjectTransmissionInformation::new(self.length, self.part, 1, 1, 1)
    }

    /// The bytes of a frame.
    pub(super) fn frame(&self, number: u32, part: &[u8]) -> Vec<u8> {
        let mut bytes = Vec::with_capacity(AROUND + part.len());
        bytes.extend(MAGIC);
        bytes.push(VERSION);
        bytes.extend(self.id);
        bytes.extend(self.object().serialize());
        bytes.extend(PayloadId::new(0, number % NUMBERS).serialize());
        bytes.extend(part);
        bytes.extend(crc32fast::hash(&bytes).to_be_bytes());
        bytes
    }
}

/// Reads a frame: nothing of one that is spoilt.
pub(super) fn read(bytes: &[u8]) -> Read<'_> {
    match bytes.strip_prefix(&MAGIC).and_then(<[u8]>::split_first) {
        Some((&VERSION, _)) => whole(bytes).unwrap_or(Read::No),
        Some((later, _)) if *later > VERSION => Read::Later,
        _ => Read::No,
    }
}

fn whole(bytes: &[u8]) -> Option<Read<'_>> {
    let (before, check) = bytes.split_last_chunk::<BEHIND>()?;
    if crc32fast::hash(before).to_be_bytes() != *check {
        return None;
    }
    let (_, rest) = before.split_first_chunk::<4>()?;
    let (id, rest) = rest.split_first_chunk::<8>()?;
    let (object, rest) = rest.split_first_chunk::<12>()?;
    let (number, part) = rest.split_first_chunk::<4>()?;
    let [l0, l1, l2, l3, l4, _, p0, p1, ..] = *object;
    let length = u64::from_be_bytes([0, 0, 0, l0, l1, l2, l3, l4]);
    let title = Title::new(*id, length, u16::from_be_bytes([p0, p1]))?;
    let [block, high, middle, low] = *number;
    // Version 1 has one block, and a frame that says otherwise is none of its frames.
    let good = title.object().serialize() == *object && block == 0;
    let good = good && part.len() == usize::from(title.part);
    good.then(|| Read::Frame(title, u32::from_be_bytes([0, high, middle, low]), part))
}
