//! What can be read from its start as often as it is needed: a file, or bytes in memory
//! where there are no files.

use std::fs::{self, File};
use std::io::{self, BufRead, BufReader, Cursor, Read, Seek};
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// Something open to be read, forward and back.
pub trait Reader: BufRead + Seek + Send {}

impl<R: BufRead + Seek + Send> Reader for R {}

/// What can be read from its start as often as it is needed.
pub trait Source {
    /// What it is called, for errors.
    fn name(&self) -> PathBuf;

    /// Opens it at its start.
    ///
    /// # Errors
    /// What the system says.
    fn open(&self) -> io::Result<Box<dyn Reader>>;

    /// How many bytes it has.
    ///
    /// # Errors
    /// What the system says.
    fn length(&self) -> io::Result<u64>;
}

impl Source for &Path {
    fn name(&self) -> PathBuf {
        self.to_path_buf()
    }

    fn open(&self) -> io::Result<Box<dyn Reader>> {
        Ok(Box::new(BufReader::new(File::open(self)?)))
    }

    fn length(&self) -> io::Result<u64> {
        Ok(fs::metadata(self)?.len())
    }
}

impl Source for PathBuf {
    fn name(&self) -> PathBuf {
        self.clone()
    }

    fn open(&self) -> io::Result<Box<dyn Reader>> {
        self.as_path().open()
    }

    fn length(&self) -> io::Result<u64> {
        self.as_path().length()
    }
}

/// A file that is in memory, with its name.
#[derive(Debug, Clone)]
pub struct InMemory {
    name: PathBuf,
    bytes: Arc<[u8]>,
}

impl InMemory {
    /// Bytes under a name.
    #[must_use]
    pub fn new(name: impl Into<PathBuf>, bytes: impl Into<Arc<[u8]>>) -> Self {
        Self { name: name.into(), bytes: bytes.into() }
    }
}

impl Source for InMemory {
    fn name(&self) -> PathBuf {
        self.name.clone()
    }

    fn open(&self) -> io::Result<Box<dyn Reader>> {
        Ok(Box::new(Cursor::new(self.bytes.clone())))
    }

    fn length(&self) -> io::Result<u64> {
        Ok(self.bytes.len() as u64)
    }
}

/// The last bytes of something; none if it is shorter.
///
/// # Errors
/// What the system says.
pub(crate) fn ending<const N: usize>(source: &dyn Source) -> io::Result<Option<[u8; N]>> {
    let Some(at) = source.length()?.checked_sub(N as u64) else { return Ok(None) };
    let mut reader = source.open()?;
    reader.seek(io::SeekFrom::Start(at))?;
    let mut bytes = [0; N];
    reader.read_exact(&mut bytes)?;
    Ok(Some(bytes))
}
