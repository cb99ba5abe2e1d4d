//! The guided swap on record: begun, left, continued, finished or given up.

use chrono::NaiveDate;
use rusqlite::Connection;
use serde::Serialize;

use super::checks::{
    check_day, described, not_after_incident, not_at_home, not_out, not_retired, of_this_set,
    set_not_out,
};
use super::inspections::{answers_of, judged};
use super::moves::{fitting, removal};
use super::places::goes_in;
use super::{Logbook, LogbookError, believed};
use crate::event::{Event, PortName, Seat, Slot};
use crate::fit::FIT_CAUTIONS;
use crate::hose::{Label, Specification};
use crate::inspection::{Form, InspectionKind, LeakTest, Verdict};
use crate::journal::{Draft, Moment};
use crate::record::{self, FleetRecord, HoseRecord, OpenSwap};
use crate::set_view::free_ports;
use crate::swap::{
    Answered, Asks, NOT_IN, Step, StepShown, Swap, giving_up, next, shown, stops, understand,
};
use crate::tag::Code;

/// A swap as it is.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SwapView {
    /// The hose that comes off.
    pub old: Code,
    /// The hose that goes on.
    pub new: Code,
    /// Where the new hose goes.
    pub seat: Seat,
    /// Every step with what was answered.
    pub steps: Vec<StepShown>,
    /// The step to answer next; none once it is finished.
    pub next: Option<StepShown>,
    /// What giving it up means; none before it is started and once it is finished.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub giving_up: Option<String>,
    /// What to say beside its steps.
    pub cautions: &'static [&'static str],
}

/// The two hoses of a swap and what is known of them.
struct Pair {
    old: HoseRecord,
    new: HoseRecord,
    of_old: Specification,
    of_new: Specification,
    slot: Slot,
    /// The same for people.
    seat: Seat,
    plug_moves: bool,
    open: Option<OpenSwap>,
}

impl Pair {
    fn swap(&self) -> Swap<'_> {
        Swap { old: &self.of_old, new: &self.of_new, plug_moves: self.plug_moves }
    }

    fn answered(&self) -> OpenSwap {
        self.open.clone().unwrap_or_else(|| OpenSwap {
            entries: Vec::new(),
            old: self.old.hose,
            new: self.new.hose,
            slot: self.slot,
            since: NaiveDate::MIN,
            steps: Vec::new(),
        })
    }

    fn view(&self) -> SwapView {
        let steps = shown(&self.swap(), self.open.as_ref());
        let next = steps.iter().find(|step| step.answer.is_none()).cloned();
        let (old, new) = (self.old.tag(), self.new.tag());
        let open = self.open.as_ref().filter(|_| next.is_some());
        let giving_up = open.map(|open| giving_up(is_loosened(open), &self.seat.to_string()));
        let (seat, cautions) = (self.seat.clone(), FIT_CAUTIONS);
        SwapView { old, new, seat, steps, next, giving_up, cautions }
    }
}

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
        Ok(pair.view())
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
        why: &Label,
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
            if let Event::Swapped { loosened: flag, .. } = &mut event {
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
            let (old, new) = (before.tag(), after.tag());
            let (steps, next, giving_up) = (Vec::new(), None, None);
            let cautions = FIT_CAUTIONS;
            return Ok(SwapView { old, new, seat, steps, next, giving_up, cautions });
        }
        Ok(pair(&self.connection, (old, new), port, moment)?.view())
    }

    /// A hose that is held or retired is not put on; that it was never fitted
    /// leak-tested is what the swap is for.
    fn check_new(&self, pair: &Pair, moment: &Moment) -> Result<(), LogbookError> {
        if pair.open.is_some() {
            return Ok(());
        }
        let found = super::Found { hose: pair.new.hose, tag: None };
        let answer = self.answer_alone(found, moment)?;
        match answer.reasons.iter().find(|reason| reason.verdict >= Verdict::Hold) {
            Some(reason) => Err(LogbookError::Held {
                hose: pair.new.tag(),
                why: format!("{} {}", reason.words, reason.todo),
            }),
            None => Ok(()),
        }
    }
}

/// From this step on the hose in the port may be loose.
const SPANNER: &str = "spanner";

fn is_loosened(open: &OpenSwap) -> bool {
    open.steps.iter().any(|(step, _)| step.as_str() == SPANNER)
}

fn open_swap<'a>(old: &'a HoseRecord, new: &HoseRecord) -> Option<&'a OpenSwap> {
    old.swaps.iter().find(|swap| (swap.old, swap.new) == (old.hose, new.hose))
}

fn pair(
    work: &Connection,
    (old, new): (Code, Code),
    port: Option<PortName>,
    moment: &Moment,
) -> Result<Pair, LogbookError> {
    let old = believed::record_of(work, old, moment.today)?;
    let new = believed::record_of(work, new, moment.today)?;
    if old.hose == new.hose {
        return Err(LogbookError::Swap(format!(
            "{} is both the old and the new hose; scan two hoses",
            old.tag()
        )));
    }
    let open = open_swap(&old, &new).cloned();
    if open.is_none() {
        check_can_begin(work, &old, &new)?;
    }
    let begun_at = open.as_ref().map(|open| open.slot);
    let held = old.seat.or(begun_at).ok_or(LogbookError::NotFitted(old.tag()))?;
    let slot = begun_at.unwrap_or(Slot { set: held.set, port: port.unwrap_or(held.port) });
    // What a place asks for of oxygen is its set's, and not the old hose's.
    let (of_old, of_new) = (described(&old)?.cleaned_for_oxygen(false), described(&new)?);
    let plug_moves = plug_moves(held, slot, open.as_ref());
    let seat = believed::seat_of(work, slot)?;
    let pair = Pair { old, new, of_old, of_new, slot, seat, plug_moves, open };
    if pair.open.is_none() {
        check_fits(work, &pair, moment)?;
    }
    Ok(pair)
}

/// Once the old hose is off its port is no longer on its record; that the plug
/// moves was then settled by the first step's answer.
fn plug_moves(held: Slot, slot: Slot, open: Option<&OpenSwap>) -> bool {
    let said = open.and_then(|open| open.steps.first());
    match said {
        Some((_, answer)) => answer.as_str().ends_with(PLUG_MOVES),
        None => held != slot,
    }
}

/// Written behind the first answer where the new hose goes into another port.
const PLUG_MOVES: &str = "(into another port)";

fn check_can_begin(
    work: &Connection,
    old: &HoseRecord,
    new: &HoseRecord,
) -> Result<(), LogbookError> {
    not_at_home(old)?;
    not_at_home(new)?;
    not_out(old)?;
    not_retired(new)?;
    not_out(new)?;
    if let Some(slot) = new.seat {
        let seat = believed::seat_of(work, slot)?;
        return Err(LogbookError::FittedElsewhere { hose: new.tag(), seat });
    }
    for record in [old, new] {
        if let Some(swap) = record.swap() {
            return Err(LogbookError::Swap(format!(
                "{} is in a swap that was started on {} and not finished ({} for {}); finish that \
                 one or give it up",
                record.tag(),
                swap.since,
                swap.new,
                swap.old
            )));
        }
    }
    Ok(())
}

/// No thread is started on a mismatch: it is said before anything is undone.
fn check_fits(work: &Connection, pair: &Pair, moment: &Moment) -> Result<(), LogbookError> {
    let why = stops(&pair.swap());
    if !why.is_empty() {
        return Err(LogbookError::DoesNotFit { hose: pair.new.tag(), why: why.join("; ") });
    }
    let set = believed::set_on(work, pair.slot.set, moment.today)?;
    let known = Vec::new;
    let set =
        set.ok_or_else(|| LogbookError::NoSuchSet { name: pair.seat.set.clone(), known: known() })?;
    set_not_out(&set)?;
    of_this_set(&pair.new, &set)?;
    goes_in(pair.new.tag(), &pair.of_new, &set, pair.seat.port)?;
    let holder = set.hoses.get(&pair.seat.port).filter(|holder| **holder != pair.old.hose);
    match holder {
        Some(holder) => Err(LogbookError::PortTaken {
            seat: pair.seat.clone(),
            holder: *holder,
            free: free_ports(&pair.of_new, &set, None),
        }),
        None => Ok(()),
    }
}

fn said_already(pair: &Pair, name: &str, answer: &str) -> bool {
    let open = pair.open.as_ref();
    open.is_some_and(|open| {
        open.steps.iter().any(|(step, said)| {
            let said = said.as_str().trim_end_matches(PLUG_MOVES).trim();
            step.as_str() == name && said.eq_ignore_ascii_case(answer.trim())
        })
    })
}

fn expected(pair: &Pair, name: &str) -> Result<&'static Step, LogbookError> {
    let step = next(&pair.swap(), &pair.answered());
    let step = step.ok_or_else(|| LogbookError::Swap("this swap is finished".to_owned()))?;
    if step.name == name.trim() {
        return Ok(step);
    }
    Err(LogbookError::Swap(format!("the next step is {}: {}", step.name, step.todo)))
}

/// The hose in the hand must be the one that the swap is of.
fn check_tag(
    work: &Connection,
    pair: &Pair,
    step: &Step,
    answer: &Answered,
    moment: &Moment,
) -> Result<(), LogbookError> {
    let Answered::Tag(typed) = answer else { return Ok(()) };
    let wanted = if step.asks == Asks::OldTag { &pair.old } else { &pair.new };
    let scanned = Code::parse(typed).map_err(LogbookError::NotACode)?;
    let hose = record::find_tag(work, scanned)?.ok_or(LogbookError::UnknownTag(scanned))?;
    if hose != wanted.hose {
        return Err(LogbookError::Swap(format!(
            "this is {scanned}, and the swap is of {}; scan that one, or begin another swap",
            wanted.tag()
        )));
    }
    if step.asks == Asks::NewTag { check_fits(work, pair, moment) } else { Ok(()) }
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
            let retired = Event::Retired { hose: old, why: why.clone() };
            vec![ticked, swapped(&open, OpenSwap::END, finished()?)?, retired]
        }
        _ => vec![ticked],
    })
}

fn finished() -> Result<Label, LogbookError> {
    Ok(Label::new("an answer", "finished")?)
}

fn swapped(open: &OpenSwap, step: &str, answer: Label) -> Result<Event, LogbookError> {
    Ok(Event::Swapped {
        hoses: [open.old, open.new],
        set: open.slot.set,
        port: open.slot.port,
        step: Label::new("a step", step)?,
        answer,
        loosened: false,
        answers: open.entries.clone(),
    })
}
