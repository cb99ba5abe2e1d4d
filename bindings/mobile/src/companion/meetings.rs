//! The meetings of a phone over a network: one at a time, and each can be stopped.

use std::sync::{Mutex, MutexGuard, PoisonError};

use chrono::{DateTime, Duration, Utc};
use hosewright_core::journal::Stop;

/// Between two meetings that nobody asked for.
const EVERY: Duration = Duration::minutes(3);

/// The meetings of a phone, one at a time.
#[derive(Default)]
pub(super) struct Meetings {
    turn: Mutex<()>,
    stop: Mutex<Stop>,
    by_itself: Mutex<ByItself>,
}

/// What came of what nobody asked for.
#[derive(Default)]
struct ByItself {
    tried: Option<DateTime<Utc>>,
    said: Vec<String>,
}

impl Meetings {
    /// Stops the one that is under way.
    pub(super) fn stop(&self) {
        held(&self.stop).stop();
    }

    /// Keeps others from beginning, once what was under way is stopped and over.
    pub(super) fn alone(&self) -> MutexGuard<'_, ()> {
        self.stop();
        held(&self.turn)
    }

    /// Waits for its turn.
    pub(super) fn turn(&self) -> MutexGuard<'_, ()> {
        held(&self.turn)
    }

    /// Begins one.
    pub(super) fn begin(&self) -> Stop {
        let stop = Stop::default();
        *held(&self.stop) = stop.clone();
        stop
    }

    /// Keeps what is said of what nobody asked for.
    pub(super) fn says(&self, said: Vec<String>) {
        held(&self.by_itself).said = said;
    }

    /// Somebody asked for one: it is a while until the next that nobody asks for.
    pub(super) fn asked(&self, now: DateTime<Utc>) {
        held(&self.by_itself).tried = Some(now);
    }

    /// What was said last of what nobody asked for.
    pub(super) fn said(&self) -> Vec<String> {
        held(&self.by_itself).said.clone()
    }

    /// Whether some minutes have passed; then it counts as tried.
    pub(super) fn is_time(&self, now: DateTime<Utc>) -> bool {
        let tried = &mut held(&self.by_itself).tried;
        // A clock that was put back waits for nothing.
        let early = tried.is_some_and(|tried| tried <= now && now - tried < EVERY);
        if !early {
            *tried = Some(now);
        }
        !early
    }
}

fn held<T>(of: &Mutex<T>) -> MutexGuard<'_, T> {
    of.lock().unwrap_or_else(PoisonError::into_inner)
}
