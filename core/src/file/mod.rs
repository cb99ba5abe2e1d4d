//! Files that are whole or not there: written beside their place, brought to the
//! disk with their folder, and moved there. What can't be had again is never
//! written over: a store, a folder, a device, a pipe.

mod source;
mod told;

pub(crate) use source::ending;
pub use source::{InMemory, Reader, Source};
pub(crate) use told::{LOG_MAGIC, SQLITE, STORE_ID, beginning, beside, number};

use std::fs::{self, File, Metadata};
use std::io::{self, ErrorKind, Write};
use std::path::{Path, PathBuf};

use tempfile::{Builder, NamedTempFile, TempPath};
use thiserror::Error;

/// Why a file is not written.
#[derive(Debug, Error)]
pub enum FileError {
    /// Something is there.
    #[error("{0} is there already; name another file, or write over it with --force")]
    There(PathBuf),
    /// A folder is there.
    #[error("{0} is a folder; name a file")]
    Folder(PathBuf),
    /// What is there is no file.
    #[error("{0} is a device, a pipe or a socket, which is never written over; name a file")]
    NoFile(PathBuf),
    /// A record is there.
    #[error("{0} is a Hosewright store or part of one, which is never written over; name another")]
    Store(PathBuf),
    /// The system refuses it.
    #[error("cannot use {path}: {source}")]
    Io {
        /// The file.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
}

impl From<FileError> for io::Error {
    fn from(error: FileError) -> Self {
        match error {
            FileError::Io { source, .. } => source,
            other => Self::other(other),
        }
    }
}

/// What a new file may take the place of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Replace {
    /// Nothing may be there.
    Nothing,
    /// A file may be there, but no store.
    File,
}

/// A file that is being written, beside its place until it is finished; one that
/// is never finished leaves nothing behind.
pub struct NewFile {
    beside: NamedTempFile,
    named: PathBuf,
    replace: Replace,
}

impl NewFile {
    /// Begins a file that others may read as the system lets them.
    ///
    /// # Errors
    /// [`FileError`] if something is there already, or nothing can be written there.
    pub fn begin(path: &Path, replace: Replace) -> Result<Self, FileError> {
        let file = Self::begin_with(shared(), path, replace)?;
        // Who might read the old one may read the new one, and nobody else.
        if let Ok(about) = fs::metadata(path) {
            let kept = file.beside.as_file().set_permissions(about.permissions());
            kept.map_err(|source| failed(path, source))?;
        }
        Ok(file)
    }

    /// Begins a file that this account alone may read.
    ///
    /// # Errors
    /// As [`NewFile::begin`].
    pub fn begin_private(path: &Path, replace: Replace) -> Result<Self, FileError> {
        Self::begin_with(Builder::new(), path, replace)
    }

    fn begin_with(
        mut builder: Builder<'_, '_>,
        path: &Path,
        replace: Replace,
    ) -> Result<Self, FileError> {
        let place = place_of(path, replace)?;
        let beside = builder.prefix(".part-").tempfile_in(folder_of(&place));
        let beside = beside.map_err(|source| failed(path, source))?;
        Ok(Self { beside, named: path.to_owned(), replace })
    }

    /// Brings it to the disk and moves it to its place.
    ///
    /// # Errors
    /// [`FileError`] if something is there already by now, or the disk refuses
    /// it; then what was there is there still.
    pub fn finish(self) -> Result<(), FileError> {
        let place = place_of(&self.named, self.replace)?;
        let synced = self.beside.as_file().sync_all();
        let moved = synced.and_then(|()| moved(self.beside.into_temp_path(), &place, self.replace));
        moved.map_err(|source| match source.kind() {
            ErrorKind::AlreadyExists => FileError::There(self.named),
            _ => failed(&self.named, source),
        })
    }
}

impl Write for NewFile {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.beside.as_file_mut().write(bytes)
    }

    fn flush(&mut self) -> io::Result<()> {
        self.beside.as_file_mut().flush()
    }
}

/// A file as the system lets others read it.
#[cfg(unix)]
fn shared() -> Builder<'static, 'static> {
    let mut builder = Builder::new();
    builder.permissions(std::os::unix::fs::PermissionsExt::from_mode(0o666));
    builder
}

#[cfg(not(unix))]
fn shared() -> Builder<'static, 'static> {
    Builder::new()
}

/// Writes a file that this account alone may read, in a folder that is made where there
/// is none; what was there before is replaced.
///
/// # Errors
/// [`FileError`] as an [`io::Error`] if something is there already or the disk refuses it.
pub fn write_private(path: &Path, bytes: &[u8]) -> io::Result<()> {
    fs::create_dir_all(folder_of(path))?;
    let mut file = NewFile::begin_private(path, Replace::File)?;
    file.write_all(bytes)?;
    Ok(file.finish()?)
}

/// Gives a file another name in its folder, and brings that to the disk.
///
/// # Errors
/// What the system says.
pub fn rename(from: &Path, to: &Path) -> io::Result<()> {
    fs::rename(from, to)?;
    sync_folder(folder_of(to))
}

/// Refuses what [`NewFile::begin`] would refuse.
///
/// # Errors
/// [`FileError`] if something is there already.
pub fn check_free(path: &Path, replace: Replace) -> Result<(), FileError> {
    place_of(path, replace).map(|_| ())
}

/// Brings a file that was made elsewhere on the same disk to its place, where
/// nothing may be; `false` if something is.
///
/// # Errors
/// What the system says.
pub(crate) fn put(made: &Path, place: &Path) -> io::Result<bool> {
    File::open(made)?.sync_all()?;
    match moved(TempPath::try_from_path(made)?, place, Replace::Nothing) {
        Err(error) if error.kind() == ErrorKind::AlreadyExists => Ok(false),
        other => other.map(|()| true),
    }
}

/// Where a path leads, links followed: a file behind a link is written over, and
/// not the link.
fn place_of(path: &Path, replace: Replace) -> Result<PathBuf, FileError> {
    let failed = |source| failed(path, source);
    let there = match fs::symlink_metadata(path) {
        Ok(about) if about.is_symlink() => Some(fs::metadata(path).map_err(failed)?),
        Ok(about) => Some(about),
        Err(error) if error.kind() == ErrorKind::NotFound => None,
        Err(error) => return Err(failed(error)),
    };
    if let Some(about) = there.as_ref() {
        check_ordinary(path, about)?;
        if replace == Replace::Nothing {
            return Err(FileError::There(path.to_owned()));
        }
    }
    let place = match there {
        Some(_) => fs::canonicalize(path).map_err(failed)?,
        None => path.to_owned(),
    };
    match told::is_of_store(&place, there.is_some()) {
        Ok(false) => Ok(place),
        Ok(true) => Err(FileError::Store(path.to_owned())),
        Err(error) => Err(failed(error)),
    }
}

fn check_ordinary(path: &Path, about: &Metadata) -> Result<(), FileError> {
    if about.is_dir() {
        return Err(FileError::Folder(path.to_owned()));
    }
    if !about.is_file() || is_open_file(path) {
        return Err(FileError::NoFile(path.to_owned()));
    }
    Ok(())
}

/// Whether this names what a process has open, as /dev/stdout does: standard
/// output may be added to a file that must not be replaced.
fn is_open_file(path: &Path) -> bool {
    /// As many links as a system follows.
    const MOST_LINKS: usize = 40;
    let mut path = path.to_owned();
    for _ in 0..MOST_LINKS {
        let Ok(folder) = fs::canonicalize(folder_of(&path)) else { return false };
        if folder.starts_with("/proc") || folder.starts_with("/dev/fd") {
            return true;
        }
        let Ok(leads) = fs::read_link(&path) else { return false };
        path = folder.join(leads);
    }
    true
}

fn moved(beside: TempPath, place: &Path, replace: Replace) -> io::Result<()> {
    let done = match replace {
        Replace::File => beside.persist(place),
        Replace::Nothing => {
            beside.persist_noclobber(place).or_else(|kept| match kept.error.kind() {
                ErrorKind::AlreadyExists => Err(kept),
                // Some disks know neither such a move nor links.
                _ if fs::symlink_metadata(place).is_err() => kept.path.persist(place),
                _ => Err(kept),
            })
        }
    };
    done.map_err(|kept| kept.error)?;
    sync_folder(folder_of(place))
}

/// A name is on the disk when its folder is.
#[cfg(unix)]
fn sync_folder(folder: &Path) -> io::Result<()> {
    match File::open(folder)?.sync_all() {
        // Not every file system has that for folders.
        Err(e) if [ErrorKind::InvalidInput, ErrorKind::Unsupported].contains(&e.kind()) => Ok(()),
        other => other,
    }
}

/// Folders cannot be opened so here; the system writes names by itself.
#[cfg(not(unix))]
fn sync_folder(_folder: &Path) -> io::Result<()> {
    Ok(())
}

fn folder_of(path: &Path) -> &Path {
    path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."))
}

fn failed(path: &Path, source: io::Error) -> FileError {
    FileError::Io { path: path.to_owned(), source }
}

#[cfg(test)]
mod tests;
