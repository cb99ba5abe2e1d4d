//! Watching a screen on which any film may be shown: what was left half seen is gone on with.

use super::{FilmError, Seen, Viewed, Viewer};

/// So many frames of another film in a row: the screen shows another one now.
const ANOTHER: u8 = 3;
/// The most films that are kept half seen besides the one in view; the oldest goes.
const MOST_LEFT: usize = 3;
/// A film is to be kept after each so many-th part of it.
const KEPT_EACH: u32 = 8;

/// Watches whatever film is in view.
#[derive(Debug, Clone, Default)]
pub struct Watch {
    viewer: Viewer,
    /// Those left half seen, the oldest first.
    left: Vec<Viewer>,
    others: u8,
    /// How far the film in view was when it was kept last.
    kept: u32,
}

impl Watch {
    /// One that goes on with films that were kept by [`Watch::kept`]; what is none is left.
    #[must_use]
    pub fn new(kept: &[Vec<u8>]) -> Self {
        let left = kept.iter().filter_map(|bytes| Viewer::go_on(bytes).ok());
        Self { left: left.collect(), ..Self::default() }
    }

    /// Takes what a symbol in the picture has. The first frame says which film; once frames of
    /// another come one after the other, that one is watched, and this one stays half seen.
    pub fn see(&mut self, bytes: &[u8]) -> Seen {
        if self.viewer.viewed().needed == 0 {
            self.turn_to(bytes);
        }
        let seen = self.viewer.see(bytes);
        match seen {
            Seen::OtherFilm if self.others + 1 >= ANOTHER => {
                self.turn_to(bytes);
                self.viewer.see(bytes)
            }
            Seen::OtherFilm => {
                self.others += 1;
                seen
            }
            Seen::Later | Seen::NoFrame => seen,
            Seen::New | Seen::Known | Seen::Last | Seen::Wrong => {
                self.others = 0;
                seen
            }
        }
    }

    /// The film of a frame is in view from here on, as far as it was seen before.
    fn turn_to(&mut self, frame: &[u8]) {
        let known = self.left.iter().position(|viewer| viewer.is_of(frame));
        let next = known.map(|at| self.left.remove(at)).unwrap_or_default();
        let before = std::mem::replace(&mut self.viewer, next);
        if before.is_half() {
            self.left.push(before);
        }
        let over = self.left.len().saturating_sub(MOST_LEFT);
        self.left.drain(..over);
        (self.others, self.kept) = (0, self.viewer.viewed().had);
    }

    /// How far the film in view is.
    #[must_use]
    pub fn viewed(&self) -> Viewed {
        self.viewer.viewed()
    }

    /// How far the films are that were left half seen.
    #[must_use]
    pub fn left(&self) -> Vec<Viewed> {
        self.left.iter().map(Viewer::viewed).collect()
    }

    /// What was filmed, once it is whole.
    ///
    /// # Errors
    /// [`FilmError`] that says what is missing.
    pub fn content(&self) -> Result<&[u8], FilmError> {
        self.viewer.content()
    }

    /// Whether the film in view was seen so much further that it is to be kept again.
    #[must_use]
    pub fn is_to_be_kept(&self) -> bool {
        let Viewed { had, needed, .. } = self.viewed();
        had > self.kept && (had - self.kept) * KEPT_EACH >= needed
    }

    /// All that was seen of films that are not whole yet, to go on with by [`Watch::new`].
    #[must_use]
    pub fn kept(&mut self) -> Vec<Vec<u8>> {
        self.kept = self.viewed().had;
        let half = Some(&self.viewer).filter(|viewer| viewer.is_half());
        self.left.iter().chain(half).map(Viewer::kept).collect()
    }

    /// Forgets the film that is whole, once it came in: another can be watched.
    pub fn done(&mut self) {
        if !self.viewer.is_half() {
            (self.viewer, self.others, self.kept) = (Viewer::new(), 0, 0);
        }
    }
}
