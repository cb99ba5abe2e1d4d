//! A bundle: entries in one file, for a stick, a shared folder or a message.
//!
//! The bytes are a promise and are in DEVELOPERS.md: a first line, blocks
//! that are each compressed and checked by themselves, and a digest of the
//! whole. A block that was spoilt on the way is refused; the others go in.

mod header;
mod read;
mod write;

pub use header::{BackupNote, Header};
pub use read::{BundleReader, Part};
pub use write::{write_backup, write_bundle, write_header};

use thiserror::Error;

/// The first line of a bundle; the number is its version.
const FIRST_LINE: &[u8; 20] = b"Hosewright bundle 1\n";
/// Before each block: its length as a big-endian number of 32 bits …
const LENGTH: usize = 4;
/// … and the beginning of the SHA-256 of its bytes.
const CHECK: usize = 8;
/// The most bytes of a block, compressed …
const MOST_PACKED: u32 = 16 << 20;
/// … and as text.
const MOST_TEXT: u64 = 64 << 20;
/// A bundle unpacks to so many bytes for each of its own at most, so that its
/// size bounds the work that it is. Three times what photos of the dark reach,
/// the most repetitive that is honest; entries reach a tenth of it.
const MOST_FOR_EACH: u64 = 1024;
/// So much it may unpack to in any case: a few blocks, the first among them.
const FREE: u64 = 1 << 20;

#[cfg(test)]
mod tests;

/// Why a file cannot be read as a bundle at all.
#[derive(Debug, Error)]
pub enum BundleError {
    /// It is something else.
    #[error("it is not a Hosewright bundle")]
    NotOurs,
    /// A later version wrote it.
    #[error("a later Hosewright made this bundle; update this program and merge it again")]
    TooNew,
    /// Its beginning is spoilt.
    #[error("its beginning was cut off or changed on the way; copy it again")]
    Spoilt,
    /// The system cannot read it.
    #[error(transparent)]
    Io(#[from] std::io::Error),
}
