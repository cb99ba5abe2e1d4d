//! A form: where it is sent, what was typed into it, and what is wrong with that.
//! One that was refused is drawn again with what was typed, and with the refusal
//! beside the field that it is about.

use std::cell::Cell;
use std::fmt::Display;

use maud::{Markup, html};

use crate::fields::Fields;
use crate::labels as l;
use crate::parts::sentence;
use crate::refusal::Refusal;
use crate::request::Request;

/// A form that was sent and refused.
pub struct Refused<'r> {
    /// The address that it was sent to.
    pub action: &'r str,
    /// What was typed.
    pub typed: &'r Fields,
    /// Why it was refused.
    pub refusal: &'r Refusal,
    filled: Cell<usize>,
    beside: Cell<bool>,
}

impl<'r> Refused<'r> {
    /// A form that was sent and refused.
    pub const fn new(action: &'r str, typed: &'r Fields, refusal: &'r Refusal) -> Self {
        Self { action, typed, refusal, filled: Cell::new(0), beside: Cell::new(false) }
    }

    /// Whether something that was typed is on the page again.
    pub const fn is_filled(&self) -> bool {
        self.filled.get() > 0
    }

    /// Whether the refusal is beside its field, which is where one goes on.
    pub const fn is_beside(&self) -> bool {
        self.beside.get()
    }
}

/// A form as it is drawn.
pub struct Form<'f> {
    action: String,
    token: &'f str,
    class: Option<&'static str>,
    files: bool,
    refused: Option<&'f Refused<'f>>,
}

impl<'f> Form<'f> {
    /// A form that is sent to an address; filled in again where it was refused.
    pub fn new(
        action: impl Into<String>,
        request: &'f Request,
        refused: Option<&'f Refused<'f>>,
    ) -> Self {
        let action = action.into();
        let refused = refused.filter(|refused| refused.action == action);
        Self { action, token: &request.person.token, class: None, files: false, refused }
    }

    /// The same with a class.
    #[must_use]
    pub const fn class(mut self, class: &'static str) -> Self {
        self.class = Some(class);
        self
    }

    /// The same with files.
    #[must_use]
    pub const fn with_files(mut self) -> Self {
        self.files = true;
        self
    }

    /// The form round its fields.
    pub fn drawn(&self, fields: Markup) -> Markup {
        html! {
            form class=[self.class] action=(self.action) method="post"
                enctype=[self.files.then_some("multipart/form-data")] {
                (token(self.token))
                (fields)
            }
        }
    }

    /// A field of one line.
    pub fn field(&self, field: &Field<'_>) -> Markup {
        let value = self.value(field.name, field.value);
        field.filled(&value, self.wrong(field.name).as_ref())
    }

    /// One of several, each a large button: name, then value and label of each.
    pub fn choice(
        &self,
        name: &str,
        legend: impl Display,
        chosen: &str,
        choices: &[(&str, &str)],
    ) -> Markup {
        html! {
            fieldset.choice {
                legend { (legend) }
                @for (value, label) in choices {
                    (self.radio(name, value, *value == chosen, label))
                }
            }
        }
    }

    /// One of several.
    pub fn radio(&self, name: &str, value: &str, chosen: bool, label: &str) -> Markup {
        html! {
            label.pick {
                input type="radio" name=(name) value=(value) required
                    checked[self.is_chosen(name, value, chosen)];
                span { (label) }
            }
        }
    }

    /// A box to tick.
    pub fn tick(&self, name: &str, label: impl Display, ticked: bool) -> Markup {
        html! {
            label.pick {
                input type="checkbox" name=(name) value="yes"
                    checked[self.is_chosen(name, "yes", ticked)];
                span { (label) }
            }
        }
    }

    /// The day on which something happened, where that was not today.
    pub fn day(&self) -> Markup {
        self.field(&Field { kind: Kind::Date, ..Field::new("on", l::ON_DAY) })
    }

    /// The reason for something, which has to be given. `of` tells the reasons on
    /// one page apart.
    pub fn reason(&self, of: &str) -> Markup {
        self.field(&Field::new("why", l::REASON).hint(l::REASON_HINT).needed().of(of))
    }

    /// What is folded up, and open where something was typed in it.
    pub fn fold(&self, summary: &str, inside: impl FnOnce() -> Markup) -> Markup {
        let filled = || self.refused.map_or(0, |refused| refused.filled.get());
        let before = filled();
        let inside = inside();
        html! {
            details open[filled() > before] {
                summary { (summary) }
                (inside)
            }
        }
    }

    /// That a file has to be chosen again, where one was.
    pub fn file_again(&self, name: &str) -> Markup {
        let again = self.refused.is_some_and(|refused| refused.typed.given(name).is_some());
        if again {
            self.noticed();
        }
        html! { @if again { span.hint { (l::REFUSED_FILE) } } }
    }

    /// Whether one of several is chosen.
    pub fn is_chosen(&self, name: &str, value: &str, chosen: bool) -> bool {
        let Some(refused) = self.refused else { return chosen };
        let typed = refused.typed.pairs().iter();
        let chosen = typed.filter(|(known, _)| known == name).any(|(_, text)| text == value);
        if chosen {
            self.noticed();
        }
        chosen
    }

    /// What is in a field.
    fn value(&self, name: &str, value: &str) -> String {
        let typed = self.refused.map(|refused| refused.typed).filter(|typed| typed.has(name));
        let Some(typed) = typed else { return value.to_owned() };
        if typed.given(name).is_some() {
            self.noticed();
        }
        typed.get(name).to_owned()
    }

    fn noticed(&self) {
        if let Some(refused) = self.refused {
            refused.filled.set(refused.filled.get() + 1);
        }
    }

    /// What is wrong with a field; said beside one alone.
    fn wrong(&self, name: &str) -> Option<Wrong> {
        let refused = self.refused.filter(|refused| refused.refusal.field() == Some(name))?;
        if refused.beside.replace(true) {
            return None;
        }
        let words = sentence(&refused.refusal.to_string());
        Some(Wrong { id: format!("refused-{name}"), words })
    }
}

/// What is wrong with a field, in a place of its own.
struct Wrong {
    id: String,
    words: String,
}

/// What is typed into a field.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Kind {
    Text,
    Date,
    /// From 0 to this.
    Number(u32),
}

impl Kind {
    const fn word(self) -> &'static str {
        match self {
            Self::Text => "text",
            Self::Date => "date",
            Self::Number(_) => "number",
        }
    }

    const fn most(self) -> Option<u32> {
        match self {
            Self::Number(most) => Some(most),
            _ => None,
        }
    }
}

/// A field of one line with what stands before it and an example.
#[derive(Clone, Copy)]
pub struct Field<'a> {
    name: &'a str,
    label: &'a str,
    value: &'a str,
    hint: &'a str,
    needed: bool,
    of: &'a str,
    kind: Kind,
}

impl<'a> Field<'a> {
    /// A field that may stay empty.
    pub const fn new(name: &'a str, label: &'a str) -> Self {
        Self { name, label, value: "", hint: "", needed: false, of: "", kind: Kind::Text }
    }

    /// A field for a number from 0 to `most`.
    pub const fn number(name: &'a str, label: &'a str, most: u32) -> Self {
        Self { kind: Kind::Number(most), ..Self::new(name, label) }
    }

    /// What is in it.
    pub const fn value(self, value: &'a str) -> Self {
        Self { value, ..self }
    }

    /// An example beside it.
    pub const fn hint(self, hint: &'a str) -> Self {
        Self { hint, ..self }
    }

    /// It has to be filled in.
    pub const fn needed(self) -> Self {
        Self { needed: true, ..self }
    }

    /// It is in one of several forms of a page that have a field of its name.
    pub const fn of(self, of: &'a str) -> Self {
        Self { of, ..self }
    }

    /// As it is drawn where nothing is saved.
    pub fn drawn(&self) -> Markup {
        self.filled(self.value, None)
    }

    fn id(&self) -> String {
        match self.kind {
            Kind::Number(_) => self.name.replace(':', "-"),
            Kind::Text | Kind::Date => format!("f-{}{}", self.of, self.name),
        }
    }

    fn filled(&self, value: &str, wrong: Option<&Wrong>) -> Markup {
        let id = self.id();
        let hint = format!("{id}-hint");
        let about = wrong.map(|wrong| wrong.id.as_str()).into_iter();
        let about = about.chain((!self.hint.is_empty()).then_some(hint.as_str()));
        let about: Vec<&str> = about.collect();
        let number = self.kind.most();
        html! {
            p.field {
                label for=(id) { (self.label) }
                input type=(self.kind.word()) id=(id) name=(self.name) value=(value)
                    autocomplete="off" min=[number.map(|_| 0)] max=[number]
                    inputmode=[number.map(|_| "numeric")] required[self.needed]
                    aria-describedby=[(!about.is_empty()).then(|| about.join(" "))]
                    aria-invalid=[wrong.map(|_| "true")] autofocus[wrong.is_some()];
                @if let Some(wrong) = wrong { span.wrong id=(wrong.id) { (wrong.words) } }
                @if !self.hint.is_empty() { span.hint id=(hint) { (self.hint) } }
            }
        }
    }
}

/// The token that shows that a form comes from a page of this host.
pub fn token(token: &str) -> Markup {
    html! { input type="hidden" name="token" value=(token); }
}

/// The button that saves a form.
pub fn save(label: &str) -> Markup {
    html! { p.thumb { button.main type="submit" { (label) } } }
}

#[cfg(test)]
mod tests;
