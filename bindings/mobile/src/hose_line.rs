//! A hose in a list.

use hosewright_core::set_view::Checked;

use crate::{Verdict, Words};

/// A hose in a list.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct HoseLine {
    /// The tag that it carries.
    pub code: String,
    /// The port that it is in.
    pub port: Option<String>,
    /// What it is.
    pub words: Words,
    /// Its status.
    pub verdict: Verdict,
    /// The worst of its reasons.
    pub why: Words,
    /// What to do about them.
    pub todo: Words,
}

impl HoseLine {
    pub(crate) fn of(checked: &Checked) -> Self {
        let (why, todo) = checked.worst_reasons();
        Self {
            code: checked.code.to_string(),
            port: checked.port.map(|port| port.to_string()),
            words: checked.words.as_str().into(),
            verdict: checked.verdict.into(),
            why: why.into(),
            todo: todo.into(),
        }
    }

    pub(crate) fn all(checked: &[Checked]) -> Vec<Self> {
        checked.iter().map(Self::of).collect()
    }
}
