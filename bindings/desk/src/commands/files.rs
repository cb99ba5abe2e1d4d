//! Writing files without losing one.

use std::path::Path;

use hosewright_core::file::{NewFile, Replace, check_free};

use crate::failure::Failure;
use crate::store;

/// Writes a file. One that is there is refused without `force`; with it a file
/// is written over, and nothing else.
pub fn write<T>(
    path: &Path,
    force: bool,
    write: impl FnOnce(&mut NewFile) -> Result<T, Failure>,
) -> Result<T, Failure> {
    refuse_key(path)?;
    let mut file = NewFile::begin(path, replace(force))?;
    let done = write(&mut file)?;
    file.finish()?;
    Ok(done)
}

/// Refuses to replace a file that is already there.
pub fn refuse_present(path: &Path, force: bool) -> Result<(), Failure> {
    refuse_key(path)?;
    Ok(check_free(path, replace(force))?)
}

const fn replace(force: bool) -> Replace {
    if force { Replace::File } else { Replace::Nothing }
}

/// What is kept among the account's keys can't be had again.
fn refuse_key(path: &Path) -> Result<(), Failure> {
    let Ok(keys) = store::keys_folder().and_then(|keys| Ok(keys.canonicalize()?)) else {
        return Ok(());
    };
    match path.canonicalize() {
        Ok(there) if there.starts_with(&keys) => Err(Failure::refused(format!(
            "{} is kept among this account's keys, and is never written over; name another file",
            path.display()
        ))),
        _ => Ok(()),
    }
}
