//! Why a command was refused, and how that is said.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use hosewright_core::file::FileError;
use hosewright_core::hose::HoseError;
use hosewright_core::inspection::FindingError;
use hosewright_core::journal::StoreError;
use hosewright_core::policy::PolicyError;
use hosewright_core::tag::DrawError;
use hosewright_core::{FormRefused, LogbookError};
use hosewright_page::Refusal;
use thiserror::Error;

use crate::show::{command, written};

/// The exit code of bad input, or of a command that changed nothing.
const REFUSED: u8 = 2;

/// Why a command was refused.
#[derive(Debug, Error)]
pub enum Failure {
    /// The core refuses it.
    #[error(transparent)]
    Logbook(#[from] LogbookError),
    /// The store cannot be used.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// A tag cannot be drawn.
    #[error(transparent)]
    Draw(#[from] DrawError),
    /// A file is not written.
    #[error(transparent)]
    File(#[from] FileError),
    /// A file cannot be read or written.
    #[error("cannot use {path}: {source}")]
    Io {
        /// The file.
        path: PathBuf,
        /// What the system said.
        source: std::io::Error,
    },
    /// What was typed does not go together, or a file is in the way.
    #[error("{0}")]
    Refused(String),
    /// The command line itself, already worded by its parser.
    #[error(transparent)]
    Usage(Box<clap::Error>),
    /// The reasons were shown as they came.
    #[error("")]
    Told,
}

impl Failure {
    /// A refusal in words.
    pub fn refused(words: impl Into<String>) -> Self {
        Self::Refused(words.into())
    }

    /// A file that cannot be read or written.
    pub fn io(path: &Path) -> impl FnOnce(std::io::Error) -> Self + '_ {
        |source| Self::Io { path: path.to_owned(), source }
    }

    /// Says it on standard error and gives the exit code.
    pub fn said(&self) -> ExitCode {
        match self {
            Self::Usage(error) => {
                let _ = error.print();
            }
            Self::Told => {}
            Self::Logbook(error) => {
                let finding = match error {
                    LogbookError::Finding(refused) => written(refused),
                    _ => None,
                };
                let way = error.action().and_then(command).or(finding);
                let way = way.map(|way| format!(": {way}"));
                crate::output::aside(&format!("hosewright: {error}{}", way.unwrap_or_default()));
            }
            // Standard error may be closed; there is nobody to tell then.
            other => crate::output::aside(&format!("hosewright: {other}")),
        }
        ExitCode::from(REFUSED)
    }
}

impl From<HoseError> for Failure {
    fn from(error: HoseError) -> Self {
        Self::Logbook(error.into())
    }
}

impl From<FormRefused> for Failure {
    fn from(refused: FormRefused) -> Self {
        match refused {
            FormRefused::Field(field) => Self::refused(field.words),
            FormRefused::Logbook(error) => error.into(),
        }
    }
}

impl From<FindingError> for Failure {
    fn from(error: FindingError) -> Self {
        Self::Logbook(error.into())
    }
}

impl From<PolicyError> for Failure {
    fn from(error: PolicyError) -> Self {
        Self::Logbook(error.into())
    }
}

impl From<std::io::Error> for Failure {
    fn from(source: std::io::Error) -> Self {
        Self::Io { path: "the output".into(), source }
    }
}

impl From<Failure> for Refusal {
    fn from(failure: Failure) -> Self {
        match failure {
            Failure::Logbook(error) => Self::Core(error),
            Failure::Store(error) => error.into(),
            Failure::Draw(error) => error.into(),
            other => Self::Broken(other.to_string()),
        }
    }
}
