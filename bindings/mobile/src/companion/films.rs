//! What touches and frames do on the pages that show a film and watch one.

use hosewright_core::journal::Watch;
use hosewright_core::tag::Frame;
use hosewright_core::words::sight;

use super::film::{FilmOf, FilmStrip, Showing};
use super::page::{Brought, Page, State};
use super::shown::Follows;
use super::watching::FilmSeen;
use crate::{Moment, RefusedError};

#[uniffi::export]
impl Page {
    /// The next frames of the film that is shown, from one on; there is no last one. It
    /// blocks, and needs no record; empty if no film is shown.
    ///
    /// # Errors
    /// [`RefusedError`] if a frame can't be drawn.
    pub fn strip(&self, from: u64) -> Result<FilmStrip, RefusedError> {
        let film = self.showing().as_ref().map(Showing::film);
        film.map_or_else(|| Ok(FilmStrip::default()), |film| FilmStrip::of(&film, from))
    }

    /// Takes the next frame of the camera into the film that is watched: grey, as
    /// [`crate::FilmReader::read`] takes it. Called from the camera's own thread, one frame
    /// after another; it needs no record.
    ///
    /// # Errors
    /// [`RefusedError::Input`] if the sizes and the bytes do not agree.
    pub fn watched(
        &self,
        luma: &[u8],
        width: u32,
        height: u32,
        stride: u32,
    ) -> Result<FilmSeen, RefusedError> {
        let frame = Frame::new(luma, width, height, stride)?;
        Ok(self.watching().see(&frame))
    }
}

impl Page {
    /// Begins the film of a page, the first time that it is looked at.
    pub(super) fn show(
        &self,
        state: &mut State,
        of: &FilmOf,
        calm: bool,
        now: &Moment,
    ) -> Result<(), RefusedError> {
        let mut showing = self.showing();
        let showing = match &mut *showing {
            Some(showing) => showing,
            none => none.insert(Showing::of(&*self.record.book()?, of, calm, now)?),
        };
        state.shown.film = Some(showing.shown());
        Ok(())
    }

    /// Shows the film at another pace.
    pub(super) fn goes_at(&self, state: &mut State, pace: &str) -> Result<(), RefusedError> {
        if let Some(showing) = &mut *self.showing() {
            showing.goes_at(pace)?;
            state.shown.film = Some(showing.shown());
        }
        Ok(())
    }

    /// Begins to watch, the first time that the page is looked at, where it was left.
    pub(super) fn watch(&self, state: &mut State) -> Result<(), RefusedError> {
        let mut watching = self.watching();
        if !state.looked {
            watching.begin(self.record.book()?.core().watch()?);
            state.looked = true;
        }
        let shown = watching.shown();
        state.follows = shown.looks.then_some(Follows::Camera);
        state.shown.watching = Some(shown);
        Ok(())
    }

    /// Keeps what was half seen.
    pub(super) fn keep_half(&self) -> Result<(), RefusedError> {
        let mut watching = self.watching();
        let Some(half) = watching.half() else { return Ok(()) };
        Ok(self.record.book()?.core().keep_watch(half)?)
    }

    /// A film is whole: whose it is and how much is in it is asked about, if anything is.
    pub(super) fn film_seen(&self, state: &mut State) -> Result<(), RefusedError> {
        state.shown.watching = Some(self.watching().shown());
        self.ask_about(state, Brought::Film)?;
        let (words, well, all) = (sight::SEEN.into(), true, false);
        state.follows = Some(Follows::Ticked { words, well, all });
        Ok(())
    }

    /// A film came in that brought so many entries: what was kept of it goes.
    pub(super) fn film_came_in(&self, state: &mut State, new: u64) -> Result<(), RefusedError> {
        if new == 0 {
            state.shown.said.push(sight::NOTHING_NEW.into());
        }
        let mut watching = self.watching();
        self.record.book()?.core().keep_watch(watching.done())?;
        state.shown.watching = Some(watching.shown());
        Ok(())
    }

    /// Another film is watched, or the same again.
    pub(super) fn watch_on(&self, state: &mut State) {
        state.put_away();
        let mut watching = self.watching();
        watching.go_on();
        state.shown.said.clear();
        state.shown.lacks = None;
        state.shown.watching = Some(watching.shown());
        state.follows = Some(Follows::Camera);
    }

    /// Forgets what was half seen, here and on disk.
    pub(super) fn forget_half(&self, state: &mut State) -> Result<(), RefusedError> {
        let mut watching = self.watching();
        self.record.book()?.core().keep_watch(&mut Watch::default())?;
        watching.forget();
        state.shown.said = vec![sight::FORGOTTEN.into()];
        state.shown.watching = Some(watching.shown());
        Ok(())
    }
}
