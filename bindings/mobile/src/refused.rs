//! Why something is refused: one enum, each with the core's words.

use hosewright_core::hose::HoseError;
use hosewright_core::inspection::FindingError;
use hosewright_core::journal::StoreError;
use hosewright_core::tag::ndef::NdefError;
use hosewright_core::tag::{CodeError, DrawError, FrameError};
use hosewright_core::view::form::FieldRefused;
use hosewright_core::words::sentence;
use hosewright_core::{FormRefused, LogbookError, NamingError};
use thiserror::Error;

use crate::obstacle::{ObstacleShown, obstacle_shown};
use crate::{Obstacle, Words, phone};

/// Why something was refused; nothing was changed.
#[derive(Debug, Clone, Error, uniffi::Error)]
pub enum RefusedError {
    /// The record cannot be used; [`crate::obstacle_shown`] has the way on.
    #[error("{words}")]
    Store {
        /// What blocks it.
        obstacle: Obstacle,
        /// What is the matter, in words.
        words: Words,
        /// What the system or SQLite said, for a person who repairs it.
        detail: Words,
    },
    /// What was scanned or typed names no hose on record.
    #[error("{words}")]
    UnknownHose {
        /// What is wrong, in words.
        words: Words,
        /// Tags on record that come near.
        near: Vec<String>,
        /// The tag, where it is one that a hose can be registered with.
        tag: Option<String>,
    },
    /// What was scanned or typed is no tag, or one that cannot be read.
    #[error("{words}")]
    NotATag {
        /// What is wrong, in words.
        words: Words,
    },
    /// Several tags, or none if one is needed.
    #[error("{words}")]
    NotOneTag {
        /// What is wrong, in words.
        words: Words,
        /// The tags that were seen, to be chosen from.
        tags: Vec<String>,
    },
    /// Something stops a hand-out; its check says what.
    #[error("{words}")]
    HandOutStopped {
        /// What stops it, in words.
        words: Words,
    },
    /// The fleet's owner does not let this phone write that.
    #[error("{words}")]
    NotAllowed {
        /// Why, in words.
        words: Words,
    },
    /// The chip holds something that would be lost; ask the person first.
    #[error("{words}")]
    ChipHoldsAnother {
        /// What it holds, in words.
        words: Words,
    },
    /// The chip cannot be used.
    #[error("{words}")]
    Chip {
        /// Why, in words.
        words: Words,
    },
    /// A file cannot be read or written, or is not a bundle.
    #[error("{words}")]
    File {
        /// What is wrong, in words.
        words: Words,
    },
    /// What is in a field of a form is missing or invalid.
    #[error("{words}")]
    Field {
        /// The field, as [`crate::FieldShown::name`].
        field: String,
        /// What is wrong and what to do, in words.
        words: Words,
    },
    /// What looks like a slip is asked about first.
    #[error("{words}")]
    AskFirst {
        /// What looks like one, in words.
        words: Words,
        /// The same, a sentence a line.
        questions: Vec<Words>,
    },
    /// What was entered is invalid or inconsistent.
    #[error("{words}")]
    Input {
        /// What is wrong and what to do, in words.
        words: Words,
    },
}

impl From<LogbookError> for RefusedError {
    fn from(error: LogbookError) -> Self {
        let words = Words::from(for_phones(&error).unwrap_or_else(|| sentence(&error.to_string())));
        if let Some(field) = error.field() {
            return Self::Field { field: field.to_owned(), words };
        }
        match error {
            LogbookError::Store(error) => error.into(),
            LogbookError::Naming(NamingError::UnknownTag(tag)) => {
                Self::UnknownHose { words, near: Vec::new(), tag: Some(tag.to_string()) }
            }
            LogbookError::Naming(NamingError::NothingBeginsSo(_)) => {
                Self::UnknownHose { words, near: Vec::new(), tag: None }
            }
            LogbookError::Naming(NamingError::WrongCheck { near: codes, .. })
            | LogbookError::Naming(NamingError::Several { codes, .. }) => {
                let near = codes.iter().map(ToString::to_string).collect();
                Self::UnknownHose { words, near, tag: None }
            }
            LogbookError::Naming(NamingError::NotACode(_))
            | LogbookError::Naming(NamingError::ForeignText(_))
            | LogbookError::Payload(_) => Self::NotATag { words },
            LogbookError::Naming(NamingError::SeveralTagsSeen(tags)) => {
                Self::NotOneTag { words, tags }
            }
            LogbookError::Naming(NamingError::NoTagSeen) | LogbookError::Picture(_) => {
                Self::NotOneTag { words, tags: Vec::new() }
            }
            LogbookError::AskFirst(questions) => {
                Self::AskFirst { words, questions: Words::all(questions) }
            }
            LogbookError::HandOutStopped(_) => Self::HandOutStopped { words },
            LogbookError::NotAllowed { .. } => Self::NotAllowed { words },
            LogbookError::Bundle { .. } | LogbookError::File(_) | LogbookError::Io { .. } => {
                Self::File { words }
            }
            _ => Self::Input { words },
        }
    }
}

/// The words of a refusal whose own words name files that a phone does not have.
fn for_phones(error: &LogbookError) -> Option<String> {
    match error {
        LogbookError::Bundle { source, .. } => Some(phone::not_a_bundle(source)),
        LogbookError::Io { source, .. } => Some(phone::file_failed(source)),
        _ => None,
    }
}

impl RefusedError {
    /// The refusal because of an obstacle, with what the system said.
    pub(crate) fn at(obstacle: Obstacle, detail: impl ToString) -> Self {
        let ObstacleShown { words, todo, .. } = obstacle_shown(obstacle);
        let words = format!("{words} {todo}").into();
        Self::Store { obstacle, words, detail: detail.to_string().into() }
    }
}

impl From<StoreError> for RefusedError {
    fn from(error: StoreError) -> Self {
        if matches!(error, StoreError::Stopped) {
            return Self::Input { words: sentence(&error.to_string()).into() };
        }
        Self::at(Obstacle::of(&error), &error)
    }
}

impl From<HoseError> for RefusedError {
    fn from(error: HoseError) -> Self {
        Self::Input { words: error.to_string().into() }
    }
}

impl From<FieldRefused> for RefusedError {
    fn from(refused: FieldRefused) -> Self {
        Self::Field { field: refused.field, words: refused.words.into() }
    }
}

impl From<FormRefused> for RefusedError {
    fn from(refused: FormRefused) -> Self {
        match refused {
            FormRefused::Field(field) => field.into(),
            FormRefused::Logbook(error) => error.into(),
        }
    }
}

impl From<FindingError> for RefusedError {
    fn from(error: FindingError) -> Self {
        Self::Input { words: error.to_string().into() }
    }
}

impl From<FrameError> for RefusedError {
    fn from(error: FrameError) -> Self {
        Self::Input { words: error.to_string().into() }
    }
}

impl From<DrawError> for RefusedError {
    fn from(error: DrawError) -> Self {
        Self::Input { words: error.to_string().into() }
    }
}

impl From<CodeError> for RefusedError {
    fn from(error: CodeError) -> Self {
        Self::NotATag { words: error.to_string().into() }
    }
}

impl From<NdefError> for RefusedError {
    fn from(error: NdefError) -> Self {
        let words = Words::from(error.to_string());
        match error {
            NdefError::HoldsAnother { .. } => Self::ChipHoldsAnother { words },
            _ => Self::Chip { words },
        }
    }
}

#[cfg(test)]
#[allow(clippy::expect_used, reason = "a test whose samples are not as written has failed")]
mod tests {
    use std::io::{Error, ErrorKind};
    use std::path::PathBuf;

    use hosewright_core::hose::Label;
    use hosewright_core::journal::{Aside, BundleError};

    use super::*;

    fn label(text: &str) -> Label {
        Label::new("a label", text).expect("a label")
    }

    #[test]
    fn no_refusal_sends_a_person_at_a_phone_to_a_command_or_a_path() {
        let device = "00112233445566778899aabbccddeeff".parse().expect("a device");
        let hose = "2RWB-XCB4-GDEA-7".parse().expect("a code");
        let path = || PathBuf::from("/data/cache/received.hwbundle");
        let io = |kind| LogbookError::Io { path: path(), source: Error::from(kind) };
        let bundle = |source| LogbookError::Bundle { path: path(), source };
        let not_allowed = |why| LogbookError::NotAllowed { device, why };
        let (set, ticket) = (label("Heron"), label("T1"));
        // Each with a word that only its own sentence has.
        let all = [
            (not_allowed(Aside::Stranger), "has not admitted this device"),
            (not_allowed(Aside::Dismissed), "dismissed this device"),
            (not_allowed(Aside::Role), "role doesn't let it"),
            (LogbookError::Naming(NamingError::UnknownTag(hose)), "import the record"),
            (
                LogbookError::Naming(NamingError::ForeignText("a".to_owned())),
                "is not a Hosewright tag",
            ),
            (LogbookError::NotOutWith { hose, set, ticket }, "inspect it by itself"),
            (bundle(BundleError::NotOurs), "not a Hosewright bundle"),
            (bundle(BundleError::TooNew), "Update this app"),
            (bundle(BundleError::Spoilt), "cut off"),
            (bundle(BundleError::Io(ErrorKind::UnexpectedEof.into())), "cannot be read"),
            (io(ErrorKind::PermissionDenied), "cannot be read"),
            (io(ErrorKind::StorageFull), "no room left"),
        ];
        for (error, own) in all {
            let was = error.to_string();
            let words = RefusedError::from(error).to_string();
            assert!(words.contains(own), "{words}");
            for alien in ["device admit", "--", "`", "/data", "this program"] {
                assert!(!words.contains(alien), "{words}");
            }
            assert!(words.ends_with('.'), "{words}");
            assert_ne!(words, was);
        }
    }
}
