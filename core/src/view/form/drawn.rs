//! A form as it is drawn: what it says, its groups of fields, its button.

use super::{Choice, Field, FieldRefused, Filled, Kind};
use crate::answer::Answer;
use crate::hose::Specification;
use crate::inspection::{Checkpoint, Verdict};
use crate::photograph::PhotographName;
use crate::tag::Code;
use crate::words::by_number;
use crate::words::form::NO_SUCH_CHOICE;

/// The field that a button of [`Form::answers`] fills in.
pub const ANSWER: &str = "answer";

/// The hose that a form is about.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct About {
    /// Its tag.
    pub code: Code,
    /// It by the shop's own number, if it has one, and its tag: what is said once more
    /// before something is saved of it.
    pub named: String,
    /// May it be dived?
    pub verdict: Verdict,
    /// What it is.
    pub words: String,
}

impl About {
    /// The hose of an answer.
    #[must_use]
    pub fn of(answer: &Answer) -> Self {
        let words = answer.hose.words.clone();
        let named = by_number(answer.hose.origin.own.number.as_ref(), answer.code);
        Self { code: answer.code, named, verdict: answer.verdict, words }
    }
}

/// A photograph of an earlier inspection.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PhotographShown {
    /// Its name.
    pub name: PhotographName,
    /// What it shows.
    pub words: String,
}

/// Fields that belong together.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Group {
    /// What stands over them; empty if nothing does.
    pub title: String,
    /// The checkpoint of a hose that a picture shows where it is.
    pub picture: Option<(Specification, Checkpoint)>,
    /// What is said before them.
    pub notes: Vec<String>,
    /// Photographs of what was found there before.
    pub photographs: Vec<PhotographShown>,
    /// The fields.
    pub fields: Vec<Field>,
    /// More of them, which a screen may show only when asked to.
    pub more: Option<More>,
}

impl Group {
    /// Every field, with those that a screen may show only when asked to.
    #[must_use]
    pub fn all(&self) -> Vec<&Field> {
        let more = self.more.iter().flat_map(|more| &more.groups).flat_map(Self::all);
        self.fields.iter().chain(more).collect()
    }

    fn all_mut(&mut self) -> Vec<&mut Field> {
        let more = self.more.iter_mut().flat_map(|more| &mut more.groups);
        self.fields.iter_mut().chain(more.flat_map(Self::all_mut)).collect()
    }
}

/// Fields that a screen may show only when asked to.
#[derive(Debug, Clone, PartialEq)]
pub struct More {
    /// What they are for.
    pub title: String,
    /// The fields.
    pub groups: Vec<Group>,
}

/// A form, as far as it is filled in.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Form {
    /// What stands over it.
    pub title: String,
    /// The hose that it is about.
    pub about: Option<About>,
    /// What is said before its fields, a paragraph each.
    pub lead: Vec<String>,
    /// Its fields, in the order in which they are filled in.
    pub groups: Vec<Group>,
    /// What its button says.
    pub submit: String,
    /// Buttons that submit it with an answer each, in its place; often none.
    pub answers: Vec<Choice>,
    /// What is to be heeded, said after its fields.
    pub cautions: Vec<String>,
    /// What is missing or wrong, if it can't be saved as it is.
    pub problem: Option<String>,
}

impl Form {
    /// A form with one group of fields.
    #[must_use]
    pub fn new(title: impl Into<String>, submit: impl Into<String>, fields: Vec<Field>) -> Self {
        let groups = vec![Group { fields, ..Group::default() }];
        Self { title: title.into(), submit: submit.into(), groups, ..Self::default() }
    }

    /// The same with something said before its fields.
    #[must_use]
    pub fn lead(mut self, words: impl Into<String>) -> Self {
        self.lead.push(words.into());
        self
    }

    /// The same about a hose.
    #[must_use]
    pub fn about(self, answer: &Answer) -> Self {
        Self { about: Some(About::of(answer)), ..self }
    }

    /// Every field.
    pub fn fields(&self) -> impl Iterator<Item = &Field> {
        self.groups.iter().flat_map(Group::all)
    }

    /// Every field, to change it.
    fn fields_mut(&mut self) -> impl Iterator<Item = &mut Field> {
        self.groups.iter_mut().flat_map(Group::all_mut)
    }

    /// Does what a tap on a field does, or a text that was typed into it.
    ///
    /// # Errors
    /// [`FieldRefused`] if the form has no such field or choice.
    pub fn touch(&self, filled: &mut Filled, name: &str, value: &str) -> Result<(), FieldRefused> {
        let field = self.fields().find(|field| field.name == name && field.takes(value));
        filled.touch(field.ok_or_else(|| FieldRefused::new(name, NO_SUCH_CHOICE))?, value);
        Ok(())
    }

    /// The same with what was typed.
    #[must_use]
    pub fn filled(mut self, filled: &Filled) -> Self {
        for field in self.fields_mut().filter(|field| field.kind != Kind::Fixed) {
            field.values = filled.all(&field.name).map(ToOwned::to_owned).collect();
        }
        self
    }

    /// The same, where one types elsewhere first.
    #[must_use]
    pub fn waits(mut self) -> Self {
        self.fields_mut().for_each(|field| field.goes_on = false);
        self
    }

    /// The same with what is missing or wrong: said of the form, and beside a field
    /// in which something was typed.
    #[must_use]
    pub fn checked<T>(mut self, read: &Result<T, FieldRefused>) -> Self {
        if let Err(refused) = read {
            self.refuse(&refused.field, &refused.words, false);
            self.problem = Some(refused.words.clone());
        }
        self
    }

    /// Says beside a field what is wrong with it, `also_empty` if nothing was typed
    /// in it; once, if several have its name.
    pub fn refuse(&mut self, name: &str, words: &str, also_empty: bool) {
        let mut named = self.fields_mut().filter(|field| field.name == name);
        if let Some(field) = named.next()
            && (also_empty || !field.values.is_empty())
        {
            field.wrong = Some(words.to_owned());
        }
    }
}
