//! Frames of a film as a screen draws them, without any format of pictures.

use super::{Film, FilmError};
use crate::tag::Symbol;

impl Film {
    /// So many frames from one on, for a screen that draws them itself: a byte with the modules
    /// of a side, then each frame row by row, a bit a module, dark as 1, the first module the
    /// highest bit, each frame beginning with a byte of its own. The quiet zone is the screen's.
    ///
    /// # Errors
    /// As [`Film::symbol`].
    pub fn strip(&self, from: u64, frames: u32) -> Result<Vec<u8>, FilmError> {
        let mut strip = Vec::new();
        for number in from..from.saturating_add(frames.into()) {
            let symbol = self.symbol(number)?;
            if strip.is_empty() {
                strip.push(u8::try_from(symbol.modules()).unwrap_or(u8::MAX));
            }
            strip.extend(bits(&symbol));
        }
        Ok(strip)
    }
}

fn bits(symbol: &Symbol) -> Vec<u8> {
    let side = symbol.modules();
    let dark: Vec<bool> =
        (0..side).flat_map(|y| (0..side).map(move |x| symbol.is_dark(x, y))).collect();
    let byte = |modules: &[bool]| {
        modules.iter().zip(0..).fold(0, |byte, (dark, at)| byte | u8::from(*dark) << (7 - at))
    };
    dark.chunks(8).map(byte).collect()
}
