//! Half a film, kept to go on with later.

use super::{FilmError, Viewer};

/// What begins the bytes that are kept; the number is their version.
const FIRST_LINE: &[u8; 18] = b"Hosewright film 1\n";
/// Before each frame: its length as a big-endian number of 16 bits.
const LENGTH: usize = 2;

impl Viewer {
    /// All that was seen, to go on with by [`Viewer::go_on`].
    #[must_use]
    pub fn kept(&self) -> Vec<u8> {
        let mut bytes = FIRST_LINE.to_vec();
        for frame in self.frames() {
            let length = u16::try_from(frame.len()).unwrap_or(0);
            bytes.extend(length.to_be_bytes());
            bytes.extend(frame);
        }
        bytes
    }

    /// One that has seen what was kept. Frames that were spoilt or cut off since are left: the
    /// film shows them again.
    ///
    /// # Errors
    /// [`FilmError::NotKept`] if it is something else.
    pub fn go_on(kept: &[u8]) -> Result<Self, FilmError> {
        let mut rest = kept.strip_prefix(FIRST_LINE).ok_or(FilmError::NotKept)?;
        let mut viewer = Self::new();
        while let Some((length, frames)) = rest.split_first_chunk::<LENGTH>() {
            let length = usize::from(u16::from_be_bytes(*length));
            let Some((frame, behind)) = frames.split_at_checked(length) else { break };
            viewer.see(frame);
            rest = behind;
        }
        Ok(viewer)
    }
}
