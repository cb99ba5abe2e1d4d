//! What is in doubt on record, all of it, and what stricter rules make worse.

use std::collections::BTreeMap;

use rusqlite::Connection;

use super::{Logbook, LogbookError, answering};
use crate::event::Event;
use crate::inspection::InspectionKind;
use crate::journal::{Believed, Moment, StoreError, Trust, each_entry};
use crate::record;
use crate::tag::Code;
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
    /// [`LogbookError`] where the store cannot be read.
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
            self.each_asked(
                moment.today,
                |_| (),
                |(), asked| {
                    let reasons = crate::answer::reasons(asked).into_iter();
                    let odd = reasons.filter(|r| CONFLICTS.contains(&r.code.as_str()));
                    let tag = asked.record.tag();
                    all.extend(odd.map(|reason| say::of_hose(tag, &reason.words, &reason.todo)));
                },
            )?;
            Ok(all)
        })
    }

    /// What the rules of this program make worse, where the record was folded by
    /// an earlier one until now: to be told at the first start.
    #[must_use]
    pub fn news(&self) -> &[String] {
        &self.news
    }
}

/// What stricter rules make worse on a record of an earlier program.
pub(super) fn made_worse(store: &Connection) -> Result<Vec<String>, StoreError> {
    let (mut described, mut untested) = (Vec::new(), Vec::new());
    record::each_hose::<LogbookError>(store, |hose| {
        let entries = record::entries_about(store, hose.hose)?;
        let events = || entries.iter().filter_map(|believed| believed.entry.event());
        let whole = events().any(|event| matches!(event, Event::DescribedBefore(_)));
        if whole && hose.alternatives != record::Alternatives::default() {
            described.push(hose.tag());
        }
        let waits = !hose.leak_due.is_empty() && hose.slots().next().is_some();
        if waits && entries.iter().any(is_without_pressure) {
            untested.push(hose.tag());
        }
        Ok(())
    })
    .map_err(|error| match error {
        LogbookError::Store(error) => error,
        other => StoreError::Unreadable(other.to_string()),
    })?;
    let mut unsigned = 0;
    each_entry::<StoreError>(store, |stored| {
        unsigned += u64::from(stored.aside == Some(crate::journal::Aside::Unsigned));
        Ok(())
    })?;
    let listed = |codes: &[Code]| codes.iter().map(ToString::to_string).collect::<Vec<_>>();
    let mut all = Vec::new();
    all.extend((!described.is_empty()).then(|| say::described_twice(&listed(&described))));
    all.extend((!untested.is_empty()).then(|| say::tests_without_pressure(&listed(&untested))));
    all.extend((unsigned > 0).then(|| say::unsigned(unsigned)));
    Ok(all)
}

/// A leak test of an earlier program that was passed, at no pressure on record.
fn is_without_pressure(believed: &Believed) -> bool {
    let Some(Event::InspectedBefore(before)) = believed.entry.event() else { return false };
    let test = before.look.test.filter(|_| before.look.kind == InspectionKind::LeakTest);
    believed.trust == Trust::Full && test.is_some_and(|t| t.passed && t.pressure.is_none())
}

/// Whether a record was folded by these rules; else it is folded anew, and what
/// that makes worse is returned.
pub(super) fn brought_up(connection: &mut Connection) -> Result<Vec<String>, StoreError> {
    let work = super::begin(connection)?;
    let before = record::rules_of(&work)?;
    if before == record::RULES {
        return Ok(Vec::new());
    }
    record::rebuild(&work, &super::check::altered(&work)?, |_, _| ())?;
    let news = made_worse(&work)?;
    work.commit()?;
    answering::heard(connection)?;
    Ok(news)
}
