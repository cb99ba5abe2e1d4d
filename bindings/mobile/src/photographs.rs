//! Photographs that were kept with what an inspection found.

use crate::{Logbook, RefusedError, Words};

/// A photograph in a hose's record.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct Photograph {
    /// What it shows.
    pub words: Words,
    /// On which day it was taken.
    pub on: String,
    /// By whom.
    pub by: Words,
    /// The picture, as a JPEG file.
    pub jpeg: Vec<u8>,
}

impl Logbook {
    /// The photographs in the record of a hose, newest first.
    ///
    /// # Errors
    /// [`RefusedError`] if no hose is found, or the store cannot be read.
    pub fn photographs(&self, typed: String) -> Result<Vec<Photograph>, RefusedError> {
        let core = self.core();
        let kept = core.photographs(core.find_typed(&typed)?.hose)?;
        let shown = kept.into_iter().rev().map(|kept| Photograph {
            words: kept.words.into(),
            on: kept.on.to_string(),
            by: kept.by.to_string().into(),
            jpeg: kept.photograph.jpeg().to_vec(),
        });
        Ok(shown.collect())
    }
}
