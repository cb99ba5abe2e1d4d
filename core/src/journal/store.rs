//! Opening the one SQLite file that holds a record.

use std::fs;
use std::path::Path;
use std::time::Duration;

use rusqlite::config::DbConfig;
use rusqlite::{Connection, ErrorCode, MAIN_DB, Transaction, TransactionBehavior, params};

use super::StoreError;
use super::announce::{announced, reached};
use super::damage::inspect;
use crate::event::SetId;
use crate::file::{self, STORE_ID};

/// Each step from one format of the file to the next.
const MIGRATIONS: &[&str] = &[
    include_str!("sql/001_begin.sql"),
    include_str!("sql/002_devices.sql"),
    include_str!("sql/003_indexes.sql"),
    include_str!("sql/004_doubt.sql"),
    include_str!("sql/005_find.sql"),
    include_str!("sql/006_branches.sql"),
    include_str!("sql/007_counts.sql"),
    include_str!("sql/008_packed.sql"),
];

/// The format from which sets have an identity of their own.
const SETS_BY_IDENTITY: i64 = 4;

/// The bytes of a page of every file that this program makes, SQLite's own default.
pub(super) const PAGE: u16 = 4096;

/// The format of the file that this program writes.
pub const SCHEMA_VERSION: i64 = 8;

/// Opens the store at `path`, begins it if there is none, and brings an
/// older one up to date.
///
/// # Errors
/// [`StoreError`] if the file is not ours, is damaged, too new, read-only
/// or in use.
pub fn open(path: &Path) -> Result<Connection, StoreError> {
    if !path.exists() {
        made_whole(path, make)?;
    }
    inspect(path)?;
    // Even for root, who could write it anyway.
    if fs::metadata(path).is_ok_and(|about| about.permissions().readonly()) {
        return Err(StoreError::ReadOnly(path.to_owned()));
    }
    let opened = opened(path, Sharing::Shared).or_else(|error| match error {
        // If another program has it open, room is still what is missing.
        StoreError::Full => opened(path, Sharing::Alone).map_err(|_| StoreError::Full),
        other => Err(other),
    });
    opened.map_err(|e| named(e, path))
}

/// Opens the store of a name in a storage into which only SQLite sees, and begins it if
/// there is none: the one that browsers give a page. Nothing else can look at it there,
/// so what [`open`] finds out of the file SQLite is asked. Such a storage has no memory that
/// programs share, as the index of a log needs: there is a journal to roll back instead,
/// which is gone after each commit, so that all of the record is in one file.
///
/// # Errors
/// [`StoreError`] if the store is not ours, damaged, too new or in use.
pub fn open_kept(name: &Path) -> Result<Connection, StoreError> {
    let opened = || {
        let mut connection = connect(name, Sharing::Shared)?;
        let id: u32 = connection.pragma_query_value(None, "application_id", |row| row.get(0))?;
        let tables = "SELECT EXISTS (SELECT 1 FROM sqlite_schema)";
        let begun: bool = connection.query_row(tables, [], |row| row.get(0))?;
        if !begun {
            // What a damaged file without its header is read by; not every storage's own.
            connection.pragma_update(None, "page_size", PAGE)?;
            connection.pragma_update(None, "application_id", STORE_ID)?;
        } else if id != STORE_ID {
            return Err(StoreError::NotOurs(name.to_owned()));
        }
        migrate(&mut connection)?;
        Ok(connection)
    };
    opened().map_err(|e| named(e, name))
}

/// Whether other programs may use the store in the meantime.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Sharing {
    /// They may, through an index of the log in a file beside it.
    Shared,
    /// They may not: the index is kept in memory. So a store can be read where
    /// there is no room even for that file (SQLite, Write-Ahead Logging, "Use of
    /// WAL Without Shared-Memory").
    Alone,
}

/// Opens a store that is there for this program alone, and brings it up to date.
pub(super) fn migrated(path: &Path) -> Result<Connection, StoreError> {
    opened(path, Sharing::Alone)
}

/// A new store that is in no file.
pub(super) fn in_memory() -> Result<Connection, StoreError> {
    let mut connection = Connection::open_in_memory()?;
    settle(&connection)?;
    migrate(&mut connection)?;
    Ok(connection)
}

fn opened(path: &Path, sharing: Sharing) -> Result<Connection, StoreError> {
    let mut connection = connect(path, sharing)?;
    migrate(&mut connection)?;
    Ok(connection)
}

/// Makes a new store whole beside its place and then moves it there, so that a
/// stop in between leaves no half-made store behind. A file that another
/// process has put there meanwhile stays, and `false` says so.
///
/// # Errors
/// [`StoreError`] if there is no room or the folder cannot be written, or
/// whatever `make` says.
pub fn made_whole<E: From<StoreError>>(
    path: &Path,
    make: impl FnOnce(&Path) -> Result<(), E>,
) -> Result<bool, E> {
    let io = |source| StoreError::Io { path: path.to_owned(), source };
    let folder = path.parent().filter(|p| !p.as_os_str().is_empty()).unwrap_or(Path::new("."));
    fs::create_dir_all(folder).map_err(io)?;
    // SQLite has files of its own beside it.
    let beside = tempfile::Builder::new().prefix(".hosewright-new-").tempdir_in(folder);
    let beside = beside.map_err(io)?;
    let made = beside.path().join("store");
    make(&made)?;
    reached("store made beside its place");
    let put = file::put(&made, path).map_err(|e| io(e).into());
    reached("store in its place");
    put
}

fn make(path: &Path) -> Result<(), StoreError> {
    let mut connection = connect(path, Sharing::Shared).map_err(|e| named(e, path))?;
    connection.pragma_update(None, "application_id", STORE_ID)?;
    // Readers go on while one writes, and a commit is one sequential write.
    connection.pragma_update(None, "journal_mode", "WAL")?;
    migrate(&mut connection)?;
    connection.close().map_err(|(_, error)| error.into())
}

fn connect(path: &Path, sharing: Sharing) -> Result<Connection, StoreError> {
    let connection = announced(Connection::open(path)?)?;
    // Before anything is read: who may only read the file must not put a log
    // beside it that its owner cannot write.
    if connection.is_readonly(MAIN_DB)? {
        return Err(StoreError::ReadOnly(path.to_owned()));
    }
    if sharing == Sharing::Alone {
        // It counts only before anything is read.
        connection.execute_batch("PRAGMA locking_mode = EXCLUSIVE;")?;
    }
    settle(&connection)?;
    Ok(connection)
}

/// What is set for each connection.
pub(super) fn settle(connection: &Connection) -> Result<(), StoreError> {
    // A second program (a page beside the command line) waits its turn.
    connection.busy_timeout(Duration::from_secs(5))?;
    connection.execute_batch(
        // What was acknowledged must outlive a power cut: the default of WAL
        // would let the last entries go.
        "PRAGMA synchronous = FULL;
         -- Off by default in SQLite, and set for each connection.
         PRAGMA foreign_keys = ON;
         -- Phones have no folder for temporary files.
         PRAGMA temp_store = MEMORY;
         -- 16 MiB: the upper pages of a large fleet stay in memory, so that an
         -- answer takes as long at 100,000 hoses as at 1,000.
         PRAGMA cache_size = -16384;
         -- The log shrinks again after a large import.
         PRAGMA journal_size_limit = 4194304;",
    )?;
    // A statement is planned once, not again for each value bound to it: that
    // took a quarter of the time of an answer.
    connection.set_db_config(DbConfig::SQLITE_DBCONFIG_ENABLE_QPSG, true)?;
    connection.set_prepared_statement_cache_capacity(64);
    Ok(())
}

/// A transaction that writes: it waits its turn before it reads.
pub(crate) fn begin(connection: &mut Connection) -> Result<Transaction<'_>, StoreError> {
    Ok(connection.transaction_with_behavior(TransactionBehavior::Immediate)?)
}

/// All steps run in one transaction. A step may make a table again that others
/// refer to, so references are checked at its end instead of on the way.
fn migrate(connection: &mut Connection) -> Result<(), StoreError> {
    if version(connection)? == SCHEMA_VERSION {
        return Ok(());
    }
    connection.pragma_update(None, "foreign_keys", false)?;
    let work = begin(connection)?;
    let found = version(&work)?;
    if found > SCHEMA_VERSION {
        return Err(StoreError::TooNew { found, known: SCHEMA_VERSION });
    }
    for step in MIGRATIONS.iter().skip(usize::try_from(found).unwrap_or(0)) {
        work.execute_batch(step).map_err(|error| match error.into() {
            StoreError::Unreadable(why) => StoreError::Damaged { path: "file".into(), why },
            other => other,
        })?;
    }
    if found < SETS_BY_IDENTITY {
        name_sets_by_identity(&work)?;
    }
    work.execute("INSERT OR IGNORE INTO store (only_row) VALUES (1)", [])?;
    if let Some(broken) = dangling(&work)?.first() {
        return Err(StoreError::Unreadable(broken.clone()));
    }
    work.pragma_update(None, "user_version", SCHEMA_VERSION)?;
    work.commit()?;
    Ok(connection.pragma_update(None, "foreign_keys", true)?)
}

/// What earlier programs wrote under a set's name is about the set of that name.
fn name_sets_by_identity(work: &Connection) -> Result<(), StoreError> {
    let mut names = work.prepare("SELECT DISTINCT regulator_set FROM set_entry")?;
    let names: Vec<String> =
        names.query_map([], |row| row.get(0))?.collect::<Result<_, rusqlite::Error>>()?;
    let sql = "INSERT OR IGNORE INTO set_entry_new (regulator_set, entry)
               SELECT ?1, entry FROM set_entry WHERE regulator_set = ?2";
    for name in names {
        work.execute(sql, params![SetId::of_name(&name).code().bits(), name])?;
    }
    work.execute_batch("DROP TABLE set_entry; ALTER TABLE set_entry_new RENAME TO set_entry;")?;
    Ok(())
}

pub(super) fn version(connection: &Connection) -> Result<i64, StoreError> {
    Ok(connection.query_row("PRAGMA user_version", [], |row| row.get(0))?)
}

/// Whether SQLite finds the file sound, page by page; what it says where not.
///
/// # Errors
/// [`StoreError`] if the file cannot be read at all.
pub fn sound(connection: &Connection) -> Result<Vec<String>, StoreError> {
    let mut found = Vec::new();
    let mut statement = connection.prepare("PRAGMA integrity_check(20)")?;
    for line in statement.query_map([], |row| row.get::<_, String>(0))? {
        found.push(line?);
    }
    found.retain(|line| line != "ok");
    found.extend(dangling(connection)?);
    Ok(found)
}

/// References to what is not there.
fn dangling(connection: &Connection) -> Result<Vec<String>, StoreError> {
    let mut keys = connection.prepare("PRAGMA foreign_key_check")?;
    let tables = keys.query_map([], |row| row.get::<_, String>(0))?;
    tables
        .map(|table| Ok(format!("table {} refers to something that is not there", table?)))
        .collect()
}

/// Puts the file's name into errors that were made without it.
pub(super) fn named(error: StoreError, path: &Path) -> StoreError {
    match error {
        StoreError::Damaged { why, .. } => StoreError::Damaged { path: path.to_owned(), why },
        StoreError::ReadOnly(_) => StoreError::ReadOnly(path.to_owned()),
        // The file itself was read before: what cannot be made is the log beside it.
        StoreError::Sql(e) if e.sqlite_error_code() == Some(ErrorCode::CannotOpen) => {
            StoreError::ReadOnly(path.to_owned())
        }
        other => other,
    }
}
