//! The guided swap on record: begun, left, continued, finished or given up.

use chrono::NaiveDate;

use super::checks::{check_day, not_after_incident};
use super::inspections::{answers_of, judged};
use super::moves::{fitting, removal};
use super::swap_pair::{
    PLUG_MOVES, Pair, SwapView, check_fits, check_tag, expected, is_loosened, names, open_swap,
    pair, said_already,
};
use super::{Logbook, LogbookError, believed};
use crate::answer::Reason;
use crate::event::{Event, PortName, Swapped};
use crate::fit::FIT_CAUTIONS;
use crate::hose::{Label, Prose};
use crate::inspection::{Form, InspectionKind, LeakTest, Verdict};
use crate::journal::{Draft, Moment};
use crate::record::{FleetRecord, HoseRecord, OpenFinding, OpenSwap};
use crate::swap::{Answered, Asks, NOT_IN, Step, giving_up, understand};
use crate::tag::Code;

impl Logbook {
    /// A swap as it is, begun or not: what its steps are and which comes
    /// next. `port` names another port of the same set for the new hose.
    ///
    /// # Errors
    /// [`LogbookError`] if the two cannot be swapped.
    pub fn swap(
        &self,
        old: Code,
        new: Code,
        port: Option<PortName>,
        moment: &Moment,
    ) -> Result<SwapView, LogbookError> {
        let pair = pair(&self.connection, (old, new), port, moment)?;
        self.check_new(&pair, moment)?;
        self.with_help(pair.view(), moment)
    }

    /// Answers the next step of a swap and writes what follows from it; the
    /// first step begins it. An answer that was given already is taken once.
    ///
    /// # Errors
    /// [`LogbookError`] if the step is not the next one, its answer is not
    /// understood, or the hose scanned is another or does not fit.
    pub fn swap_step(
        &mut self,
        (old, new): (Code, Code),
        port: Option<PortName>,
        (name, answer): (&str, &str),
        on: Option<NaiveDate>,
        moment: &Moment,
    ) -> Result<SwapView, LogbookError> {
        let on = on.unwrap_or(moment.today);
        self.check_new(&pair(&self.connection, (old, new), port, moment)?, moment)?;
        self.write(moment, |work, _| {
            let pair = pair(work, (old, new), port, moment)?;
            not_after_incident(work, &pair.old, moment)?;
            not_after_incident(work, &pair.new, moment)?;
            check_day(&pair.old, on, moment)?;
            check_day(&pair.new, on, moment)?;
            if said_already(&pair, name, answer) {
                return Ok((Vec::new(), ()));
            }
            let step = expected(&pair, name)?;
            let understood = understand(step, answer).map_err(LogbookError::Swap)?;
            check_tag(work, &pair, step, &understood, moment)?;
            if step.asks == Asks::GoesIn && understood == Answered::Done {
                // What was corrected since its tag was scanned counts.
                check_fits(work, &pair, moment)?;
            }
            let fleet = believed::fleet_on(work, moment.today)?;
            let events = events(&pair, step, answer, &understood, &fleet)?;
            Ok((events.into_iter().map(|event| Draft { on, event }).collect(), ()))
        })?;
        self.swap_after((old, new), port, moment)
    }

    /// Gives up a swap that was begun. What was done stays on record: a hose
    /// that was taken off is in stock, one that was put on needs its leak test,
    /// and so does whatever is in the port once the spanner was on. Says so.
    ///
    /// # Errors
    /// [`LogbookError`] if no swap of the two was begun.
    pub fn swap_give_up(
        &mut self,
        (old, new): (Code, Code),
        why: &Prose,
        moment: &Moment,
    ) -> Result<String, LogbookError> {
        let (_, said) = self.write(moment, |work, _| {
            let old = believed::record_of(work, old, moment.today)?;
            let new = believed::record_of(work, new, moment.today)?;
            let open = open_swap(&old, &new).ok_or_else(|| {
                LogbookError::Swap("no swap of these two was begun; nothing to give up".to_owned())
            })?;
            let answer = Label::new("a reason", &format!("given up: {why}"))?;
            let loosened = is_loosened(open);
            let seat = believed::seat_of(work, open.slot)?.to_string();
            let mut event = swapped(open, OpenSwap::END, answer)?;
            if let Event::Swapped(Swapped { loosened: flag, .. }) = &mut event {
                *flag = loosened;
            }
            let said = giving_up(loosened, &seat);
            Ok((vec![Draft { on: moment.today, event }], said))
        })?;
        Ok(said)
    }

    /// After the last step the swap is closed and both hoses are elsewhere:
    /// there is nothing left to ask.
    fn swap_after(
        &self,
        (old, new): (Code, Code),
        port: Option<PortName>,
        moment: &Moment,
    ) -> Result<SwapView, LogbookError> {
        let (before, after) = (self.record(old)?, self.record(new)?);
        if open_swap(&before, &after).is_none()
            && let Some(slot) = after.seat
        {
            let seat = believed::seat_of(&self.connection, slot)?;
            return Ok(SwapView {
                old: before.tag(),
                new: after.tag(),
                names: names(&before, &after),
                seat,
                remembered: None,
                exchanged: None,
                retires: false,
                can_go_back: false,
                steps: Vec::new(),
                next: None,
                giving_up: None,
                cautions: FIT_CAUTIONS,
            });
        }
        self.with_help(pair(&self.connection, (old, new), port, moment)?.view(), moment)
    }

    /// A hose that is held or retired is not put on; that it was never fitted
    /// leak-tested is what the swap is for.
    fn check_new(&self, pair: &Pair, moment: &Moment) -> Result<(), LogbookError> {
        if pair.open.is_some() {
            return Ok(());
        }
        self.check_not_held(&pair.new, moment)
    }

    /// Whether nothing holds a hose that is to be put on.
    pub(super) fn check_not_held(
        &self,
        new: &HoseRecord,
        moment: &Moment,
    ) -> Result<(), LogbookError> {
        let found = super::Found { hose: new.hose, tag: None };
        let answer = self.answer_alone(found, moment)?;
        let holds = |reason: &&Reason| {
            reason.verdict >= Verdict::Hold && !waits_for_its_test(new, &reason.code)
        };
        match answer.reasons.iter().find(holds) {
            Some(reason) => Err(LogbookError::Held {
                hose: new.tag(),
                why: format!("{} {}", reason.words, reason.todo),
            }),
            None => Ok(()),
        }
    }
}

/// Whether a reason is a finding that got its new O-rings or its new coupling, and waits
/// for the leak test alone: that needs the hose fitted, and is a step of the swap.
fn waits_for_its_test(hose: &HoseRecord, code: &str) -> bool {
    let of_code = |open: &&OpenFinding| code == format!("finding-{}", open.seen.finding());
    let mut found = hose.open.iter().filter(of_code).peekable();
    found.peek().is_some() && found.all(|open| open.resealed.is_some())
}

/// What is written for an answer: the step, and what it does to the hoses.
fn events(
    pair: &Pair,
    step: &Step,
    answer: &str,
    understood: &Answered,
    fleet: &FleetRecord,
) -> Result<Vec<Event>, LogbookError> {
    let open = pair.answered();
    let (old, new) = (pair.old.hose, pair.new.hose);
    let first = pair.open.is_none() && pair.plug_moves;
    let said = if first { format!("{} {PLUG_MOVES}", answer.trim()) } else { answer.to_owned() };
    let ticked = swapped(&open, step.name, Label::new("an answer", &said)?)?;
    Ok(match (step.name, understood) {
        ("off", _) if pair.old.slots().next().is_some() => vec![ticked, removal(&pair.old)],
        ("tightened", _) => vec![ticked, fitting(&pair.new, pair.slot)],
        // It is on record, and leaves the step open.
        (_, Answered::NotIn) if open.steps.iter().any(|(step, _)| step.as_str() == NOT_IN) => {
            Vec::new()
        }
        (_, Answered::NotIn) => {
            vec![swapped(&open, NOT_IN, Label::new("an answer", answer.trim())?)?]
        }
        (_, Answered::LeakTest { passed, pressure, method }) => {
            let mut form = Form::new(InspectionKind::LeakTest, &pair.of_new);
            form.tested(LeakTest::new(*passed, pressure.clone()).done(*method));
            let look = judged(form.finish()?, fleet, &pair.of_new)?;
            let on = NaiveDate::MAX;
            let answers = answers_of(&pair.new, &look, on, &[]);
            let tested = Event::Inspected { hose: new, look, at: Some(pair.slot), answers };
            // A failed test is on record and leaves the step open.
            if *passed { vec![tested, ticked] } else { vec![tested] }
        }
        (_, Answered::Stock) => vec![ticked, swapped(&open, OpenSwap::END, finished()?)?],
        (_, Answered::Retire(why)) => {
            let retired = Event::Retired { hose: old, why: why.clone().into() };
            vec![ticked, swapped(&open, OpenSwap::END, finished()?)?, retired]
        }
        _ => vec![ticked],
    })
}

fn finished() -> Result<Label, LogbookError> {
    Ok(Label::new("an answer", "finished")?)
}

pub(super) fn swapped(open: &OpenSwap, step: &str, answer: Label) -> Result<Event, LogbookError> {
    Ok(Event::Swapped(Swapped {
        hoses: [open.old, open.new],
        set: open.slot.set,
        port: open.slot.port,
        step: Label::new("a step", step)?,
        answer,
        loosened: false,
        answers: open.entries.clone(),
        instead: None,
    }))
}
