//! The logbook: opened, asked for answers, and told of care.

use std::path::PathBuf;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use hosewright_core::answer;
use hosewright_core::device::FolderKeyring;
use hosewright_core::hose::{End, Label};
use hosewright_core::tag::Code;
use hosewright_core::{Found, Logbook as Core, LogbookError, words};
use rand::SeedableRng;
use rand::rngs::{StdRng, SysRng};

use crate::answer::COUPLING;
use crate::drafts::Drafts;
use crate::{Answer, HistoryLine, Moment, Obstacle, Place, RefusedError};

/// The record in one file. Every call blocks; call it from a worker thread.
#[derive(uniffi::Object)]
pub struct Logbook {
    core: Mutex<Core>,
    pub(crate) drafts: Drafts,
}

#[uniffi::export]
impl Logbook {
    /// Opens the record, and begins one if there is none.
    ///
    /// # Errors
    /// [`RefusedError::Store`] with what blocks it.
    #[uniffi::constructor]
    pub fn open(place: Place) -> Result<Arc<Self>, RefusedError> {
        let store = PathBuf::from(place.store);
        let random = StdRng::try_from_rng(&mut SysRng).map_err(|e| no_chance(&e.to_string()))?;
        let keys = Box::new(FolderKeyring::new(place.keys));
        let unfinished = |source| LogbookError::Io { path: store.clone(), source };
        crate::salvage::finish_change(&store).map_err(unfinished)?;
        let core = Core::open(&store, Box::new(random), keys)?;
        Ok(Arc::new(Self { core: Mutex::new(core), drafts: Drafts::of_store(&store) }))
    }

    /// Answers for something typed: a code, the beginning of one, a bound
    /// barcode, or the text of a tag.
    ///
    /// # Errors
    /// [`RefusedError`] if no hose is found, or the store cannot be read.
    pub fn answer(&self, typed: String, moment: Moment) -> Result<Answer, RefusedError> {
        let core = self.core();
        shown(&core, core.answer_typed(&typed, &moment.core()?)?)
    }

    /// Answers for the texts that were seen in one frame. Other people's codes
    /// beside one of our tags are passed over.
    ///
    /// # Errors
    /// [`RefusedError`] if they name no hose or several, or the store cannot
    /// be read.
    pub fn answer_seen(&self, texts: Vec<String>, moment: Moment) -> Result<Answer, RefusedError> {
        let core = self.core();
        shown(&core, core.answer_seen(&texts, &moment.core()?)?)
    }

    /// What a set's own tag answers: the whole set's status, its own reasons and
    /// each hose in it; nothing if what was scanned or typed is a hose's.
    ///
    /// # Errors
    /// [`RefusedError`] if it could name a hose or a set, or the store cannot
    /// be read.
    pub fn set_answer(
        &self,
        text: String,
        moment: Moment,
    ) -> Result<Option<crate::SetAnswer>, RefusedError> {
        let answer = self.core().set_answer_of(&text, &moment.core()?)?;
        Ok(answer.as_ref().map(crate::SetAnswer::of))
    }

    /// What happened to a hose, newest first.
    ///
    /// # Errors
    /// [`RefusedError`] if no hose is found, or the store cannot be read.
    pub fn history(&self, typed: String) -> Result<Vec<HistoryLine>, RefusedError> {
        let core = self.core();
        let hose = core.find_typed(&typed)?.hose;
        let lines = core.history(hose)?.into_iter().rev().map(|line| HistoryLine {
            on: line.entry.on.to_string(),
            by: line.entry.by.to_string().into(),
            words: line.words.into(),
        });
        Ok(lines.collect())
    }

    /// Records new O-rings at an end, `a` at the first stage or `b`, or, for
    /// `coupling`, a new valve core or coupling of an inflator hose.
    ///
    /// # Errors
    /// [`RefusedError`] if no hose is found, or the store cannot be written.
    pub fn reseal(
        &self,
        typed: String,
        end: String,
        moment: Moment,
    ) -> Result<Answer, RefusedError> {
        if end == COUPLING {
            return self.write(&typed, &moment, |core, hose, now| core.recouple(hose, None, now));
        }
        let end: End = end.parse()?;
        self.write(&typed, &moment, |core, hose, now| core.reseal(hose, end, None, None, now))
    }

    /// Records that a hose was soaked, cleaned and dried.
    ///
    /// # Errors
    /// [`RefusedError`] if no hose is found, or the store cannot be written.
    pub fn clean(&self, typed: String, moment: Moment) -> Result<Answer, RefusedError> {
        self.write(&typed, &moment, |core, hose, now| core.clean(hose, None, now))
    }

    /// Takes a hose out of service for good.
    ///
    /// # Errors
    /// [`RefusedError`] if no hose is found or it is retired already, or the
    /// store cannot be written.
    pub fn retire(
        &self,
        typed: String,
        why: String,
        moment: Moment,
    ) -> Result<Answer, RefusedError> {
        let why = Label::new("the reason", &why)?;
        self.write(&typed, &moment, |core, hose, now| core.retire(hose, why, None, now))
    }
}

impl Logbook {
    /// The core's logbook, for one call. A call that panicked left the store as
    /// it was: SQLite takes back what is not committed.
    pub(crate) fn core(&self) -> MutexGuard<'_, Core> {
        self.core.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Writes one thing about a hose, and answers for it as it is then.
    fn write(
        &self,
        typed: &str,
        moment: &Moment,
        write: impl FnOnce(
            &mut Core,
            Code,
            &hosewright_core::journal::Moment,
        ) -> Result<Code, LogbookError>,
    ) -> Result<Answer, RefusedError> {
        let (mut core, now) = (self.core(), moment.core()?);
        let hose = core.find_typed(typed)?.hose;
        write(&mut core, hose, &now)?;
        stands(&core, hose, &now)
    }
}

/// How a hose stands now.
pub(crate) fn stands(
    core: &Core,
    hose: Code,
    now: &hosewright_core::journal::Moment,
) -> Result<Answer, RefusedError> {
    shown(core, core.answer_found(Found { hose, tag: None }, now)?)
}

fn shown(core: &Core, answer: answer::Answer) -> Result<Answer, RefusedError> {
    Ok(Answer::of(&core.view(answer)?))
}

fn no_chance(detail: &str) -> RefusedError {
    let said = words::phone::Obstacle::StoreFailed.in_words();
    RefusedError::Store {
        obstacle: Obstacle::StoreFailed,
        words: format!("{} {}", said.words, said.todo).into(),
        detail: detail.into(),
    }
}
