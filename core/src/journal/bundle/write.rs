//! Making a bundle.

use std::io::{self, Write};

use chrono::NaiveDate;
use rusqlite::Connection;
use sha2::{Digest, Sha256};

use super::{CHECK, FIRST_LINE, Header, MOST_FOR_EACH};
use crate::journal::chain::Cover;
use crate::journal::read::Stored;
use crate::journal::{StoreError, each_entry_of, line_of_entry, tallies};

/// A block ends after so many entries, as soon as all in it are signed for.
const ENTRIES: usize = 128;
/// A fast level: files are made while people wait, often on a phone.
const LEVEL: i32 = 3;

/// Writes what a store holds and the maker of an earlier bundle did not, and
/// returns how many entries that is. `progress` is told how many are done.
///
/// # Errors
/// `E` where the store cannot be read or `out` not written.
pub fn write_bundle<E: From<StoreError> + From<io::Error>>(
    store: &Connection,
    (since, made): (Option<&Header>, NaiveDate),
    out: &mut dyn Write,
    progress: impl FnMut(u64),
) -> Result<u64, E> {
    written(store, (since, &Header::of(store, made)?), out, progress)
}

/// Writes a backup: a bundle of all that a store holds, with what its device alone knows.
///
/// # Errors
/// `E` where the store cannot be read or `out` not written.
pub fn write_backup<E: From<StoreError> + From<io::Error>>(
    store: &Connection,
    made: NaiveDate,
    out: &mut dyn Write,
    progress: impl FnMut(u64),
) -> Result<u64, E> {
    written(store, (None, &Header::of_backup(store, made)?), out, progress)
}

/// Writes a bundle that says what a store holds, and has none of it.
///
/// # Errors
/// `E` where the store cannot be read or `out` not written.
pub fn write_header<E: From<StoreError> + From<io::Error>>(
    store: &Connection,
    made: NaiveDate,
    out: &mut dyn Write,
) -> Result<(), E> {
    Ok(Header::of(store, made)?.write(out)?)
}

impl Header {
    /// Writes a bundle that says what this does, and has no entries.
    ///
    /// # Errors
    /// [`io::Error`] if `out` cannot be written.
    pub fn write(&self, out: &mut dyn Write) -> io::Result<()> {
        begun(self, out)?.end()
    }
}

fn begun<'w>(header: &Header, out: &'w mut dyn Write) -> io::Result<Blocks<'w>> {
    let mut file = Blocks { out, digest: Sha256::new() };
    file.bytes(FIRST_LINE)?;
    let mut text = serde_json::to_string(header)?;
    text.push('\n');
    file.block(text.as_bytes())?;
    Ok(file)
}

fn written<E: From<StoreError> + From<io::Error>>(
    store: &Connection,
    (since, header): (Option<&Header>, &Header),
    out: &mut dyn Write,
    mut progress: impl FnMut(u64),
) -> Result<u64, E> {
    let mut file = begun(header, out)?;
    let mut written = 0;
    for tally in tallies(store)? {
        let above = since.and_then(|since| since.holds.get(&tally.id)).copied().unwrap_or(0);
        let mut block = Block::default();
        each_entry_of::<E>(store, &tally.id, above, |stored| {
            block.add(&stored);
            written += 1;
            if block.is_full() {
                file.block(block.text.as_bytes())?;
                block = Block::default();
                progress(written);
            }
            Ok(())
        })?;
        if !block.text.is_empty() {
            file.block(block.text.as_bytes())?;
        }
    }
    file.end()?;
    progress(written);
    Ok(written)
}

/// Entries that wait to be written together.
#[derive(Default)]
struct Block {
    text: String,
    entries: usize,
    cover: Cover,
}

impl Block {
    fn add(&mut self, stored: &Stored) {
        self.text.push_str(&line_of_entry(&stored.entry));
        self.text.push('\n');
        self.entries += 1;
        self.cover.add(&stored.entry, stored.hash);
    }

    fn is_full(&self) -> bool {
        self.entries >= ENTRIES && self.cover.is_whole()
    }
}

/// The file as it grows, and its digest.
struct Blocks<'w> {
    out: &'w mut dyn Write,
    digest: Sha256,
}

impl Blocks<'_> {
    fn bytes(&mut self, bytes: &[u8]) -> io::Result<()> {
        self.digest.update(bytes);
        self.out.write_all(bytes)
    }

    fn block(&mut self, text: &[u8]) -> io::Result<()> {
        let mut packed = zstd::bulk::compress(text, LEVEL)?;
        fill_up(&mut packed, text.len());
        let length = u32::try_from(packed.len()).map_err(io::Error::other)?;
        let check = Sha256::digest(&packed);
        self.bytes(&length.to_be_bytes())?;
        self.bytes(check.get(..CHECK).unwrap_or_default())?;
        self.bytes(&packed)
    }

    fn end(mut self) -> io::Result<()> {
        self.bytes(&0_u32.to_be_bytes())?;
        let digest = self.digest.finalize();
        self.out.write_all(&digest)?;
        self.out.flush()
    }
}

/// What packs better than a reader lets it is filled up, with a frame that is
/// passed over (RFC 8878, 3.1.2).
fn fill_up(packed: &mut Vec<u8>, unpacked: usize) {
    const SKIPPED: [u8; 4] = 0x184D_2A50_u32.to_le_bytes();
    let each = usize::try_from(MOST_FOR_EACH).unwrap_or(usize::MAX);
    if let Some(missing) = unpacked.div_ceil(each).checked_sub(packed.len())
        && let Ok(length) = u32::try_from(missing)
    {
        packed.extend(SKIPPED.iter().chain(&length.to_le_bytes()));
        packed.extend(std::iter::repeat_n(0, missing));
    }
}

#[cfg(test)]
pub(super) fn packed(text: &[u8]) -> Vec<u8> {
    let mut out = Vec::new();
    let mut file = Blocks { out: &mut out, digest: Sha256::new() };
    let written = file.block(text);
    assert!(written.is_ok());
    out
}
