//! The journal: every entry ever written here, in one SQLite file, and nothing
//! ever edited.

mod announce;
mod append;
mod backup;
mod branches;
mod bundle;
mod canonical;
mod chain;
mod clock;
mod counters;
mod damage;
mod elsewhere;
mod entry;
mod film;
mod following;
mod insert;
mod lines;
mod members;
mod merge;
mod met;
mod reach;
mod read;
mod reading;
mod recheck;
mod salvage;
mod schema;
mod statement;
mod stop;
mod store;
mod stretch;
mod successions;
mod verify;
mod withdrawal;
mod writers;

#[cfg(debug_assertions)]
pub use announce::announce;
pub(crate) use announce::reached;
pub use append::{
    Draft, MOST_AHEAD_DAYS, append, become_device, own_device, set_owner, written_ahead,
};
pub use backup::{BackupMade, keep_backup, last_backup, put_meeting};
pub use branches::{
    AddedRows, BranchDevice, BranchError, BranchHeld, BranchMeeting, BranchRow, BranchRows,
    BranchTable, NewBranchRow, held_by_branches, keep_held, keep_read, read_up_to,
};
pub use bundle::{
    BackupNote, BundleError, BundleReader, Header, Part, write_backup, write_bundle, write_header,
};
pub use canonical::canonical_json;
pub use chain::{Cover, Hashed, Proofs, Signatures, not_signed, proven};
pub use clock::{Moment, Stamp};
pub use counters::{
    CounterMeeting, HowFar, MetCounter, TakenThere, forget_paired, keep_counter, keep_paired,
    met_counters, paired_devices,
};
pub use elsewhere::{OtherRecord, first_written_above, keep_other, other_records};
pub use entry::{Entry, Order};
pub use film::{
    Film, FilmError, FilmPace, FilmSize, Seen, Sighted, Viewed, Viewer, Watch, half_films,
    keep_half_films,
};
pub use following::follow_owner;
pub use lines::{LineError, entry_of_line, line_of_entry};
pub use members::{Around, Aside, Members, Right, Trust};
pub use merge::{Merge, MergeReport, Turned};
pub use met::{is_merged, keep_meeting, keep_merged, met_on};
pub use reach::Reach;
pub use read::{
    Believed, DeviceTally, Stored, after_last_gap, count, count_set_aside, each_entry,
    each_entry_of, entries_of_fleet, entries_of_hose, entries_of_set, known_hoses, known_sets,
    missing_numbers, names_of_device, newest_seq, set_aside_of, tallies,
};
pub use reading::{Opened, into_copy, open_empty, open_to_read};
pub use recheck::{after as judge_after, everything as judge_anew};
pub use salvage::{Numbers, Salvage};
pub use schema::{Flaw, flaws, mend};
pub use statement::{Listed, Statement, StatementWriter};
pub use stop::{Stop, obey};
pub(crate) use store::begin;
pub use store::{SCHEMA_VERSION, made_whole, open, open_kept, sound};
pub use stretch::{Wanted, entry_listed};
pub use successions::said_since;
pub use verify::{Problem, ProvenWriter, Verified, Wrong, verify};
pub use writers::{Writer, Writers};

#[cfg(test)]
mod append_tests;
#[cfg(test)]
mod judging_tests;
#[cfg(test)]
mod merge_tests;
#[cfg(test)]
mod sample;
#[cfg(test)]
mod writers_tests;

use std::path::PathBuf;

use thiserror::Error;

use crate::device::KeyringError;

/// Why a store cannot be opened, read or written.
#[derive(Debug, Error)]
pub enum StoreError {
    /// The file is something else.
    #[error("{0} is not a Hosewright store; name another file with --store. It was left as it is")]
    NotOurs(PathBuf),
    /// The file has nothing in it.
    #[error(
        "{0} is empty, which no store ever is: it was cut off, or is another file. \
         Remove it to begin a new record there"
    )]
    Empty(PathBuf),
    /// The store was written by a later version of this program.
    #[error(
        "the store was written by a later Hosewright (format {found}, this program knows {known}); \
         update this program. Nothing was changed"
    )]
    TooNew {
        /// The file's format.
        found: i64,
        /// The newest format known here.
        known: i64,
    },
    /// The file is damaged.
    #[error(
        "the store {path} is damaged: {why}. Nothing was changed. Keep the file; `hosewright check \
         --salvage NEW` takes what can still be read of it into a new store, and bundles of other \
         devices or the newest export bring back the rest"
    )]
    Damaged {
        /// The file.
        path: PathBuf,
        /// What is wrong with it.
        why: String,
    },
    /// There is no file.
    #[error(
        "there is no store at {0}; name the one that is meant with --store, or begin one there with \
         `hosewright register`, `import` or `merge`"
    )]
    Missing(PathBuf),
    /// The file may not be written.
    #[error(
        "the store {0} is read-only: it can be asked, and nothing can be written in it. Make the file \
         and its folder writable, or name another with --store"
    )]
    ReadOnly(PathBuf),
    /// The file may not be written, and not all of the record is in it.
    #[error(
        "the store {path} is read-only, and its newest entries stand in a log beside it that cannot \
         be brought in: {why}. Copy {path} and {path}-wal to where they can be written, and ask that \
         copy. Nothing was changed"
    )]
    LogApart {
        /// The file.
        path: PathBuf,
        /// What blocks it.
        why: String,
    },
    /// Another program holds the store.
    #[error(
        "the store is in use by another program; wait until it is done and try again. \
         Nothing was changed"
    )]
    Locked,
    /// There is no room.
    #[error("there is no room left for the store; make room and try again. Nothing was changed")]
    Full,
    /// Somebody stopped it.
    #[error("stopped, as asked. Nothing is half done; begin again to go on")]
    Stopped,
    /// The file or its folder cannot be made or opened.
    #[error("cannot open the store {path}: {source}")]
    Io {
        /// The file.
        path: PathBuf,
        /// What the system said.
        source: std::io::Error,
    },
    /// An entry or a record in the store cannot be understood.
    #[error("the store holds something that cannot be read: {0}; run `hosewright check`")]
    Unreadable(String),
    /// The device's key cannot be kept or read.
    #[error(transparent)]
    Keys(#[from] KeyringError),
    /// SQLite said something else.
    #[error("the store could not be used: {0}; nothing was changed")]
    Sql(rusqlite::Error),
}

impl From<rusqlite::Error> for StoreError {
    fn from(error: rusqlite::Error) -> Self {
        use rusqlite::ErrorCode;
        match error.sqlite_error_code() {
            Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => Self::Locked,
            Some(ErrorCode::DiskFull) => Self::Full,
            Some(ErrorCode::OperationInterrupted) => Self::Stopped,
            // The index of the log cannot grow: typically a volume without room
            // (SQLite, result codes, SQLITE_IOERR_SHMSIZE).
            Some(ErrorCode::SystemIoFailure)
                if error
                    .sqlite_error()
                    .is_some_and(|e| e.extended_code == rusqlite::ffi::SQLITE_IOERR_SHMSIZE) =>
            {
                Self::Full
            }
            Some(ErrorCode::ReadOnly) => Self::ReadOnly(PathBuf::from("file")),
            Some(ErrorCode::DatabaseCorrupt | ErrorCode::NotADatabase) => {
                Self::Damaged { path: PathBuf::from("file"), why: error.to_string() }
            }
            _ => match error {
                // A table that is gone.
                rusqlite::Error::SqliteFailure(_, Some(msg))
                | rusqlite::Error::SqlInputError { msg, .. }
                    if msg.starts_with("no such ") =>
                {
                    Self::Unreadable(msg)
                }
                other => Self::Sql(other),
            },
        }
    }
}
