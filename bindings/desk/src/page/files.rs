//! Files that are sent: made whole on the disk first, so that what cannot be made
//! is refused in words, and one of any size takes the memory of a piece of it.

use std::fs::File;
use std::io::{BufWriter, Seek, Write};

use axum::body::Body;
use axum::http::header::{CONTENT_DISPOSITION, CONTENT_LENGTH, CONTENT_TYPE};
use axum::response::{IntoResponse, Response};
use tokio_util::io::ReaderStream;

use super::refusal::Refusal;
use crate::failure::Failure;

/// Makes a file; it goes when it was sent.
pub fn made<T>(
    write: impl FnOnce(&mut BufWriter<&mut File>) -> Result<T, Refusal>,
) -> Result<(T, File), Refusal> {
    let broken = |error: std::io::Error| Refusal::from(Failure::from(error));
    let mut file = tempfile::tempfile().map_err(broken)?;
    let mut out = BufWriter::new(&mut file);
    let told = write(&mut out)?;
    out.flush().map_err(broken)?;
    drop(out);
    file.rewind().map_err(broken)?;
    Ok((told, file))
}

/// Sends a file of a kind under a name: `inline` to be seen, `attachment` to be kept.
pub fn sent(file: File, kind: &'static str, how: &str, name: &str) -> Result<Response, Refusal> {
    let length = file.metadata().map_err(|error| Refusal::from(Failure::from(error)))?.len();
    let head = [
        (CONTENT_TYPE, kind.to_owned()),
        (CONTENT_DISPOSITION, format!("{how}; filename=\"{name}\"")),
        (CONTENT_LENGTH, length.to_string()),
    ];
    let pieces = ReaderStream::new(tokio::fs::File::from_std(file));
    Ok((head, Body::from_stream(pieces)).into_response())
}
