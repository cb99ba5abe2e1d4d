//! A swap's steps as they are shown, and what is said beside them.

use serde::Serialize;

use super::{Asks, Step, Swap, steps};
use crate::record::OpenSwap;

/// What to say where a step is open still after its answer.
#[must_use]
pub fn open_still(step: &str) -> &'static str {
    match Step::named(step).map(|step| step.asks) {
        Some(Asks::GoesIn) => DOES_NOT_GO_IN,
        _ => LEAKED,
    }
}

/// What giving a swap up means for what is in the port, once the spanner was on
/// or before.
#[must_use]
pub fn giving_up(loosened: bool, seat: &str) -> String {
    if loosened {
        format!(
            "The spanner was on: once the swap is given up, a leak test is due for whatever is in \
             {seat}, before anybody dives it."
        )
    } else {
        "The spanner was not on: once the swap is given up, all is as it was.".to_owned()
    }
}

/// Said if a thread does not go in.
pub const DOES_NOT_GO_IN: &str = "It is on record that it does not go in. Do not force it. Measure \
the thread of the hose and that of the port, and see which they are; then put right what is on \
record of the hose or of the set's ports, with a reason. Where they do not go together, take another \
hose, or give this swap up.";

/// Said if a step is open still after its answer: the leak test failed.
pub const LEAKED: &str = "It is on record that it leaked. Close the valve and purge before \
anything is turned, put right what leaks, and test again.";

/// A step as it is shown.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct StepShown {
    /// Its name.
    pub step: &'static str,
    /// What to do.
    pub todo: &'static str,
    /// The answers that are understood.
    pub answers: &'static str,
    /// What was answered, where it was.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub answer: Option<String>,
}

/// Every step of a swap with what was answered so far.
#[must_use]
pub fn shown(swap: &Swap<'_>, open: Option<&OpenSwap>) -> Vec<StepShown> {
    let answer = |name: &str| {
        let steps = open.map(|open| open.steps.as_slice()).unwrap_or_default();
        steps.iter().find(|(step, _)| step.as_str() == name).map(|(_, said)| said.to_string())
    };
    let one = |step: &'static Step| StepShown {
        step: step.name,
        todo: step.todo,
        answers: step.asks.answers(),
        answer: answer(step.name),
    };
    steps(swap).map(one).collect()
}
