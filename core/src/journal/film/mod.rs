//! A film: a bundle's bytes as QR symbols that one screen shows and another device's camera
//! reads. Any of them do, in any order, as long as there are enough (`RaptorQ`, RFC 6330).
//!
//! The bytes of a frame are a promise and are in DEVELOPERS.md. Each frame has a check of its
//! own, and what comes of all of them counts only if it is what the film's number says.

mod frame;
mod half;
mod kept;
mod look;
mod pace;
mod picture;
mod shown;
mod size;
mod strip;
mod viewed;
mod watch;

pub use half::{half_films, keep_half_films};
pub use look::Sighted;
pub use pace::FilmPace;
pub use shown::Film;
pub use size::FilmSize;
pub use viewed::{Seen, Viewed, Viewer};
pub use watch::Watch;

use thiserror::Error;

use crate::tag::PictureError;

/// The most bytes of a film: half an hour, and as much memory as a phone has to spare.
const MOST_BYTES: u64 = 8 << 20;

#[cfg(test)]
mod tests;
#[cfg(test)]
mod watch_tests;

/// Why there is no film, or nothing can be had of one.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum FilmError {
    /// There is nothing to show.
    #[error("there is nothing to show; a film has at least a byte")]
    Empty,
    /// It would take too long.
    #[error(
        "{bytes} bytes are too many for a film, which has at most {MOST_BYTES}: show what the other \
         lacks, or write a bundle into a file"
    )]
    TooLong {
        /// How many it would be.
        bytes: usize,
    },
    /// The symbols would be too small for so much.
    #[error("{bytes} bytes are too many for symbols of {modules} modules; choose larger ones")]
    TooSmall {
        /// How many it would be.
        bytes: usize,
        /// Modules a side.
        modules: u32,
    },
    /// There are no such symbols.
    #[error(
        "a film's symbols have 57 to 177 modules a side, in steps of 4 (such as 57, 61, 65); \
         {modules} is not one of them"
    )]
    BadSize {
        /// What was asked for.
        modules: u32,
    },
    /// A symbol cannot be drawn.
    #[error("a frame cannot be drawn: {0}")]
    NotDrawn(String),
    /// Not enough of it was seen.
    #[error("the film is not whole yet: {had} of {needed} parts were seen; go on looking at it")]
    NotWhole {
        /// How many different parts.
        had: u32,
        /// How many it takes.
        needed: u32,
    },
    /// No frame was seen.
    #[error("no frame of a film was seen")]
    NothingSeen,
    /// The film is of a later version.
    #[error("a later Hosewright shows this film; update this program and look at it again")]
    TooNew,
    /// A picture cannot be read.
    #[error(transparent)]
    Picture(#[from] PictureError),
    /// What was kept is something else.
    #[error("this is not what was kept of a film")]
    NotKept,
}
