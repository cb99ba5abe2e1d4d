//! Reading what is written on tags in a picture: the reader, with the check that our own
//! texts carry.
//!
//! The effort is a count of tries, never a time, so the same picture always gives the same
//! answer.

use hosewright_reader as reader;
pub use reader::{Found, Frame, FrameError, Glimpse, MOST_PIXELS, Obstacle, PictureError};

use super::payload::{Payload, PayloadError};

/// Whether a text may be answered: any but a Hosewright tag with a mistake, since a misread symbol
/// can still give a text that begins right.
fn is_sound(text: &str) -> bool {
    !matches!(Payload::parse(text), Err(PayloadError::Damaged { .. }))
}

/// Reads every distinct text in a frame: on QR symbols and in makers' barcodes.
#[must_use]
pub fn read_frame(frame: &Frame<'_>) -> Vec<Found> {
    reader::read_frame(frame, is_sound)
}

/// Reads every distinct text in a PNG or JPEG file, told by its content: on QR
/// symbols and in makers' barcodes.
///
/// # Errors
/// [`PictureError`] if it is empty, no such picture, too large or damaged.
pub fn read_picture(bytes: &[u8]) -> Result<Vec<Found>, PictureError> {
    reader::read_picture(bytes, is_sound)
}

/// Reads the makers' codes in a frame: barcodes and Data Matrix, and no QR symbol.
#[must_use]
pub fn read_barcodes(frame: &Frame<'_>) -> Vec<Found> {
    reader::read_barcodes(frame, is_sound)
}

/// Reads QR symbols in the frames of a film, one after the other. It looks first where
/// the frame before had a symbol, and allocates, after the first, only if a new text comes.
///
/// The same frames in the same order always read alike. Makers' barcodes are
/// for [`read_barcodes`].
pub struct Reader(reader::Reader);

impl Default for Reader {
    fn default() -> Self {
        Self(reader::Reader::new(is_sound))
    }
}

impl Reader {
    /// A reader that has seen nothing yet.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// Reads every distinct text on QR symbols in the next frame.
    pub fn read(&mut self, frame: &Frame<'_>) -> &[Found] {
        self.0.read(frame)
    }

    /// A symbol that shows itself in the frame that was read last, where none could be read:
    /// what stands in the way, and where. [`hint`] says what to do about it.
    pub fn glimpse(&mut self, frame: &Frame<'_>) -> Option<Glimpse> {
        self.0.glimpse(frame)
    }

    /// Forgets what the frame before showed, as where another film begins: the
    /// next frame reads as [`read_frame`] would read its QR symbols.
    pub fn forget(&mut self) {
        self.0.forget();
    }
}

/// What a person can do about a tag that shows itself and can't be read yet.
#[must_use]
pub const fn hint(obstacle: Obstacle) -> &'static str {
    match obstacle {
        Obstacle::CutOff => "Show the whole tag.",
        Obstacle::TooFar => "Go nearer.",
        Obstacle::TooDark => "More light is needed.",
        Obstacle::Glare => "Turn the tag out of the glare.",
        Obstacle::OutOfFocus => "Hold still, or go back a little until it is sharp.",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_of_ours_with_a_mistake_is_not_answered() {
        for (text, sound) in [
            ("HW1:01H7K2M90101Y.", true),
            ("HW1:01H7K2M90101X.", false),
            ("https://a.example/HW1:01H7K2M90101X.", false),
            ("HW2:anything", true),
            ("4006381333931", true),
        ] {
            assert_eq!(is_sound(text), sound, "{text}");
        }
    }
}
