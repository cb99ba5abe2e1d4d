//! How fast a film goes and how large its squares are.

use super::FilmSize;
use crate::hose::words;
use crate::tag::Level;

words!(
    /// How a film is shown. The README says what each reaches.
    FilmPace, "pace of a film", {
        /// For a camera that is near.
        Usual = "usual",
        /// Larger squares, more slowly: for a camera further away, or one that sees less.
        Far = "far",
        /// No more than two changes a second: for whoever flickering light disturbs. Three flashes
        /// a second is where WCAG 2.2 (2.3.1) sees the danger begin.
        Calm = "calm",
    }
);

impl FilmPace {
    /// Frames a second.
    #[must_use]
    pub const fn rate(self) -> u16 {
        match self {
            Self::Usual => 15,
            Self::Far => 12,
            Self::Calm => 2,
        }
    }

    /// How large its symbols are: at the usual pace and the calm one alike, so that a film goes
    /// on from one to the other.
    #[must_use]
    pub fn size(self) -> FilmSize {
        match self {
            Self::Usual | Self::Calm => FilmSize::default(),
            Self::Far => FilmSize::new(65, Level::L).unwrap_or_default(),
        }
    }
}
