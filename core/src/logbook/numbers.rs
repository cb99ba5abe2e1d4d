//! The shop's own numbers: within a branch a number names one hose of those in use.

use std::collections::BTreeSet;

use rusqlite::Connection;

use super::{Logbook, LogbookError, NamingError};
use crate::hose::{Label, Particulars};
use crate::index::{self, Numbered, spelled};
use crate::journal::StoreError;
use crate::record::{self, folded};
use crate::tag::Code;

/// The hoses that an own number names: those in use, and others only if none is.
pub(super) fn numbered(store: &Connection, typed: &str) -> Result<Vec<Code>, StoreError> {
    let number = spelled(typed);
    if number.is_empty() {
        return Ok(Vec::new());
    }
    let all = index::numbered(store, &number)?;
    let (in_use, others): (Vec<_>, Vec<_>) = all.into_iter().partition(|one| one.in_use);
    let named = if in_use.is_empty() { others } else { in_use };
    Ok(named.into_iter().map(|one| one.hose).collect())
}

/// Within a branch, an own number is given to one hose of those in use: not to another
/// than `hose`.
pub(super) fn check_free(
    store: &Connection,
    own: &Particulars,
    hose: Option<Code>,
) -> Result<(), LogbookError> {
    let Some(number) = &own.number else { return Ok(()) };
    let branch = own.branch.as_ref().map(folded);
    let holders = index::numbered(store, &spelled(number.as_str()))?;
    let other = holders
        .into_iter()
        .find(|one| one.in_use && one.branch == branch && Some(one.hose) != hose);
    match other {
        Some(Numbered { hose, .. }) => {
            let holder = record::load_hose(store, hose)?.map_or(hose, |record| record.tag());
            Err(LogbookError::Naming(NamingError::NumberInUse { number: number.clone(), holder }))
        }
        None => Ok(()),
    }
}

/// Of hoses that are recorded together each has a number of its own.
#[derive(Default)]
pub(super) struct NumbersGiven(BTreeSet<(Option<String>, String)>);

impl NumbersGiven {
    /// Takes a number in, where none of those before has it.
    pub(super) fn take(&mut self, own: &Particulars) -> Result<(), LogbookError> {
        let Some(number) = &own.number else { return Ok(()) };
        let branch = own.branch.as_ref().map(folded);
        let free = self.0.insert((branch, spelled(number.as_str())));
        free.then_some(())
            .ok_or_else(|| LogbookError::Naming(NamingError::NumberTwice(number.clone())))
    }
}

impl Logbook {
    /// The own numbers that more than one hose in use of a branch has, as devices gave them while
    /// apart: each with the tags of its hoses.
    ///
    /// # Errors
    /// [`StoreError`] if the store cannot be read.
    pub fn doubled_numbers(&self) -> Result<Vec<(Label, Vec<Code>)>, StoreError> {
        let mut all = Vec::new();
        for hoses in index::doubled(&self.connection)? {
            let records = hoses.into_iter().map(|hose| record::load_hose(&self.connection, hose));
            let records: Vec<_> = records.collect::<Result<_, _>>()?;
            let records: Vec<_> = records.into_iter().flatten().collect();
            let number = records.iter().find_map(|record| record.origin.own.number.clone());
            let tags = records.iter().map(record::HoseRecord::tag).collect();
            all.extend(number.map(|number| (number, tags)));
        }
        Ok(all)
    }
}

#[cfg(test)]
#[path = "numbers_tests.rs"]
mod tests;
