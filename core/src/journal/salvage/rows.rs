//! Rows in the bytes of one page of a table.

/// The first byte of a page that holds rows of a table.
const TABLE_LEAF: u8 = 0x0D;
/// … and of one that holds the keys of an index.
const INDEX_LEAF: u8 = 0x0A;
/// A page's header; the places of its rows follow.
const PAGE_HEADER: usize = 8;
/// No row of a journal is longer.
const MOST: usize = 64 << 20;

/// A value in a row.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Value {
    Null,
    Integer(i64),
    Text(String),
    Blob(Vec<u8>),
    /// A kind that no row has which is looked for.
    Other,
}

/// Hands each row that can be made out in a page to `take`, with its number.
/// `overflow` gives the pages in which long rows go on.
pub(super) fn each(
    page: &[u8],
    mut overflow: impl FnMut(u32) -> Option<Vec<u8>>,
    mut take: impl FnMut(i64, &[Value]),
) {
    if page.first() != Some(&TABLE_LEAF) {
        return;
    }
    let rows = two(page, 3).unwrap_or(0);
    for row in 0..rows {
        let Some(at) = two(page, PAGE_HEADER + 2 * row) else { return };
        let Some(mut cell) = page.get(at..) else { continue };
        if let Some((number, payload)) = payload(&mut cell, page.len(), &mut overflow)
            && let Some(values) = values(&payload)
        {
            take(number, &values);
        }
    }
}

/// Hands each key of an index that can be made out in a page to `take`. Long
/// ones, which go on in other pages, are passed over.
pub(super) fn each_key(page: &[u8], mut take: impl FnMut(&[Value])) {
    if page.first() != Some(&INDEX_LEAF) {
        return;
    }
    for key in 0..two(page, 3).unwrap_or(0) {
        let Some(at) = two(page, PAGE_HEADER + 2 * key) else { return };
        let Some(mut cell) = page.get(at..) else { continue };
        let length = varint(&mut cell).and_then(|length| usize::try_from(length).ok());
        let bytes = length.and_then(|length| cell.get(..length));
        if let Some(values) = bytes.and_then(values) {
            take(&values);
        }
    }
}

/// The number of a row and its bytes, together with those in other pages.
fn payload(
    cell: &mut &[u8],
    page: usize,
    overflow: &mut impl FnMut(u32) -> Option<Vec<u8>>,
) -> Option<(i64, Vec<u8>)> {
    let length = usize::try_from(varint(cell)?).ok().filter(|length| *length <= MOST)?;
    let number = varint(cell)?;
    let here = local(length, page);
    let mut bytes = cell.get(..here)?.to_vec();
    let mut next = if here < length { four(cell, here)? } else { 0 };
    while bytes.len() < length {
        let more = overflow(next)?;
        next = four(&more, 0)?;
        let wanted = (length - bytes.len()).min(more.len() - 4);
        bytes.extend_from_slice(more.get(4..4 + wanted)?);
    }
    Some((number, bytes))
}

/// How many bytes of a row are in its own page.
const fn local(length: usize, page: usize) -> usize {
    let most = page - 35;
    if length <= most {
        return length;
    }
    let least = (page - 12) * 32 / 255 - 23;
    let some = least + (length - least) % (page - 4);
    if some <= most { some } else { least }
}

fn values(payload: &[u8]) -> Option<Vec<Value>> {
    let mut kinds = payload;
    let head = usize::try_from(varint(&mut kinds)?).ok()?;
    let mut kinds = payload.get(payload.len() - kinds.len()..head)?;
    let mut rest = payload.get(head..)?;
    let mut values = Vec::new();
    while !kinds.is_empty() {
        values.push(value(varint(&mut kinds)?, &mut rest)?);
    }
    Some(values)
}

fn value(kind: i64, rest: &mut &[u8]) -> Option<Value> {
    let mut bytes = |length: usize| {
        let (value, after) = rest.split_at_checked(length)?;
        *rest = after;
        Some(value)
    };
    Some(match kind {
        0 => Value::Null,
        1..=4 => Value::Integer(integer(bytes(usize::try_from(kind).ok()?)?)),
        5 => Value::Integer(integer(bytes(6)?)),
        6 => Value::Integer(integer(bytes(8)?)),
        7 => bytes(8).map(|_| Value::Other)?,
        8 => Value::Integer(0),
        9 => Value::Integer(1),
        12.. if kind % 2 == 0 => Value::Blob(bytes(usize::try_from((kind - 12) / 2).ok()?)?.into()),
        13.. => {
            let text = bytes(usize::try_from((kind - 13) / 2).ok()?)?;
            std::str::from_utf8(text).map_or(Value::Other, |text| Value::Text(text.to_owned()))
        }
        _ => return None,
    })
}

/// A whole number of 1 to 8 bytes, the sign in the first bit.
fn integer(bytes: &[u8]) -> i64 {
    let negative = bytes.first().is_some_and(|first| first & 0x80 != 0);
    let start = if negative { -1 } else { 0 };
    bytes.iter().fold(start, |value, byte| (value << 8) | i64::from(*byte))
}

/// Seven bits a byte, the last of nine bytes whole.
fn varint(from: &mut &[u8]) -> Option<i64> {
    let mut value = 0_i64;
    for at in 0..9 {
        let (byte, rest) = from.split_first()?;
        *from = rest;
        if at == 8 {
            return Some((value << 8) | i64::from(*byte));
        }
        value = (value << 7) | i64::from(byte & 0x7F);
        if byte & 0x80 == 0 {
            break;
        }
    }
    Some(value)
}

fn two(bytes: &[u8], at: usize) -> Option<usize> {
    let two = bytes.get(at..at + 2)?.try_into().ok()?;
    Some(u16::from_be_bytes(two).into())
}

fn four(bytes: &[u8], at: usize) -> Option<u32> {
    bytes.get(at..at + 4)?.try_into().ok().map(u32::from_be_bytes)
}
