//! A new hose that does not do is exchanged for another one, and the swap goes on.

use rand_core::Rng;
use rusqlite::{Connection, Transaction};

use super::checks::{described, not_after_incident, not_at_home, not_out, not_retired};
use super::moves::removal;
use super::swap_pair::{PLUG_MOVES, Pair, check_fits, in_no_set, in_no_swap, pair};
use super::swaps::swapped;
use super::{Logbook, LogbookError, SwapView, believed};
use crate::event::{EntryId, Event, InsteadOf, Swapped};
use crate::fit::replacement::Replacement;
use crate::hose::Label;
use crate::journal::{Draft, Entry, Moment};
use crate::record::{HoseRecord, OpenSwap};
use crate::swap::kept;
use crate::tag::Code;
use crate::words::swap as say;

/// What was answered of a swap, each step with its answer.
type Steps = Vec<(Label, Label)>;

impl Logbook {
    /// The hoses in stock that could go on instead of a swap's new hose, the most alike
    /// first.
    ///
    /// # Errors
    /// [`LogbookError`] if a hose is unknown, or the store cannot be read.
    pub fn swap_others(
        &self,
        (old, new): (Code, Code),
        most: usize,
        moment: &Moment,
    ) -> Result<Replacement<Code>, LogbookError> {
        let own = self.record(new)?.tag();
        let mut found = self.nearest_replacements(old, most, moment)?;
        found.fitting.retain(|fit| fit.code != own);
        found.not.retain(|not| not.code != own);
        Ok(found)
    }

    /// Goes on with another new hose. The one before goes back to stock; what was answered
    /// of it is asked again, what was of the old hose, the tool and the set stays done.
    ///
    /// It is written as the end of the swap and the beginning of one with the other hose:
    /// so whoever doesn't know of exchanges takes the first hose for given up, and never
    /// for fitted.
    ///
    /// # Errors
    /// [`LogbookError`] if the swap was not begun, or the other hose does not fit, is held
    /// or somewhere else.
    pub fn swap_exchange(
        &mut self,
        (old, new): (Code, Code),
        other: Code,
        moment: &Moment,
    ) -> Result<SwapView, LogbookError> {
        let (taken, own) = (self.record(other)?, [self.record(old)?, self.record(new)?]);
        if own.iter().any(|hose| hose.hose == taken.hose) {
            return Err(LogbookError::Swap(say::not_another(taken.tag())));
        }
        self.check_not_held(&taken, moment)?;
        let on = moment.today;
        let draft = move |event| Draft { on, event };
        let plan = |work: &Transaction<'_>, _: &mut dyn Rng| {
            let before = pair(work, (old, new), None, moment)?;
            let next = exchanged(work, &before, other, moment)?;
            let open = before.answered();
            let was_on = before.new.slots().any(|slot| slot == before.slot);
            let mut steps = kept(&open, was_on);
            let answer = Label::new("a reason", &say::exchanged(next.new.tag()))?;
            let mut events = vec![swapped(&open, OpenSwap::END, answer)?];
            events.extend(was_on.then(|| removal(&before.new)));
            let rest = steps.split_off(1.min(steps.len()));
            for (step, answer) in steps {
                events.push(begun(&open, &next, &step, &answer)?);
            }
            Ok((events.into_iter().map(draft).collect(), (next.answered(), rest)))
        };
        self.write_in_turn(
            moment,
            |_, _| (),
            plan,
            |written, (next, rest)| following(written, next, rest).into_iter().map(draft).collect(),
        )?;
        self.swap(old, other, None, moment)
    }
}

/// The pair with another new hose, which fits where the one before was to go.
fn exchanged(
    work: &Connection,
    before: &Pair,
    other: Code,
    moment: &Moment,
) -> Result<Pair, LogbookError> {
    if before.open.is_none() {
        return Err(LogbookError::Swap(say::NOT_BEGUN.to_owned()));
    }
    let new = believed::record_of(work, other, moment.today)?;
    [&before.old, &before.new, &new]
        .into_iter()
        .try_for_each(|hose| not_after_incident(work, hose, moment))?;
    can_go_on(work, &new)?;
    let next = Pair {
        of_new: described(&new)?,
        old: before.old.clone(),
        of_old: before.of_old.clone(),
        new,
        slot: before.slot,
        seat: before.seat.clone(),
        plug_moves: before.plug_moves,
        open: None,
        leaves: Some(before.new.hose),
    };
    check_fits(work, &next, moment)?;
    Ok(next)
}

fn can_go_on(work: &Connection, new: &HoseRecord) -> Result<(), LogbookError> {
    not_at_home(new)?;
    not_retired(new)?;
    not_out(new)?;
    in_no_set(work, new)?;
    in_no_swap(new)
}

/// The first step of the swap with the other hose, which begins it.
fn begun(
    before: &OpenSwap,
    next: &Pair,
    step: &Label,
    answer: &Label,
) -> Result<Event, LogbookError> {
    let said = answer.as_str();
    let said = match next.plug_moves && !said.ends_with(PLUG_MOVES) {
        true => format!("{said} {PLUG_MOVES}"),
        false => said.to_owned(),
    };
    let mut event = swapped(&next.answered(), step.as_str(), Label::new("an answer", &said)?)?;
    if let Event::Swapped(Swapped { instead, .. }) = &mut event {
        let swap = before.entries.first().copied();
        *instead = swap.map(|swap| InsteadOf { swap, hose: before.new });
    }
    Ok(event)
}

/// The other steps that stay done: they name the entry that began the swap.
fn following(written: &[Entry], next: &OpenSwap, rest: &Steps) -> Vec<Event> {
    let began: Option<EntryId> = written.last().map(Entry::id);
    let open = OpenSwap { entries: began.into_iter().collect(), ..next.clone() };
    let step = |(step, answer): &(Label, Label)| swapped(&open, step.as_str(), answer.clone());
    rest.iter().filter_map(|one| step(one).ok()).collect()
}

#[cfg(test)]
#[path = "swap_exchange_tests.rs"]
mod tests;
