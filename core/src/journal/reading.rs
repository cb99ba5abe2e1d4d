//! Opening a record that can only be read: no permission to write it, a disk that
//! is read-only, a copy on a stick. Nothing is written beside it either.

use std::fs::{self, File};
use std::io;
use std::path::Path;

use percent_encoding::{NON_ALPHANUMERIC, percent_encode};
use rusqlite::{Connection, OpenFlags};
use tempfile::TempDir;

use super::StoreError;
use super::store::{SCHEMA_VERSION, in_memory, migrated, named, open, settle, version};
use crate::file::beside;

/// A store that is open.
pub struct Opened {
    /// The store, or what replaces it.
    pub connection: Connection,
    /// Whether nothing can be written in it.
    pub only_read: bool,
    /// The folder of the copy that replaces it, if it is a copy.
    pub copy: Option<TempDir>,
}

impl Opened {
    fn only_read(connection: Connection, copy: Option<TempDir>) -> Result<Self, StoreError> {
        // What is written in a copy would be lost.
        connection.pragma_update(None, "query_only", true)?;
        Ok(Self { connection, only_read: true, copy })
    }
}

/// Opens the store at `path` for someone who only reads: as [`open`] does where
/// it can be written, else as it is. None is begun.
///
/// # Errors
/// [`StoreError`] if there is none, or the file is not ours, damaged, too new,
/// in use, or has entries in a log that cannot be brought in.
pub fn open_to_read(path: &Path) -> Result<Opened, StoreError> {
    if !path.exists() {
        return Err(StoreError::Missing(path.to_owned()));
    }
    match open(path) {
        Err(StoreError::ReadOnly(_)) => as_it_is(path).map_err(|e| named(e, path)),
        other => other.map(|connection| Opened { connection, only_read: false, copy: None }),
    }
}

/// A record with nothing in it, which is kept nowhere.
///
/// # Errors
/// [`StoreError`] if there is no memory for it.
pub fn open_empty() -> Result<Opened, StoreError> {
    Opened::only_read(in_memory()?, None)
}

fn as_it_is(path: &Path) -> Result<Opened, StoreError> {
    let store = fs::canonicalize(path).map_err(|source| io_error(path, source))?;
    let length = |ending| fs::metadata(beside(&store, ending)).map(|about| about.len());
    let has = |ending| length(ending).is_ok_and(|length| length > 0);
    if length("-wal").is_ok() && length("-shm").is_ok() {
        // Another program may be writing. SQLite reads beside it, and recovers the
        // log in memory where there is none (SQLite, Write-Ahead Logging,
        // "Read-Only Databases").
        let connection = connect(&store, "").map_err(|error| match error {
            StoreError::Sql(why) => log_apart(path, &why),
            StoreError::ReadOnly(_) => log_apart(path, &"the log's index cannot be read"),
            other => other,
        })?;
        return brought_up(connection);
    }
    if !has("-wal") && !has("-journal") {
        // All of it is in the file. SQLite would make a log's index beside it before
        // it reads; told that the file never changes, it reads without one.
        return brought_up(connect(&store, "?immutable=1")?);
    }
    let copy = copied(&store).map_err(|error| log_apart(path, &error))?;
    Opened::only_read(migrated(&in_folder(&copy))?, Some(copy))
}

/// An older format is brought up to date in a copy.
fn brought_up(connection: Connection) -> Result<Opened, StoreError> {
    let found = version(&connection)?;
    if found > SCHEMA_VERSION {
        return Err(StoreError::TooNew { found, known: SCHEMA_VERSION });
    }
    if found == SCHEMA_VERSION {
        return Opened::only_read(connection, None);
    }
    into_copy(connection)
}

/// A copy of a store that can only be read, in which it can be brought up to date.
///
/// # Errors
/// [`StoreError`] if there is no room for one.
pub fn into_copy(connection: Connection) -> Result<Opened, StoreError> {
    let copy = tempfile::tempdir().map_err(|source| io_error(&std::env::temp_dir(), source))?;
    let place = in_folder(&copy);
    connection.execute("VACUUM INTO ?1", [place.to_string_lossy()])?;
    Opened::only_read(migrated(&place)?, Some(copy))
}

fn connect(store: &Path, parameters: &str) -> Result<Connection, StoreError> {
    let name = percent_encode(store.as_os_str().as_encoded_bytes(), NON_ALPHANUMERIC);
    let flags = OpenFlags::SQLITE_OPEN_READ_ONLY
        | OpenFlags::SQLITE_OPEN_URI
        | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    let connection = Connection::open_with_flags(format!("file:{name}{parameters}"), flags)?;
    settle(&connection)?;
    version(&connection)?;
    Ok(connection)
}

/// A copy with what is in the log beside the store; the store's own log can
/// be brought in only if something can be written.
fn copied(store: &Path) -> io::Result<TempDir> {
    let folder = tempfile::tempdir()?;
    for ending in ["", "-wal", "-journal"] {
        match File::open(beside(store, ending)) {
            Err(error) if error.kind() == io::ErrorKind::NotFound => {}
            from => {
                let mut to = File::create_new(beside(&in_folder(&folder), ending))?;
                io::copy(&mut from?, &mut to)?;
            }
        }
    }
    Ok(folder)
}

fn in_folder(folder: &TempDir) -> std::path::PathBuf {
    folder.path().join("store")
}

fn io_error(path: &Path, source: io::Error) -> StoreError {
    StoreError::Io { path: path.to_owned(), source }
}

fn log_apart(path: &Path, why: &impl ToString) -> StoreError {
    StoreError::LogApart { path: path.to_owned(), why: why.to_string() }
}
