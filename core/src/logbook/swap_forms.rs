//! The form of a swap's step: what it can be answered with.

use super::{FormRefused, Logbook, LogbookError, SwapView};
use crate::event::PortName;
use crate::journal::Moment;
use crate::swap::{Asks, DONE, Step};
use crate::tag::Code;
use crate::view::form::inspection::result;
use crate::view::form::{ANSWER, Choice, Field, Filled, Form, Kind};
use crate::words::{care, swap as say};

/// The answer of a button beside which the spanner's size is typed.
const SIZE: &str = "size";
/// The answer that puts the old hose in stock.
const STOCK: &str = "stock";
/// The answer of a button beside which the torque is typed.
const TORQUE: &str = "torque";
/// The answer of a button beside which the result of a leak test is chosen.
const RESULT: &str = "result";
/// The answer of a button beside which it is typed why the old hose is retired.
const RETIRE: &str = "retire";
/// The field for the port that the new hose goes into.
const PORT: &str = "port";

impl SwapView {
    /// The form of the step that comes next; none if the swap is finished.
    #[must_use]
    pub fn form(&self, filled: &Filled) -> Option<Form> {
        let next = self.next.as_ref()?;
        let asks = Step::named(next.step)?.asks;
        let mut form = Form::new(next.todo, DONE, vec![Field::fixed("step", next.step)]);
        let asked = self.fields(asks);
        form.groups.iter_mut().for_each(|group| group.fields.extend(asked.iter().cloned()));
        form.answers = self.answers(asks);
        form.lead.extend(self.exchanged.clone());
        form.lead.extend(self.remembered.clone());
        Some(form.filled(filled))
    }

    /// Which step comes next, and of how many; none if the swap is finished.
    #[must_use]
    pub fn step_of(&self) -> Option<String> {
        let next = self.next.as_ref()?;
        let at = self.steps.iter().position(|step| step.step == next.step)?;
        Some(say::step_of(at + 1, self.steps.len()))
    }

    /// What is done before the step that comes next, in one line; none if nothing is.
    #[must_use]
    pub fn done_so_far(&self) -> Option<String> {
        let done: Vec<_> = self
            .steps
            .iter()
            .filter_map(|step| Some((step.todo, step.answer.as_deref()?)))
            .collect();
        done.last().map(|last| say::done_so_far(done.len(), *last))
    }

    /// The form that gives the swap up; none if it was not begun or is finished.
    #[must_use]
    pub fn give_up_form(&self) -> Option<Form> {
        let lead = self.giving_up.clone()?;
        Some(
            Form::new(say::GIVE_UP, say::GIVE_UP, vec![Field::text("why", care::WHY).needed()])
                .lead(lead),
        )
    }
}

/// An answer in the words that a swap understands.
fn said(filled: &Filled) -> String {
    match filled.get(ANSWER) {
        SIZE => filled.given(SIZE).unwrap_or("done").to_owned(),
        TORQUE => filled.given(TORQUE).unwrap_or("done").to_owned(),
        RESULT => {
            let (result, pressure) = (filled.get("result"), filled.get("pressure"));
            format!("{result} {pressure} {}", filled.get("method")).trim().to_owned()
        }
        RETIRE => format!("retire: {}", filled.get("why")),
        other => other.to_owned(),
    }
}

impl SwapView {
    fn fields(&self, asks: Asks) -> Vec<Field> {
        match asks {
            Asks::Done | Asks::GoesIn | Asks::Seals => Vec::new(),
            Asks::OldTag | Asks::NewTag => {
                vec![Field::new(ANSWER, say::SCAN, Kind::Tag).needed()]
            }
            Asks::Spanner => vec![Field::text(SIZE, say::SPANNER).hint(say::SPANNER_HINT)],
            Asks::Torque => vec![Field::text(TORQUE, say::TORQUE).hint(say::TORQUE_HINT)],
            Asks::LeakTest => result().into(),
            Asks::OldGoes => vec![Field::text("why", say::WHY_RETIRED)],
        }
    }

    fn answers(&self, asks: Asks) -> Vec<Choice> {
        let done = |answer| vec![Choice::new(answer, DONE)];
        let offered = |value: &str| !(self.retires && value == STOCK);
        match asks {
            Asks::OldTag | Asks::NewTag => Vec::new(),
            Asks::Spanner => done(SIZE),
            Asks::Torque => done(TORQUE),
            Asks::LeakTest => done(RESULT),
            _ => {
                let choices = asks.choices().iter().filter(|(value, _)| offered(value));
                let choice =
                    |value: &str, label: &str| Choice::new(value.trim_end_matches(':'), label);
                choices.map(|(value, label)| choice(value, label)).collect()
            }
        }
    }
}

impl Logbook {
    /// A swap as it is, and the form of the step that comes next; none if it is
    /// finished. Before it is begun, the form asks for the port if there are several.
    ///
    /// # Errors
    /// As [`Logbook::swap`]; [`FormRefused::Field`] if the port is none.
    pub fn swap_form(
        &self,
        (old, new): (Code, Code),
        filled: &Filled,
        moment: &Moment,
    ) -> Result<(SwapView, Option<Form>), FormRefused> {
        let view = self.swap(old, new, filled.parsed(PORT)?, moment)?;
        let mut form = view.form(filled);
        let ports = self.swap_ports((old, new), &view)?;
        if let Some(group) = form.as_mut().and_then(|form| form.groups.first_mut())
            && ports.len() > 1
        {
            let ports: Vec<String> = ports.iter().map(ToString::to_string).collect();
            let choices = ports.iter().map(|port| (port.as_str(), port.as_str()));
            let chosen = view.seat.port.to_string();
            group.fields.push(Field::choice(PORT, say::INTO_PORT, choices).value(chosen));
        }
        Ok((view, form))
    }

    /// The ports that the new hose of a swap can go into, the old hose's own first;
    /// none once it is begun.
    fn swap_ports(
        &self,
        (old, new): (Code, Code),
        view: &SwapView,
    ) -> Result<Vec<PortName>, LogbookError> {
        if view.next.is_none() || view.steps.iter().any(|step| step.answer.is_some()) {
            return Ok(Vec::new());
        }
        let own = self.record(old)?.seat.map(|seat| seat.port);
        let free = self.suggest_ports(new, &view.seat.set)?;
        Ok(own.into_iter().chain(free.into_iter().filter(|port| Some(*port) != own)).collect())
    }

    /// Answers the step of a swap that a form names, as the form says.
    ///
    /// # Errors
    /// As [`Logbook::swap_step`]; [`FormRefused::Field`] if the port is none.
    pub fn submit_swap_step(
        &mut self,
        pair: (Code, Code),
        filled: &Filled,
        moment: &Moment,
    ) -> Result<SwapView, FormRefused> {
        let step = filled.get("step");
        let said = match Step::named(step).map(|step| step.asks) {
            // A scanner types the whole text of a tag, of which its code counts.
            Some(Asks::OldTag | Asks::NewTag) => {
                let found = self.find_typed(filled.get(ANSWER))?;
                found.tag.unwrap_or(found.hose).to_string()
            }
            _ => said(filled),
        };
        Ok(self.swap_step(pair, filled.parsed(PORT)?, (step, &said), None, moment)?)
    }
}
