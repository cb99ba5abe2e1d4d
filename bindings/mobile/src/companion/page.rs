//! A page: what it holds, and how touches go through it, one after another.

use std::collections::BTreeMap;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use hosewright_core::journal::Stop;

use super::film::Showing;
use super::record::PhoneRecord;
use super::shown::{Follows, Question, Reply, Shown};
use super::sight::Sight;
use super::touch::{PageOf, Touch};
use super::trouble::Trouble;
use super::watching::Watching;
use crate::form::{At, REMINDS};
use crate::hoses::HosesAsked;
use crate::{Obstacle, ProgressListener, RefusedError, WayOn, obstacle_shown};

/// A page of a phone. `touch` blocks; it is called for one touch after another, in
/// their order, from the thread that has the record.
#[derive(uniffi::Object)]
pub struct Page {
    pub(super) record: Arc<PhoneRecord>,
    pub(super) of: PageOf,
    pub(super) progress: Option<Arc<dyn ProgressListener>>,
    state: Mutex<State>,
    sight: Mutex<Sight>,
    showing: Mutex<Option<Showing>>,
    watching: Mutex<Watching>,
    /// Stops what takes long.
    stop: Mutex<Stop>,
}

/// What is asked before something is done, and what it waits for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Asked {
    /// Who writes, before this is saved.
    Name(Touch),
    /// Whether this is taken in.
    TakeIn(Brought),
    /// Whether a chip that holds this is overwritten.
    Overwrite(Vec<u8>),
    /// Whether this is saved although it looks like a slip.
    Slip(Touch),
}

/// What another device wrote, to be taken in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Brought {
    /// A file: a copy of this app's own, which goes afterwards.
    File(String),
    /// The film that was watched.
    Film,
}

/// What a page keeps between touches.
#[derive(Debug, Default)]
pub(super) struct State {
    pub(super) shown: Shown,
    pub(super) follows: Option<Follows>,
    pub(super) asked: Option<Asked>,
    /// What was typed and refused, by the field, with why: it is not saved without.
    pub(super) unsaved: BTreeMap<String, (String, RefusedError)>,
    /// Changes that the record could not take, in their order.
    pending: Vec<Touch>,
    /// What was refused last and can be tried again.
    last: Option<Touch>,
    /// What may be lost of a chip: of the one that holds this, and of no other.
    pub(super) agreed: Option<Vec<u8>>,
    /// Which hoses are listed.
    pub(super) listed: HosesAsked,
    /// Within which time it is listed what is due; none is the usual one.
    pub(super) within: Option<String>,
    /// Where in an inspection it is.
    pub(super) at: At,
    /// It was looked at before.
    pub(super) looked: bool,
    /// What is saved next is saved although it looks like a slip.
    pub(super) sure: bool,
    /// How many troubles there were.
    troubles: u32,
}

#[uniffi::export]
impl Page {
    /// A page with nothing on it yet. `progress` hears how far something long is.
    #[uniffi::constructor]
    #[must_use]
    pub fn new(
        record: Arc<PhoneRecord>,
        of: PageOf,
        progress: Option<Arc<dyn ProgressListener>>,
    ) -> Arc<Self> {
        let awaits_chip = matches!(of, PageOf::Chip { .. });
        let shown = Shown { awaits_chip, ..Shown::default() };
        let state = Mutex::new(State { shown, ..State::default() });
        let (sight, showing, watching) = (Mutex::default(), Mutex::default(), Mutex::default());
        let stop = Mutex::default();
        Arc::new(Self { record, of, progress, state, sight, showing, watching, stop })
    }

    /// Does what a touch does. `today` is the day by the phone's own calendar.
    #[must_use]
    pub fn touch(&self, touch: Touch, today: String) -> Reply {
        let mut state = self.state();
        let done = catch_unwind(AssertUnwindSafe(|| self.takes(&mut state, touch, &today)));
        if done.is_err() {
            // What SQLite has not committed is taken back; the page stays usable.
            state.trouble(Trouble::at(Obstacle::Fault, None));
        }
        Reply { shown: state.shown.clone(), follows: state.follows.take() }
    }

    /// Stops what takes long, of which `progress` hears: a meeting over a network, or a file that
    /// is taken in. What is half done leaves nothing behind. It does not block, and is called
    /// beside a touch that is under way.
    pub fn stop(&self) {
        self.stop.lock().unwrap_or_else(PoisonError::into_inner).stop();
        self.record.meetings.stop();
    }

    /// Whether the texts of a frame are to be handed over as [`Touch::Seen`]. Every
    /// frame is told of, also one without any. It does not block.
    #[must_use]
    pub fn frame(&self, texts: Vec<String>) -> bool {
        self.sight().frame(&texts)
    }
}

impl Page {
    fn takes(&self, state: &mut State, touch: Touch, today: &str) {
        match touch {
            // What is done is done once, however often a button was touched.
            _ if state.shown.done.is_some() && touch.changes() => {}
            Touch::TryAgain => self.again(state, today),
            Touch::CameIn => self.came_in(state, today),
            Touch::Dismiss => {
                state.put_away();
                self.sight().forget();
            }
            Touch::Hindered { obstacle, detail } => {
                state.last = None;
                if obstacle == Obstacle::RemindersRefused {
                    let touch = Touch::Tick { field: REMINDS.to_owned(), yes: false };
                    let _ = self.does(state, touch, today);
                }
                let detail = detail.as_deref().map(Into::into);
                state.trouble(match self.of {
                    PageOf::Watch => Trouble::of_watching(obstacle, detail),
                    _ => Trouble::at(obstacle, detail),
                });
            }
            Touch::Yes { text } => self.yes(state, &text, today),
            touch if touch.changes() => {
                // What waits for a name asks for it again, and takes this with it.
                (state.asked, state.shown.question) = (None, None);
                state.pending.push(touch);
                self.catch_up(state, today);
            }
            touch => self.attempt(state, touch, today),
        }
    }

    /// Changes that the record could not take before are made before the next one.
    fn catch_up(&self, state: &mut State, today: &str) {
        while !state.pending.is_empty() && state.asked.is_none() {
            let touch = state.pending.remove(0);
            match self.does(state, touch.clone(), today) {
                Ok(()) => state.went_well(),
                Err(refused) if passes(&refused) => {
                    state.pending.insert(0, touch);
                    return state.refuse(refused);
                }
                Err(refused) => {
                    state.last = Some(touch);
                    // What comes after it was touched in the belief that it went well.
                    state.pending.retain(|later| !matches!(later, Touch::Save { .. }));
                    state.refuse(refused);
                }
            }
        }
    }

    fn attempt(&self, state: &mut State, touch: Touch, today: &str) {
        let scans =
            matches!(touch, Touch::Seen { .. } | Touch::Typed { .. } | Touch::ChipRead { .. });
        let done = self.does(state, touch.clone(), today);
        if scans {
            match &done {
                // Where hoses tick off, the next one is looked for.
                Ok(()) if self.ticks().is_some() => self.sight().ticked(),
                Ok(()) => self.sight().found(),
                Err(refused) => self.sight().refused(passes(refused)),
            }
        }
        match done {
            Ok(()) => state.went_well(),
            Err(refused) => {
                state.last = Some(touch);
                state.refuse(refused);
                self.name_near(state, today);
            }
        }
    }

    /// What waits is done first, then what was refused last. Something of the phone
    /// is begun again by the phone.
    fn again(&self, state: &mut State, today: &str) {
        let obstacle = state.shown.trouble.as_ref().and_then(|trouble| trouble.obstacle);
        let last = state.last.take();
        if !state.pending.is_empty() {
            self.catch_up(state, today);
        }
        if let (Some(touch), true) = (last, state.pending.is_empty()) {
            return match touch.changes() {
                true => {
                    state.pending.push(touch);
                    self.catch_up(state, today);
                }
                false => self.attempt(state, touch, today),
            };
        }
        let follows = match obstacle {
            Some(Obstacle::ChipLost) => Follows::Chip,
            Some(of) if of_camera(of) => Follows::Camera,
            _ => return,
        };
        state.shown.trouble = None;
        state.follows = Some(follows);
    }

    fn yes(&self, state: &mut State, text: &str, today: &str) {
        let Some(asked) = state.asked.clone() else { return };
        let done = match asked {
            Asked::Name(waits) => self.record.rename(text).map(|()| {
                state.put_away();
                state.pending.insert(0, waits);
                self.catch_up(state, today);
            }),
            Asked::Slip(waits) => {
                state.put_away();
                state.sure = true;
                state.pending.insert(0, waits);
                self.catch_up(state, today);
                state.sure = false;
                Ok(())
            }
            Asked::TakeIn(brought) => self.take_in(state, &brought),
            Asked::Overwrite(held) => {
                state.put_away();
                (state.agreed, state.follows) = (Some(held), Some(Follows::Chip));
                Ok(())
            }
        };
        if let Err(refused) = done {
            state.refuse(refused);
        }
    }

    /// Begins what takes long.
    pub(super) fn begin(&self) -> Stop {
        let stop = Stop::default();
        *self.stop.lock().unwrap_or_else(PoisonError::into_inner) = stop.clone();
        stop
    }

    fn state(&self) -> MutexGuard<'_, State> {
        self.state.lock().unwrap_or_else(PoisonError::into_inner)
    }

    pub(super) fn sight(&self) -> MutexGuard<'_, Sight> {
        self.sight.lock().unwrap_or_else(PoisonError::into_inner)
    }

    pub(super) fn showing(&self) -> MutexGuard<'_, Option<Showing>> {
        self.showing.lock().unwrap_or_else(PoisonError::into_inner)
    }

    pub(super) fn watching(&self) -> MutexGuard<'_, Watching> {
        self.watching.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl State {
    /// Asks something before it is done.
    pub(super) fn ask(&mut self, asked: Asked, question: Question) {
        (self.asked, self.shown.question) = (Some(asked), Some(question));
    }

    /// Puts away what stands in the way, and what is asked.
    pub(super) fn put_away(&mut self) {
        (self.asked, self.shown.question, self.shown.trouble) = (None, None, None);
        self.last = None;
        self.pending.clear();
    }

    fn went_well(&mut self) {
        (self.shown.trouble, self.last) = (None, None);
    }

    fn refuse(&mut self, refused: RefusedError) {
        self.trouble(Trouble::of(refused));
    }

    fn trouble(&mut self, trouble: Trouble) {
        self.troubles += 1;
        self.shown.trouble = Some(Trouble { number: self.troubles, ..trouble });
    }
}

/// Whether what was refused may be taken when it is tried again, as it is.
fn passes(refused: &RefusedError) -> bool {
    matches!(refused, RefusedError::Store { .. })
}

/// Whether it is the camera that stands in the way, and may be free again.
fn of_camera(obstacle: Obstacle) -> bool {
    let again = |way: &crate::WayOnShown| way.way == WayOn::TryAgain;
    matches!(obstacle, Obstacle::CameraBusy) && obstacle_shown(obstacle).ways_on.iter().any(again)
}
