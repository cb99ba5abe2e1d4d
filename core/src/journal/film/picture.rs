//! A film as a picture that moves (APNG, the third edition of PNG), to be shown by any browser
//! and tried without a camera.

use std::io::{Cursor, Write};

use image::codecs::png::PngDecoder;
use image::{AnimationDecoder, ImageDecoder, Limits, imageops};

use super::{Film, FilmError, Viewer};
use crate::tag::draw::QUIET_ZONE;
use crate::tag::read::MOST_PIXELS;
use crate::tag::{Frame, PictureError, Reader, Symbol, read_picture};

/// Dots a module.
const DOTS: u32 = 6;
/// What a PNG file begins with.
const PNG: &[u8] = b"\x89PNG\r\n\x1a\n";
/// The most memory that a picture may take to read: two of the largest frames in colour.
const MOST_MEMORY: u64 = 8 * MOST_PIXELS;

impl Film {
    /// Writes so many frames, at so many a second, as one picture that begins again at its end.
    ///
    /// # Errors
    /// [`std::io::Error`] if `out` cannot be written.
    pub fn write_png(
        &self,
        frames: u32,
        rate: u16,
        out: impl Write,
        mut progress: impl FnMut(u32),
    ) -> std::io::Result<()> {
        let symbol = |number: u32| self.symbol(number.into()).map_err(std::io::Error::other);
        let side = symbol(0)?.side() * DOTS;
        let mut encoder = png::Encoder::new(out, side, side);
        encoder.set_color(png::ColorType::Grayscale);
        encoder.set_depth(png::BitDepth::One);
        if frames > 1 {
            encoder.set_animated(frames, 0)?;
            encoder.set_frame_delay(1, rate.max(1))?;
        }
        let mut writer = encoder.write_header()?;
        for number in 0..frames.max(1) {
            writer.write_image_data(&dots(&symbol(number)?))?;
            progress(number + 1);
        }
        Ok(writer.finish()?)
    }
}

/// The symbol with its quiet zone, eight dots a byte, light as 1.
fn dots(symbol: &Symbol) -> Vec<u8> {
    let side = symbol.side();
    let mut all = Vec::new();
    for y in 0..side {
        let quiet = QUIET_ZONE;
        let dark = |x: u32| {
            let place = x.checked_sub(quiet).zip(y.checked_sub(quiet));
            place.is_some_and(|(x, y)| symbol.is_dark(x, y))
        };
        let light: Vec<bool> = (0..side * DOTS).map(|x| !dark(x / DOTS)).collect();
        let byte = |dots: &[bool]| {
            dots.iter().zip(0..).fold(0, |byte, (light, at)| byte | u8::from(*light) << (7 - at))
        };
        let row: Vec<u8> = light.chunks(8).map(byte).collect();
        (0..DOTS).for_each(|_| all.extend(&row));
    }
    all
}

impl Viewer {
    /// Looks at a picture file: at each frame of one that moves, until the film is whole.
    ///
    /// # Errors
    /// [`FilmError::Picture`] if it cannot be read; what was seen until then stays seen.
    pub fn see_picture(&mut self, file: &[u8]) -> Result<(), FilmError> {
        if file.starts_with(PNG) && self.see_moving(file)? {
            return Ok(());
        }
        for found in read_picture(file)? {
            self.see(&found.bytes);
        }
        Ok(())
    }

    /// Looks at a PNG file that moves; `false` if it does not.
    fn see_moving(&mut self, file: &[u8]) -> Result<bool, FilmError> {
        let mut limits = Limits::default();
        limits.max_alloc = Some(MOST_MEMORY);
        let decoder = PngDecoder::with_limits(Cursor::new(file), limits).map_err(damaged)?;
        let (width, height) = decoder.dimensions();
        if u64::from(width) * u64::from(height) > MOST_PIXELS {
            return Err(PictureError::TooLarge { width, height }.into());
        }
        if !decoder.is_apng().map_err(damaged)? {
            return Ok(false);
        }
        let mut reader = Reader::new();
        for frame in decoder.apng().map_err(damaged)?.into_frames() {
            let grey = imageops::grayscale(frame.map_err(damaged)?.buffer());
            let (width, height) = grey.dimensions();
            let Ok(frame) = Frame::new(grey.as_raw(), width, height, width) else { continue };
            for found in reader.read(&frame) {
                self.see(&found.bytes);
            }
            if self.content().is_ok() {
                break;
            }
        }
        Ok(true)
    }
}

fn damaged(error: image::ImageError) -> FilmError {
    PictureError::Damaged { why: error.to_string() }.into()
}
