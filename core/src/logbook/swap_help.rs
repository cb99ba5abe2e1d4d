//! What helps with a swap's next step: what was said before, and a step back.

use super::swap_pair::{SPANNER, SwapView, can_go_back, open_swap, pair};
use super::swaps::swapped;
use super::{HistoryLine, Logbook, LogbookError};
use crate::event::{Event, Swapped};
use crate::hose::Label;
use crate::inspection::Verdict;
use crate::journal::{Draft, Moment};
use crate::record::OpenSwap;
use crate::swap::{Answered, RETIRE_ALONE, Step, understand};
use crate::tag::Code;
use crate::words::{self, swap as say};

impl Logbook {
    /// A swap with what helps at the step that comes next.
    pub(super) fn with_help(
        &self,
        mut view: SwapView,
        moment: &Moment,
    ) -> Result<SwapView, LogbookError> {
        match view.next.as_ref().map(|next| next.step) {
            Some(SPANNER) => view.remembered = self.spanner_before(&view)?,
            Some("old-goes") => {
                let old = super::Found { hose: self.found(view.old)?, tag: None };
                view.retires = self.answer_alone(old, moment)?.verdict == Verdict::Retire;
                if let Some(next) = view.next.as_mut().filter(|_| view.retires) {
                    next.answers = RETIRE_ALONE;
                }
            }
            _ => {}
        }
        view.exchanged = self.exchanged(&view)?;
        Ok(view)
    }

    /// That a swap began with another new hose, until its own was scanned.
    fn exchanged(&self, view: &SwapView) -> Result<Option<String>, LogbookError> {
        let asked = view.steps.iter().any(|step| step.step == "new-tag" && step.answer.is_none());
        let (old, new) = (self.record(view.old)?, self.record(view.new)?);
        let swap = open_swap(&old, &new).filter(|_| asked);
        let Some(first) = swap.and_then(|swap| swap.instead) else { return Ok(None) };
        let first = self.record(first)?;
        let name = words::called(first.origin.own.number.as_ref(), first.tag());
        Ok(Some(say::began_with(&name)))
    }

    fn found(&self, tag: Code) -> Result<Code, LogbookError> {
        Ok(self.find_typed(&tag.to_string())?.hose)
    }

    /// The spanner that the hose's nut took at an earlier swap; else what the nut in its
    /// port took, since hoses of one set are often of one make.
    fn spanner_before(&self, view: &SwapView) -> Result<Option<String>, LogbookError> {
        let old = self.found(view.old)?;
        let own = self.history(old)?;
        let of_hose = own.iter().rev().find_map(|line| {
            let (swap, size) = size_of(line)?;
            (swap.hoses.first() == Some(&old)).then(|| say::spanner_before(size, line.entry.on))
        });
        if of_hose.is_some() {
            return Ok(of_hose);
        }
        let here = self.set_history(&view.seat.set)?;
        Ok(here.iter().rev().find_map(|line| {
            let (swap, size) = size_of(line)?;
            (swap.port == view.seat.port).then(|| say::spanner_here(size, line.entry.on))
        }))
    }

    /// Opens the last answered step of a swap again, if it was a tick and nothing more.
    ///
    /// # Errors
    /// [`LogbookError::Swap`] if there is none, or it loosened or moved a hose or recorded
    /// a test.
    pub fn swap_back(
        &mut self,
        (old, new): (Code, Code),
        moment: &Moment,
    ) -> Result<SwapView, LogbookError> {
        self.write(moment, |work, _| {
            let pair = pair(work, (old, new), None, moment)?;
            let open = pair.open.as_ref();
            // The first step is the swap's beginning: it is given up instead.
            let last = open.and_then(|open| open.steps.get(1..)?.last());
            let nothing = || LogbookError::Swap(say::NO_STEP_BACK.to_owned());
            let (open, (step, _)) = open.zip(last).ok_or_else(nothing)?;
            if !can_go_back(open) {
                return Err(LogbookError::Swap(say::STEP_DID_MORE.to_owned()));
            }
            let event = swapped(open, OpenSwap::BACK, step.clone())?;
            Ok((vec![Draft { on: moment.today, event }], ()))
        })?;
        self.swap(old, new, None, moment)
    }
}

/// The size of the spanner that a line of a history says.
fn size_of(line: &HistoryLine) -> Option<(&Swapped, &Label)> {
    let Some(Event::Swapped(swap)) = &line.event else { return None };
    let step = Step::named(SPANNER).filter(|_| swap.step.as_str() == SPANNER)?;
    let said = understand(step, swap.answer.as_str()).ok()?;
    (line.counts() && matches!(said, Answered::Spanner(Some(_)))).then_some((swap, &swap.answer))
}
