//! A photograph of what was seen, small enough to stay in the record: it goes
//! wherever the record goes, and nothing that a camera writes beside its
//! picture, as the place, goes with it.

use std::fmt;

use data_encoding::{BASE64, HEXLOWER};
use hosewright_reader::decode_picture;
use image::codecs::jpeg::JpegEncoder;
use image::imageops::FilterType;
use image::{DynamicImage, ImageDecoder, ImageFormat, ImageReader, RgbImage};
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use thiserror::Error;

use crate::tag::PictureError;

/// The most bytes of a photograph, 64 KiB: a record of a thousand of them still
/// goes from phone to phone.
pub const MOST_BYTES: usize = 64 * 1024;

/// The longest side in pixels of a photograph that is made here.
pub const LONGEST_SIDE: u32 = 1280;

/// Tried in this order until one is small enough: the longest side in pixels
/// and the quality of the JPEG file. Even noise, which does not pack, is below
/// 64 KiB at the last.
const SIZES: &[(u32, u8)] = &[
    (LONGEST_SIDE, 80),
    (LONGEST_SIDE, 65),
    (960, 70),
    (800, 60),
    (640, 50),
    (480, 40),
    (160, 40),
];

/// Why something is not a photograph of a record.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum PhotographError {
    /// It cannot be read.
    #[error(transparent)]
    Picture(#[from] PictureError),
    /// It could not be packed.
    #[error("the photo could not be made small enough to keep ({0}); take it again")]
    NotPacked(String),
    /// No Hosewright record has it as it is.
    #[error("it is not a JPEG picture of at most 64 KiB and 1280 pixels a side")]
    NotKept,
}

/// A photograph as the record keeps it: a JPEG file of at most [`MOST_BYTES`]
/// and [`LONGEST_SIDE`], its picture alone.
#[derive(Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Photograph(Vec<u8>);

impl Photograph {
    /// Makes one of a PNG or JPEG file, the right way up and as small as it
    /// has to be. The same file always gives the same photograph.
    ///
    /// # Errors
    /// [`PhotographError`] if the file is not a picture that can be read.
    pub fn make(file: &[u8]) -> Result<Self, PhotographError> {
        let picture = flat(&decode_picture(file)?);
        for (side, quality) in SIZES {
            let (width, height) = (picture.width().min(*side), picture.height().min(*side));
            // Keeps the picture's proportions within the two.
            let shrunk = (picture.width().max(picture.height()) > *side)
                .then(|| picture.resize(width, height, FilterType::Triangle));
            let mut bytes = Vec::new();
            let encoder = JpegEncoder::new_with_quality(&mut bytes, *quality);
            let shown = shrunk.as_ref().unwrap_or(&picture);
            shown
                .write_with_encoder(encoder)
                .map_err(|error| PhotographError::NotPacked(error.to_string()))?;
            if bytes.len() <= MOST_BYTES {
                return Ok(Self(bytes));
            }
        }
        Err(PhotographError::NotPacked("it stays too large".to_owned()))
    }

    /// One that was kept in a record, as it is there.
    ///
    /// # Errors
    /// [`PhotographError::NotKept`] if it is none.
    pub fn kept(bytes: Vec<u8>) -> Result<Self, PhotographError> {
        let small = bytes.len() <= MOST_BYTES;
        let reader = ImageReader::with_format(std::io::Cursor::new(&bytes), ImageFormat::Jpeg);
        let sides = reader.into_decoder().map(|decoder| decoder.dimensions());
        let fits = |sides: (u32, u32)| sides.0.max(sides.1) <= LONGEST_SIDE;
        let good = small && sides.is_ok_and(fits);
        good.then_some(Self(bytes)).ok_or(PhotographError::NotKept)
    }

    /// The bytes of the JPEG file.
    #[must_use]
    pub fn jpeg(&self) -> &[u8] {
        &self.0
    }

    /// The name by which the record knows it.
    #[must_use]
    pub fn name(&self) -> PhotographName {
        let mut first = [0; 8];
        let digest = Sha256::digest(&self.0);
        first.iter_mut().zip(digest).for_each(|(to, from)| *to = from);
        PhotographName(first)
    }
}

/// The picture as it lies on white paper: a JPEG file knows no transparency.
fn flat(picture: &DynamicImage) -> DynamicImage {
    if !picture.color().has_alpha() {
        return DynamicImage::ImageRgb8(picture.to_rgb8());
    }
    let mut paper = RgbImage::new(picture.width(), picture.height());
    for (to, from) in paper.pixels_mut().zip(picture.to_rgba8().pixels()) {
        let [red, green, blue, alpha] = from.0.map(u32::from);
        let over = |value: u32| (value * alpha + 255 * (255 - alpha)) / 255;
        to.0 = [red, green, blue].map(|value| u8::try_from(over(value)).unwrap_or(u8::MAX));
    }
    DynamicImage::ImageRgb8(paper)
}

impl fmt::Debug for Photograph {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Photograph({}, {} bytes)", self.name(), self.0.len())
    }
}

impl From<Photograph> for String {
    fn from(photograph: Photograph) -> Self {
        BASE64.encode(&photograph.0)
    }
}

impl TryFrom<String> for Photograph {
    type Error = PhotographError;

    fn try_from(text: String) -> Result<Self, PhotographError> {
        // Longer texts are not even unpacked.
        if text.len() > MOST_BYTES.div_ceil(3) * 4 {
            return Err(PhotographError::NotKept);
        }
        Self::kept(BASE64.decode(text.as_bytes()).map_err(|_| PhotographError::NotKept)?)
    }
}

/// The name of a photograph: the first 8 bytes of the SHA-256 of its file, in
/// hexadecimal.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct PhotographName([u8; 8]);

impl fmt::Display for PhotographName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&HEXLOWER.encode(&self.0))
    }
}

impl From<PhotographName> for String {
    fn from(name: PhotographName) -> Self {
        name.to_string()
    }
}

impl std::str::FromStr for PhotographName {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let bytes = HEXLOWER.decode(text.as_bytes()).ok().and_then(|b| b.try_into().ok());
        bytes.map(Self).ok_or_else(|| format!("“{text}” does not name a photo; it has 16 digits"))
    }
}

impl TryFrom<String> for PhotographName {
    type Error = String;

    fn try_from(text: String) -> Result<Self, String> {
        text.parse()
    }
}

#[cfg(test)]
mod tests;
