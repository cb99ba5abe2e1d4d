//! What comes in, a grey picture, and what goes out: texts and their places.

use thiserror::Error;

use super::picture::MOST_PIXELS;
use super::view::View;

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
    /// [`FrameError`] if the sizes do not agree with each other or with the
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

    pub(super) fn view(&self) -> Option<View<'a>> {
        let sizes = [self.width, self.height, self.stride].map(usize::try_from);
        let [Ok(width), Ok(height), Ok(stride)] = sizes else { return None };
        View::new(self.luma, width, height, stride)
    }
}

/// A text that is written in a picture, on one of our tags or not.
#[derive(Debug, Clone, PartialEq)]
pub struct Found {
    /// What is written. A text that begins like ours has passed its own check.
    pub text: String,
    /// The same as bytes: what a QR symbol's byte segments hold as it is, whatever they are
    /// encoded in, with digits and letters in ASCII and kanji in Shift JIS; of other codes, the
    /// text in UTF-8. Binary content is here, whole.
    pub bytes: Vec<u8>,
    /// Where, in pixels from the upper left: the four corners of a QR symbol,
    /// the two ends of a barcode.
    pub corners: Vec<(f32, f32)>,
}
