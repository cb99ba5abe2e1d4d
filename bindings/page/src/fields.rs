//! What was typed into a form or is behind a `?`: names with their texts.

use std::str::FromStr;

use hosewright_core::hose::{Label, Prose, ticket};
use hosewright_core::view::form::Filled;
use percent_encoding::{AsciiSet, NON_ALPHANUMERIC, utf8_percent_encode};

use crate::refusal::Refusal;

/// The most fields that a form may have: a long set's form has a few hundred.
const MOST: usize = 2_000;

/// Names and texts, in the order in which they came.
#[derive(Debug, Clone, Default)]
pub struct Fields(Vec<(String, String)>);

impl Fields {
    /// Reads what browsers send.
    pub fn read(bytes: &[u8]) -> Result<Self, Refusal> {
        let pairs = form_urlencoded::parse(bytes).map(|(name, text)| (name.into(), text.into()));
        let pairs: Vec<(String, String)> = pairs.take(MOST + 1).collect();
        if pairs.len() > MOST {
            return Err(Refusal::bad("the form has more fields than any form of this page"));
        }
        Ok(Self(pairs))
    }

    /// Fields that come from elsewhere.
    pub const fn of(pairs: Vec<(String, String)>) -> Self {
        Self(pairs)
    }

    /// One field more.
    pub fn add(&mut self, name: String, text: String) {
        self.0.push((name, text));
    }

    /// The text of a field; empty if there is none.
    pub fn get(&self, name: &str) -> &str {
        self.given(name).unwrap_or_default()
    }

    /// The text of a field, if it is there and not empty.
    pub fn given(&self, name: &str) -> Option<&str> {
        let found = self.0.iter().find(|(known, _)| known == name);
        found.map(|(_, text)| text.trim()).filter(|text| !text.is_empty())
    }

    /// Every text of a field that is not empty.
    pub fn all(&self, name: &str) -> Vec<String> {
        let found = self.0.iter().filter(|(known, _)| known == name);
        found.map(|(_, text)| text.trim().to_owned()).filter(|text| !text.is_empty()).collect()
    }

    /// Whether a field is there, filled in or not.
    pub fn has(&self, name: &str) -> bool {
        self.0.iter().any(|(known, _)| known == name)
    }

    /// The same for a form of the core's.
    pub fn filled(&self) -> Filled {
        let mut filled = Filled::default();
        for (name, text) in &self.0 {
            filled.add(name, text);
        }
        filled
    }

    /// Every field.
    pub fn pairs(&self) -> &[(String, String)] {
        &self.0
    }

    /// A value, if one was typed.
    pub fn parsed<T>(&self, name: &str) -> Result<Option<T>, Refusal>
    where
        T: FromStr<Err: std::fmt::Display>,
    {
        self.given(name).map(|text| text.parse().map_err(|e| Refusal::at(name, e))).transpose()
    }

    /// A value that has to be there; `what` names it where it is not.
    pub fn needed<T>(&self, name: &str, what: &str) -> Result<T, Refusal>
    where
        T: FromStr<Err: std::fmt::Display>,
    {
        self.parsed(name)?.ok_or_else(|| Refusal::at(name, format!("{what} is missing")))
    }

    /// A text of one line, if one was typed.
    pub fn label(&self, name: &str, what: &'static str) -> Result<Option<Label>, Refusal> {
        let label = |text| Label::new(what, text).map_err(|e| Refusal::at(name, e));
        self.given(name).map(label).transpose()
    }

    /// A text of one line that has to be there.
    pub fn needed_label(&self, name: &str, what: &'static str) -> Result<Label, Refusal> {
        Label::new(what, self.get(name)).map_err(|e| Refusal::at(name, e))
    }

    /// A text as long as a paragraph, which has to be there.
    pub fn needed_prose(&self, name: &str, what: &'static str) -> Result<Prose, Refusal> {
        Prose::new(what, self.get(name)).map_err(|e| Refusal::at(name, e))
    }

    /// The ticket of a hirer or a customer, which has to be there.
    pub fn needed_ticket(&self, name: &str) -> Result<Label, Refusal> {
        ticket(self.get(name)).map_err(|e| Refusal::at(name, e))
    }

    /// Whether a box was ticked.
    pub fn ticked(&self, name: &str) -> bool {
        self.given(name).is_some()
    }
}

/// `?name=text&…` for a link.
pub fn query<'t>(pairs: impl IntoIterator<Item = (&'t str, &'t str)>) -> String {
    let mut made = form_urlencoded::Serializer::new(String::new());
    made.extend_pairs(pairs);
    made.finish()
}

/// What stays as it is in a path.
const PLAIN: &AsciiSet = &NON_ALPHANUMERIC.remove(b'-').remove(b'_').remove(b'~');

/// A text as a part of a path: a set may be called `a/b?`.
pub fn percent_encode(text: &str) -> String {
    utf8_percent_encode(text, PLAIN).to_string()
}
