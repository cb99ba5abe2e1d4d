//! Short texts: a maker, a lot, a name.

use std::fmt;

use serde::{Deserialize, Serialize};

use super::HoseError;

/// A free text of 1 to 80 printable characters, trimmed: a maker, a lot, a name.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Label(String);

impl Label {
    /// The greatest length, in characters.
    pub const MOST: usize = 80;

    /// Takes a text as a label; `what` is named in the error.
    ///
    /// # Errors
    /// [`HoseError::BadText`] if it is empty, too long or holds control characters.
    pub fn new(what: &'static str, text: &str) -> Result<Self, HoseError> {
        let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
        let good = !text.is_empty()
            && text.chars().count() <= Self::MOST
            && !text.chars().any(char::is_control);
        good.then_some(Self(text)).ok_or(HoseError::BadText { what, most: Self::MOST })
    }

    /// Any text as a label: what cannot be in one is left out, and what is too
    /// long is cut.
    #[must_use]
    pub fn clipped(text: &str) -> Self {
        let good: String = text.chars().filter(|c| !c.is_control()).take(Self::MOST).collect();
        let text = good.trim();
        Self(if text.is_empty() { "?".to_owned() } else { text.to_owned() })
    }

    /// The text.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for Label {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&self.0)
    }
}

impl From<Label> for String {
    fn from(label: Label) -> Self {
        label.0
    }
}

impl TryFrom<String> for Label {
    type Error = HoseError;

    fn try_from(text: String) -> Result<Self, HoseError> {
        Self::new("a text", &text)
    }
}
