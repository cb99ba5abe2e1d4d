//! Files on the disk, in and out, so that one of any size takes no memory: those
//! that are made are whole before any of them is sent, and what cannot be made is
//! refused in words.

use std::fs::File;
use std::io::{self, BufRead, BufReader, BufWriter, Seek, Write};
use std::path::Path;

use hosewright_page::{Refusal, Upload};
use tempfile::NamedTempFile;

/// A file that was sent; it goes when this does.
pub struct SentFile(pub NamedTempFile);

impl Upload for SentFile {
    fn path(&self) -> &Path {
        self.0.path()
    }

    fn open(&self) -> io::Result<Box<dyn BufRead>> {
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
