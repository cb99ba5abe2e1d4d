//! Which rows of a list are on record already, so that a list that is sent again
//! registers nothing twice.
//!
//! A row is already here if a hose carries its tag or its number and the row says nothing
//! else of it than the record does, or did when the hose was registered. A row without
//! either is already here if a hose was registered without a number and in the very same
//! words. Each hose stands for one row, a retired one too: it does not come back as new.

use std::collections::{BTreeSet, HashMap};

use rusqlite::Connection;

use super::LogbookError;
use crate::event::{Event, Registration};
use crate::hose::{Origin, Specification};
use crate::index::{self, spelled};
use crate::journal::StoreError;
use crate::record::{self, folded};
use crate::spreadsheet::Row;
use crate::tag::Code;

/// The hose that each row names, of those that are on record already.
pub(super) fn already_here(
    work: &Connection,
    rows: &[Row],
) -> Result<Vec<Option<Code>>, LogbookError> {
    let mut taken: BTreeSet<Code> = BTreeSet::new();
    let mut found = Vec::with_capacity(rows.len());
    for row in rows {
        let hose = named(work, row)?.filter(|hose| taken.insert(*hose));
        found.push(hose);
    }
    let nameless = |row: &Row| row.registration.tag.is_none() && row.number.is_none();
    let mut alike: HashMap<String, Vec<Code>> = HashMap::new();
    for row in rows.iter().filter(|row| nameless(row)) {
        alike.entry(described(&row.registration)?).or_default();
    }
    if alike.is_empty() {
        return Ok(found);
    }
    record::each_registration::<LogbookError>(work, |hose, specification, origin| {
        if let Some(all) = alike.get_mut(&in_one(&specification, &origin)?) {
            all.push(hose);
        }
        Ok(())
    })?;
    for (row, found) in rows.iter().zip(&mut found).filter(|(row, _)| nameless(row)) {
        for hose in alike.get(&described(&row.registration)?).into_iter().flatten() {
            if !taken.contains(hose) && is_registered(work, *hose)? {
                taken.insert(*hose);
                *found = Some(*hose);
                break;
            }
        }
    }
    Ok(found)
}

/// The hose that a row's tag or number names, if the row says nothing else of it.
fn named(work: &Connection, row: &Row) -> Result<Option<Code>, LogbookError> {
    let own = &row.registration.origin.own;
    let mut hoses: Vec<Code> = Vec::new();
    if let Some(tag) = row.registration.tag {
        hoses.extend(record::find_tag(work, tag)?);
    } else if let Some(number) = &own.number {
        let branch = own.branch.as_ref().map(folded);
        let mut all = index::numbered(work, &spelled(number.as_str()))?;
        all.retain(|one| one.branch == branch);
        all.sort_by_key(|one| !one.in_use);
        hoses.extend(all.into_iter().map(|one| one.hose));
    } else if let Some(barcode) = &row.number {
        hoses.extend(record::find_barcode(work, barcode.as_str())?);
    }
    for hose in hoses {
        if says_nothing_else(work, hose, &row.registration)? {
            return Ok(Some(hose));
        }
    }
    Ok(None)
}

fn is_registered(work: &Connection, hose: Code) -> Result<bool, StoreError> {
    Ok(record::load_hose(work, hose)?.is_some_and(|record| record.is_registered()))
}

/// Whether a row describes a hose as it is on record, or as it was registered: what is
/// put right on record since makes no other hose of it.
fn says_nothing_else(
    work: &Connection,
    hose: Code,
    row: &Registration,
) -> Result<bool, LogbookError> {
    let Some(record) = record::load_hose(work, hose)?.filter(|record| record.is_registered())
    else {
        return Ok(false);
    };
    let now = record.specification.as_ref().map(|now| (now, &record.origin));
    if now.is_some_and(|now| agrees(row, now)) {
        return Ok(true);
    }
    let entries = record::entries_about(work, hose)?;
    let mut written = entries.iter().filter_map(|believed| believed.entry.event());
    Ok(written.any(|event| match &event {
        Event::Registered { specification, origin, .. } => agrees(row, (specification, origin)),
        _ => false,
    }))
}

/// Whether what a row says, as far as an answer rests on it, is so.
fn agrees(row: &Registration, (specification, origin): (&Specification, &Origin)) -> bool {
    let said = &row.origin;
    row.specification == *specification
        && (said.made.is_none() || said.made == origin.made)
        && (said.bought.is_none() || said.bought == origin.bought)
        && (said.in_service.is_none() || said.in_service == origin.in_service)
        && (said.maker.is_none() || said.maker == origin.maker)
        && (said.lot.is_none() || said.lot == origin.lot)
        && (said.model.is_none() || said.model == origin.model)
}

fn described(row: &Registration) -> Result<String, LogbookError> {
    in_one(&row.specification, &row.origin)
}

fn in_one(specification: &Specification, origin: &Origin) -> Result<String, LogbookError> {
    let text = serde_json::to_string(&(specification, origin));
    Ok(text.map_err(|error| StoreError::Unreadable(error.to_string()))?)
}

#[cfg(test)]
#[path = "already_tests.rs"]
mod tests;
