//! What a set's own tag answers.

use hosewright_core::set_answer;

use crate::answer::Reason;
use crate::{HoseLine, Verdict, Words};

/// How a whole set stands.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct SetAnswer {
    /// The tag that the set carries.
    pub code: String,
    /// What it is called; its code where it is not known here.
    pub name: Words,
    /// The worst of its own reasons and of its hoses'.
    pub verdict: Verdict,
    /// The verdict's word.
    pub word: Words,
    /// What that means, in one line.
    pub meaning: Words,
    /// Its status, with the worst hose in it.
    pub line: Words,
    /// Where it is.
    pub words: Words,
    /// Its own reasons, worst first.
    pub reasons: Vec<Reason>,
    /// Every hose in it, by port.
    pub hoses: Vec<HoseLine>,
    /// Whether this phone has a record of the set, and not its tag alone.
    pub on_record: bool,
    /// The caution that goes with every answer.
    pub caution: Words,
}

impl SetAnswer {
    pub(crate) fn of(answer: &set_answer::SetAnswer) -> Self {
        let reasons = answer.reasons.iter().map(|reason| Reason {
            verdict: reason.verdict.into(),
            words: reason.words.as_str().into(),
            todo: reason.todo.as_str().into(),
        });
        Self {
            code: answer.code.to_string(),
            name: answer.name().as_str().into(),
            verdict: answer.verdict.into(),
            word: answer.verdict.word().into(),
            meaning: answer.meaning.into(),
            line: answer.line().into(),
            words: answer.words.as_str().into(),
            reasons: reasons.collect(),
            hoses: HoseLine::all(&answer.hoses),
            on_record: answer.set.is_some(),
            caution: answer.caution.into(),
        }
    }
}
