//! Standard output that does not mind a closed pipe, and where all that people
//! read leaves the program.

use std::io::{self, BufWriter, ErrorKind, Stdout, Write};

use hosewright_core::text::visible;

use crate::paint::Painted;

/// Standard output. A reader that has seen enough (`hosewright list | head`)
/// closes the pipe; what follows is dropped, so that the exit code is still
/// the one that the command decides.
///
/// What people read goes through [`Output::line`] and [`Output::text`], which
/// make visible what came from outside; what programs read is written as it is.
pub struct Output {
    to: BufWriter<Stdout>,
    closed: bool,
}

impl Output {
    /// Standard output.
    pub fn new() -> Self {
        Self { to: BufWriter::new(io::stdout()), closed: false }
    }

    /// Writes one line: whatever is in the text, it stays one.
    pub fn line(&mut self, text: impl AsRef<str>) -> io::Result<()> {
        self.write_all(visible(text.as_ref().trim_end()).as_bytes())?;
        self.write_all(b"\n")
    }

    /// Writes words of our own in several lines, or in colours.
    pub fn text(&mut self, text: impl Into<Painted>) -> io::Result<()> {
        let text: Painted = text.into();
        self.write_all(text.as_str().trim_end().as_bytes())?;
        self.write_all(b"\n")
    }

    fn forgive<T>(&mut self, done: io::Result<T>, dropped: T) -> io::Result<T> {
        match done {
            Err(error) if error.kind() == ErrorKind::BrokenPipe => {
                self.closed = true;
                Ok(dropped)
            }
            other => other,
        }
    }
}

impl Write for Output {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        if self.closed {
            return Ok(bytes.len());
        }
        let done = self.to.write(bytes);
        self.forgive(done, bytes.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        if self.closed {
            return Ok(());
        }
        let done = self.to.flush();
        self.forgive(done, ())
    }
}

/// Says something beside the result in one line, on standard error.
pub fn aside(text: &str) {
    let _ = writeln!(io::stderr(), "{}", visible(text));
}
