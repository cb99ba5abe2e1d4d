//! Reading a bundle, block by block: memory stays flat in its size.

use std::io::{self, Read};

use sha2::{Digest, Sha256};

use super::{
    BundleError, CHECK, FIRST_LINE, FREE, Header, LENGTH, MOST_FOR_EACH, MOST_PACKED, MOST_TEXT,
};

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
    /// The bytes of the blocks that were read, and of what they unpacked to.
    packed: u64,
    pub(super) unpacked: u64,
    ended: bool,
}

impl<R: Read> BundleReader<R> {
    /// Reads the beginning.
    ///
    /// # Errors
    /// [`BundleError`] if it is not a bundle that this program can read.
    pub fn open(from: R) -> Result<Self, BundleError> {
        let header = Header::default();
        let digest = Sha256::new();
        let (block, packed, unpacked) = (0, 0, 0);
        let mut reader = Self { from, header, digest, block, packed, unpacked, ended: false };
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
    /// If the system cannot read it.
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
        let block = self.block;
        let spoilt = |what: &str| Part::Spoilt(format!("part {block} {what}"));
        self.packed += u64::from(length);
        let most = (FREE + MOST_FOR_EACH * self.packed).saturating_sub(self.unpacked);
        let most = most.min(MOST_TEXT);
        Ok(match if good { unpacked(&packed, most) } else { Unpacked::Spoilt } {
            Unpacked::Text(text) => {
                self.unpacked += u64::try_from(text.len()).unwrap_or(u64::MAX);
                Part::Lines(text)
            }
            // If one did it on purpose, the next would too.
            Unpacked::TooMuch => {
                self.ended = true;
                spoilt("unpacks to more than a bundle's part can hold; it and the rest are left")
            }
            Unpacked::Spoilt => spoilt("was changed on the way"),
        })
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

/// The most that a block may look back on, 2 to this power: 8 MiB, four times
/// what a writer here uses.
const MOST_WINDOW: u32 = 23;

/// What is in a block.
enum Unpacked {
    Text(String),
    TooMuch,
    Spoilt,
}

/// What is in a block, of so many bytes at most.
fn unpacked(packed: &[u8], most: u64) -> Unpacked {
    let mut bytes = Vec::new();
    let Ok(mut decoder) = zstd::Decoder::with_buffer(packed) else { return Unpacked::Spoilt };
    // What a frame says that it looks back on is kept as long as it is read.
    if decoder.window_log_max(MOST_WINDOW).is_err() {
        return Unpacked::Spoilt;
    }
    let read = decoder.take(most + 1).read_to_end(&mut bytes);
    match (read, u64::try_from(bytes.len())) {
        (Ok(_), Ok(length)) if length <= most => {
            String::from_utf8(bytes).map_or(Unpacked::Spoilt, Unpacked::Text)
        }
        (Ok(_), _) => Unpacked::TooMuch,
        _ => Unpacked::Spoilt,
    }
}
