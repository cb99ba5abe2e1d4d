//! Looking at a file before SQLite does: whose it is and whether it is whole.

use std::fs;
use std::path::Path;

use super::StoreError;
use crate::file::{SQLITE, STORE_ID, beginning, beside, number};

/// Refuses a file that is not ours or is cut off, before anything is opened that
/// could change it.
pub(super) fn inspect(path: &Path) -> Result<(), StoreError> {
    let io = |source| StoreError::Io { path: path.to_owned(), source };
    let about = fs::metadata(path).map_err(io)?;
    if !about.is_file() {
        return Err(StoreError::NotOurs(path.to_owned()));
    }
    if about.len() == 0 {
        return Err(StoreError::Empty(path.to_owned()));
    }
    let header = beginning(path).map_err(io)?;
    if !header.starts_with(SQLITE) || number(&header, 68) != STORE_ID {
        return Err(StoreError::NotOurs(path.to_owned()));
    }
    check_length(path, &header, about.len())
}

/// The header says how many pages there are. While a write-ahead log stands
/// beside the file some of them may be in the log alone, so only a file
/// without one can be judged.
fn check_length(path: &Path, header: &[u8], length: u64) -> Result<(), StoreError> {
    let log = beside(&fs::canonicalize(path).unwrap_or_else(|_| path.to_owned()), "-wal");
    let logged = fs::metadata(&log).map(|about| about.len()).unwrap_or(0) > 0;
    let page = match header.get(16..18) {
        Some([0, 1]) => 65_536,
        Some(&[high, low]) => u64::from(u16::from_be_bytes([high, low])),
        _ => 0,
    };
    let expected = page * u64::from(number(header, 28));
    if !logged && number(header, 24) == number(header, 92) && length < expected {
        return Err(StoreError::Damaged {
            path: path.to_owned(),
            why: format!("it was cut off after {length} of {expected} bytes"),
        });
    }
    Ok(())
}
