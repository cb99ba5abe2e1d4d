//! A picture file, PNG or JPEG, told by its content; for reading tags as grey values.

use std::io::Cursor;

use image::metadata::Orientation;
use image::{
    DynamicImage, GrayAlphaImage, GrayImage, ImageDecoder, ImageFormat, ImageReader, Limits,
    RgbImage, RgbaImage,
};
use png::{ColorType, Transformations};
use thiserror::Error;

/// The most pixels that are read, 40 million: more than phones take, and few
/// enough for any machine's memory.
pub const MOST_PIXELS: u64 = 40_000_000;

/// Why a picture cannot be read.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum PictureError {
    /// There is nothing in it.
    #[error("the file is empty; take or save the picture again")]
    Empty,
    /// It is not a picture of a kind that is read.
    #[error("this is not a PNG or JPEG picture, whatever its name says; save it as one of these")]
    NotAPicture,
    /// It has more pixels than are read.
    #[error(
        "the picture has {width} × {height} pixels, more than the 40 million that are read; make \
         it smaller or cut out the tag"
    )]
    TooLarge {
        /// Its width in pixels.
        width: u32,
        /// Its height in pixels.
        height: u32,
    },
    /// It breaks off or contradicts itself.
    #[error("the picture is damaged ({why}); take or save it again")]
    Damaged {
        /// What the decoder says.
        why: String,
    },
}

/// Grey values, row by row without gaps.
pub struct Grey {
    pub width: u32,
    pub height: u32,
    pub luma: Vec<u8>,
}

/// Decodes a picture file, the right way up, as grey on white.
pub fn decode(bytes: &[u8]) -> Result<Grey, PictureError> {
    let picture = decode_picture(bytes)?;
    let luma = grey(&picture);
    Ok(Grey { width: picture.width(), height: picture.height(), luma })
}

/// Decodes a picture file, the right way up.
///
/// # Errors
/// [`PictureError`] if it is empty, no such picture, too large or damaged.
pub fn decode_picture(bytes: &[u8]) -> Result<DynamicImage, PictureError> {
    if bytes.is_empty() {
        return Err(PictureError::Empty);
    }
    let (mut picture, orientation) = match image::guess_format(bytes) {
        Ok(ImageFormat::Png) => decode_png(bytes)?,
        Ok(ImageFormat::Jpeg) => decode_jpeg(bytes)?,
        _ => return Err(PictureError::NotAPicture),
    };
    picture.apply_orientation(orientation);
    Ok(picture)
}

fn damaged(why: impl ToString) -> PictureError {
    PictureError::Damaged { why: why.to_string() }
}

fn check_size(width: u32, height: u32) -> Result<u64, PictureError> {
    let pixels = u64::from(width) * u64::from(height);
    if pixels > MOST_PIXELS { Err(PictureError::TooLarge { width, height }) } else { Ok(pixels) }
}

fn decode_jpeg(bytes: &[u8]) -> Result<(DynamicImage, Orientation), PictureError> {
    if breaks_off(bytes) {
        return Err(damaged("it breaks off"));
    }
    let reader = ImageReader::with_format(Cursor::new(bytes), ImageFormat::Jpeg);
    let mut decoder = reader.into_decoder().map_err(damaged)?;
    let (width, height) = decoder.dimensions();
    check_size(width, height)?;
    decoder.set_limits(limits()).map_err(damaged)?;
    let orientation = decoder.orientation().unwrap_or(Orientation::NoTransforms);
    Ok((DynamicImage::from_decoder(decoder).map_err(damaged)?, orientation))
}

/// A PNG file keeps colour profiles and notes packed beside its picture: small
/// ones may unpack to anything. They are passed over, so that the picture takes
/// as much memory as its pixels.
fn decode_png(bytes: &[u8]) -> Result<(DynamicImage, Orientation), PictureError> {
    let mut decoder = png::Decoder::new(Cursor::new(bytes));
    decoder.set_ignore_iccp_chunk(true);
    decoder.set_ignore_text_chunk(true);
    decoder.set_transformations(Transformations::EXPAND | Transformations::STRIP_16);
    let info = decoder.read_header_info().map_err(damaged)?;
    let pixels = check_size(info.width, info.height)?;
    let most = usize::try_from(pixels.saturating_mul(8)).unwrap_or(usize::MAX);
    decoder.set_limits(png::Limits { bytes: most.saturating_add(bytes.len()) });
    let mut reader = decoder.read_info().map_err(damaged)?;
    let room = reader.output_buffer_size().ok_or_else(|| damaged("its size is impossible"))?;
    let mut values = vec![0; room];
    let frame = reader.next_frame(&mut values).map_err(damaged)?;
    values.truncate(frame.buffer_size());
    let orientation = reader.info().exif_metadata.as_deref();
    let orientation = orientation.and_then(Orientation::from_exif_chunk);
    let (width, height) = (frame.width, frame.height);
    let picture = match frame.color_type {
        ColorType::Grayscale => GrayImage::from_raw(width, height, values).map(Into::into),
        ColorType::GrayscaleAlpha => {
            GrayAlphaImage::from_raw(width, height, values).map(Into::into)
        }
        ColorType::Rgb => RgbImage::from_raw(width, height, values).map(Into::into),
        ColorType::Rgba => RgbaImage::from_raw(width, height, values).map(Into::into),
        ColorType::Indexed => None,
    };
    let picture = picture.ok_or_else(|| damaged("its colours cannot be made out"))?;
    Ok((picture, orientation.unwrap_or(Orientation::NoTransforms)))
}

/// Whether a JPEG file lacks the mark of its end (FF D9) behind the last start
/// of a scan (FF DA). The decoder fills what is missing with grey and says
/// nothing; a thumbnail has marks of its own, but before the last scan.
fn breaks_off(bytes: &[u8]) -> bool {
    let last = |mark: [u8; 2]| bytes.windows(2).rposition(|pair| pair == mark);
    last([0xFF, 0xD9]).is_none_or(|end| last([0xFF, 0xDA]).is_some_and(|scan| scan > end))
}

/// Room for 40 million pixels of 16 bits in four channels, and as much again.
fn limits() -> Limits {
    let mut limits = Limits::no_limits();
    limits.max_alloc = Some(MOST_PIXELS * 16);
    limits
}

/// Grey values; what is transparent is laid on white, as paper is.
fn grey(picture: &DynamicImage) -> Vec<u8> {
    if !picture.color().has_alpha() {
        return picture.to_luma8().into_raw();
    }
    let over_white = |pixel: &image::LumaA<u8>| {
        let [grey, alpha] = pixel.0.map(u32::from);
        u8::try_from((grey * alpha + 255 * (255 - alpha)) / 255).unwrap_or(255)
    };
    picture.to_luma_alpha8().pixels().map(over_white).collect()
}
