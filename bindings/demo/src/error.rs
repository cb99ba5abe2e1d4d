//! Why the story is not written to its end.

use hosewright_core::LogbookError;
use thiserror::Error;

/// Why the story is not written to its end.
#[derive(Debug, Error)]
pub enum StoryError {
    /// The record refuses something.
    #[error(transparent)]
    Logbook(#[from] LogbookError),
    /// The scenario is at odds with itself.
    #[error("the demonstration's own story has a slip at “{0}”; please report it")]
    Slip(String),
    /// Whoever is told of the years does not go on.
    #[error("{0}")]
    Told(std::io::Error),
}
