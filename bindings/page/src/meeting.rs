//! A meeting that goes on while its page is looked at: how far it is, what came of it, and how
//! it is stopped. Its host does it, in a thread of its own.

use std::sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError};
use std::time::Duration;

use hosewright_core::Logbook;
use hosewright_core::journal::{HowFar, Stop};

use crate::fields::Fields;
use crate::refusal::Refusal;

/// Where it is looked at.
pub const HERE: &str = "/owner/meet/under-way";

/// What is done in a meeting, with a record of its own.
pub type Work = Box<dyn FnOnce(&mut Logbook, &Meeting) -> Result<Met, Refusal> + Send>;

/// How a meeting ends that is not refused.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Met {
    /// What came of it was said.
    Done,
    /// Something is asked first, on this screen.
    Asks(String),
}

/// What came of a part of a meeting.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Said {
    /// What it is about; empty if that is the whole meeting.
    pub of: String,
    /// What came of it, a sentence a line; or why nothing did.
    pub came: Result<Vec<String>, String>,
}

impl Said {
    /// What came of a whole meeting.
    pub const fn all(lines: Vec<String>) -> Self {
        Self { of: String::new(), came: Ok(lines) }
    }
}

/// How a meeting stands.
#[derive(Clone, Default)]
pub struct Standing {
    /// How far it is, once it says so.
    pub far: Option<HowFar>,
    /// What came so far.
    pub said: Vec<Said>,
    /// How it ended, if it did.
    pub end: Option<Result<Met, Arc<Refusal>>>,
}

/// A meeting.
pub struct Meeting {
    /// What stands over what came of it.
    pub(crate) title: &'static str,
    /// The address of the form that began it.
    pub(crate) form: &'static str,
    /// What was typed there, to be shown again: no secret.
    pub(crate) typed: Fields,
    /// What the other side lacks can be shown to it: the key of what it has.
    pub(crate) shows: Option<String>,
    stop: Stop,
    standing: Mutex<Standing>,
    over: Condvar,
}

impl Meeting {
    /// A meeting that is about to begin.
    pub(crate) fn new(title: &'static str, form: &'static str, typed: (&str, &str)) -> Self {
        let typed = Fields::of(vec![(typed.0.to_owned(), typed.1.to_owned())]);
        let (stop, standing, over) = (Stop::default(), Mutex::default(), Condvar::new());
        Self { title, form, typed, shows: None, stop, standing, over }
    }

    /// The same, of a device that can be shown what it lacks afterwards.
    pub(crate) fn shows(self, holdings: Option<String>) -> Self {
        Self { shows: holdings, ..self }
    }

    fn held(&self) -> MutexGuard<'_, Standing> {
        self.standing.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// How it stands.
    pub(crate) fn standing(&self) -> Standing {
        self.held().clone()
    }

    /// Whether it goes on.
    pub fn goes_on(&self) -> bool {
        self.held().end.is_none()
    }

    /// What stops it.
    pub const fn stop(&self) -> &Stop {
        &self.stop
    }

    /// Says how far it is.
    pub fn tell(&self, far: HowFar) {
        self.held().far = Some(far);
    }

    /// Says what came of a part of it.
    pub fn say(&self, said: Said) {
        self.held().said.push(said);
    }

    /// Does it. Whatever happens, it is over then.
    pub fn go_on(&self, logbook: &mut Logbook, work: Work) {
        let ends = Ends(self);
        let ended = logbook.obey(&self.stop).map_err(Refusal::from);
        ends.0.end(ended.and_then(|()| work(logbook, self)));
    }

    /// Ends it.
    pub fn end(&self, ended: Result<Met, Refusal>) {
        self.held().end.get_or_insert(ended.map_err(Arc::new));
        self.over.notify_all();
    }

    /// Waits until it is over, at most so long; for hosts with threads.
    pub fn wait(&self, most: Duration) {
        let goes_on = |standing: &mut Standing| standing.end.is_none();
        drop(self.over.wait_timeout_while(self.held(), most, goes_on));
    }
}

/// Ends a meeting that failed in the middle: nobody looks at it for ever.
struct Ends<'m>(&'m Meeting);

impl Drop for Ends<'_> {
    fn drop(&mut self) {
        self.0.end(Err(Refusal::failed()));
    }
}
