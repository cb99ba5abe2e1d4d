//! The form that withdraws what was written: everything that was written together
//! is shown first.

use super::{FormRefused, Logbook, LogbookError};
use crate::event::EntryId;
use crate::journal::Moment;
use crate::view::form::care::{self, ALONE};
use crate::view::form::{Filled, Form};
use crate::words::withdrawal as say;

impl Logbook {
    /// What would be withdrawn, and the reason that is asked for.
    ///
    /// # Errors
    /// [`LogbookError`] if the entry is not on record, or can't be withdrawn.
    pub fn withdrawal_form(&self, entry: EntryId, filled: &Filled) -> Result<Form, LogbookError> {
        let lines = self.act_of(entry)?;
        let several = lines.len() > 1;
        if !several {
            self.check_withdrawable(entry, true)?;
        }
        let together = several.then_some(say::TOGETHER).into_iter().map(ToOwned::to_owned);
        let line = |line: super::HistoryLine| {
            let chosen = several && line.id == entry;
            say::line(line.entry.on, &line.entry.by, &line.words, chosen)
        };
        let lead = together.chain([say::LEAD.to_owned()]).chain(lines.into_iter().map(line));
        Ok(Form { lead: lead.collect(), ..care::withdrawal(several).filled(filled) })
    }

    /// Withdraws it. The form has shown what that means: nothing more is asked.
    ///
    /// # Errors
    /// [`FormRefused`] without a reason, or as [`Logbook::withdraw`].
    pub fn submit_withdrawal(
        &mut self,
        entry: EntryId,
        filled: &Filled,
        moment: &Moment,
    ) -> Result<(), FormRefused> {
        let why = filled.needed_prose("why", "a reason")?;
        let sure = self.is_sure();
        self.set_sure(true);
        let done = self.withdraw(&[entry], filled.ticked(ALONE), &why, moment);
        self.set_sure(sure);
        done?;
        Ok(())
    }
}

#[cfg(test)]
#[path = "withdrawal_forms_tests.rs"]
mod tests;
