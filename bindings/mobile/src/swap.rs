//! The guided swap. Each answer is on record when the call returns, so that it
//! can be left at any step and continued, here or on another device.

use hosewright_core::event::PortName;
use hosewright_core::hose::Label;
use hosewright_core::swap::{self, Asks, Step};
use hosewright_core::tag::Code;
use hosewright_core::{Logbook as Core, SwapView};

use crate::logbook::stands;
use crate::{Answer, Logbook, Moment, RefusedError, Words};

/// How a step is answered.
#[derive(Debug, Clone, Copy, PartialEq, Eq, uniffi::Enum)]
pub enum StepAsks {
    /// By one of its buttons.
    Button,
    /// By scanning the tag of a hose.
    Scan,
    /// By a button, or by a measure that is typed.
    ButtonOrText,
}

/// An answer that a screen offers.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct StepButton {
    /// What the answer begins with, or is.
    pub answer: String,
    /// What the button says.
    pub words: Words,
    /// Whether a text is asked for and put behind it.
    pub needs_text: bool,
}

/// A step with what was answered.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct StepLine {
    /// Its name.
    pub name: String,
    /// What to do.
    pub todo: Words,
    /// What was answered; none while it is open.
    pub answer: Option<Words>,
}

/// The step to answer next.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct NextQuestion {
    /// Its name.
    pub name: String,
    /// What to do.
    pub todo: Words,
    /// How it is answered.
    pub asks: StepAsks,
    /// The answers that are understood, in words.
    pub answers: Words,
    /// The answers to offer.
    pub buttons: Vec<StepButton>,
    /// Which step it is, from 1.
    pub number: u32,
}

/// A swap as it is.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct SwapShown {
    /// The hose that comes off.
    pub old: String,
    /// The hose that goes on.
    pub new: String,
    /// Where the new hose goes.
    pub place: Words,
    /// The ports into which it could go instead; none once the swap is begun.
    pub other_ports: Vec<String>,
    /// Every step; none once it is finished.
    pub steps: Vec<StepLine>,
    /// The step to answer next; none once it is finished.
    pub next: Option<NextQuestion>,
    /// What is to be said of the last answer.
    pub said: Option<Words>,
    /// What to say beside the steps.
    pub cautions: Vec<Words>,
}

#[uniffi::export]
impl Logbook {
    /// A swap as it is, begun or not. `port` names another port of the set.
    ///
    /// # Errors
    /// [`RefusedError`] if the two cannot be swapped.
    pub fn swap(
        &self,
        old: String,
        new: String,
        port: Option<String>,
        moment: Moment,
    ) -> Result<SwapShown, RefusedError> {
        let core = self.core();
        let (old, new) = pair(&core, &old, &new)?;
        shown(&core, (old, new), core.swap(old, new, port_of(port)?, &moment.core()?)?, None)
    }

    /// Answers the next step; the first begins the swap. Where a tag is asked
    /// for, the answer is the text that was scanned or typed.
    ///
    /// # Errors
    /// [`RefusedError`] if the step is not the next one or its answer is not
    /// understood, or the hose scanned is another or does not fit.
    pub fn swap_answer(
        &self,
        old: String,
        new: String,
        port: Option<String>,
        step: String,
        answer: String,
        moment: Moment,
    ) -> Result<SwapShown, RefusedError> {
        let mut core = self.core();
        let both = pair(&core, &old, &new)?;
        let answer = match Step::named(&step).map(|step| step.asks) {
            Some(Asks::OldTag | Asks::NewTag) => tag_of(&core, &answer)?,
            _ => answer,
        };
        let said = (step.as_str(), answer.as_str());
        let view = core.swap_step(both, port_of(port)?, said, None, &moment.core()?)?;
        // A leak test that failed, or a thread that does not go in.
        let open_still = view.next.as_ref().is_some_and(|next| next.step == step);
        shown(&core, both, view, open_still.then(|| swap::open_still(&step).to_owned()))
    }

    /// Gives up a swap that was begun, and answers for the old hose.
    ///
    /// # Errors
    /// [`RefusedError`] if no swap of the two was begun.
    pub fn swap_give_up(
        &self,
        old: String,
        new: String,
        why: String,
        moment: Moment,
    ) -> Result<Answer, RefusedError> {
        let (mut core, now) = (self.core(), moment.core()?);
        let both = pair(&core, &old, &new)?;
        core.swap_give_up(both, &Label::new("the reason", &why)?, &now)?;
        stands(&core, both.0, &now)
    }
}

fn pair(core: &Core, old: &str, new: &str) -> Result<(Code, Code), RefusedError> {
    Ok((core.find_typed(old)?.hose, core.find_typed(new)?.hose))
}

fn port_of(port: Option<String>) -> Result<Option<PortName>, RefusedError> {
    let parsed = port.map(|port| port.parse::<PortName>()).transpose();
    parsed.map_err(|e| RefusedError::Input { words: e.to_string().into() })
}

/// The code of the tag that was scanned.
fn tag_of(core: &Core, text: &str) -> Result<String, RefusedError> {
    let found = core.find_typed(text)?;
    let tag = found.tag.map_or_else(|| core.record(found.hose).map(|r| r.tag()), Ok)?;
    Ok(tag.to_string())
}

/// The port of the old hose and the free ones, but for the one that is chosen.
fn other_ports(
    core: &Core,
    (old, new): (Code, Code),
    view: &SwapView,
) -> Result<Vec<String>, RefusedError> {
    if view.steps.iter().any(|step| step.answer.is_some()) || view.next.is_none() {
        return Ok(Vec::new());
    }
    let own = core.record(old)?.seat.map(|seat| seat.port);
    let free = core.suggest_ports(new, &view.seat.set)?;
    let others = own.into_iter().chain(free).filter(|port| *port != view.seat.port);
    Ok(others.map(|port| port.to_string()).collect())
}

fn shown(
    core: &Core,
    both: (Code, Code),
    view: SwapView,
    said: Option<String>,
) -> Result<SwapShown, RefusedError> {
    let other_ports = other_ports(core, both, &view)?;
    let cautions = view.cautions.iter().copied();
    let name = view.next.as_ref().map(|next| next.step);
    let number = view.steps.iter().position(|step| Some(step.step) == name).unwrap_or_default();
    Ok(SwapShown {
        other_ports,
        old: view.old.to_string(),
        new: view.new.to_string(),
        place: view.seat.to_string().into(),
        next: view.next.map(|next| {
            let asks = Step::named(next.step).map_or(Asks::Done, |step| step.asks);
            question(next.step, next.todo, asks, number)
        }),
        steps: view
            .steps
            .into_iter()
            .map(|step| StepLine {
                name: step.step.to_owned(),
                todo: step.todo.into(),
                answer: step.answer.map(Into::into),
            })
            .collect(),
        said: said.map(Into::into),
        cautions: Words::all(view.giving_up.iter().map(String::as_str).chain(cautions)),
    })
}

fn question(name: &str, todo: &str, asks: Asks, number: usize) -> NextQuestion {
    let buttons = asks.choices().iter().map(|(answer, words)| StepButton {
        answer: (*answer).to_owned(),
        words: (*words).into(),
        // Retiring wants its reason, and a leak test that was passed its pressure.
        needs_text: answer.ends_with(':') || (asks == Asks::LeakTest && *answer == "passed"),
    });
    NextQuestion {
        name: name.to_owned(),
        todo: todo.into(),
        asks: match asks {
            Asks::OldTag | Asks::NewTag => StepAsks::Scan,
            Asks::Torque => StepAsks::ButtonOrText,
            _ => StepAsks::Button,
        },
        answers: asks.answers().into(),
        buttons: buttons.collect(),
        number: u32::try_from(number).unwrap_or(u32::MAX).saturating_add(1),
    }
}
