//! Which hose can take another's place.

use super::around::Around;
use super::checks::described;
use super::{Logbook, LogbookError, believed};
use crate::answer::{Asked, not_of_this_set, reasons};
use crate::fit::replacement::{Candidate, Replacement, mismatches, replacement};
use crate::inspection::Verdict;
use crate::journal::Moment;
use crate::policy::Use;
use crate::record::{self, HoseRecord, SetRecord};
use crate::tag::Code;

impl Logbook {
    /// Which hoses in stock can take a hose's place, why the others cannot, and
    /// what to order. Besides the stock it looks at hoses with the same ends
    /// that are out of service; a hose in another set is left where it is and
    /// not named.
    ///
    /// # Errors
    /// [`LogbookError`] if the hose is unknown or nobody has described it.
    pub fn replacement(
        &self,
        hose: Code,
        moment: &Moment,
    ) -> Result<Replacement<Code>, LogbookError> {
        let old = self.record(hose)?;
        let own = described(&old)?;
        let set = match old.seat {
            Some(slot) => record::load_set(&self.connection, slot.set)?,
            None => None,
        };
        // A set that is cleaned for oxygen takes only hoses that are.
        let oxygen = set.as_ref().map_or(own.oxygen(), |set| set.oxygen);
        let place = own.cleaned_for_oxygen(oxygen);
        let begin = |around: &mut Around<'_>| {
            // A hose is judged by the limits of the set that it would go into.
            let set = old.seat.map(|slot| around.set(slot.set)).transpose()?.flatten();
            Ok((set.map_or(Use::Personal, |set| set.in_use), Vec::new()))
        };
        type Gathered = (Use, Vec<Candidate<Code>>);
        let take = |(used, candidates): &mut Gathered, asked: &Asked<'_>| {
            let record = asked.record;
            let alike = || {
                let own = record.specification.as_ref();
                own.is_some_and(|own| mismatches(&place, own).is_empty())
            };
            let looked_at = record.seat.is_none() && (record.retired.is_none() || alike());
            if record.hose != old.hose && looked_at {
                let asked = Asked { as_used: Some(*used), ..*asked };
                candidates.push(candidate(&asked, &old, set.as_ref()));
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
            let own = described(&old)?;
            let set = old.seat.map(|slot| record::load_set(&self.connection, slot.set));
            let set = set.transpose()?.flatten();
            let oxygen = set.as_ref().map_or(own.oxygen(), |set| set.oxygen);
            let place = own.cleaned_for_oxygen(oxygen);
            let used = set.as_ref().map_or(Use::Personal, |set| set.in_use);
            let mut around = self.around(moment.today)?;
            let mut candidates = Vec::new();
            let mut good = 0;
            record::each_in_stock::<LogbookError>(&self.connection, &place, |record| {
                let record = believed::believed(&self.connection, record, moment.today)?;
                if record.hose != old.hose && record.seat.is_none() && record.retired.is_none() {
                    let candidate = around.ask(&record, |asked| {
                        let asked = Asked { as_used: Some(used), ..*asked };
                        candidate(&asked, &old, set.as_ref())
                    })?;
                    let fits = candidate
                        .hose
                        .as_ref()
                        .is_some_and(|hose| mismatches(&place, hose).is_empty());
                    good += usize::from(fits && candidate.against.is_empty());
                    candidates.push(candidate);
                }
                Ok(good < most)
            })?;
            Ok(replacement(&place, candidates))
        })
    }
}

/// What speaks for and against a hose in stock, apart from its threads.
fn candidate(asked: &Asked<'_>, old: &HoseRecord, set: Option<&SetRecord>) -> Candidate<Code> {
    let record = asked.record;
    let (mut against, mut watch) = (Vec::new(), Vec::new());
    if let Some(out) = record.out() {
        against.push(format!("it is out on ticket {}", out.ticket));
    }
    if record.home.is_some() {
        against.push("it is at home with its customer".to_owned());
    }
    match set {
        Some(set) => against.extend(not_of_this_set(record, set)),
        None if record.owners() != old.owners() => {
            against.push(format!("it is {}", record.origin.own.owner()));
        }
        None => {}
    }
    for reason in reasons(asked) {
        match reason.verdict {
            Verdict::Hold => against.push(format!("it is held: {} {}", reason.words, reason.todo)),
            Verdict::Retire => against.push(reason.words),
            Verdict::Watch => watch.push(reason.words),
            Verdict::Ready => {}
        }
    }
    Candidate {
        code: record.tag(),
        number: record.origin.own.number.clone(),
        hose: record.specification.clone(),
        against,
        watch,
    }
}

#[cfg(test)]
#[path = "replacing_tests.rs"]
mod tests;
