//! The logbook: opened, asked for answers, and told of care.

use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use hosewright_core::answer;
use hosewright_core::device::FolderKeyring;
use hosewright_core::hose::Label;
use hosewright_core::tag::Code;
use hosewright_core::text::visible;
use hosewright_core::{Found, Logbook as Core, LogbookError, journal};
use rand::SeedableRng;
use rand::rngs::{StdRng, SysRng};

use crate::answer::Goes;
use crate::drafts::Drafts;
use crate::{Answer, FormOf, HistoryLine, Moment, Obstacle, Place, RefusedError};

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
        let store = PathBuf::from(&place.store);
        let unfinished = |source| LogbookError::Io { path: store.clone(), source };
        crate::salvage::finish_change(&store).map_err(unfinished)?;
        let mut core = opened(&place)?;
        let drafts = Drafts::of_store(&store);
        core.set_units(drafts.units());
        Ok(Arc::new(Self { core: Mutex::new(core), drafts }))
    }

    /// Answers for something typed: a code, the beginning of one, a bound
    /// barcode, or the text of a tag.
    ///
    /// # Errors
    /// [`RefusedError`] if no hose is found, or the store cannot be read.
    pub fn answer(&self, typed: String, moment: Moment) -> Result<Answer, RefusedError> {
        let core = self.core();
        let mut answer = shown(&core, core.answer_typed(&typed, &moment.core()?)?)?;
        // The whole text of a tag says more of its hose than its code.
        for action in [&mut answer.next].into_iter().chain(&mut answer.actions) {
            if let Goes::Form { of: FormOf::Register { tag } } = &mut action.goes {
                *tag = Some(typed.clone());
            }
        }
        Ok(answer)
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

    /// What happened to a hose, newest first.
    ///
    /// # Errors
    /// [`RefusedError`] if no hose is found, or the store cannot be read.
    pub fn history(&self, typed: String) -> Result<Vec<HistoryLine>, RefusedError> {
        let core = self.core();
        let hose = core.find_typed(&typed)?.hose;
        let lines = core.history(hose)?.into_iter().rev();
        Ok(lines.map(|line| HistoryLine::of(hose, line)).collect())
    }
}

impl Logbook {
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

    /// The set that a name, or a tag, means; or what the tag alone says, if it is not on
    /// record here.
    pub(crate) fn set_of_tag(
        &self,
        named: &str,
        moment: &Moment,
    ) -> Result<Result<String, Box<crate::SetAnswer>>, RefusedError> {
        let core = self.core();
        if core.set(&set_name(&core, named)?).is_ok() {
            return Ok(Ok(named.to_owned()));
        }
        Ok(match core.set_answer_of(named, &moment.core()?)? {
            Some(answer) => match &answer.set {
                Some(line) => Ok(line.id.to_string()),
                None => Err(Box::new(crate::SetAnswer::of(&answer))),
            },
            None => Ok(named.to_owned()),
        })
    }

    /// The core's logbook, for one call. A call that panicked left the store as
    /// it was: SQLite takes back what is not committed.
    pub(crate) fn core(&self) -> MutexGuard<'_, Core> {
        self.core.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// The record of a place, for one thread.
pub(crate) fn opened(place: &Place) -> Result<Core, RefusedError> {
    let random = StdRng::try_from_rng(&mut SysRng)
        .map_err(|e| RefusedError::at(Obstacle::StoreFailed, e))?;
    let keys = Box::new(FolderKeyring::new(&place.keys));
    Ok(Core::open(Path::new(&place.store), Box::new(random), keys)?)
}

/// How a hose stands now.
pub(crate) fn stands(
    core: &Core,
    hose: Code,
    now: &journal::Moment,
) -> Result<Answer, RefusedError> {
    shown(core, core.answer_found(Found { hose, tag: None }, now)?)
}

fn shown(core: &Core, answer: answer::Answer) -> Result<Answer, RefusedError> {
    Ok(Answer::of(&core.view(answer)?))
}

/// The set that a phone names as it was shown it.
pub(crate) fn set_name(core: &Core, shown: &str) -> Result<Label, RefusedError> {
    let typed = Label::new("a set's name", shown)?;
    if !shown.contains("<U+") {
        return Ok(typed);
    }
    let sets = core.sets()?.into_iter().map(|set| set.name);
    let known: Vec<Label> = sets.filter(|name| visible(name.as_str()) == shown).collect();
    let exact = known.contains(&typed);
    Ok(known.into_iter().next().filter(|_| !exact).unwrap_or(typed))
}
