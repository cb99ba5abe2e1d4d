//! What is in stock, found by an index and not by reading every hose.

use rusqlite::{Connection, params};

use super::HoseRecord;
use super::projection::load_hose;
use crate::fit::replacement::{Interface, length_between};
use crate::hose::{End, Specification};
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
/// [`StoreError`] where the store cannot be read, or what `each` says.
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

#[cfg(test)]
mod tests {
    use super::*;

    /// A change of a word here or in the index would read every hose again, and
    /// nothing else would tell.
    #[test]
    fn the_index_is_used_and_holds_all_that_is_read() {
        let folder = tempfile::tempdir().unwrap_or_else(|e| unreachable!("{e}"));
        let store = crate::journal::open(&folder.path().join("store"));
        let store = store.unwrap_or_else(|e| unreachable!("{e}"));
        let plan: String = store
            .query_row(&format!("EXPLAIN QUERY PLAN {IN_STOCK}"), ["a", "b", "c"], |row| row.get(3))
            .unwrap_or_else(|e| unreachable!("{e}"));
        assert!(
            plan.contains("USING COVERING INDEX hose_in_stock (<expr>=? AND <expr>=?"),
            "{plan}"
        );
    }
}
