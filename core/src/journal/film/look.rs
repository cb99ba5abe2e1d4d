//! A film before a camera: each frame is read, and what its symbols have is taken.

use super::{Seen, Watch};
use crate::tag::{Frame, Obstacle, Reader};

/// What came of a frame of the camera.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Sighted {
    /// What its symbols were to the film; nothing where none was read.
    pub seen: Option<Seen>,
    /// Why a symbol that shows itself was not read.
    pub obstacle: Option<Obstacle>,
}

impl Watch {
    /// Looks at the next frame of a camera, which the reader has followed so far.
    pub fn look(&mut self, reader: &mut Reader, frame: &Frame<'_>) -> Sighted {
        let found: Vec<Vec<u8>> =
            reader.read(frame).iter().map(|found| found.bytes.clone()).collect();
        let obstacle = match found.is_empty() {
            true => reader.glimpse(frame).map(|glimpse| glimpse.obstacle),
            false => None,
        };
        let seen = found.iter().map(|bytes| self.see(bytes)).last();
        Sighted { seen, obstacle }
    }
}
