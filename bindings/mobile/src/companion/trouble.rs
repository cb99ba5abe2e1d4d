//! What stands in the way, as a page shows it.

use crate::obstacle::obstacle_to_watching;
use crate::{Obstacle, ObstacleShown, RefusedError, WayOnShown, Words, obstacle_shown};

/// A hose that comes near what was scanned or typed.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct Near {
    /// Its tag.
    pub code: String,
    /// The hose by its own number, if it has one, and its tag.
    pub words: Words,
}

/// What stands in the way, in the core's words.
#[derive(Debug, Clone, Default, PartialEq, Eq, uniffi::Record)]
pub struct Trouble {
    /// The how manieth on this page: the same again is another, and is said again.
    pub number: u32,
    /// What is the matter.
    pub words: Words,
    /// What to do; empty if the words say it.
    pub todo: Words,
    /// The ways on, the best first.
    pub ways_on: Vec<WayOnShown>,
    /// Which obstacle it is, if it is one of the phone.
    pub obstacle: Option<Obstacle>,
    /// Hoses on record that come near, to be chosen from.
    pub near: Vec<Near>,
    /// A tag that no hose on record has, and with which one can be registered.
    pub unused: Option<String>,
    /// The field of a form that is to be put right, by its name.
    pub field: Option<String>,
    /// What the system said, for a person who repairs it.
    pub detail: Option<Words>,
}

impl Trouble {
    /// An obstacle of the phone.
    pub(super) fn at(obstacle: Obstacle, detail: Option<Words>) -> Self {
        Self::as_shown(obstacle_shown(obstacle), detail)
    }

    /// One that is in the way of a film that is watched.
    pub(super) fn of_watching(obstacle: Obstacle, detail: Option<Words>) -> Self {
        Self::as_shown(obstacle_to_watching(obstacle), detail)
    }

    fn as_shown(shown: ObstacleShown, detail: Option<Words>) -> Self {
        Self {
            words: shown.words,
            todo: shown.todo,
            ways_on: shown.ways_on,
            obstacle: Some(shown.obstacle),
            detail,
            ..Self::default()
        }
    }

    /// A refusal. Each has its own line here: a new one does not compile without.
    pub(super) fn of(refused: RefusedError) -> Self {
        let said = |words| Self { words, ..Self::default() };
        let near = |codes: Vec<String>| {
            let near = |code: String| Near { words: code.as_str().into(), code };
            codes.into_iter().map(near).collect()
        };
        match refused {
            RefusedError::Store { obstacle, detail, .. } => Self::at(obstacle, Some(detail)),
            RefusedError::UnknownHose { words, near: codes, tag } => {
                Self { near: near(codes), unused: tag, ..said(words) }
            }
            RefusedError::NotOneTag { words, tags } => Self { near: near(tags), ..said(words) },
            RefusedError::Field { field, words } => Self { field: Some(field), ..said(words) },
            RefusedError::NotATag { words }
            | RefusedError::HandOutStopped { words }
            | RefusedError::NotAllowed { words }
            | RefusedError::ChipHoldsAnother { words }
            | RefusedError::Chip { words }
            | RefusedError::File { words }
            | RefusedError::AskFirst { words, .. }
            | RefusedError::Input { words } => said(words),
        }
    }
}
