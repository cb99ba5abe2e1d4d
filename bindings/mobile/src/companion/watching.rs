//! Another device's film before this phone's camera: what each frame does, how far it is, and
//! what is kept of it.

use hosewright_core::LogbookError;
use hosewright_core::file::InMemory;
use hosewright_core::journal::{Viewed, Watch};
use hosewright_core::tag::{Frame, Reader};
use hosewright_core::words::sight;

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
    /// How far the film is, or what is to be done so that it goes on; the latter stays long
    /// enough to be read.
    pub said: Words,
    /// What is read out now to who does not see it: seldom, and once.
    pub aloud: Option<Words>,
    /// How many of its parts were seen.
    pub had: u32,
    /// How many it takes; none before its first frame.
    pub needed: u32,
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
    /// What was read out last.
    told: Option<Told>,
    /// In which tenth it was asked last to keep what was seen.
    kept: Option<u64>,
}

/// What is read out: once, until it is something else.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Told {
    /// What is to be done.
    Odd(&'static str),
    /// How far it is, in tenths.
    Tenth(u64),
}

impl Watching {
    /// Begins to watch, where it was left.
    pub(super) fn begin(&mut self, watch: Watch) {
        (self.watch, self.looks) = (watch, true);
    }

    pub(super) fn see(&mut self, frame: &Frame<'_>) -> FilmSeen {
        let mut touch = None;
        if self.looks {
            let sighted = self.watch.look(&mut self.reader, frame);
            self.hint.see(sighted.seen.and_then(sight::seen).or(sighted.obstacle.map(sight::hint)));
            touch = self.touched();
        }
        let now = match self.hint.words {
            Some(odd) => Told::Odd(odd),
            None => Told::Tenth(tenth(&self.watch.viewed())),
        };
        let seen = self.seen();
        let aloud = (self.told != Some(now)).then(|| seen.said.clone());
        self.told = Some(now);
        FilmSeen { aloud, touch, ..seen }
    }

    fn seen(&self) -> FilmSeen {
        let viewed = self.watch.viewed();
        let said = self.hint.words.map_or_else(|| sight::viewed(&viewed).into(), Into::into);
        let Viewed { had, needed, .. } = viewed;
        FilmSeen { said, aloud: None, had, needed, touch: None }
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

    /// What was filmed, as a bundle.
    pub(super) fn bundle(&self) -> Result<InMemory, RefusedError> {
        let content = self.watch.content().map_err(LogbookError::from)?;
        Ok(InMemory::new("the film", content))
    }

    /// What it has half seen, if there is any to be kept. What is whole comes in, or is watched
    /// again.
    pub(super) fn half(&mut self) -> Option<&mut Watch> {
        let viewed = self.watch.viewed();
        let none = is_whole(&viewed) || (viewed.needed == 0 && self.watch.left().is_empty());
        (!none).then_some(&mut self.watch)
    }

    /// The film that is whole came in.
    pub(super) fn done(&mut self) -> &mut Watch {
        self.watch.done();
        &mut self.watch
    }

    /// Watches another film, or the same again.
    pub(super) fn go_on(&mut self) {
        self.watch.done();
        (self.looks, self.hint, self.told) = (true, Hint::default(), None);
    }

    /// What was half seen is forgotten.
    pub(super) fn forget(&mut self) {
        (self.watch, self.told, self.kept) = (Watch::default(), None, None);
    }

    pub(super) fn shown(&self) -> WatchingShown {
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
