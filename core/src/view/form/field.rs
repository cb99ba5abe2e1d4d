//! A field of a form, and what can be chosen in it.

use crate::inspection::Verdict;

/// How a field is filled in.
#[derive(Debug, Clone, PartialEq)]
pub enum Kind {
    /// By a text of one line.
    Text,
    /// By a text as long as a paragraph.
    Prose,
    /// By a text that nobody else is to see, and that is not filled in again.
    Secret,
    /// By a day.
    Date,
    /// By a number from 0 to this.
    Number(u32),
    /// By one of these.
    Choice(Vec<Choice>),
    /// By any of these.
    Many(Vec<Choice>),
    /// By `yes`, or by nothing for no.
    Tick,
    /// By scanning a tag, or typing its code.
    Tag,
    /// By scanning a barcode, or typing what it says.
    Barcode,
    /// By scanning tags, one after another: each fills in another field.
    Scans,
    /// By a photo.
    Photo,
    /// Not by a person: the form itself says it.
    Fixed,
}

/// Something that can be chosen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Choice {
    /// What fills the field in.
    pub value: String,
    /// The same in words.
    pub label: String,
    /// What it means for the hose, if it means something.
    pub verdict: Option<Verdict>,
}

impl Choice {
    /// Something that can be chosen.
    #[must_use]
    pub fn new(value: impl Into<String>, label: impl Into<String>) -> Self {
        Self { value: value.into(), label: label.into(), verdict: None }
    }
}

/// What a field is filled with if its box is ticked.
pub const YES: &str = "yes";

/// A field of a form.
#[derive(Debug, Clone, PartialEq)]
pub struct Field {
    /// Its name.
    pub name: String,
    /// What it is called.
    pub label: String,
    /// How it is written, or what it is for, if that is not plain.
    pub hint: Option<String>,
    /// How it is filled in.
    pub kind: Kind,
    /// What is in it, as it was typed.
    pub values: Vec<String>,
    /// Whether it has to be filled in.
    pub needed: bool,
    /// Whether it has an effect as the form is filled in so far. A screen that is
    /// drawn again at every tap leaves it out if not.
    pub asked: bool,
    /// What is wrong with it.
    pub wrong: Option<String>,
    /// Whether one goes on here: where a keyboard types once the form is shown.
    pub goes_on: bool,
}

impl Field {
    /// A field that may stay empty.
    #[must_use]
    pub fn new(name: impl Into<String>, label: impl Into<String>, kind: Kind) -> Self {
        Self {
            name: name.into(),
            label: label.into(),
            hint: None,
            kind,
            values: Vec::new(),
            needed: false,
            asked: true,
            wrong: None,
            goes_on: false,
        }
    }

    /// A field for a text.
    #[must_use]
    pub fn text(name: impl Into<String>, label: impl Into<String>) -> Self {
        Self::new(name, label, Kind::Text)
    }

    /// A field for a reason or a note.
    #[must_use]
    pub fn prose(name: impl Into<String>, label: impl Into<String>) -> Self {
        Self::new(name, label, Kind::Prose)
    }

    /// A field for a number from 0 to `most`.
    #[must_use]
    pub fn number(name: impl Into<String>, label: impl Into<String>, most: u32) -> Self {
        Self::new(name, label, Kind::Number(most))
    }

    /// One of several.
    #[must_use]
    pub fn choice<'c>(
        name: impl Into<String>,
        label: impl Into<String>,
        choices: impl IntoIterator<Item = (&'c str, &'c str)>,
    ) -> Self {
        let choices = choices.into_iter().map(|(value, label)| Choice::new(value, label));
        Self::new(name, label, Kind::Choice(choices.collect()))
    }

    /// A box to tick.
    #[must_use]
    pub fn tick(name: impl Into<String>, label: impl Into<String>) -> Self {
        Self::new(name, label, Kind::Tick)
    }

    /// Something that the form itself says.
    #[must_use]
    pub fn fixed(name: impl Into<String>, value: impl ToString) -> Self {
        Self { values: vec![value.to_string()], ..Self::new(name, "", Kind::Fixed) }
    }

    /// The same with a hint.
    #[must_use]
    pub fn hint(self, hint: impl Into<String>) -> Self {
        Self { hint: Some(hint.into()), ..self }
    }

    /// The same with a value.
    #[must_use]
    pub fn value(self, value: impl Into<String>) -> Self {
        Self { values: vec![value.into()], ..self }
    }

    /// The same, which has to be filled in.
    #[must_use]
    pub fn needed(self) -> Self {
        Self { needed: true, ..self }
    }

    /// The same, where one goes on.
    #[must_use]
    pub fn goes_on(self) -> Self {
        Self { goes_on: true, ..self }
    }

    /// What is in it; empty if nothing is.
    #[must_use]
    pub fn text_value(&self) -> &str {
        self.values.first().map_or("", String::as_str)
    }

    /// Whether a person can fill it in with this: one of its choices, or any text.
    #[must_use]
    pub fn takes(&self, value: &str) -> bool {
        match &self.kind {
            Kind::Choice(choices) | Kind::Many(choices) => {
                choices.iter().any(|choice| choice.value == value)
            }
            Kind::Fixed | Kind::Photo => false,
            _ => true,
        }
    }

    /// Whether something is chosen. An empty value is, if nothing else is.
    #[must_use]
    pub fn is_chosen(&self, choice: &Choice) -> bool {
        let Choice { value, .. } = choice;
        self.values.contains(value) || (value.is_empty() && self.values.is_empty())
    }
}
