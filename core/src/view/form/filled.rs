//! What was typed into a form: names with their texts, as a browser sends them
//! and a phone keeps them.

use std::collections::BTreeMap;
use std::str::FromStr;

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};
use thiserror::Error;

use super::field::YES;
use super::{Field, Kind, typed};
use crate::hose::{Label, Prose, ticket};

/// What was typed into a field is missing or wrong; nothing was changed.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error("{words}")]
pub struct FieldRefused {
    /// The field's name.
    pub field: String,
    /// What is wrong, and what to do.
    pub words: String,
}

impl FieldRefused {
    /// What was typed into a field is wrong.
    #[must_use]
    pub fn new(field: impl Into<String>, why: impl ToString) -> Self {
        Self { field: field.into(), words: why.to_string() }
    }
}

/// What was typed into a form. It may be wrong or incomplete.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Filled(BTreeMap<String, Vec<String>>);

impl Filled {
    /// Fills a field in with one text; an empty one empties it.
    pub fn set(&mut self, name: &str, typed: &str) {
        self.0.remove(name);
        self.add(name, typed);
    }

    /// Adds a text to those of a field.
    pub fn add(&mut self, name: &str, typed: &str) {
        let typed = typed.trim();
        if !typed.is_empty() {
            self.0.entry(name.to_owned()).or_default().push(typed.to_owned());
        }
    }

    /// Ticks a box, or takes the tick away.
    pub fn tick(&mut self, name: &str, yes: bool) {
        self.set(name, if yes { YES } else { "" });
    }

    /// What a tap on a field does: it chooses, or takes a choice back.
    pub fn touch(&mut self, field: &Field, value: &str) {
        match field.kind {
            Kind::Tick => self.tick(&field.name, !self.ticked(&field.name)),
            Kind::Many(_) if self.all(&field.name).any(|known| known == value) => {
                self.take_back(&field.name, |known| known == value);
            }
            Kind::Many(_) => self.add(&field.name, value),
            _ => self.set(&field.name, value),
        }
    }

    /// Takes back those texts of a field.
    pub fn take_back(&mut self, name: &str, which: impl Fn(&str) -> bool) {
        if let Some(texts) = self.0.get_mut(name) {
            texts.retain(|known| !which(known));
        }
    }

    /// The text of a field; empty if there is none.
    #[must_use]
    pub fn get(&self, name: &str) -> &str {
        self.given(name).unwrap_or_default()
    }

    /// The text of a field, if there is one.
    #[must_use]
    pub fn given(&self, name: &str) -> Option<&str> {
        self.0.get(name).and_then(|texts| texts.first()).map(String::as_str)
    }

    /// Every text of a field.
    pub fn all(&self, name: &str) -> impl Iterator<Item = &str> {
        self.0.get(name).into_iter().flatten().map(String::as_str)
    }

    /// Every field whose name begins so, with the rest of its name and its text.
    pub fn beginning<'f>(&'f self, head: &'f str) -> impl Iterator<Item = (&'f str, &'f str)> {
        self.0.iter().filter_map(move |(name, texts)| {
            Some((name.strip_prefix(head)?, texts.first()?.as_str()))
        })
    }

    /// Whether a box was ticked.
    #[must_use]
    pub fn ticked(&self, name: &str) -> bool {
        self.given(name).is_some()
    }

    /// Whether nothing was typed.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.0.values().all(Vec::is_empty)
    }

    /// A value, if one was typed.
    ///
    /// # Errors
    /// [`FieldRefused`] if it is none of its kind.
    pub fn parsed<T>(&self, name: &str) -> Result<Option<T>, FieldRefused>
    where
        T: FromStr<Err: ToString>,
    {
        let parse =
            |text: &str| text.parse().map_err(|e: T::Err| FieldRefused::new(name, e.to_string()));
        self.given(name).map(parse).transpose()
    }

    /// A value that has to be there; `missing` says so.
    ///
    /// # Errors
    /// [`FieldRefused`] if it is missing or none of its kind.
    pub fn needed<T>(&self, name: &str, missing: &str) -> Result<T, FieldRefused>
    where
        T: FromStr<Err: ToString>,
    {
        self.parsed(name)?.ok_or_else(|| FieldRefused::new(name, missing))
    }

    /// A text of one line, if one was typed.
    ///
    /// # Errors
    /// [`FieldRefused`] if it can't be a label.
    pub fn label(&self, name: &str, what: &'static str) -> Result<Option<Label>, FieldRefused> {
        let label = |text| Label::new(what, text).map_err(|e| FieldRefused::new(name, e));
        self.given(name).map(label).transpose()
    }

    /// A text of one line that has to be there.
    ///
    /// # Errors
    /// [`FieldRefused`] if it is missing or can't be a label.
    pub fn needed_label(&self, name: &str, what: &'static str) -> Result<Label, FieldRefused> {
        Label::new(what, self.get(name)).map_err(|e| FieldRefused::new(name, e))
    }

    /// A text as long as a paragraph, if one was typed.
    ///
    /// # Errors
    /// [`FieldRefused`] if it is too long.
    pub fn prose(&self, name: &str, what: &'static str) -> Result<Option<Prose>, FieldRefused> {
        let prose = |text| Prose::new(what, text).map_err(|e| FieldRefused::new(name, e));
        self.given(name).map(prose).transpose()
    }

    /// The same, which has to be there.
    ///
    /// # Errors
    /// [`FieldRefused`] if it is missing or too long.
    pub fn needed_prose(&self, name: &str, what: &'static str) -> Result<Prose, FieldRefused> {
        Prose::new(what, self.get(name)).map_err(|e| FieldRefused::new(name, e))
    }

    /// The ticket of a hirer or a customer, if one was typed.
    ///
    /// # Errors
    /// [`FieldRefused`] if it is no number.
    pub fn ticket(&self, name: &str) -> Result<Option<Label>, FieldRefused> {
        let ticket = |text| ticket(text).map_err(|e| FieldRefused::new(name, e));
        self.given(name).map(ticket).transpose()
    }

    /// The same, which has to be there.
    ///
    /// # Errors
    /// [`FieldRefused`] if it is missing or no number.
    pub fn needed_ticket(&self, name: &str) -> Result<Label, FieldRefused> {
        ticket(self.get(name)).map_err(|e| FieldRefused::new(name, e))
    }

    /// A whole day, if one was typed.
    ///
    /// # Errors
    /// [`FieldRefused`] if it is none.
    pub fn day(&self, name: &str) -> Result<Option<NaiveDate>, FieldRefused> {
        let day = |text| typed::day(text).map_err(|why| FieldRefused::new(name, why));
        self.given(name).map(day).transpose()
    }
}
