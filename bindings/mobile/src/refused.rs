//! Why something is refused: one enum, each with the core's words.

use hosewright_core::LogbookError;
use hosewright_core::hose::HoseError;
use hosewright_core::inspection::FindingError;
use hosewright_core::journal::StoreError;
use hosewright_core::tag::ndef::NdefError;
use hosewright_core::tag::{CodeError, DrawError, FrameError};
use hosewright_core::words::phone;
use thiserror::Error;

use crate::Obstacle;

/// Why something was refused; nothing was changed.
#[derive(Debug, Clone, Error, uniffi::Error)]
pub enum RefusedError {
    /// The record cannot be used; [`crate::obstacle_shown`] has the way on.
    #[error("{words}")]
    Store {
        /// What stands in the way.
        obstacle: Obstacle,
        /// What is the matter, in words.
        words: String,
        /// What the system or SQLite said, for a person who repairs it.
        detail: String,
    },
    /// What was scanned or typed names no hose on record.
    #[error("{words}")]
    UnknownHose {
        /// What is wrong, in words.
        words: String,
        /// Tags on record that come near.
        near: Vec<String>,
    },
    /// What was scanned or typed is no tag, or one that cannot be read.
    #[error("{words}")]
    NotATag {
        /// What is wrong, in words.
        words: String,
    },
    /// Several tags, or none, where one is needed.
    #[error("{words}")]
    NotOneTag {
        /// What is wrong, in words.
        words: String,
    },
    /// Something stops a hand-out; its check says what.
    #[error("{words}")]
    HandOutStopped {
        /// What stops it, in words.
        words: String,
    },
    /// The fleet's owner does not let this phone write that.
    #[error("{words}")]
    NotAllowed {
        /// Why, in words.
        words: String,
    },
    /// The chip holds something that would be lost; ask the person first.
    #[error("{words}")]
    ChipHoldsAnother {
        /// What it holds, in words.
        words: String,
    },
    /// The chip cannot be used.
    #[error("{words}")]
    Chip {
        /// Why, in words.
        words: String,
    },
    /// A file cannot be read or written, or is not a bundle.
    #[error("{words}")]
    File {
        /// What is wrong, in words.
        words: String,
    },
    /// What was entered cannot be, or does not go together.
    #[error("{words}")]
    Input {
        /// What is wrong and what to do, in words.
        words: String,
    },
}

impl From<LogbookError> for RefusedError {
    fn from(error: LogbookError) -> Self {
        let words = error.to_string();
        match error {
            LogbookError::Store(error) => error.into(),
            LogbookError::UnknownTag(_) | LogbookError::NothingBeginsSo(_) => {
                Self::UnknownHose { words, near: Vec::new() }
            }
            LogbookError::WrongCheck { near: codes, .. } | LogbookError::Several { codes, .. } => {
                let near = codes.iter().map(ToString::to_string).collect();
                Self::UnknownHose { words, near }
            }
            LogbookError::NotACode(_) | LogbookError::ForeignText(_) | LogbookError::Payload(_) => {
                Self::NotATag { words }
            }
            LogbookError::NoTagSeen
            | LogbookError::SeveralTagsSeen(_)
            | LogbookError::Picture(_) => Self::NotOneTag { words },
            LogbookError::HandOutStopped(_) => Self::HandOutStopped { words },
            LogbookError::NotAllowed { .. } => Self::NotAllowed { words },
            LogbookError::Bundle { .. } | LogbookError::Io { .. } => Self::File { words },
            _ => Self::Input { words },
        }
    }
}

impl From<StoreError> for RefusedError {
    fn from(error: StoreError) -> Self {
        let obstacle = phone::Obstacle::of(&error);
        let said = obstacle.in_words();
        let words = format!("{} {}", said.words, said.todo);
        Self::Store { obstacle: obstacle.into(), words, detail: error.to_string() }
    }
}

impl From<HoseError> for RefusedError {
    fn from(error: HoseError) -> Self {
        Self::Input { words: error.to_string() }
    }
}

impl From<FindingError> for RefusedError {
    fn from(error: FindingError) -> Self {
        Self::Input { words: error.to_string() }
    }
}

impl From<FrameError> for RefusedError {
    fn from(error: FrameError) -> Self {
        Self::Input { words: error.to_string() }
    }
}

impl From<DrawError> for RefusedError {
    fn from(error: DrawError) -> Self {
        Self::Input { words: error.to_string() }
    }
}

impl From<CodeError> for RefusedError {
    fn from(error: CodeError) -> Self {
        Self::NotATag { words: error.to_string() }
    }
}

impl From<NdefError> for RefusedError {
    fn from(error: NdefError) -> Self {
        let words = error.to_string();
        match error {
            NdefError::HoldsAnother { .. } => Self::ChipHoldsAnother { words },
            _ => Self::Chip { words },
        }
    }
}
