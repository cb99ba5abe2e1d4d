//! Locks that outlive a panic.

use std::sync::{Mutex, MutexGuard, PoisonError};

/// A lock whose holder panicked holds a logbook whose transaction was rolled
/// back: it is as good as before.
pub fn held<T>(lock: &Mutex<T>) -> MutexGuard<'_, T> {
    lock.lock().unwrap_or_else(PoisonError::into_inner)
}
