//! Stops long work from outside: between two steps, so that nothing is half done.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use rusqlite::Connection;

use super::StoreError;

/// A way to stop what takes long, from another thread. Copies stop the same work.
#[derive(Debug, Clone, Default)]
pub struct Stop(Arc<AtomicBool>);

impl Stop {
    /// Stops it, as soon as it can be stopped.
    pub fn stop(&self) {
        self.0.store(true, Ordering::Relaxed);
    }

    /// Whether it is to stop.
    #[must_use]
    pub fn is_stopped(&self) -> bool {
        self.0.load(Ordering::Relaxed)
    }
}

/// So many of SQLite's steps are made between two looks, some microseconds.
const STEPS: std::ffi::c_int = 1_000;

/// Has SQLite look whether it is to stop; then what is under way ends with
/// [`StoreError::Stopped`], and its transaction leaves nothing behind.
///
/// # Errors
/// [`StoreError`] if SQLite refuses.
pub fn obey(store: &mut Connection, stop: &Stop) -> Result<(), StoreError> {
    let stop = stop.clone();
    Ok(store.progress_handler(STEPS, Some(move || stop.is_stopped()))?)
}
