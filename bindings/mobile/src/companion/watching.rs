//! Another device's film before this phone's camera: what each frame does, how far it is, and
//! what is kept of it.

use hosewright_core::LogbookError;
use hosewright_core::file::InMemory;
use hosewright_core::journal::{Viewed, Watch};
use hosewright_core::tag::{Frame, Reader};
use hosewright_core::words::sight;

use super::page::{Brought, Page, State};
use super::shown::Follows;
use super::touch::Touch;
use crate::reading::Hint;
use crate::{RefusedError, Words};

/// A film that is watched, as a page shows it.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct WatchingShown {
    /// How it is done.
    pub lead: Words,
    /// Films that are half seen and can be gone on with.
    pub halves: Vec<Words>,
    /// Whether the camera looks; not any more once a film is whole.
    pub looks: bool,
    /// How far the film in view is by then; frames bring it on.
    pub seen: FilmSeen,
}

/// What a frame of the camera came to.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct FilmSeen {
    /// How far the film is; it changes with many frames, and is not read out.
    pub far: Words,
    /// How many of its parts were seen.
    pub had: u32,
    /// How many it takes; none before its first frame.
    pub needed: u32,
    /// What is said of it: it stays long enough to be read, and is read out when it changes.
    pub said: Words,
    /// What the page is touched with now.
    pub touch: Option<Touch>,
}

/// What a page's camera watches.
#[derive(Default)]
pub(super) struct Watching {
    reader: Reader,
    watch: Watch,
    looks: bool,
    hint: Hint,
    /// How far it was in tenths, when that was said last, and what was said.
    told: Option<(u64, String)>,
    /// In which tenth it was asked last to keep what was seen.
    kept: Option<u64>,
}

#[uniffi::export]
impl Page {
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

impl Watching {
    fn see(&mut self, frame: &Frame<'_>) -> FilmSeen {
        let mut touch = None;
        if self.looks {
            let sighted = self.watch.look(&mut self.reader, frame);
            self.hint.see(sighted.seen.and_then(sight::seen).or(sighted.obstacle.map(sight::hint)));
            touch = self.touched();
        }
        FilmSeen { touch, ..self.seen() }
    }

    fn seen(&mut self) -> FilmSeen {
        let viewed = self.watch.viewed();
        let said = self.said(&viewed);
        let Viewed { had, needed, .. } = viewed;
        FilmSeen { far: sight::viewed(&viewed).into(), had, needed, said, touch: None }
    }

    /// A film that is whole comes in; one that came a good deal further is kept, and asked so
    /// once, also where it can't be.
    fn touched(&mut self) -> Option<Touch> {
        let viewed = self.watch.viewed();
        if is_whole(&viewed) {
            self.looks = false;
            return Some(Touch::FilmSeen);
        }
        let tenth = tenth(&viewed);
        let keep = self.watch.is_to_be_kept() && self.kept != Some(tenth);
        keep.then(|| {
            self.kept = Some(tenth);
            Touch::KeepFilm
        })
    }

    fn said(&mut self, viewed: &Viewed) -> Words {
        if let Some(odd) = self.hint.words {
            return odd.into();
        }
        let tenth = tenth(viewed);
        if self.told.as_ref().is_none_or(|(told, _)| *told != tenth) {
            self.told = Some((tenth, sight::viewed(viewed)));
        }
        self.told.as_ref().map(|(_, said)| said.as_str().into()).unwrap_or_default()
    }

    /// What was filmed, as a bundle.
    pub(super) fn bundle(&self) -> Result<InMemory, RefusedError> {
        let content = self.watch.content().map_err(LogbookError::from)?;
        Ok(InMemory::new("the film", content))
    }

    fn shown(&mut self) -> WatchingShown {
        let half = |viewed: &Viewed| viewed.had > 0 && !is_whole(viewed);
        let all = self.watch.left().into_iter().chain([self.watch.viewed()]);
        WatchingShown {
            lead: sight::WATCHED_LEAD.into(),
            halves: Words::all(all.filter(half).map(|half| sight::left(&half))),
            looks: self.looks,
            seen: self.seen(),
        }
    }
}

impl Page {
    /// Begins to watch, the first time that the page is looked at, where it was left.
    pub(super) fn watch(&self, state: &mut State) -> Result<(), RefusedError> {
        let mut watching = self.watching();
        if !state.looked {
            watching.watch = self.record.book()?.core().watch()?;
            (watching.looks, state.looked) = (true, true);
        }
        state.follows = watching.looks.then_some(Follows::Camera);
        state.shown.watching = Some(watching.shown());
        Ok(())
    }

    /// Keeps what was half seen. What is whole comes in, or is watched again.
    pub(super) fn keep_half(&self) -> Result<(), RefusedError> {
        let mut watching = self.watching();
        let viewed = watching.watch.viewed();
        if is_whole(&viewed) || (viewed.needed == 0 && watching.watch.left().is_empty()) {
            return Ok(());
        }
        Ok(self.record.book()?.core().keep_watch(&mut watching.watch)?)
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
        watching.watch.done();
        self.record.book()?.core().keep_watch(&mut watching.watch)?;
        state.shown.watching = Some(watching.shown());
        Ok(())
    }

    /// Another film is watched, or the same again.
    pub(super) fn watch_on(&self, state: &mut State) {
        state.put_away();
        let mut watching = self.watching();
        watching.watch.done();
        (watching.looks, watching.hint, watching.told) = (true, Hint::default(), None);
        state.shown.said.clear();
        state.shown.lacks = None;
        state.shown.watching = Some(watching.shown());
        state.follows = Some(Follows::Camera);
    }

    /// Forgets what was half seen, here and on disk.
    pub(super) fn forget_half(&self, state: &mut State) -> Result<(), RefusedError> {
        let mut watching = self.watching();
        let mut none = Watch::default();
        self.record.book()?.core().keep_watch(&mut none)?;
        (watching.watch, watching.told, watching.kept) = (none, None, None);
        state.shown.said = vec![sight::FORGOTTEN.into()];
        state.shown.watching = Some(watching.shown());
        Ok(())
    }
}

const fn is_whole(viewed: &Viewed) -> bool {
    viewed.needed > 0 && viewed.had >= viewed.needed
}

/// How far a film is, in tenths; more than ten before its first frame.
fn tenth(viewed: &Viewed) -> u64 {
    match viewed.needed {
        0 => u64::MAX,
        needed => 10 * u64::from(viewed.had) / u64::from(needed),
    }
}
