//! Words for a person's eyes, as they cross to a phone.

use std::fmt;
use std::ops::Deref;

use hosewright_core::text::visible_lines;

/// Words for a person's eyes and ears: what came from outside in them (a name, a
/// scanned text) is made visible. Every field that a phone shows is of this type;
/// what comes back from there, as a code or a value that was typed, is a `String`
/// and stays as it is.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Words(String);

uniffi::custom_type!(Words, String, {
    lower: |words| words.0,
    try_lift: |text| Ok(Words::from(text)),
});

impl From<String> for Words {
    fn from(text: String) -> Self {
        Self(visible_lines(&text).into_owned())
    }
}

impl From<&str> for Words {
    fn from(text: &str) -> Self {
        Self(visible_lines(text).into_owned())
    }
}

impl Deref for Words {
    type Target = str;

    fn deref(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for Words {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&self.0)
    }
}

impl PartialEq<str> for Words {
    fn eq(&self, text: &str) -> bool {
        self.0 == text
    }
}

impl PartialEq<&str> for Words {
    fn eq(&self, text: &&str) -> bool {
        self.0 == *text
    }
}

impl Words {
    /// Each text as words.
    pub(crate) fn all(texts: impl IntoIterator<Item = impl Into<Self>>) -> Vec<Self> {
        texts.into_iter().map(Into::into).collect()
    }
}
