//! What is to be written on a hose's NFC chip.

use super::believed::believed;
use super::{Logbook, LogbookError};
use crate::hose::Label;
use crate::inspection::InspectionKind;
use crate::journal::Moment;
use crate::record::HoseRecord;
use crate::tag::ndef::{ForChip, LastLook};
use crate::tag::{Base, Code};

impl Logbook {
    /// What a hose's chip carries: its own tag, its last inspection, and what
    /// is open against it. [`crate::tag::ndef`] turns that into bytes.
    ///
    /// # Errors
    /// [`LogbookError`] if the hose is unknown or the store cannot be read.
    pub fn chip(
        &self,
        hose: Code,
        base: Option<Base>,
        moment: &Moment,
    ) -> Result<ForChip, LogbookError> {
        self.reading(|| {
            let record = believed(&self.connection, self.record(hose)?, moment.today)?;
            Ok(ForChip { payload: self.payload(hose)?, base, look: last_look(&record) })
        })
    }
}

/// The last inspection of any kind; of several on one day the full one, which
/// saw the most. One that a list brought in is none: a chip can't say that it is.
fn last_look(record: &HoseRecord) -> Option<LastLook> {
    let seen = record.seen.iter().filter(|seen| seen.look.list.is_none());
    let last = seen.max_by_key(|s| (s.on, s.look.kind == InspectionKind::Full))?;
    let word = |text: String| Label::new("a word", &text).ok();
    Some(LastLook {
        on: last.on,
        kind: word(last.look.kind.to_string())?,
        passed: last.look.test.as_ref().map(|test| test.passed),
        open: record.open.iter().filter_map(|open| word(open.seen.to_string())).collect(),
    })
}
