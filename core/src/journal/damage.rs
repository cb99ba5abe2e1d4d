//! Looking at a file before SQLite does: whose it is and whether it is whole.

use std::fs::{self, File};
use std::io::Read;
use std::path::Path;

use super::StoreError;

/// “hsWr” in the file's header says that it is ours.
pub(super) const APPLICATION_ID: i32 = 0x6873_5772;
const MAGIC: &[u8] = b"SQLite format 3\0";

/// Refuses a file that is not ours, is cut off or may not be written, before
/// anything is opened that could change it.
pub(super) fn inspect(path: &Path) -> Result<(), StoreError> {
    let io = |source| StoreError::Io { path: path.to_owned(), source };
    let about = fs::metadata(path).map_err(io)?;
    if !about.is_file() {
        return Err(StoreError::NotOurs(path.to_owned()));
    }
    if about.len() == 0 {
        return Err(StoreError::Empty(path.to_owned()));
    }
    let mut header = Vec::with_capacity(100);
    File::open(path).map_err(io)?.take(100).read_to_end(&mut header).map_err(io)?;
    let ours = header.starts_with(MAGIC) && number(&header, 68) == APPLICATION_ID.unsigned_abs();
    if !ours {
        return Err(StoreError::NotOurs(path.to_owned()));
    }
    if about.permissions().readonly() {
        return Err(StoreError::ReadOnly(path.to_owned()));
    }
    check_length(path, &header, about.len())
}

/// The header says how many pages there are. While a write-ahead log stands
/// beside the file some of them may be in the log alone, so only a file
/// without one can be judged.
fn check_length(path: &Path, header: &[u8], length: u64) -> Result<(), StoreError> {
    let mut log = path.as_os_str().to_owned();
    log.push("-wal");
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

fn number(header: &[u8], at: usize) -> u32 {
    let bytes = header.get(at..at + 4).and_then(|b| b.try_into().ok());
    bytes.map_or(0, u32::from_be_bytes)
}
