//! A phone meets counters in the shop's network: when it is asked to, and by itself. It does so
//! with a connection to the record of its own, so that nobody who scans waits for a network.

use std::panic::{AssertUnwindSafe, catch_unwind};

use hosewright_calling::{Progress, meet, meet_known};
use hosewright_core::CounterError;
use hosewright_core::LogbookError;
use hosewright_core::device::Invitation;
use hosewright_core::journal::{CounterMeeting, HowFar, StoreError};
use hosewright_core::words::{counters as say, sentence};

use super::page::{Page, State};
use super::record::PhoneRecord;
use super::touch::PageOf;
use crate::form::{counters, said};
use crate::logbook::opened;
use crate::{FormOf, RefusedError, Words, moment, phone};

/// What came of counters that were met.
struct Met {
    said: Vec<String>,
    /// How many counters were met.
    counters: usize,
    /// How many entries are new here.
    new: u64,
}

#[uniffi::export]
impl PhoneRecord {
    /// Meets the counters that let this phone in, if it is to and some minutes have passed since
    /// it did last; returns whether something new came in, so that a page that is looked at is
    /// looked at again. It blocks, for as long as a network may, and is called in a thread of its
    /// own, whenever the app comes before a person or a page was left. It never fails: what kept it is
    /// said where counters are met.
    #[must_use]
    pub fn meet_by_itself(&self, today: String) -> bool {
        let meets = || self.drafts().meets_counters() && self.meetings.is_time(moment::now());
        let met = catch_unwind(AssertUnwindSafe(|| {
            meets().then(|| self.meet(None, &today, &mut |_| ()))
        }));
        let Ok(Some(met)) = met else { return false };
        let (said, new) = match met {
            Ok(met) => (met.said, met.new),
            Err(refused) => (vec![refused.to_string()], 0),
        };
        self.meetings.says(said);
        new > 0
    }
}

impl PhoneRecord {
    /// Meets the counter that a symbol names, or all that are known.
    fn meet(
        &self,
        invited: Option<&Invitation>,
        today: &str,
        progress: Progress<'_>,
    ) -> Result<Met, RefusedError> {
        let now = self.moment(today).core()?;
        let _turn = self.meetings.turn();
        let stop = self.meetings.begin();
        let mut core = opened(self.place())?;
        if let Some(invitation) = invited {
            let named = (invitation.addresses(), Some(invitation));
            let met = meet(&mut core, named, &now, &stop, progress)?;
            self.drafts().keep_meets_counters(true)?;
            return Ok(Met { said: said_of(&met), counters: 1, new: met.merge.new });
        }
        let (mut said, mut counters, mut new) = (Vec::new(), 0, 0);
        for (counter, met) in meet_known(&mut core, &now, &stop, progress)? {
            match met {
                Ok(met) => {
                    said.extend(said_of(&met));
                    counters += 1;
                    new += met.merge.new;
                }
                Err(
                    stopped @ (LogbookError::Counter(CounterError::Stopped)
                    | LogbookError::Store(StoreError::Stopped)),
                ) => return Err(stopped.into()),
                Err(error) => said.push(say::not_met(&counter.device, &error.to_string())),
            }
        }
        Ok(Met { said, counters, new })
    }
}

impl Page {
    /// Meets, and says what came of it.
    pub(super) fn meets(
        &self,
        state: &mut State,
        symbol: Option<&str>,
        today: &str,
    ) -> Result<(), RefusedError> {
        let invitation = symbol.map(counters::invitation).transpose()?;
        // What goes on by itself gives way.
        drop(self.record.meetings.alone());
        let told = &mut |far: HowFar| {
            let (done, all) = far.share().unwrap_or_default();
            if let Some(progress) = &self.progress {
                progress.told(done, all, say::how_far(far));
            }
        };
        let met = self.record.meet(invitation.as_ref(), today, told)?;
        self.record.meetings.asked(moment::now());
        if met.counters == 0 {
            // Where nobody was met it stands as it was, and can be tried again.
            let why =
                if met.said.is_empty() { say::PHONE_NONE.to_owned() } else { met.said.join(" ") };
            return Err(RefusedError::Input { words: why.into() });
        }
        state.shown.done = Some(said(say::MET, Words::all(met.said)));
        Ok(())
    }

    /// Shows what came in. Whoever fills a form in, is asked something, or reads what is in the
    /// way, is left alone, and so is a film; what can't be read just now stays as it was.
    pub(super) fn came_in(&self, state: &mut State, today: &str) {
        let tells = match &self.of {
            PageOf::Scan { .. }
            | PageOf::Hose { .. }
            | PageOf::Ticks { .. }
            | PageOf::Hoses
            | PageOf::Stock { .. }
            | PageOf::Sets
            | PageOf::Set { .. }
            | PageOf::Due
            | PageOf::Meeting
            | PageOf::Form { of: FormOf::Counters { .. } } => true,
            PageOf::Form { .. }
            | PageOf::Show { .. }
            | PageOf::Watch
            | PageOf::Salvage
            | PageOf::Chip { .. } => false,
        };
        if tells && state.shown.trouble.is_none() && state.shown.question.is_none() {
            let _ = self.look(state, today);
        }
    }

    /// What was said of what nobody asked for.
    pub(super) fn met_by_itself(&self) -> Vec<String> {
        self.record.meetings.said()
    }
}

fn said_of(meeting: &CounterMeeting) -> Vec<String> {
    say::met_and(meeting, phone::merged(&meeting.merge)).iter().map(|line| sentence(line)).collect()
}
