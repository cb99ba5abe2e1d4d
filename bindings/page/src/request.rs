//! What was asked.

use std::sync::Arc;

use hosewright_core::hose::Label;
use hosewright_core::journal::Moment;
use http::Method;

use crate::fields::{Fields, query};
use crate::host::Upload;

/// Who asks, as far as the host knows.
#[derive(Clone)]
pub struct Person {
    /// The token that every form carries: only a page of this host can know it.
    pub token: String,
    /// Whether the request comes from the desk's own computer.
    pub at_the_desk: bool,
    /// Whether people sign in here, and can sign out.
    pub signs_in: bool,
}

/// What was asked.
#[derive(Clone)]
pub struct Request {
    /// How.
    pub method: Method,
    /// The path.
    pub path: String,
    /// What follows the `?`.
    pub query: Fields,
    /// The fields of a form, whose token the host has checked.
    pub form: Fields,
    /// The pictures that were sent with it, each with its field's name.
    pub pictures: Vec<(String, Vec<u8>)>,
    /// The file that was sent.
    pub upload: Option<Arc<dyn Upload>>,
    /// Who asks.
    pub person: Person,
    /// Whether it is about the demonstration.
    pub demo: bool,
    /// Now, and under which name is written.
    pub moment: Moment,
}

impl Request {
    /// The same in someone else's name.
    #[must_use]
    pub fn by(&self, by: Label) -> Self {
        let mut other = self.clone();
        other.moment.by = by;
        other
    }

    /// A request for the form at a path, to show it again: what was typed says which.
    #[must_use]
    pub fn again(&self, path: String) -> Self {
        let typed = self.form.pairs().iter().filter(|(name, _)| name != "token");
        Self {
            method: Method::GET,
            path,
            query: Fields::of(typed.cloned().collect()),
            form: Fields::default(),
            pictures: Vec::new(),
            upload: None,
            person: self.person.clone(),
            demo: self.demo,
            moment: self.moment.clone(),
        }
    }

    /// This address with one thing of its question changed.
    pub fn with(&self, name: &str, text: &str) -> String {
        let kept = self.query.pairs().iter().map(|(name, text)| (name.as_str(), text.as_str()));
        // What is asked for otherwise begins at its first row.
        let kept = kept.filter(|(known, _)| ![name, "as", "from"].contains(known));
        format!("{}?{}", self.path, query(kept.chain([(name, text)])))
    }
}
