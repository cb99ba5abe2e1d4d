//! What is in doubt on record, all of it, and what stricter rules make worse.

use std::collections::BTreeMap;

use super::{Logbook, LogbookError};
use crate::journal::Moment;
use crate::record;
use crate::words::conflicts as say;

/// The reasons that say that something is in doubt between people.
const CONFLICTS: [&str; 9] = [
    "identity-contested",
    "place-contested",
    "set-contested",
    "misfit",
    "not-believed",
    "rented-twice",
    "recall-open",
    "corrected",
    "swap-open",
];

impl Logbook {
    /// Every conflict on record in a sentence each: of hoses, of sets and of what
    /// is missing or not believed.
    ///
    /// # Errors
    /// [`LogbookError`] if the store cannot be read.
    pub fn conflicts(&self, moment: &Moment) -> Result<Vec<String>, LogbookError> {
        self.reading(|| {
            let mut all = Vec::new();
            let mut names: BTreeMap<String, Vec<String>> = BTreeMap::new();
            for set in record::recorded_sets(&self.connection)? {
                let name = set.name.as_str().to_lowercase();
                names.entry(name).or_default().push(set.id.to_string());
                all.extend(set.quarantines.iter().map(|hold| say::quarantine(&set.name, hold)));
            }
            let doubles = names.iter().filter(|(_, ids)| ids.len() > 1);
            all.extend(doubles.map(|(name, ids)| say::sets_of_one_name(name, ids)));
            for device in self.devices()? {
                if !device.complete {
                    all.push(say::gap(&device.device));
                }
                let aside: u64 = device.set_aside.iter().map(|(_, count)| count).sum();
                if aside > 0 {
                    all.push(say::set_aside(&device.device, aside));
                }
            }
            let mut around = self.around(moment.today)?;
            for hose in self.with_reasons(&CONFLICTS, moment.today)? {
                around.ask_of(hose, |asked| {
                    let reasons = crate::answer::reasons(asked).into_iter();
                    let odd = reasons.filter(|r| CONFLICTS.contains(&r.code.as_str()));
                    let tag = asked.record.tag();
                    all.extend(odd.map(|reason| say::of_hose(tag, &reason.words, &reason.todo)));
                })?;
            }
            Ok(all)
        })
    }

    /// What the rules of this program make worse, if the record was folded by
    /// an earlier one until now: to be told at the first start.
    #[must_use]
    pub fn news(&self) -> &[String] {
        &self.news
    }
}
