//! Reading a camera's frames. It needs no logbook, so the camera's thread never
//! waits for the record.

use std::sync::{Mutex, MutexGuard};

use hosewright_core::tag::{Found, Frame, Reader, hint, read_barcodes};

use crate::{RefusedError, Words};

/// A place in a frame, in pixels from the upper left.
#[derive(Debug, Clone, Copy, PartialEq, uniffi::Record)]
pub struct Point {
    /// To the right.
    pub x: f32,
    /// Downwards.
    pub y: f32,
}

/// A text that was seen, on one of our tags or not.
#[derive(Debug, Clone, PartialEq, uniffi::Record)]
pub struct SeenText {
    /// What is written.
    pub text: String,
    /// The four corners of a QR symbol, or the two ends of a barcode.
    pub corners: Vec<Point>,
}

/// Reads the frames of one film, from a camera's beginning to its end. It keeps
/// its rooms, and looks first where the frame before had a tag.
#[derive(uniffi::Object)]
pub struct FilmReader {
    film: Mutex<Film>,
}

#[derive(Default)]
struct Film {
    reader: Reader,
    /// Frames without a symbol since the last one that had any.
    without: u32,
    hint: Hint,
}

/// What a person is told of what is before the camera, for long enough to be read.
#[derive(Debug, Default)]
pub(crate) struct Hint {
    pub(crate) words: Option<&'static str>,
    /// For how many frames something else was the matter.
    other: u32,
}

/// So many frames in a row of which something else holds, and that is said: a third of a
/// second at 30 a second.
const HINT_STAYS: u32 = 10;

impl Hint {
    pub(crate) fn see(&mut self, now: Option<&'static str>) {
        if now == self.words {
            self.other = 0;
            return;
        }
        self.other += 1;
        if self.words.is_none() || self.other >= HINT_STAYS {
            *self = Self { words: now, other: 0 };
        }
    }
}

/// Makers' barcodes are looked for in every fourth frame without a symbol: it
/// costs as much as the rest, and a barcode is held still before a camera.
const BARCODES_EVERY: u32 = 4;

#[uniffi::export]
impl FilmReader {
    /// A reader that has seen nothing yet.
    #[uniffi::constructor]
    #[must_use]
    pub fn new() -> Self {
        Self { film: Mutex::default() }
    }

    /// Reads every text in the next frame, which is grey: a byte a pixel,
    /// `width` pixels a row, `height` rows, each row `stride` bytes after the
    /// one before. In Kotlin `luma` is a direct `ByteBuffer`, as a camera's
    /// plane is, and is not copied. Makers' barcodes are looked for where there
    /// is no QR symbol, in the first such frame and every fourth after it.
    ///
    /// # Errors
    /// [`RefusedError::Input`] if the sizes and the bytes do not agree.
    pub fn read(
        &self,
        luma: &[u8],
        width: u32,
        height: u32,
        stride: u32,
    ) -> Result<Vec<SeenText>, RefusedError> {
        let frame = Frame::new(luma, width, height, stride)?;
        let mut film = self.film();
        let seen: Vec<SeenText> = film.reader.read(&frame).iter().map(seen_text).collect();
        if !seen.is_empty() {
            (film.without, film.hint) = (0, Hint::default());
            return Ok(seen);
        }
        let glimpse = film.reader.glimpse(&frame);
        film.hint.see(glimpse.map(|glimpse| hint(glimpse.obstacle)));
        let due = film.without.is_multiple_of(BARCODES_EVERY);
        film.without = film.without.wrapping_add(1);
        let barcodes = if due { read_barcodes(&frame) } else { Vec::new() };
        Ok(barcodes.iter().map(seen_text).collect())
    }

    /// What to do about a tag that shows itself in the frames that were read last and
    /// can't be read yet; none if there is no such tag.
    #[must_use]
    pub fn hint(&self) -> Option<Words> {
        self.film().hint.words.map(Into::into)
    }
}

impl Default for FilmReader {
    fn default() -> Self {
        Self::new()
    }
}

impl FilmReader {
    /// A film that a fault broke off starts again.
    fn film(&self) -> MutexGuard<'_, Film> {
        self.film.lock().unwrap_or_else(|broken| {
            self.film.clear_poison();
            let mut film = broken.into_inner();
            *film = Film::default();
            film
        })
    }
}

fn seen_text(found: &Found) -> SeenText {
    SeenText {
        text: found.text.clone(),
        corners: found.corners.iter().map(|&(x, y)| Point { x, y }).collect(),
    }
}

#[cfg(test)]
#[allow(clippy::expect_used, reason = "a test whose samples are not as written has failed")]
mod tests {
    use super::*;

    /// Widths and heights of the frames here.
    const SIDE: u32 = 400;

    /// EAN-13 as ISO/IEC 15420 draws it: the digits 4 006381 333931, whose first
    /// is the pattern of odd and even of the next six.
    fn barcode() -> Vec<u8> {
        const ODD: [&str; 10] = [
            "0001101", "0011001", "0010011", "0111101", "0100011", "0110001", "0101111", "0111011",
            "0110111", "0001011",
        ];
        let right = |digit: usize| -> String {
            ODD[digit].chars().map(|c| if c == '0' { '1' } else { '0' }).collect()
        };
        let even = |digit: usize| -> String { right(digit).chars().rev().collect() };
        let mut bars = String::from("101");
        for (digit, parity) in [0, 0, 6, 3, 8, 1].into_iter().zip("OEOOEE".chars()) {
            bars += &if parity == 'O' { ODD[digit].to_owned() } else { even(digit) };
        }
        bars += "01010";
        bars.extend([3, 3, 3, 9, 3, 1].map(right));
        bars += "101";
        let row: Vec<u8> = (0..SIDE as usize)
            .map(|x| x.checked_sub(57).and_then(|x| bars.as_bytes().get(x / 3)))
            .map(|bar| if bar == Some(&b'1') { 20 } else { 230 })
            .collect();
        row.repeat(SIDE as usize)
    }

    fn texts(film: &FilmReader, luma: &[u8]) -> Vec<String> {
        let seen = film.read(luma, SIDE, SIDE, SIDE).expect("the sizes agree");
        seen.into_iter().map(|seen| seen.text).collect()
    }

    #[test]
    fn a_makers_barcode_is_read_in_a_film() {
        let (film, barcode) = (FilmReader::new(), barcode());
        let empty = vec![230; barcode.len()];
        assert_eq!(texts(&film, &barcode), ["4006381333931"], "in the first frame");
        assert!(texts(&film, &empty).is_empty());
        let later: Vec<Vec<String>> = (0..4).map(|_| texts(&film, &barcode)).collect();
        assert_eq!(later.concat(), ["4006381333931"], "once in four frames after it");
    }

    #[test]
    fn sizes_that_do_not_agree_are_refused_and_the_film_goes_on() {
        let (film, barcode) = (FilmReader::new(), barcode());
        let refused = film.read(&barcode, SIDE, SIDE, SIDE - 1);
        assert!(matches!(refused, Err(RefusedError::Input { .. })), "{refused:?}");
        assert_eq!(texts(&film, &barcode), ["4006381333931"]);
    }
    /// A tag of eight pixels a module on a light ground, so far to the right.
    fn tag(left: u32) -> Vec<u8> {
        let level = hosewright_core::tag::Level::M;
        let symbol = hosewright_core::tag::Symbol::of("HW1:2RWBXCB4GDEA7.", level);
        let symbol = symbol.expect("a short text");
        let module = |x: u32, y: u32| {
            let (column, row) = (x.checked_sub(left)? / 8, y.checked_sub(60)? / 8);
            Some(symbol.is_dark(column, row))
        };
        let grey = |at: u32| if module(at % SIDE, at / SIDE) == Some(true) { 30 } else { 220 };
        (0..SIDE * SIDE).map(grey).collect()
    }

    #[test]
    fn a_tag_that_shows_itself_says_what_to_do_until_it_is_read() {
        let film = FilmReader::new();
        assert!(texts(&film, &tag(SIDE - 15 * 8)).is_empty());
        assert_eq!(film.hint().as_deref(), Some("Show the whole tag."));
        assert_eq!(texts(&film, &tag(60)), ["HW1:2RWBXCB4GDEA7."]);
        assert_eq!(film.hint(), None);
        assert!(texts(&film, &vec![220; (SIDE * SIDE) as usize]).is_empty());
        assert_eq!(film.hint(), None);
    }

    #[test]
    fn a_hint_stays_long_enough_to_be_read() {
        let mut hint = Hint::default();
        hint.see(Some("Go nearer."));
        assert_eq!(hint.words, Some("Go nearer."));
        for other in [None, Some("More light is needed.")] {
            for _ in 1..HINT_STAYS {
                hint.see(other);
            }
            assert_eq!(hint.words, Some("Go nearer."), "a moment without it is none");
            hint.see(Some("Go nearer."));
        }
        for _ in 0..HINT_STAYS {
            hint.see(None);
        }
        assert_eq!(hint.words, None);
    }
}
