//! Reading what is written on tags in a picture: the one small door.
//!
//! Behind it stands a reader of our own for symbols on plates and round hoses,
//! and a general one for barcodes. The effort is a count of tries, never a time,
//! so the same picture always gives the same answer.

mod barcode;
mod decode;
mod finder;
mod fit;
mod galois;
mod layout;
mod level;
mod numbers;
mod pose;
mod sample;
mod scan;
mod search;
mod solve;
mod triple;
mod view;

use thiserror::Error;

use self::search::{Budget, Search};
use self::view::View;
use super::payload::{Payload, PayloadError};
use super::picture;

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

    fn view(&self) -> Option<View<'a>> {
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
    /// Where, in pixels from the upper left: the four corners of a QR symbol,
    /// the two ends of a barcode.
    pub corners: Vec<(f32, f32)>,
}

/// Reads every distinct text in a frame.
#[must_use]
pub fn read_frame(frame: &Frame<'_>) -> Vec<Found> {
    frame.view().map(|view| read_view(&view, VIDEO)).unwrap_or_default()
}

/// Reads every distinct text in a PNG or JPEG file, told by its content.
///
/// # Errors
/// [`PictureError`] where it is empty, no such picture, too large or damaged.
pub fn read_picture(bytes: &[u8]) -> Result<Vec<Found>, PictureError> {
    let grey = picture::decode(bytes)?;
    let sizes = [grey.width, grey.height].map(|n| usize::try_from(n).unwrap_or(0));
    let view = View::new(&grey.luma, sizes[0], sizes[1], sizes[0]);
    Ok(view.map(|view| read_view(&view, STILL)).unwrap_or_default())
}

/// What a frame of a film may cost, and what a photo may that is taken once.
const VIDEO: Budget = Budget { triples: 8 };
const STILL: Budget = Budget { triples: 24 };

/// The longer side above which a picture is first halved: a tag fills a fair
/// part of a photo, so nothing is lost, and time is saved.
const LARGE: usize = 2000;

fn read_view(view: &View<'_>, budget: Budget) -> Vec<Found> {
    if view.width.max(view.height) <= LARGE || view.width.min(view.height) < 2 {
        return read_all(view, budget);
    }
    let (width, height) = (view.width / 2, view.height / 2);
    let mut luma = Vec::with_capacity(width * height);
    view.halve(&mut luma);
    let small = View::new(&luma, width, height, width);
    let mut found = small.map(|small| read_view(&small, budget)).unwrap_or_default();
    for (x, y) in found.iter_mut().flat_map(|f| &mut f.corners) {
        (*x, *y) = (2.0 * *x + 0.5, 2.0 * *y + 0.5);
    }
    found
}

fn read_all(view: &View<'_>, budget: Budget) -> Vec<Found> {
    let mut found: Vec<Found> = Vec::new();
    let mut take = |one: Found| {
        let known = found.iter().any(|f| f.text == one.text);
        let counts = is_sound(&one.text);
        if counts && !known {
            found.push(one);
        }
        counts
    };
    for barcode in Vec::<Found>::new() {
        take(barcode);
    }
    Search::default().read(view, budget, |symbol| {
        let corners = symbol.corners.map(|(x, y)| (numbers::short(x), numbers::short(y)));
        take(Found { text: symbol.text.clone(), corners: corners.to_vec() })
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
