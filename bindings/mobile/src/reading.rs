//! Reading a camera's frame. It needs no logbook, so the camera's thread never
//! waits for the record.

use hosewright_core::tag::{self, Frame};

use crate::RefusedError;

/// A place in a frame, in pixels from the upper left.
#[derive(Debug, Clone, Copy, PartialEq, uniffi::Record)]
pub struct Point {
    /// To the right.
    pub x: f32,
    /// Downwards.
    pub y: f32,
}

/// A text that was seen, on a tag of ours or not.
#[derive(Debug, Clone, PartialEq, uniffi::Record)]
pub struct SeenText {
    /// What is written.
    pub text: String,
    /// The four corners of a QR symbol, or the two ends of a barcode.
    pub corners: Vec<Point>,
}

/// Reads every text in a grey frame: a byte a pixel, `width` pixels a row,
/// `height` rows, each row `stride` bytes after the one before. In Kotlin
/// `luma` is a direct `ByteBuffer`, as a camera's plane is, and is not copied.
///
/// # Errors
/// [`RefusedError::Input`] where the sizes and the bytes do not agree.
#[uniffi::export]
pub fn read_frame(
    luma: &[u8],
    width: u32,
    height: u32,
    stride: u32,
) -> Result<Vec<SeenText>, RefusedError> {
    let frame = Frame::new(luma, width, height, stride)?;
    let seen = tag::read_frame(&frame).into_iter().map(|found| SeenText {
        text: found.text,
        corners: found.corners.into_iter().map(|(x, y)| Point { x, y }).collect(),
    });
    Ok(seen.collect())
}
