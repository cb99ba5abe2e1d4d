//! What a file is, told by how it begins.

use std::fs::File;
use std::io::{self, ErrorKind, Read};
use std::path::{Path, PathBuf};

/// How every file of SQLite begins.
pub(crate) const SQLITE: &[u8] = b"SQLite format 3\0";
/// “hsWr”, the application id in the header, says that a file of SQLite is ours.
pub(crate) const STORE_ID: u32 = 0x6873_5772;
/// How a write-ahead log begins, in either order of bytes.
pub(crate) const LOG_MAGIC: [u32; 2] = [0x377F_0682, 0x377F_0683];
/// How the index of a log begins: its version.
const INDEX_VERSION: u32 = 3_007_000;
/// What SQLite puts beside a file.
const BESIDE: [&str; 3] = ["-wal", "-shm", "-journal"];

/// The first bytes of a file, as many as SQLite's header has.
pub(crate) fn beginning(path: &Path) -> io::Result<Vec<u8>> {
    let mut header = Vec::with_capacity(100);
    File::open(path)?.take(100).read_to_end(&mut header)?;
    Ok(header)
}

/// A number in a header, 0 if it ends before.
pub(crate) fn number(header: &[u8], at: usize) -> u32 {
    let bytes = header.get(at..at + 4).and_then(|b| b.try_into().ok());
    bytes.map_or(0, u32::from_be_bytes)
}

/// What SQLite calls a file beside another.
pub(crate) fn beside(path: &Path, ending: &str) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(ending);
    name.into()
}

/// Whether a file is a store, damaged or not, or is, or would be, beside
/// one as a part of it.
pub(super) fn is_of_store(path: &Path, there: bool) -> io::Result<bool> {
    if there {
        let header = beginning(path)?;
        let first = number(&header, 0);
        let index = [first, first.swap_bytes()].contains(&INDEX_VERSION);
        if is_store(&header) || LOG_MAGIC.contains(&first) || index {
            return Ok(true);
        }
    }
    let name = path.as_os_str().to_string_lossy();
    let of = BESIDE.iter().find_map(|ending| name.strip_suffix(ending));
    match of.map(|of| beginning(Path::new(of))) {
        Some(Ok(header)) => Ok(is_store(&header)),
        Some(Err(error)) if error.kind() != ErrorKind::NotFound => Err(error),
        _ => Ok(false),
    }
}

fn is_store(header: &[u8]) -> bool {
    number(header, 68) == STORE_ID
}
