//! A hose in a list, in two lines: what a person looks for, and under it the facts.

use hosewright_core::answer::Answer;
use hosewright_core::hose::Label;
use hosewright_core::set_view::Checked;
use hosewright_core::view::list;

use crate::{Verdict, Words};

/// A hose in a list.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct HoseLine {
    /// The tag that it carries.
    pub code: String,
    /// What is looked for first: the port that it is in, its own number, what it is.
    pub name: Words,
    /// Under it: the worst of its reasons, where it is, its tag.
    pub facts: Words,
    /// Its status.
    pub verdict: Verdict,
    /// What to do about its reasons; empty if the list is not there for that.
    pub todo: Words,
}

impl HoseLine {
    /// A hose of a set.
    pub(crate) fn of(checked: &Checked) -> Self {
        let (why, todo) = checked.worst_reasons();
        let name = called(checked.number.as_ref(), &checked.briefly);
        Self {
            code: checked.code.to_string(),
            name: checked.port.map_or(name.clone(), |port| format!("{port}: {name}")).into(),
            facts: joined([why, checked.code.to_string()], " ").into(),
            verdict: checked.verdict.into(),
            todo: todo.into(),
        }
    }

    pub(crate) fn all(checked: &[Checked]) -> Vec<Self> {
        checked.iter().map(Self::of).collect()
    }

    /// A hose among all.
    pub(crate) fn among_all(answer: &Answer) -> Self {
        let row = list::HoseLine::of(answer);
        // Where it is may be the very reason.
        let place = if row.why.starts_with(&row.place) { String::new() } else { row.place };
        Self {
            code: answer.code.to_string(),
            name: called(answer.hose.origin.own.number.as_ref(), &row.what).into(),
            facts: joined([row.why, place, answer.code.to_string()], ", ").into(),
            verdict: row.verdict.into(),
            todo: Words::default(),
        }
    }
}

fn called(number: Option<&Label>, what: &str) -> String {
    number.map_or_else(|| what.to_owned(), |number| format!("{number}, {what}"))
}

/// What there is of some facts.
pub(crate) fn joined<const N: usize>(facts: [String; N], between: &str) -> String {
    let some: Vec<String> = facts.into_iter().filter(|fact| !fact.is_empty()).collect();
    some.join(between)
}
