//! Reading a bundle, block by block: memory stays flat in its size.

use std::io::{self, Read};

use sha2::{Digest, Sha256};

use super::{BundleError, CHECK, FIRST_LINE, Header, LENGTH, MOST_PACKED, MOST_TEXT};

/// What comes next in a bundle.
#[derive(Debug, PartialEq, Eq)]
pub enum Part {
    /// Entries, one a line.
    Lines(String),
    /// Something that was spoilt on the way, in words. What follows may be good.
    Spoilt(String),
    /// The end, and the digest of all before it.
    End([u8; 32]),
}

/// A bundle that is read.
pub struct BundleReader<R> {
    from: R,
    header: Header,
    digest: Sha256,
    block: u32,
    ended: bool,
}

impl<R: Read> BundleReader<R> {
    /// Reads the beginning.
    ///
    /// # Errors
    /// [`BundleError`] where it is no bundle that this program can read.
    pub fn open(from: R) -> Result<Self, BundleError> {
        let header = Header::default();
        let mut reader = Self { from, header, digest: Sha256::new(), block: 0, ended: false };
        let mut line = [0; FIRST_LINE.len()];
        reader.fill(&mut line).map_err(|_| BundleError::NotOurs)?;
        let (name, version) = (FIRST_LINE.split_at(18), line.split_at(18));
        if version.0 != name.0 {
            return Err(BundleError::NotOurs);
        }
        if version.1 != name.1 {
            let later = version.1.first().is_some_and(u8::is_ascii_digit);
            return Err(if later { BundleError::TooNew } else { BundleError::NotOurs });
        }
        let Part::Lines(text) = reader.next_part()? else { return Err(BundleError::Spoilt) };
        reader.header = serde_json::from_str(&text).map_err(|_| BundleError::Spoilt)?;
        Ok(reader)
    }

    /// What it says of itself.
    pub const fn header(&self) -> &Header {
        &self.header
    }

    /// The next part; nothing after the end, and after what cannot be passed over.
    ///
    /// # Errors
    /// Where the system cannot read it.
    pub fn next_or_end(&mut self) -> io::Result<Option<Part>> {
        if self.ended { Ok(None) } else { self.next_part().map(Some) }
    }

    fn next_part(&mut self) -> io::Result<Part> {
        let mut length = [0; LENGTH];
        if !self.filled(&mut length)? {
            return Ok(self.cut());
        }
        match u32::from_be_bytes(length) {
            0 => self.end(),
            length if length <= MOST_PACKED => self.block(length),
            _ => {
                self.ended = true;
                Ok(Part::Spoilt(format!("what follows part {} cannot be made out", self.block)))
            }
        }
    }

    fn block(&mut self, length: u32) -> io::Result<Part> {
        self.block += 1;
        let mut check = [0; CHECK];
        let mut packed = Vec::new();
        let whole = self.filled(&mut check)? && {
            (&mut self.from).take(length.into()).read_to_end(&mut packed)?;
            self.digest.update(&packed);
            packed.len() == usize::try_from(length).unwrap_or(usize::MAX)
        };
        if !whole {
            return Ok(self.cut());
        }
        let good = Sha256::digest(&packed).starts_with(&check);
        let text = if good { unpacked(&packed) } else { None };
        let spoilt = || Part::Spoilt(format!("part {} was changed on the way", self.block));
        Ok(text.map_or_else(spoilt, Part::Lines))
    }

    fn end(&mut self) -> io::Result<Part> {
        self.ended = true;
        let own = self.digest.clone().finalize();
        let mut digest = [0; 32];
        match self.fill(&mut digest) {
            Ok(()) if digest == *own => Ok(Part::End(digest)),
            Ok(()) => {
                Ok(Part::Spoilt("its digest does not match: it was changed on the way".to_owned()))
            }
            Err(e) if e.kind() == io::ErrorKind::UnexpectedEof => Ok(self.cut()),
            Err(e) => Err(e),
        }
    }

    fn cut(&mut self) -> Part {
        self.ended = true;
        Part::Spoilt(format!("it was cut off after part {}", self.block))
    }

    fn filled(&mut self, bytes: &mut [u8]) -> io::Result<bool> {
        match self.fill(bytes) {
            Ok(()) => Ok(true),
            Err(e) if e.kind() == io::ErrorKind::UnexpectedEof => Ok(false),
            Err(e) => Err(e),
        }
    }

    fn fill(&mut self, bytes: &mut [u8]) -> io::Result<()> {
        self.from.read_exact(bytes)?;
        self.digest.update(&*bytes);
        Ok(())
    }
}

/// The text of a block; nothing where it is none, or is too large.
fn unpacked(packed: &[u8]) -> Option<String> {
    let mut text = String::new();
    let read = zstd::Decoder::with_buffer(packed).ok()?.take(MOST_TEXT + 1);
    { read }.read_to_string(&mut text).ok()?;
    (u64::try_from(text.len()).ok()? <= MOST_TEXT).then_some(text)
}
