//! The tables that answers read, written in the transaction of the entries
//! they come from, and rebuilt from the journal at will.

use std::collections::{BTreeSet, HashMap};

use rusqlite::{Connection, OptionalExtension, Transaction, params};
use serde::Serialize;

use super::gather::{entries_about, gathered, identified_in, parts_of, together};
use super::lookup::{load_fleet, load_hose, load_stored_set};
use super::{FleetRecord, HoseRecord, SetRecord, fold_hose, fold_set, folded, found_by};
use crate::event::{EntryId, SetId};
use crate::journal::{
    Believed, Reach, StoreError, entries_of_fleet, judge_anew, known_hoses, known_sets,
};
use crate::tag::Code;

/// The rules by which this program folds. A store that was folded by others is
/// folded again when it is opened.
pub const RULES: i64 = 10;

/// The rules by which a store was folded; 0 if it never was. Where the table
/// that says so is missing, a check finds it and makes it again.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn rules_of(connection: &Connection) -> Result<i64, StoreError> {
    if !connection.table_exists(None, "projection")? {
        // A check finds what is missing, and makes it again.
        return Ok(RULES);
    }
    let sql = "SELECT rules FROM projection";
    Ok(connection.query_row(sql, [], |row| row.get(0)).optional()?.unwrap_or(0))
}

/// What was folded again.
#[derive(Debug, Default)]
pub struct Folded {
    /// The hoses, also those that are one with what was reached.
    pub hoses: BTreeSet<Code>,
    /// The sets.
    pub sets: BTreeSet<SetId>,
    /// The other hoses that had or have a tag of one whose tags are others now.
    pub sharing: BTreeSet<Code>,
    /// The records of the first few hoses: what is worked out next need not read them.
    pub records: HashMap<Code, HoseRecord>,
}

/// How many records are handed on.
const HANDED_ON: usize = 64;

/// Folds again all that a merge reached, and returns what was folded: also what is one
/// with it; `progress` is told how many of how many hoses are done.
///
/// # Errors
/// [`StoreError`] if the store cannot be read or written.
pub fn project_reach(
    work: &Transaction<'_>,
    reach: &Reach,
    mut progress: impl FnMut(usize, usize),
) -> Result<Folded, StoreError> {
    let mut folded = Folded { sets: reach.sets.clone(), ..Folded::default() };
    for (done, hose) in reach.hoses.iter().enumerate() {
        for shared in project_hose(work, *hose, &mut folded)? {
            project_hose(work, shared, &mut folded)?;
        }
        progress(done + 1, reach.hoses.len());
    }
    folded.sets.extend(project_sets(work, &reach.sets)?);
    if reach.fleet {
        let record = FleetRecord::fold(&entries_of_fleet(work)?);
        work.execute(
            "INSERT INTO fleet (only_row, record) VALUES (1, ?1)
             ON CONFLICT (only_row) DO UPDATE SET record = excluded.record",
            [json(&record)?],
        )?;
    }
    Ok(folded)
}

/// Folds a hose again, and names those that got an identity of their own out of a tag
/// of it.
fn project_hose(
    work: &Transaction<'_>,
    hose: Code,
    folded: &mut Folded,
) -> Result<Vec<Code>, StoreError> {
    folded.hoses.insert(hose);
    folded.records.remove(&hose);
    let entries = entries_about(work, hose)?;
    let shared = identified_in(&entries, hose);
    let Some(record) = fold_hose(hose, &entries) else {
        folded.sharing.extend(found_by::forget(work, hose)?);
        return Ok(shared);
    };
    work.prepare_cached(
        "INSERT INTO hose (hose, record) VALUES (?1, ?2)
         ON CONFLICT (hose) DO UPDATE SET record = excluded.record",
    )?
    .execute(params![record.hose.bits(), json(&record)?])?;
    folded.sharing.extend(found_by::keep(work, &record)?);
    if folded.records.len() < HANDED_ON {
        folded.records.insert(hose, record);
    }
    Ok(shared)
}

/// Folds sets again, and names those that are or were one with them, which it folds too.
fn project_sets(
    work: &Transaction<'_>,
    reached: &BTreeSet<SetId>,
) -> Result<BTreeSet<SetId>, StoreError> {
    let mut others: BTreeSet<SetId> = BTreeSet::new();
    let mut done: BTreeSet<SetId> = BTreeSet::new();
    for set in reached {
        let parts = parts_of(work, *set)?;
        // Those that were one with it before may be so no longer.
        let before = load_stored_set(work, *set)?;
        others.extend(before.into_iter().flat_map(|record| record.joined));
        others.extend(parts.keys());
        project_set(work, *set, &together(parts))?;
        done.insert(*set);
    }
    for set in others.difference(&done) {
        project_set(work, *set, &gathered(work, *set)?)?;
    }
    Ok(others)
}

fn project_set(work: &Transaction<'_>, set: SetId, entries: &[Believed]) -> Result<(), StoreError> {
    work.prepare_cached("DELETE FROM set_tag WHERE regulator_set = ?1")?
        .execute([set.code().bits()])?;
    let Some(record) = fold_set(set, entries) else {
        let sql = "DELETE FROM regulator_set WHERE regulator_set = ?1";
        work.prepare_cached(sql)?.execute([set.code().bits()])?;
        return Ok(());
    };
    // Of sets that are one, the first answers for all.
    let answers = !record.dissolved && record.joined.iter().all(|other| set < *other);
    let name = answers.then(|| record.name.as_str().to_lowercase());
    let branch = record.branch.as_ref().map(folded);
    work.prepare_cached(
        "INSERT INTO regulator_set (regulator_set, name, branch, record) VALUES (?1, ?2, ?3, ?4)
         ON CONFLICT (regulator_set) DO UPDATE
         SET name = excluded.name, branch = excluded.branch, record = excluded.record",
    )?
    .execute(params![set.code().bits(), name, branch, json(&record)?])?;
    for tag in &record.tags {
        let sql = "INSERT OR IGNORE INTO set_tag (tag, regulator_set) VALUES (?1, ?2)";
        work.prepare_cached(sql)?.execute([tag.code.bits(), set.code().bits()])?;
    }
    Ok(())
}

/// Folds everything again from the journal, as if every entry had just come in;
/// `altered` are those that their devices are not proven to have written, and
/// `progress` is told how many of how many are done.
///
/// # Errors
/// [`StoreError`] if the store cannot be read or written.
pub fn rebuild(
    work: &Transaction<'_>,
    altered: &BTreeSet<EntryId>,
    progress: impl FnMut(usize, usize),
) -> Result<(), StoreError> {
    judge_anew(work, altered)?;
    work.execute_batch(
        "DELETE FROM hose; DELETE FROM tag; DELETE FROM barcode; DELETE FROM lot;
         DELETE FROM regulator_set; DELETE FROM set_tag; DELETE FROM fleet;",
    )?;
    let hoses = known_hoses(work)?.into_iter().collect();
    let all = Reach { hoses, sets: known_sets(work)?.into_iter().collect(), fleet: true };
    project_reach(work, &all, progress)?;
    work.execute("DELETE FROM projection", [])?;
    work.execute("INSERT INTO projection (only_row, rules) VALUES (1, ?1)", [RULES])?;
    Ok(())
}

/// What the tables say that the journal does not: the names of hoses and sets
/// whose stored record differs from a fresh fold.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn stale(
    connection: &Connection,
    mut progress: impl FnMut(usize, usize),
) -> Result<Vec<String>, StoreError> {
    let mut wrong = Vec::new();
    let hoses = known_hoses(connection)?;
    for (done, hose) in hoses.iter().enumerate() {
        let fresh = fold_hose(*hose, &entries_about(connection, *hose)?);
        let tags = fresh.as_ref().map_or(Ok(true), |fresh| has_its_tags(connection, fresh))?;
        if load_hose(connection, *hose).ok().flatten() != fresh || !tags {
            wrong.push(format!("hose {hose}"));
        }
        progress(done + 1, hoses.len());
    }
    for set in known_sets(connection)? {
        let fresh = fold_set(set, &gathered(connection, set)?);
        let tags =
            fresh.as_ref().map_or(Ok(true), |fresh| has_its_set_tags(connection, set, fresh))?;
        if load_stored_set(connection, set).ok().flatten() != fresh || !tags {
            let name = fresh.map_or_else(|| set.to_string(), |record| record.name.to_string());
            wrong.push(format!("set {name}"));
        }
    }
    let fresh = FleetRecord::fold(&entries_of_fleet(connection)?);
    if load_fleet(connection).ok().as_ref() != Some(&fresh) {
        wrong.push("limits and recalls".to_owned());
    }
    Ok(wrong)
}

/// Whether a hose is found by every tag, barcode and lot of its record.
fn has_its_tags(connection: &Connection, record: &HoseRecord) -> Result<bool, StoreError> {
    let sql = "SELECT (SELECT count(*) FROM tag WHERE hose = ?1 AND current = 1),
                   (SELECT count(*) FROM tag WHERE hose = ?1),
                   (SELECT count(*) FROM barcode WHERE hose = ?1),
                   EXISTS (SELECT 1 FROM lot WHERE hose = ?1)";
    let found: (usize, usize, usize, bool) =
        connection.prepare_cached(sql)?.query_row([record.hose.bits()], |row| {
            Ok((row.get(0)?, row.get(1)?, row.get(2)?, row.get(3)?))
        })?;
    let current = record.tags.iter().filter(|tag| tag.withdrawn.is_none()).count();
    Ok(found == (current, record.tags.len(), record.barcodes.len(), true))
}

/// Whether a set is found by every tag of its record.
fn has_its_set_tags(
    connection: &Connection,
    set: SetId,
    record: &SetRecord,
) -> Result<bool, StoreError> {
    let sql = "SELECT count(*) FROM set_tag WHERE regulator_set = ?1";
    let found: usize =
        connection.prepare_cached(sql)?.query_row([set.code().bits()], |row| row.get(0))?;
    let tags: BTreeSet<Code> = record.tags.iter().map(|tag| tag.code).collect();
    Ok(found == tags.len())
}

fn json(record: &impl Serialize) -> Result<String, StoreError> {
    serde_json::to_string(record).map_err(|e| StoreError::Unreadable(e.to_string()))
}
