//! A column that a person matched by hand.

use std::str::FromStr;

use thiserror::Error;

use super::column::Column;
use super::text::fold;
use crate::hose::HoseError;

/// A head, and what a person says that its column says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Matched {
    /// The head, as it is in the list; capitals, accents and spaces don't count.
    pub head: String,
    /// What is below it.
    pub column: Column,
}

impl Matched {
    /// Whether it is about a head.
    #[must_use]
    pub fn is_of(&self, head: &str) -> bool {
        fold(&self.head) == fold(head)
    }
}

/// Why a text matches no column.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum MatchError {
    /// Not of the form heading=field.
    #[error("“{0}” does not match a column; write HEADING=FIELD, as Inspected=full-inspection")]
    BadForm(String),
    /// There is no such field.
    #[error(transparent)]
    Field(#[from] HoseError),
}

impl FromStr for Matched {
    type Err = MatchError;

    fn from_str(typed: &str) -> Result<Self, MatchError> {
        let (head, field) =
            typed.rsplit_once('=').ok_or_else(|| MatchError::BadForm(typed.to_owned()))?;
        if fold(head).is_empty() {
            return Err(MatchError::BadForm(typed.to_owned()));
        }
        Ok(Self { head: head.trim().to_owned(), column: field.parse()? })
    }
}
