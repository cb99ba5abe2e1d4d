//! A film that a camera sees, frame by frame: read, put together, and kept when it is worth it.

use hosewright_core::journal::{Seen, Watch};
use hosewright_core::tag::{Frame, Obstacle, Reader};
use hosewright_core::{Logbook, LogbookError};

/// What somebody watches. A host keeps one for each who does.
#[derive(Default)]
pub struct Watching {
    reader: Reader,
    watch: Option<Watch>,
}

/// What came of a frame of the camera.
pub struct Sighted {
    /// What its symbols were to the film; nothing where none was read.
    pub seen: Option<Seen>,
    /// Why a symbol that shows itself was not read.
    pub obstacle: Option<Obstacle>,
}

impl Watching {
    /// What was seen so far: it goes on with what the record's device has half seen.
    pub fn watch(&mut self, logbook: &Logbook) -> Result<&mut Watch, LogbookError> {
        if self.watch.is_none() {
            self.watch = Some(logbook.watch()?);
        }
        Ok(self.watch.get_or_insert_default())
    }

    /// Looks at a frame.
    pub fn look(&mut self, frame: &Frame<'_>, logbook: &Logbook) -> Result<Sighted, LogbookError> {
        let found: Vec<Vec<u8>> =
            self.reader.read(frame).iter().map(|found| found.bytes.clone()).collect();
        let none = found.is_empty();
        let obstacle = none.then(|| self.reader.glimpse(frame)).flatten().map(|g| g.obstacle);
        let watch = self.watch(logbook)?;
        let seen = found.iter().map(|bytes| watch.see(bytes)).last();
        Ok(Sighted { seen, obstacle })
    }

    /// Forgets all that was half seen, here and on the device.
    pub fn forget(&mut self, logbook: &mut Logbook) -> Result<(), LogbookError> {
        let mut none = Watch::default();
        logbook.keep_watch(&mut none)?;
        self.watch = Some(none);
        Ok(())
    }
}
