//! Which hose can take another's place.

use super::hoses::described;
use super::owner::Around;
use super::{Logbook, LogbookError, answering};
use crate::answer::{Asked, reasons};
use crate::fit::replacement::{Candidate, Replacement, mismatches, replacement};
use crate::inspection::Verdict;
use crate::journal::Moment;
use crate::record::{self, SetRecord};
use crate::tag::Code;

impl Logbook {
    /// Which hoses in stock can take a hose's place, why the others cannot, and
    /// what to order. Besides the stock it looks at hoses with the same ends
    /// that are out of service; a hose in another set is left where it is and
    /// not named.
    ///
    /// # Errors
    /// [`LogbookError`] where the hose is unknown or nobody has described it.
    pub fn replacement(
        &self,
        hose: Code,
        moment: &Moment,
    ) -> Result<Replacement<Code>, LogbookError> {
        let old = self.record(hose)?;
        let place = described(&old)?;
        let seat = old.seat.as_ref();
        let begin = |around: &Around| {
            // A hose is judged by the limits of the set that it would go into.
            let set = seat.and_then(|seat| around.sets.get(&seat.set)).cloned();
            (into_which(set), Vec::new())
        };
        type Gathered = (Option<SetRecord>, Vec<Candidate<Code>>);
        let take = |(set, candidates): &mut Gathered, asked: &Asked<'_>| {
            let record = asked.record;
            let alike = || {
                let own = record.specification.as_ref();
                own.is_some_and(|own| mismatches(&place, own).is_empty())
            };
            let looked_at = record.seat.is_none() && (record.retired.is_none() || alike());
            if record.hose != old.hose && looked_at {
                candidates.push(candidate(&Asked { set: set.as_ref(), ..*asked }));
            }
        };
        let (_, candidates) = self.each_asked(moment.today, begin, take)?;
        Ok(replacement(&place, candidates))
    }

    /// The hoses in stock that can take a hose's place, the most alike first, at
    /// most `most` of them, and those of the same kind that were looked at on
    /// the way and cannot, with why not. The rest of the stock is not looked at,
    /// so that it takes as long in a large fleet as in a small one; what it says
    /// of a hose is what [`Logbook::replacement`] says.
    ///
    /// # Errors
    /// As [`Logbook::replacement`].
    pub fn nearest_replacements(
        &self,
        hose: Code,
        most: usize,
        moment: &Moment,
    ) -> Result<Replacement<Code>, LogbookError> {
        self.reading(|| {
            let old = self.record(hose)?;
            let place = described(&old)?;
            let set = old.seat.as_ref().map(|seat| record::load_set(&self.connection, &seat.set));
            let set = into_which(set.transpose()?.flatten());
            let (fleet, heard) = (record::load_fleet(&self.connection)?, self.heard()?);
            let mut candidates = Vec::new();
            let mut good = 0;
            record::each_in_stock::<LogbookError>(&self.connection, &place, |record| {
                let record = answering::believed(&self.connection, record, moment.today)?;
                if record.hose != old.hose && record.seat.is_none() && record.retired.is_none() {
                    let candidate = candidate(&Asked {
                        record: &record,
                        set: set.as_ref(),
                        fleet: &fleet,
                        today: moment.today,
                        scanned: None,
                        tag_only: None,
                        heard,
                    });
                    good += usize::from(candidate.against.is_empty());
                    candidates.push(candidate);
                }
                Ok(good < most)
            })?;
            Ok(replacement(&place, candidates))
        })
    }
}

/// The set that a hose would go into, as it judges the hose: by its limits, and
/// not by what is unread of it.
fn into_which(set: Option<SetRecord>) -> Option<SetRecord> {
    set.map(|set| SetRecord { unread: 0, ..set })
}

/// What speaks for and against a hose in stock, apart from its threads.
fn candidate(asked: &Asked<'_>) -> Candidate<Code> {
    let record = asked.record;
    let (mut against, mut watch) = (Vec::new(), Vec::new());
    if let Some(ticket) = &record.out {
        against.push(format!("it is out on ticket {ticket}"));
    }
    for reason in reasons(asked) {
        match reason.verdict {
            Verdict::Hold => against.push(format!("it is held: {} {}", reason.words, reason.todo)),
            Verdict::Retire => against.push(reason.words),
            Verdict::Watch => watch.push(reason.words),
            Verdict::Ready => {}
        }
    }
    Candidate { code: record.tag(), hose: record.specification.clone(), against, watch }
}

#[cfg(test)]
#[path = "replacing_tests.rs"]
mod tests;
