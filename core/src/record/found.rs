//! Hoses that an index finds, so that not every record has to be read: those in
//! stock that may take a place, and those of a lot.

use rusqlite::{Connection, OptionalExtension, params};
use serde::Deserialize;

use super::HoseRecord;
use super::lookup::load_hose;
use crate::fit::replacement::{Interface, length_between};
use crate::hose::{End, Label, Origin, Specification};
use crate::journal::StoreError;
use crate::measure::HoseLength;
use crate::tag::Code;

/// As the index `hose_in_stock` has it, to the letter. SQLite knows the capitals
/// of ASCII alone: texts with others are all looked at.
const IN_STOCK: &str = "SELECT hose, json_extract(record, '$.specification.construction'),
        json_extract(record, '$.specification.length')
    FROM hose
    WHERE json_extract(record, '$.specification.service') = ?1
        AND json_extract(record, '$.specification.end_a') = ?2
        AND (lower(json_extract(record, '$.specification.end_b')) = ?3
            OR lower(json_extract(record, '$.specification.end_b')) GLOB '*[^ -~]*')
        AND json_extract(record, '$.seat') IS NULL AND json_extract(record, '$.retired') IS NULL";

/// Goes through the hoses in stock that have the service and the threads of a
/// place, the most alike first, for as long as `each` says to go on.
///
/// # Errors
/// [`StoreError`] if the store cannot be read, or what `each` says.
pub fn each_in_stock<E: From<StoreError>>(
    connection: &Connection,
    place: &Specification,
    mut each: impl FnMut(HoseRecord) -> Result<bool, E>,
) -> Result<(), E> {
    for hose in alike(connection, place)? {
        let Some(record) = load_hose(connection, hose)? else { continue };
        let own = record.specification.as_ref().map(Interface::of);
        if own == Some(Interface::of(place)) && !each(record)? {
            break;
        }
    }
    Ok(())
}

/// The hoses in stock that may have the service and the threads of a place, the most
/// alike first.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn in_stock_alike(
    connection: &Connection,
    place: &Specification,
) -> Result<Vec<Code>, StoreError> {
    alike(connection, place)
}

/// The hoses of the index that may fit, the most alike first.
fn alike(connection: &Connection, place: &Specification) -> Result<Vec<Code>, StoreError> {
    let mut statement = connection.prepare_cached(IN_STOCK)?;
    let end = |end| place.fitting(end).to_string();
    let far = end(End::B).to_ascii_lowercase();
    let asked = params![place.service().word(), end(End::A), far];
    let rows = statement.query_map(asked, |row| {
        Ok((row.get::<_, u64>(0)?, row.get::<_, String>(1)?, row.get::<_, String>(2)?))
    })?;
    let mut found = Vec::new();
    for row in rows {
        let (hose, construction, length) = row?;
        let other = construction.parse().ok() != Some(place.construction());
        let apart = HoseLength::parse(&length)
            .map_or(f64::MAX, |length| length_between(place.length(), &length));
        found.extend(Code::from_bits(hose).map(|hose| ((other, apart), hose)));
    }
    found.sort_by(|(a, x), (b, y)| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)).then(x.cmp(y)));
    Ok(found.into_iter().map(|(_, hose)| hose).collect())
}

const NEXT_LOT: &str = "SELECT lot, maker FROM lot WHERE (lot, maker) > (?1, ?2)
    ORDER BY lot, maker LIMIT 1";
const COUNT: &str = "SELECT count(*) FROM lot WHERE lot = ?1 AND maker = ?2";
const OF_LOT: &str = "SELECT hose FROM lot WHERE lot = ?1 AND maker = ?2";

/// A lot and a maker as they are recorded; nothing is unknown.
type LotAndMaker = (Option<Label>, Option<Label>);

/// The lots, as they are recorded, that are looked for, each with a maker
/// and how many hoses on record are of both.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn makers_of_lots(
    connection: &Connection,
    looked_for: impl Fn(&Label) -> bool,
) -> Result<Vec<(Label, Option<Label>, u32)>, StoreError> {
    let mut count = connection.prepare_cached(COUNT)?;
    let mut all = Vec::new();
    for (lot, maker) in lots(connection)? {
        if let Some(lot) = lot.filter(|lot| looked_for(lot)) {
            let of = maker.as_ref().map_or("", Label::as_str);
            let hoses = count.query_row([lot.as_str(), of], |row| row.get(0))?;
            all.push((lot, maker, hoses));
        }
    }
    Ok(all)
}

/// The makers, as they are recorded, that are looked for, each with how many hoses on
/// record are of it and one lot, or of it and none that is known.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn hoses_of_makers(
    connection: &Connection,
    looked_for: impl Fn(&Label) -> bool,
) -> Result<Vec<(Label, u32)>, StoreError> {
    let mut count = connection.prepare_cached(COUNT)?;
    let mut all = Vec::new();
    for (lot, maker) in lots(connection)? {
        if let Some(maker) = maker.filter(|maker| looked_for(maker)) {
            let lot = lot.as_ref().map_or("", Label::as_str);
            let hoses = count.query_row([lot, maker.as_str()], |row| row.get(0))?;
            all.push((maker, hoses));
        }
    }
    Ok(all)
}

/// The hoses of the lots and makers, as they are recorded, that are looked
/// for, by identity.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn hoses_of_lots(
    connection: &Connection,
    looked_for: impl Fn(Option<&Label>, Option<&Label>) -> bool,
) -> Result<Vec<Code>, StoreError> {
    let mut of_lot = connection.prepare_cached(OF_LOT)?;
    let mut hoses = Vec::new();
    for (lot, maker) in lots(connection)? {
        if looked_for(lot.as_ref(), maker.as_ref()) {
            let text = |label: Option<Label>| label.map_or_else(String::new, String::from);
            let rows = of_lot.query_map([text(lot), text(maker)], |row| row.get(0))?;
            hoses.extend(rows.collect::<Result<Vec<u64>, _>>()?);
        }
    }
    hoses.sort_unstable();
    hoses.dedup();
    Ok(hoses.into_iter().filter_map(Code::from_bits).collect())
}

/// From one lot to the next: a lot of many hoses costs what a lot of one does.
fn lots(connection: &Connection) -> Result<Vec<LotAndMaker>, StoreError> {
    let mut next = connection.prepare_cached(NEXT_LOT)?;
    // The first row may be the one of nothing known.
    let mut all = Vec::new();
    if connection.prepare_cached(OF_LOT)?.exists(["", ""])? {
        all.push((None, None));
    }
    let (mut lot, mut maker) = (String::new(), String::new());
    let read = |row: &rusqlite::Row<'_>| Ok((row.get(0)?, row.get(1)?));
    while let Some(found) = next.query_row([&lot, &maker], read).optional()? {
        (lot, maker) = found;
        let label = |text: &str| Label::new("a lot", text).ok();
        all.push((label(&lot), label(&maker)));
    }
    Ok(all)
}

/// A registration as it was written.
#[derive(Deserialize)]
struct AsRegistered {
    hose: Code,
    #[serde(flatten)]
    specification: Specification,
    #[serde(flatten)]
    origin: Origin,
}

/// Every registration as it was written, withdrawn ones too, one at a time. It reads every
/// entry of the journal.
///
/// # Errors
/// [`StoreError`] if the store cannot be read, or what `each` says.
pub fn each_registration<E: From<StoreError>>(
    connection: &Connection,
    mut each: impl FnMut(Code, Specification, Origin) -> Result<(), E>,
) -> Result<(), E> {
    let sql = "SELECT body FROM entry WHERE kind = 'registered' AND version = 1 ORDER BY number";
    let mut statement = connection.prepare_cached(sql).map_err(StoreError::from)?;
    let mut rows = statement.query([]).map_err(StoreError::from)?;
    while let Some(row) = rows.next().map_err(StoreError::from)? {
        let body: String = row.get(0).map_err(StoreError::from)?;
        // What this program cannot read is no hose that a list could mean.
        if let Ok(AsRegistered { hose, specification, origin }) = serde_json::from_str(&body) {
            each(hose, specification, origin)?;
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A change of a word here or in an index would read every hose again, and
    /// nothing else would tell.
    #[test]
    fn the_indexes_are_used() {
        let folder = tempfile::tempdir().unwrap_or_else(|e| unreachable!("{e}"));
        let store = crate::journal::open(&folder.path().join("store"));
        let store = store.unwrap_or_else(|e| unreachable!("{e}"));
        for (sql, parameters, wanted) in [
            (IN_STOCK, &["a", "b", "c"][..], "hose_in_stock (<expr>=? AND <expr>=?"),
            (NEXT_LOT, &["a", "b"], "(lot,maker)>"),
            (COUNT, &["a", "b"], "(lot=? AND maker=?)"),
            (OF_LOT, &["a", "b"], "(lot=? AND maker=?)"),
        ] {
            let mut plan = store
                .prepare(&format!("EXPLAIN QUERY PLAN {sql}"))
                .unwrap_or_else(|e| unreachable!("{e}"));
            let plan = plan
                .query_map(rusqlite::params_from_iter(parameters), |row| row.get::<_, String>(3))
                .and_then(Iterator::collect::<Result<Vec<_>, _>>)
                .unwrap_or_else(|e| unreachable!("{e}"));
            assert_eq!(plan.len(), 1, "{plan:?}");
            let searched =
                plan.iter().all(|line| line.starts_with("SEARCH") && line.contains(wanted));
            assert!(searched, "{plan:?}");
        }
    }
}
