//! The film as another device's camera sees it.

use std::collections::BTreeMap;
use std::path::PathBuf;

use raptorq::{EncodingPacket, PayloadId, SourceBlockDecoder};

use super::FilmError;
use super::frame::{self, Read, Title};
use super::shown::id_of;
use crate::file::InMemory;

/// What a frame was to the one who saw it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Seen {
    /// One that brought it on.
    New,
    /// One that it had, or could do without.
    Known,
    /// The one that was still missing: the film is whole.
    Last,
    /// One of another film.
    OtherFilm,
    /// One of a film of a later version.
    Later,
    /// No frame, or a spoilt one.
    NoFrame,
    /// All that was had made up something else than was filmed, though each frame passed its
    /// check: all of it is forgotten, and the film is looked at from the start.
    Wrong,
}

/// How far a film was seen.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Viewed {
    /// How many of its parts; none before its first frame.
    pub had: u32,
    /// How many it takes: seldom one more, very seldom two.
    pub needed: u32,
    /// How many frames were of something else, or spoilt.
    pub ignored: u64,
}

/// Puts a film together. The first frame says which film; those of others are left.
#[derive(Debug, Clone, Default)]
pub struct Viewer {
    title: Option<Title>,
    parts: BTreeMap<u32, Vec<u8>>,
    whole: Option<Vec<u8>>,
    ignored: u64,
    later: bool,
}

impl Viewer {
    /// One that has seen nothing yet.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// Takes what a symbol in the picture has.
    pub fn see(&mut self, bytes: &[u8]) -> Seen {
        let seen = match frame::read(bytes) {
            Read::Frame(title, number, part) => self.take(title, number, part),
            Read::Later => {
                self.later = true;
                Seen::Later
            }
            Read::No => Seen::NoFrame,
        };
        if matches!(seen, Seen::OtherFilm | Seen::Later | Seen::NoFrame) {
            self.ignored = self.ignored.saturating_add(1);
        }
        seen
    }

    fn take(&mut self, title: Title, number: u32, part: &[u8]) -> Seen {
        if *self.title.get_or_insert(title) != title {
            return Seen::OtherFilm;
        }
        if self.whole.is_some() || self.parts.contains_key(&number) {
            return Seen::Known;
        }
        self.parts.insert(number, part.to_vec());
        let needed = usize::try_from(title.parts()).unwrap_or(usize::MAX);
        if self.parts.len() < needed {
            return Seen::New;
        }
        match put_together(&title, &self.parts) {
            None => Seen::New,
            Some(whole) if id_of(&whole) == title.id => {
                self.parts.clear();
                self.whole = Some(whole);
                Seen::Last
            }
            Some(_) => {
                self.parts.clear();
                Seen::Wrong
            }
        }
    }

    /// How far it is.
    #[must_use]
    pub fn viewed(&self) -> Viewed {
        let needed = self.title.map_or(0, |title| title.parts());
        let had = match self.whole {
            Some(_) => needed,
            None => u32::try_from(self.parts.len()).unwrap_or(u32::MAX),
        };
        Viewed { had, needed, ignored: self.ignored }
    }

    /// Whether a frame is of this film.
    pub(super) fn is_of(&self, frame: &[u8]) -> bool {
        matches!(frame::read(frame), Read::Frame(title, ..) if self.title == Some(title))
    }

    /// Whether some of it was seen and not all.
    pub(super) fn is_half(&self) -> bool {
        self.whole.is_none() && !self.parts.is_empty()
    }

    /// What was filmed, once it is whole.
    ///
    /// # Errors
    /// [`FilmError`] that says what is missing.
    pub fn content(&self) -> Result<&[u8], FilmError> {
        let Viewed { had, needed, .. } = self.viewed();
        self.whole.as_deref().ok_or(match self.title {
            Some(_) => FilmError::NotWhole { had, needed },
            None if self.later => FilmError::TooNew,
            None => FilmError::NothingSeen,
        })
    }

    /// What was filmed, once it is whole, as a bundle that is called so in errors.
    ///
    /// # Errors
    /// As [`Viewer::content`].
    pub fn bundle(&self, name: impl Into<PathBuf>) -> Result<InMemory, FilmError> {
        Ok(InMemory::new(name, self.content()?))
    }

    /// The frames that it has, as they were shown.
    pub(super) fn frames(&self) -> Vec<Vec<u8>> {
        let Some(title) = self.title else { return Vec::new() };
        let part = usize::from(title.part);
        let whole = self.whole.as_deref().unwrap_or_default().chunks(part.max(1)).map(|bytes| {
            let mut bytes = bytes.to_vec();
            bytes.resize(part, 0);
            bytes
        });
        let whole = (0..).zip(whole).map(|(number, part)| title.frame(number, &part));
        whole.chain(self.parts.iter().map(|(number, part)| title.frame(*number, part))).collect()
    }
}

/// The content, if the parts are enough for it.
fn put_together(title: &Title, parts: &BTreeMap<u32, Vec<u8>>) -> Option<Vec<u8>> {
    let block = u64::from(title.parts()) * u64::from(title.part);
    let mut decoder = SourceBlockDecoder::new(0, &title.object(), block);
    let packet = |(number, part): (&u32, &Vec<u8>)| {
        EncodingPacket::new(PayloadId::new(0, *number), part.clone())
    };
    let mut content = decoder.decode(parts.iter().map(packet))?;
    content.truncate(usize::try_from(title.length).ok()?);
    Some(content)
}
