//! A film on this phone's screen, for the camera of another device. It is made once, and the
//! record may go on while it is shown.

use std::sync::Arc;

use hosewright_core::LogbookError;
use hosewright_core::file::InMemory;
use hosewright_core::journal::{Film, FilmPace};
use hosewright_core::words::sight;

use crate::{Logbook, Moment, RefusedError, Words};

/// How many frames a screen gets at once: two seconds of them at the usual pace.
const STRIP: u32 = 30;

/// What a film is of.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Enum)]
pub enum FilmOf {
    /// Everything that is here.
    Everything,
    /// Which entries are here, without the entries: nearly always a symbol that stands still.
    Holdings,
    /// What another device lacks.
    Rest {
        /// What it has, as it said last.
        has: Vec<u8>,
    },
}

/// A film as a screen shows it. It begins and pauses by a touch, since it flickers.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct FilmShown {
    /// What it has and how long it takes.
    pub words: Words,
    /// That it flickers, or how it goes where the phone asks for less movement; nothing of a
    /// film that stands still.
    pub caution: Option<Words>,
    /// How it is held.
    pub hold: Words,
    /// Whether it is one symbol, which stands still and is shown at once.
    pub still: bool,
    /// Frames a second.
    pub rate: u16,
    /// The paces that it can be shown at; none if there is nothing to choose.
    pub paces: Vec<PaceShown>,
}

/// A pace that a film can be shown at.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct PaceShown {
    /// Which.
    pub pace: String,
    /// The same in words.
    pub words: Words,
    /// Whether it is shown so now.
    pub chosen: bool,
}

/// Frames of a film, to be drawn with four modules of quiet around them.
#[derive(Debug, Clone, Default, PartialEq, Eq, uniffi::Record)]
pub struct FilmStrip {
    /// Modules a side.
    pub side: u32,
    /// Each row by row, a bit a module, dark as 1, the first module the highest bit.
    pub frames: Vec<Vec<u8>>,
}

/// The film that a page shows.
pub(super) struct Showing {
    film: Arc<Film>,
    entries: u64,
    pace: FilmPace,
    calm: bool,
}

impl Showing {
    /// Begins a film.
    pub(super) fn of(
        book: &Logbook,
        of: &FilmOf,
        calm: bool,
        now: &Moment,
    ) -> Result<Self, RefusedError> {
        let pace = if calm { FilmPace::Calm } else { FilmPace::Usual };
        let (film, entries) = book.film(of, pace, now)?;
        Ok(Self { film: Arc::new(film), entries, pace, calm })
    }

    /// Shows it at another pace. Frames of one size are of one film, at any pace.
    pub(super) fn goes_at(&mut self, pace: &str) -> Result<(), RefusedError> {
        let pace: FilmPace = pace.parse().map_err(LogbookError::from)?;
        if pace.size() != self.pace.size() {
            let film = Film::new(self.film.content(), pace.size());
            self.film = Arc::new(film.map_err(LogbookError::from)?);
        }
        self.pace = pace;
        Ok(())
    }

    pub(super) fn film(&self) -> Arc<Film> {
        Arc::clone(&self.film)
    }

    pub(super) fn shown(&self) -> FilmShown {
        let still = self.film.parts() == 1;
        let caution = if self.calm { sight::CALM } else { sight::FLICKER };
        let pace = |pace: &FilmPace| PaceShown {
            pace: pace.word().to_owned(),
            words: sight::pace(*pace).into(),
            chosen: *pace == self.pace,
        };
        let paces = FilmPace::ALL.iter().filter(|_| !still && !self.calm);
        FilmShown {
            words: sight::film(self.entries, &self.film, self.pace).into(),
            caution: (!still).then(|| caution.into()),
            hold: sight::HOLD.into(),
            still,
            rate: self.pace.rate(),
            paces: paces.map(pace).collect(),
        }
    }
}

impl FilmStrip {
    /// So many frames of a film, from one on.
    pub(super) fn of(film: &Film, from: u64) -> Result<Self, RefusedError> {
        let strip = film.strip(from, STRIP).map_err(LogbookError::from)?;
        let Some((side, frames)) = strip.split_first() else { return Ok(Self::default()) };
        let side = u32::from(*side);
        let length = usize::try_from((side * side).div_ceil(8).max(1)).unwrap_or(usize::MAX);
        Ok(Self { side, frames: frames.chunks(length).map(<[u8]>::to_vec).collect() })
    }
}

impl Logbook {
    /// A film, and how many entries it has.
    fn film(&self, of: &FilmOf, pace: FilmPace, now: &Moment) -> Result<(Film, u64), RefusedError> {
        let (core, today) = (self.core(), now.core()?.today);
        Ok(match of {
            FilmOf::Everything => core.film(None, pace.size(), today, |_| ())?,
            FilmOf::Holdings => (core.film_of_holdings(pace.size(), today)?, 0),
            FilmOf::Rest { has } => {
                let has = core.bundle_header(&InMemory::new("what it has", has.as_slice()))?;
                core.film(Some(&has), pace.size(), today, |_| ())?
            }
        })
    }
}

/// How two devices meet by sight, a sentence a line.
pub(super) fn by_sight() -> Vec<Words> {
    let steps = sight::STEPS.iter().zip(1..).map(|(step, at)| format!("{at}. {step}"));
    Words::all([sight::LEAD.to_owned()].into_iter().chain(steps))
}
