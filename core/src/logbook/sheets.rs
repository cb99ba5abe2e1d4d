//! A shop's own list of hoses, taken into the record.

use super::intake::{Intake, leak_tests};
use super::sheet_report::{SheetReport, Taking};
use super::{Logbook, LogbookError};
use crate::journal::{self, Moment};
use crate::policy::Use;
use crate::spreadsheet::Sheet;

impl Logbook {
    /// What an import of a sheet would do with the rows that are good; nothing
    /// is written, and the codes are not those that an import will draw.
    ///
    /// # Errors
    /// [`LogbookError`] if the store cannot be read, or this device may not
    /// write it.
    pub fn plan_sheet(
        &mut self,
        sheet: &Sheet,
        make_sets: Option<Use>,
        moment: &Moment,
    ) -> Result<SheetReport, LogbookError> {
        let own = self.take_identity()?;
        let work = journal::begin(&mut self.connection)?;
        let taking = Taking { partial: true, make_sets };
        let mut intake = Intake::new(&work, SheetReport::of(sheet), taking, moment)?;
        intake.take_all(&sheet.rows, &mut *self.random)?;
        let (drafts, (report, _)) = intake.finish();
        super::check_allowed(&work, &own, &drafts)?;
        Ok(report)
    }

    /// Registers the hoses of a sheet that are not on record yet, in one transaction: all
    /// of them, or with `partial` those whose rows are good. If a row is not good and
    /// `partial` is not given nothing is written, and the report says which
    /// rows are in the way.
    ///
    /// A number of the shop's own is bound to its hose as a second tag, so that
    /// it can be typed from now on. A hose whose row names a set and a port is
    /// put there if the set is on record, or made, and the port takes it; else it
    /// goes to stock and the report says why. What the sheet says happened before is
    /// written as what it is: from a list. A hose that was leak-tested was in its port by
    /// then, and is put there on that day.
    ///
    /// # Errors
    /// [`LogbookError`] if the store cannot be read or written.
    pub fn import_sheet(
        &mut self,
        sheet: &Sheet,
        taking: Taking,
        moment: &Moment,
    ) -> Result<SheetReport, LogbookError> {
        let report = SheetReport::of(sheet);
        if !report.whole() && !taking.partial {
            return Ok(report);
        }
        let plan = |work: &rusqlite::Transaction<'_>, random: &mut dyn rand_core::Rng| {
            let mut intake = Intake::new(work, report, taking, moment)?;
            intake.take_all(&sheet.rows, random)?;
            Ok(intake.finish())
        };
        let then = |entries: &[journal::Entry], planned: &(SheetReport, Vec<_>)| {
            leak_tests(entries, &planned.1)
        };
        let (_, (report, _)) = self.write_in_turn(moment, |_, _| (), plan, then)?;
        Ok(report)
    }
}

#[cfg(test)]
#[path = "sheets_tests.rs"]
mod tests;
