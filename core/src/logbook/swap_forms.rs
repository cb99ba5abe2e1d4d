//! The form of a swap's step: what it can be answered with.

use super::{Logbook, LogbookError, SwapView};
use crate::journal::Moment;
use crate::swap::{Asks, DONE, Step};
use crate::tag::Code;
use crate::view::form::inspection::result;
use crate::view::form::{ANSWER, Choice, Field, Filled, Form, Kind, care};
use crate::words::swap as say;

/// The answer of a button beside which the torque is typed.
const TORQUE: &str = "torque";
/// The answer of a button beside which the result of a leak test is chosen.
const RESULT: &str = "result";
/// The answer of a button beside which it is typed why the old hose is retired.
const RETIRE: &str = "retire";

impl SwapView {
    /// The form of the step that comes next; none if the swap is finished.
    #[must_use]
    pub fn form(&self, filled: &Filled) -> Option<Form> {
        let next = self.next.as_ref()?;
        let asks = Step::named(next.step)?.asks;
        let mut form = Form::new(next.todo, DONE, vec![Field::fixed("step", next.step)]);
        let asked = fields(asks);
        form.groups.iter_mut().for_each(|group| group.fields.extend(asked.iter().cloned()));
        form.answers = answers(asks);
        Some(form.filled(filled))
    }

    /// The form that gives the swap up; none if it was not begun or is finished.
    #[must_use]
    pub fn give_up_form(&self) -> Option<Form> {
        let lead = self.giving_up.clone()?;
        Some(Form::new(say::GIVE_UP, say::GIVE_UP, vec![care::why()]).lead(lead))
    }
}

fn fields(asks: Asks) -> Vec<Field> {
    match asks {
        Asks::Done | Asks::GoesIn | Asks::Seals => Vec::new(),
        Asks::OldTag | Asks::NewTag => {
            vec![Field::new(ANSWER, say::SCAN, Kind::Tag).needed()]
        }
        Asks::Torque => vec![Field::text(TORQUE, say::TORQUE).hint(say::TORQUE_HINT)],
        Asks::LeakTest => result().into(),
        Asks::OldGoes => vec![Field::text("why", say::WHY_RETIRED)],
    }
}

fn answers(asks: Asks) -> Vec<Choice> {
    let done = |answer| vec![Choice::new(answer, DONE)];
    match asks {
        Asks::OldTag | Asks::NewTag => Vec::new(),
        Asks::Torque => done(TORQUE),
        Asks::LeakTest => done(RESULT),
        _ => {
            let choices = asks.choices().iter();
            choices.map(|(value, label)| Choice::new(value.trim_end_matches(':'), *label)).collect()
        }
    }
}

/// An answer in the words that a swap understands.
fn said(filled: &Filled) -> String {
    match filled.get(ANSWER) {
        TORQUE => filled.given(TORQUE).unwrap_or("done").to_owned(),
        RESULT => {
            let (result, pressure) = (filled.get("result"), filled.get("pressure"));
            format!("{result} {pressure} {}", filled.get("method")).trim().to_owned()
        }
        RETIRE => format!("retire: {}", filled.get("why")),
        other => other.to_owned(),
    }
}

impl Logbook {
    /// Answers the step of a swap that a form names, as the form says.
    ///
    /// # Errors
    /// As [`Logbook::swap_step`].
    pub fn submit_swap_step(
        &mut self,
        pair: (Code, Code),
        filled: &Filled,
        moment: &Moment,
    ) -> Result<SwapView, LogbookError> {
        let step = filled.get("step");
        let said = match Step::named(step).map(|step| step.asks) {
            // A scanner types the whole text of a tag, of which its code counts.
            Some(Asks::OldTag | Asks::NewTag) => {
                let found = self.find_typed(filled.get(ANSWER))?;
                found.tag.unwrap_or(found.hose).to_string()
            }
            _ => said(filled),
        };
        self.swap_step(pair, None, (step, &said), None, moment)
    }
}
