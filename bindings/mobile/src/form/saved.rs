//! What came of a form.

use hosewright_core::inspection::Place;
use hosewright_core::photograph::Photograph;
use hosewright_core::tag::Code;
use hosewright_core::words::{self, labels};
use hosewright_core::{Logbook as Core, Saved, journal};

use super::shown::{FormShown, HoseList, lists};
use crate::logbook::stands;
use crate::{Answer, RefusedError, Words};

/// A photo that is recorded with a form: of which hose, if the form is about several, and of which
/// place.
pub(super) type Pictured = (Option<Code>, Place, Photograph);

/// A form was submitted.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct FormSaved {
    /// What was done, and what to do next.
    pub words: Words,
    /// How the hose stands now, if it was about one.
    pub answer: Option<Answer>,
    /// What else is to be known.
    pub notes: Vec<Words>,
    /// How the hoses stand now, if it was about several.
    pub lists: Vec<HoseList>,
    /// The form again, if it goes on.
    pub next: Option<FormShown>,
    /// What was made to be shared.
    pub made: Option<FileMade>,
}

/// A file that was made to be shared.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct FileMade {
    /// Its bytes.
    pub bytes: Vec<u8>,
    /// What it is called.
    pub file: String,
}

/// What came of something that is no form of the record: over it, and a sentence a line.
pub(crate) fn said(title: &str, notes: Vec<Words>) -> FormSaved {
    FormSaved { notes, ..FormSaved::said(title) }
}

impl FormSaved {
    pub(super) fn said(words: impl Into<Words>) -> Self {
        Self {
            words: words.into(),
            answer: None,
            notes: Vec::new(),
            lists: Vec::new(),
            next: None,
            made: None,
        }
    }

    pub(super) fn of(
        core: &Core,
        saved: Saved,
        now: &journal::Moment,
    ) -> Result<Self, RefusedError> {
        Ok(match saved {
            Saved::OfHose { hose, words } => {
                Self { answer: Some(stands(core, hose, now)?), ..Self::said(words) }
            }
            Saved::OfSet(_) => Self::said(words::form::SAVED),
            Saved::Returned(back) => Self {
                lists: lists([(labels::LOST, &back.missing), (labels::CAME_BACK, &back.hoses)]),
                notes: Words::all(back.differences),
                ..Self::said(back.words)
            },
        })
    }
}
