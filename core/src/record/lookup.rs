//! Questions to the tables that are folded from the journal: nothing here writes.

use rusqlite::{Connection, OptionalExtension, params};
use serde::de::DeserializeOwned;

use super::{FleetRecord, HoseRecord, SetRecord};
use crate::event::SetId;
use crate::journal::StoreError;
use crate::tag::{Code, Prefix};

/// The record of a hose.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn load_hose(connection: &Connection, hose: Code) -> Result<Option<HoseRecord>, StoreError> {
    let mut statement = connection.prepare_cached("SELECT record FROM hose WHERE hose = ?1")?;
    let text: Option<String> = statement.query_row([hose.bits()], |row| row.get(0)).optional()?;
    text.map(|text| parse(&text)).transpose()
}

/// Every hose's record, by identity, one at a time: memory stays flat.
///
/// # Errors
/// [`StoreError`] if the store cannot be read, or what `each` says.
pub fn each_hose<E: From<StoreError>>(
    connection: &Connection,
    mut each: impl FnMut(HoseRecord) -> Result<(), E>,
) -> Result<(), E> {
    let sql = "SELECT record FROM hose ORDER BY hose";
    let mut statement = connection.prepare_cached(sql).map_err(StoreError::from)?;
    let mut rows = statement.query([]).map_err(StoreError::from)?;
    while let Some(row) = rows.next().map_err(StoreError::from)? {
        // Borrowed: the text is only read where it lies.
        let text = row.get_ref(0).map_err(StoreError::from)?.as_str();
        each(parse(text.map_err(|e| StoreError::Unreadable(e.to_string()))?)?)?;
    }
    Ok(())
}

/// The record of a set; of one that is part of another, that one's.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn load_set(connection: &Connection, set: SetId) -> Result<Option<SetRecord>, StoreError> {
    let Some(record) = load_stored_set(connection, set)? else { return Ok(None) };
    match record.joined.iter().min().filter(|first| **first < set) {
        Some(first) => load_stored_set(connection, *first),
        None => Ok(Some(record)),
    }
}

/// The record of a set by itself, whatever it is one with.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub(super) fn load_stored_set(
    connection: &Connection,
    set: SetId,
) -> Result<Option<SetRecord>, StoreError> {
    let sql = "SELECT record FROM regulator_set WHERE regulator_set = ?1";
    let mut statement = connection.prepare_cached(sql)?;
    let text: Option<String> =
        statement.query_row([set.code().bits()], |row| row.get(0)).optional()?;
    text.map(|text| parse(&text)).transpose()
}

/// The sets of a name, whether it is in capitals or small letters.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn find_sets(connection: &Connection, name: &str) -> Result<Vec<SetRecord>, StoreError> {
    let sql = "SELECT record FROM regulator_set WHERE name = ?1 ORDER BY regulator_set";
    let mut statement = connection.prepare_cached(sql)?;
    let rows = statement.query_map([name.to_lowercase()], |row| row.get::<_, String>(0))?;
    let texts: Vec<String> = rows.collect::<Result<_, _>>()?;
    texts.iter().map(|text| parse(text)).collect()
}

/// The record of the fleet.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn load_fleet(connection: &Connection) -> Result<FleetRecord, StoreError> {
    let mut statement = connection.prepare_cached("SELECT record FROM fleet")?;
    let text: Option<String> = statement.query_row([], |row| row.get(0)).optional()?;
    text.map_or_else(|| Ok(FleetRecord::default()), |text| parse(&text))
}

/// The hose that carries or carried a tag: the one whose own it is, else the
/// one that got it last.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn find_tag(connection: &Connection, tag: Code) -> Result<Option<Code>, StoreError> {
    let sql = "SELECT hose FROM tag WHERE tag = ?1 ORDER BY current DESC, since DESC, hose LIMIT 1";
    let mut statement = connection.prepare_cached(sql)?;
    let bits: Option<u64> = statement.query_row([tag.bits()], |row| row.get(0)).optional()?;
    Ok(bits.and_then(Code::from_bits))
}

/// Whether a code is on record in any way: as a tag of a hose, present, replaced
/// or withdrawn, or as a set's.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn is_known(connection: &Connection, code: Code) -> Result<bool, StoreError> {
    let sql = "SELECT EXISTS (SELECT 1 FROM tag WHERE tag = ?1)
                   OR EXISTS (SELECT 1 FROM hose_entry WHERE hose = ?1)
                   OR EXISTS (SELECT 1 FROM set_entry WHERE regulator_set = ?1)
                   OR EXISTS (SELECT 1 FROM set_tag WHERE tag = ?1)";
    Ok(connection.prepare_cached(sql)?.query_row([code.bits()], |row| row.get(0))?)
}

/// The set that carries or carried a tag: its own code, or one that it was given.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn find_set_tag(connection: &Connection, tag: Code) -> Result<Option<SetRecord>, StoreError> {
    if let Some(set) = load_set(connection, SetId::new(tag))? {
        return Ok(Some(set));
    }
    let sql = "SELECT regulator_set FROM set_tag WHERE tag = ?1 ORDER BY regulator_set LIMIT 1";
    let mut statement = connection.prepare_cached(sql)?;
    let bits: Option<u64> = statement.query_row([tag.bits()], |row| row.get(0)).optional()?;
    match bits.and_then(Code::from_bits) {
        Some(set) => load_set(connection, SetId::new(set)),
        None => Ok(None),
    }
}

/// The sets whose own codes begin alike, at most `most` of them.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn find_set_codes(
    connection: &Connection,
    prefix: Prefix,
    most: u32,
) -> Result<Vec<Code>, StoreError> {
    let sql = "SELECT regulator_set FROM regulator_set
               WHERE regulator_set BETWEEN ?1 AND ?2 ORDER BY regulator_set LIMIT ?3";
    let mut statement = connection.prepare_cached(sql)?;
    let range = prefix.bits();
    let rows = statement.query_map(params![range.start(), range.end(), most], |row| row.get(0))?;
    let bits: Vec<u64> = rows.collect::<Result<_, _>>()?;
    Ok(bits.into_iter().filter_map(Code::from_bits).collect())
}

/// The tags on record that begin alike, at most `most` of them.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn find_tags(
    connection: &Connection,
    prefix: Prefix,
    most: u32,
) -> Result<Vec<Code>, StoreError> {
    let sql = "SELECT DISTINCT tag FROM tag WHERE tag BETWEEN ?1 AND ?2 ORDER BY tag LIMIT ?3";
    let mut statement = connection.prepare_cached(sql)?;
    let range = prefix.bits();
    let rows = statement.query_map(params![range.start(), range.end(), most], |row| row.get(0))?;
    let bits: Vec<u64> = rows.collect::<Result<_, _>>()?;
    Ok(bits.into_iter().filter_map(Code::from_bits).collect())
}

/// Hoses by their own tags, in the order of the tags: at most `most` of those
/// whose tag comes after `after` and begins as `begins` says. It costs what it
/// returns, however many hoses there are.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn hose_page(
    connection: &Connection,
    after: Option<Code>,
    begins: Option<Prefix>,
    most: u32,
) -> Result<Vec<Code>, StoreError> {
    let (first, last) = begins.map_or((0, u64::MAX >> 1), |prefix| {
        let range = prefix.bits();
        (*range.start(), *range.end())
    });
    let first = after.map_or(first, |code| first.max(code.bits() + 1));
    let sql = "SELECT hose FROM tag WHERE tag BETWEEN ?1 AND ?2 AND current = 1
               ORDER BY tag LIMIT ?3";
    let mut statement = connection.prepare_cached(sql)?;
    let rows = statement.query_map(params![first, last, most], |row| row.get(0))?;
    let bits: Vec<u64> = rows.collect::<Result<_, _>>()?;
    Ok(bits.into_iter().filter_map(Code::from_bits).collect())
}

/// The hoses to which a maker's barcode is bound.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn find_barcode(connection: &Connection, text: &str) -> Result<Vec<Code>, StoreError> {
    let sql = "SELECT hose FROM barcode WHERE text = ?1 ORDER BY hose";
    let mut statement = connection.prepare_cached(sql)?;
    let rows = statement.query_map([text], |row| row.get(0))?;
    let bits: Vec<u64> = rows.collect::<Result<_, _>>()?;
    Ok(bits.into_iter().filter_map(Code::from_bits).collect())
}

/// Every hose on record, by identity.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn recorded_hoses(connection: &Connection) -> Result<Vec<Code>, StoreError> {
    let mut statement = connection.prepare("SELECT hose FROM hose ORDER BY hose")?;
    let rows = statement.query_map([], |row| row.get(0))?;
    let bits: Vec<u64> = rows.collect::<Result<_, _>>()?;
    Ok(bits.into_iter().filter_map(Code::from_bits).collect())
}

/// Every set on record that stands for itself, by name.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn recorded_sets(connection: &Connection) -> Result<Vec<SetRecord>, StoreError> {
    let mut statement = connection.prepare(
        "SELECT record FROM regulator_set WHERE name IS NOT NULL ORDER BY name, regulator_set",
    )?;
    let rows = statement.query_map([], |row| row.get::<_, String>(0))?;
    let texts: Vec<String> = rows.collect::<Result<_, _>>()?;
    texts.iter().map(|text| parse(text)).collect()
}

/// Sets by name, and those of one name by their codes: at most `most` of those
/// that come after `after` and whose name begins with `begins`, in capitals or
/// small letters. `after` is a set's name (an empty text starts), or its code,
/// which tells apart sets of one name.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn set_page(
    connection: &Connection,
    after: &str,
    begins: &str,
    most: u32,
) -> Result<Vec<SetRecord>, StoreError> {
    let coded = match Code::parse(after) {
        Ok(code) => load_stored_set(connection, SetId::new(code))?,
        Err(_) => None,
    };
    let (name, code) = coded.map_or_else(
        || (after.to_lowercase(), u64::MAX >> 1),
        |set| (set.name.as_str().to_lowercase(), set.id.code().bits()),
    );
    let sql = "SELECT record FROM regulator_set
               WHERE (name, regulator_set) > (?1, ?2) AND substr(name, 1, length(?3)) = ?3
               ORDER BY name, regulator_set LIMIT ?4";
    let mut statement = connection.prepare_cached(sql)?;
    let page = params![name, code, begins.to_lowercase(), most];
    let rows = statement.query_map(page, |row| row.get::<_, String>(0))?;
    let texts: Vec<String> = rows.collect::<Result<_, _>>()?;
    texts.iter().map(|text| parse(text)).collect()
}

/// The sets that are with a hirer, by name.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn sets_out(connection: &Connection) -> Result<Vec<SetRecord>, StoreError> {
    let sql = "SELECT record FROM regulator_set
               WHERE json_extract(record, '$.out') IS NOT NULL AND name IS NOT NULL ORDER BY name";
    let mut statement = connection.prepare_cached(sql)?;
    let rows = statement.query_map([], |row| row.get::<_, String>(0))?;
    let texts: Vec<String> = rows.collect::<Result<_, _>>()?;
    texts.iter().map(|text| parse(text)).collect()
}

/// How many sets are with a hirer, and so many of them that are out longest, the
/// longest first. It reads those that are out and no others.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn longest_out(
    connection: &Connection,
    most: usize,
) -> Result<(u64, Vec<SetRecord>), StoreError> {
    let out = "FROM regulator_set
               WHERE json_extract(record, '$.out') IS NOT NULL AND name IS NOT NULL";
    let count = format!("SELECT count(*) {out}");
    let count = connection.prepare_cached(&count)?.query_row([], |row| row.get(0))?;
    let sql =
        format!("SELECT record {out} ORDER BY json_extract(record, '$.out.on'), name LIMIT ?1");
    let mut statement = connection.prepare_cached(&sql)?;
    let rows = statement.query_map([most], |row| row.get::<_, String>(0))?;
    let texts: Vec<String> = rows.collect::<Result<_, _>>()?;
    Ok((count, texts.iter().map(|text| parse(text)).collect::<Result<_, _>>()?))
}

/// How many sets are packed and here, and so many of them, by name. It reads those that are packed and no others.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn packed_sets(
    connection: &Connection,
    most: usize,
) -> Result<(u64, Vec<SetRecord>), StoreError> {
    let here = format!("{PACKED} AND json_extract(record, '$.out') IS NULL");
    let count = format!("SELECT count(*) {here}");
    let count = connection.prepare_cached(&count)?.query_row([], |row| row.get(0))?;
    let sql = format!("SELECT record {here} ORDER BY name, regulator_set LIMIT ?1");
    let mut statement = connection.prepare_cached(&sql)?;
    let rows = statement.query_map([most], |row| row.get::<_, String>(0))?;
    let texts: Vec<String> = rows.collect::<Result<_, _>>()?;
    Ok((count, texts.iter().map(|text| parse(text)).collect::<Result<_, _>>()?))
}

/// The sets that are packed, as SQL.
const PACKED: &str = "FROM regulator_set
    WHERE json_extract(record, '$.packed') IS NOT NULL AND name IS NOT NULL";

/// Whether any set is for rental.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn any_rental_set(connection: &Connection) -> Result<bool, StoreError> {
    Ok(connection.prepare_cached(ANY_RENTAL_SET)?.query_row([], |row| row.get(0))?)
}

/// Whether any set is for rental, as SQL.
pub(crate) const ANY_RENTAL_SET: &str = "SELECT EXISTS (SELECT 1 FROM regulator_set
    WHERE json_extract(record, '$.use') = 'rental')";

/// Something that changes whenever an entry arrives or another is believed:
/// what was read of many records holds as long as it stays the same.
///
/// # Errors
/// [`StoreError`] if the store cannot be read.
pub fn state_of(connection: &Connection) -> Result<String, StoreError> {
    let sql = "SELECT format('%d %d %s', (SELECT max(number) FROM entry),
                   (SELECT count(*) FROM set_aside), (SELECT hex(owner) FROM store))";
    Ok(connection.prepare_cached(sql)?.query_row([], |row| row.get(0))?)
}

fn parse<T: DeserializeOwned>(text: &str) -> Result<T, StoreError> {
    serde_json::from_str(text).map_err(|e| StoreError::Unreadable(e.to_string()))
}
