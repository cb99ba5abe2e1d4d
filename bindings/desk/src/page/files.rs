//! Files on the disk, in and out, so that one of any size takes no memory: those
//! that are made are whole before any of them is sent, and what cannot be made is
//! refused in words.

use std::fs::File;
use std::io::{self, BufReader, BufWriter, Seek, Write};
use std::path::PathBuf;

use hosewright_core::file::{Reader, Source};
use hosewright_page::Refusal;
use tempfile::NamedTempFile;

/// A file that was sent; it goes when this does.
pub struct SentFile(pub NamedTempFile);

impl Source for SentFile {
    fn name(&self) -> PathBuf {
        self.0.path().to_owned()
    }

    fn open(&self) -> io::Result<Box<dyn Reader>> {
        Ok(Box::new(BufReader::new(self.0.reopen()?)))
    }

    fn length(&self) -> io::Result<u64> {
        Ok(self.0.as_file().metadata()?.len())
    }
}

/// Makes a file; it goes when it was sent.
pub fn made(write: &mut dyn FnMut(&mut dyn Write) -> Result<(), Refusal>) -> Result<File, Refusal> {
    let mut file = tempfile::tempfile()?;
    let mut out = BufWriter::new(&mut file);
    write(&mut out)?;
    out.flush()?;
    drop(out);
    file.rewind()?;
    Ok(file)
}
