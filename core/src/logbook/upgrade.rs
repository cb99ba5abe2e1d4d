//! What this program's rules make worse in a record that an earlier program folded.

use rusqlite::Connection;

use super::LogbookError;
use super::believed::heard;
use super::walk::altered;
use crate::event::Event;
use crate::index;
use crate::inspection::InspectionKind;
use crate::journal::{self, Aside, Believed, StoreError, Trust, each_entry};
use crate::record;
use crate::tag::Code;
use crate::words::conflicts as say;

/// Whether a record was folded by these rules; else it is folded again, and what
/// that makes worse is returned.
pub(super) fn brought_up(connection: &mut Connection) -> Result<Vec<String>, StoreError> {
    let work = journal::begin(connection)?;
    let before = record::rules_of(&work)?;
    if before == record::RULES {
        return Ok(Vec::new());
    }
    // A program that did not know of it kept the owner's word that another key follows.
    journal::follow_owner(&work)?;
    index::rebuild(&work, &altered(&work)?, |_, _| ())?;
    let news = made_worse(&work)?;
    work.commit()?;
    heard(connection)?;
    Ok(news)
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
        unsigned += u64::from(stored.aside == Some(Aside::Unsigned));
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
