//! What a hose is found by: tags, makers' barcodes and lots, each a row of a table. Most
//! entries change none of them, and then nothing is written.

use std::collections::BTreeSet;

use rusqlite::{Connection, Row, params};

use super::HoseRecord;
use crate::hose::Label;
use crate::journal::StoreError;
use crate::tag::Code;

/// Keeps what a hose is found by in place of what was kept: what is no longer believed
/// goes. Names the hoses for which it counts: whose tag it had, or has now.
pub(super) fn keep(work: &Connection, record: &HoseRecord) -> Result<Vec<Code>, StoreError> {
    let sharing = keep_tags(work, record)?;
    let barcodes = record.barcodes.iter().map(Label::to_string);
    let kept = kept(work, record, "SELECT text FROM barcode WHERE hose = ?1", |row| row.get(0))?;
    let gone = "DELETE FROM barcode WHERE hose = ?1";
    replace(work, record, gone, (kept, barcodes.collect()), |text| {
        let sql = "INSERT INTO barcode (text, hose) VALUES (?1, ?2)";
        work.prepare_cached(sql)?.execute(params![text, record.hose.bits()])
    })?;
    let kept = self::kept(work, record, "SELECT lot, maker FROM lot WHERE hose = ?1", |row| {
        Ok((row.get(0)?, row.get(1)?))
    })?;
    replace(work, record, "DELETE FROM lot WHERE hose = ?1", (kept, lots(record)), |lot| {
        let sql = "INSERT INTO lot (lot, maker, hose) VALUES (?1, ?2, ?3)";
        let (lot, maker) = lot;
        work.prepare_cached(sql)?.execute(params![lot, maker, record.hose.bits()])
    })?;
    Ok(sharing)
}

/// Forgets a hose of which no entry is left; names the hoses that had a tag of it.
pub(super) fn forget(work: &Connection, hose: Code) -> Result<Vec<Code>, StoreError> {
    let sharing = sharing_a_tag(work, hose)?;
    for sql in [
        "DELETE FROM tag WHERE hose = ?1",
        "DELETE FROM barcode WHERE hose = ?1",
        "DELETE FROM lot WHERE hose = ?1",
        "DELETE FROM hose WHERE hose = ?1",
    ] {
        work.prepare_cached(sql)?.execute([hose.bits()])?;
    }
    Ok(sharing)
}

/// The other hoses that have or had a tag of a hose: whether a tag is shared counts
/// for each of them.
fn sharing_a_tag(work: &Connection, hose: Code) -> Result<Vec<Code>, StoreError> {
    let sql = "SELECT DISTINCT other.hose FROM tag JOIN tag other ON other.tag = tag.tag
               WHERE tag.hose = ?1 AND other.hose <> ?1";
    let mut statement = work.prepare_cached(sql)?;
    let rows = statement.query_map([hose.bits()], |row| row.get(0))?;
    let bits: Vec<u64> = rows.collect::<Result<_, _>>()?;
    Ok(bits.into_iter().filter_map(Code::from_bits).collect())
}

fn keep_tags(work: &Connection, record: &HoseRecord) -> Result<Vec<Code>, StoreError> {
    let tags = record
        .tags
        .iter()
        .map(|tag| (tag.code.bits(), tag.since.to_string(), tag.withdrawn.is_none()));
    let kept = kept(work, record, "SELECT tag, since, current FROM tag WHERE hose = ?1", |row| {
        Ok((row.get(0)?, row.get(1)?, row.get(2)?))
    })?;
    let tags = tags.collect();
    if kept == tags {
        return Ok(Vec::new());
    }
    let mut sharing = sharing_a_tag(work, record.hose)?;
    replace(work, record, "DELETE FROM tag WHERE hose = ?1", (kept, tags), |tag| {
        let sql = "INSERT INTO tag (tag, hose, since, current) VALUES (?1, ?2, ?3, ?4)";
        let (tag, since, current) = tag;
        work.prepare_cached(sql)?.execute(params![tag, record.hose.bits(), since, current])
    })?;
    sharing.extend(sharing_a_tag(work, record.hose)?);
    Ok(sharing)
}

fn kept<T: Ord>(
    work: &Connection,
    record: &HoseRecord,
    sql: &str,
    read: impl FnMut(&Row<'_>) -> rusqlite::Result<T>,
) -> Result<BTreeSet<T>, StoreError> {
    let mut statement = work.prepare_cached(sql)?;
    let rows = statement.query_map([record.hose.bits()], read)?;
    Ok(rows.collect::<Result<_, _>>()?)
}

/// Writes rows in place of those that are kept, if they are others.
fn replace<T: Ord>(
    work: &Connection,
    record: &HoseRecord,
    delete: &str,
    (kept, wanted): (BTreeSet<T>, BTreeSet<T>),
    insert: impl Fn(&T) -> rusqlite::Result<usize>,
) -> Result<(), StoreError> {
    if kept == wanted {
        return Ok(());
    }
    work.prepare_cached(delete)?.execute([record.hose.bits()])?;
    for row in &wanted {
        insert(row)?;
    }
    Ok(())
}

/// Every lot that it may be of, with every maker.
fn lots(record: &HoseRecord) -> BTreeSet<(String, String)> {
    let (origin, others) = (&record.origin, &record.alternatives);
    let every = |shown: &Option<Label>, others: &[Option<Label>], replaced: &[Label]| {
        let text = |label: &Option<Label>| label.as_ref().map_or(String::new(), Label::to_string);
        let said = std::iter::once(shown).chain(others).map(text);
        said.chain(replaced.iter().map(Label::to_string)).collect::<Vec<String>>()
    };
    let makers = every(&origin.maker, &others.makers, &others.replaced_makers);
    let mut all = BTreeSet::new();
    for lot in every(&origin.lot, &others.lots, &others.replaced_lots) {
        all.extend(makers.iter().map(|maker| (lot.clone(), maker.clone())));
    }
    all
}
