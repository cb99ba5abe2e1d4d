//! Reading what is written on tags in a picture: the one small door.
//!
//! Behind it stands a general reader and a short ladder of ways to look at the
//! picture. The effort is a count of looks, never a time, so the same picture
//! always gives the same answer.

use thiserror::Error;

use super::ladder;
use super::payload::{Payload, PayloadError};
use super::picture::{self, Grey};

pub use super::picture::{MOST_PIXELS, PictureError};

/// Why bytes are not a grey picture.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum FrameError {
    /// It has no pixels, or more than are read.
    #[error("a frame of {width} × {height} pixels cannot be read; it needs 1 to 40 million pixels")]
    BadSize {
        /// Pixels a row.
        width: u32,
        /// Rows.
        height: u32,
    },
    /// The rows would overlap.
    #[error("rows of {width} pixels cannot start every {stride} bytes")]
    BadStride {
        /// Pixels a row.
        width: u32,
        /// Bytes from row to row.
        stride: u32,
    },
    /// There are more or fewer bytes than the sizes say.
    #[error("a frame of these sizes takes {least} to {most} bytes, and {given} were given")]
    WrongLength {
        /// The fewest that fit the sizes.
        least: u64,
        /// The most that fit the sizes.
        most: u64,
        /// How many were given.
        given: u64,
    },
}

/// A grey picture as a camera hands it over: a byte a pixel, rows one after the
/// other, each row starting `stride` bytes after the one before.
#[derive(Debug, Clone, Copy)]
pub struct Frame<'a> {
    luma: &'a [u8],
    width: u32,
    height: u32,
    stride: u32,
}

impl<'a> Frame<'a> {
    /// A frame; the last row may lack the bytes that only fill it up.
    ///
    /// # Errors
    /// [`FrameError`] where the sizes do not agree with each other or with the
    /// bytes.
    pub fn new(luma: &'a [u8], width: u32, height: u32, stride: u32) -> Result<Self, FrameError> {
        let pixels = u64::from(width) * u64::from(height);
        if pixels == 0 || pixels > MOST_PIXELS {
            return Err(FrameError::BadSize { width, height });
        }
        if stride < width {
            return Err(FrameError::BadStride { width, stride });
        }
        let most = u64::from(stride) * u64::from(height);
        let least = most - u64::from(stride - width);
        let given = u64::try_from(luma.len()).unwrap_or(u64::MAX);
        let good = (least..=most).contains(&given);
        good.then_some(Self { luma, width, height, stride }).ok_or(FrameError::WrongLength {
            least,
            most,
            given,
        })
    }

    fn packed(&self) -> Grey {
        let [width, stride] = [self.width, self.stride].map(|n| usize::try_from(n).unwrap_or(1));
        let rows = self.luma.chunks(stride).filter_map(|row| row.get(..width));
        Grey { width: self.width, height: self.height, luma: rows.flatten().copied().collect() }
    }
}

/// A text that is written in a picture, on one of our tags or not.
#[derive(Debug, Clone, PartialEq)]
pub struct Found {
    /// What is written. A text that begins like ours has passed its own check.
    pub text: String,
    /// Where, in pixels from the upper left: the four corners of a QR symbol,
    /// the two ends of a barcode.
    pub corners: Vec<(f32, f32)>,
}

/// Reads every distinct text in a frame.
#[must_use]
pub fn read_frame(frame: &Frame<'_>) -> Vec<Found> {
    read_grey(frame.packed())
}

/// Reads every distinct text in a PNG or JPEG file, told by its content.
///
/// # Errors
/// [`PictureError`] where it is empty, no such picture, too large or damaged.
pub fn read_picture(bytes: &[u8]) -> Result<Vec<Found>, PictureError> {
    picture::decode(bytes).map(read_grey)
}

fn read_grey(grey: Grey) -> Vec<Found> {
    let mut found: Vec<Found> = Vec::new();
    ladder::climb(grey, |one| {
        let known = found.iter().any(|f| f.text == one.text);
        let counts = is_sound(&one.text);
        if counts && !known {
            found.push(one);
        }
        counts
    });
    found
}

/// Whether a text may be answered: not empty, and not ours with a mistake. A
/// reader that is pushed hard can misread a symbol and still get a text that
/// begins right, so the payload's own check decides.
fn is_sound(text: &str) -> bool {
    !text.is_empty() && !matches!(Payload::parse(text), Err(PayloadError::Damaged { .. }))
}

#[cfg(test)]
#[path = "read_tests.rs"]
mod tests;
