//! The film that a screen shows.

use std::sync::OnceLock;

use raptorq::SourceBlockEncoder;
use sha2::{Digest, Sha256};

use super::frame::{FilmId, MOST_PARTS, NUMBERS, Title};
use super::{FilmError, FilmSize, MOST_BYTES};
use crate::tag::Symbol;

/// A film: as many frames as a viewer may need, each the same whenever it is asked for.
#[derive(Debug, Clone)]
pub struct Film {
    title: Title,
    size: FilmSize,
    /// Filled up with zeros to whole parts.
    content: Vec<u8>,
    /// Made when a frame is first asked for that makes up for lost ones: it takes a while for
    /// long films.
    encoder: OnceLock<SourceBlockEncoder>,
}

/// What a film is known by.
pub(super) fn id_of(content: &[u8]) -> FilmId {
    let mut id = FilmId::default();
    id.iter_mut().zip(Sha256::digest(content)).for_each(|(byte, of)| *byte = of);
    id
}

impl Film {
    /// A film of some bytes, in symbols of a size or a little smaller ones.
    ///
    /// # Errors
    /// [`FilmError`] if there are none, or too many.
    pub fn new(content: &[u8], size: FilmSize) -> Result<Self, FilmError> {
        let bytes = content.len();
        let length = u64::try_from(bytes).unwrap_or(u64::MAX);
        if bytes == 0 {
            return Err(FilmError::Empty);
        }
        if length > MOST_BYTES {
            return Err(FilmError::TooLong { bytes });
        }
        let too_small = || FilmError::TooSmall { bytes, modules: size.modules() };
        let parts = bytes.div_ceil(size.bytes().max(1));
        if u64::try_from(parts).unwrap_or(u64::MAX) > MOST_PARTS {
            return Err(too_small());
        }
        // As many parts as it takes, and none of them emptier than the others.
        let part = u16::try_from(bytes.div_ceil(parts)).map_err(|_| too_small())?;
        let title = Title::new(id_of(content), length, part).ok_or_else(too_small)?;
        let mut content = content.to_vec();
        content.resize(content.len().next_multiple_of(part.into()), 0);
        Ok(Self { title, size, content, encoder: OnceLock::new() })
    }

    /// How many frames have all of it, if none is lost: the first so many, which have its bytes
    /// as they are. Those behind them make up for any that were lost.
    #[must_use]
    pub fn parts(&self) -> u32 {
        self.title.parts()
    }

    /// How many bytes it has.
    #[must_use]
    pub const fn bytes(&self) -> u64 {
        self.title.length
    }

    /// What it is a film of.
    #[must_use]
    pub fn content(&self) -> &[u8] {
        let length = usize::try_from(self.title.length).ok();
        length.and_then(|length| self.content.get(..length)).unwrap_or(&self.content)
    }

    /// How many frames a picture that moves has before it begins again: half as many again as it
    /// takes, and a few, to make up for lost ones; a film of one part stands still.
    #[must_use]
    pub fn round(&self) -> u32 {
        match self.parts() {
            1 => 1,
            parts => parts.saturating_add(parts / 2).saturating_add(4),
        }
    }

    /// The bytes of a frame; there is no last one.
    #[must_use]
    pub fn frame(&self, number: u64) -> Vec<u8> {
        let number = u32::try_from(number % u64::from(NUMBERS)).unwrap_or(0);
        let at = usize::try_from(number).unwrap_or(usize::MAX);
        if let Some(part) = self.content.chunks(usize::from(self.title.part)).nth(at) {
            return self.title.frame(number, part);
        }
        let begin = || SourceBlockEncoder::new(0, &self.title.object(), &self.content);
        let repair = self.encoder.get_or_init(begin).repair_packets(number - self.parts(), 1);
        let part = repair.first().map(raptorq::EncodingPacket::data).unwrap_or_default();
        self.title.frame(number, part)
    }

    /// The symbol of a frame. All of them are of one size.
    ///
    /// # Errors
    /// [`FilmError::NotDrawn`]; not to be expected, since a frame's size is chosen to fit.
    pub fn symbol(&self, number: u64) -> Result<Symbol, FilmError> {
        let drawn = Symbol::of_bytes(&self.frame(number), self.size.version(), self.size.level());
        drawn.map_err(|error| FilmError::NotDrawn(error.to_string()))
    }
}
