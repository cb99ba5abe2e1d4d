//! Why a demonstration stops.

use std::io;
use std::path::PathBuf;

use hosewright_core::LogbookError;
use hosewright_core::journal::StoreError;
use hosewright_core::tag::{DrawError, PictureError};
use hosewright_demo::StoryError;
use thiserror::Error;

/// Why a demonstration stops.
#[derive(Debug, Error)]
pub enum DemoError {
    /// The folder holds something else.
    #[error(
        "{0} is not empty and not an earlier demonstration; name a new or an empty folder, as in \
         hosewright demo FOLDER"
    )]
    Occupied(PathBuf),
    /// A file cannot be read or written.
    #[error("cannot use {path}: {source}")]
    Io {
        /// The file.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
    /// The record refuses something.
    #[error(transparent)]
    Logbook(#[from] LogbookError),
    /// The store cannot be used.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// A tag cannot be drawn.
    #[error(transparent)]
    Draw(#[from] DrawError),
    /// The photo cannot be read.
    #[error(transparent)]
    Picture(#[from] PictureError),
    /// No tag was read in the photo.
    #[error("no tag was read in {0}; please report it, with the file")]
    NotRead(PathBuf),
    /// The story is not written to its end.
    #[error(transparent)]
    Story(#[from] StoryError),
}
