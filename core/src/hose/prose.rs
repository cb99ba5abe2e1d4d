//! Texts as long as a paragraph: a reason, a note.

use std::fmt;

use serde::{Deserialize, Serialize};

use super::{HoseError, Label};

/// A reason or a note: a text of 1 to 1,000 printable characters on one line, trimmed.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Prose(String);

impl Prose {
    /// The greatest length, in characters.
    pub const MOST: usize = 1_000;

    /// Takes a text; `what` is named in the error. Ends of lines count as spaces.
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

    /// The text.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }

    /// The text as the end of a sentence that has a full stop of its own.
    #[must_use]
    pub fn phrase(&self) -> &str {
        self.0.strip_suffix('.').unwrap_or(&self.0)
    }

    /// Its beginning, where it is too long for a label: whole words and `…`. Nothing if
    /// it is not.
    #[must_use]
    pub fn shortened(text: &str) -> Option<String> {
        if text.chars().count() <= Label::MOST {
            return None;
        }
        let most: String = text.chars().take(Label::MOST - 2).collect();
        let whole = most.rsplit_once(' ').map_or(most.as_str(), |(words, _)| words);
        Some(format!("{whole} …"))
    }
}

impl fmt::Display for Prose {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&self.0)
    }
}

impl From<Label> for Prose {
    fn from(label: Label) -> Self {
        Self(label.into())
    }
}

impl From<Prose> for String {
    fn from(prose: Prose) -> Self {
        prose.0
    }
}

impl TryFrom<String> for Prose {
    type Error = HoseError;

    fn try_from(text: String) -> Result<Self, HoseError> {
        Self::new("a text", &text)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_is_shortened_at_a_word_and_is_a_label_then() {
        let words = |n: usize| vec!["leaking"; n].join(" ");
        assert_eq!(Prose::shortened(&words(10)), None, "79 characters");
        let exactly = format!("{}x", words(10));
        assert_eq!((exactly.len(), Prose::shortened(&exactly)), (80, None));
        let short = Prose::shortened(&words(11)).unwrap_or_default();
        assert_eq!(short, format!("{} …", words(9)));
        assert!(Label::new("a text", &short).is_ok());
        // One word without an end is cut.
        let short = Prose::shortened(&"x".repeat(200)).unwrap_or_default();
        assert_eq!((short.chars().count(), short.ends_with("x …")), (80, true));
    }

    #[test]
    fn a_paragraph_fits_and_no_more() {
        assert!(Prose::new("a reason", &"x".repeat(1_000)).is_ok());
        for bad in ["x".repeat(1_001), " ".to_owned(), "a\u{7}b".to_owned()] {
            assert!(Prose::new("a reason", &bad).is_err(), "{}", bad.len());
        }
        let lines = Prose::new("a reason", " it leaks\r\n at the  seal ");
        assert_eq!(lines.map(String::from), Ok("it leaks at the seal".to_owned()));
        for (text, phrase) in [("it leaks.", "it leaks"), ("it leaks!", "it leaks!")] {
            let prose = Prose::new("a reason", text);
            assert_eq!(prose.as_ref().map(Prose::phrase), Ok(phrase));
        }
    }
}
