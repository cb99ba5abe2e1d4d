//! A film that a camera sees, frame by frame: read, put together, and kept when it is worth it.

use hosewright_core::journal::{Sighted, Watch};
use hosewright_core::tag::{Frame, Reader};
use hosewright_core::{Logbook, LogbookError};

/// What somebody watches. A host keeps one for each who does.
#[derive(Default)]
pub struct Watching {
    reader: Reader,
    watch: Option<Watch>,
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
        self.watch(logbook)?;
        Ok(self.watch.get_or_insert_default().look(&mut self.reader, frame))
    }

    /// Forgets all that was half seen, here and on the device.
    pub fn forget(&mut self, logbook: &mut Logbook) -> Result<(), LogbookError> {
        let mut none = Watch::default();
        logbook.keep_watch(&mut none)?;
        self.watch = Some(none);
        Ok(())
    }
}
