//! The form with which a set is handed out.

use super::{FormRefused, Logbook, LogbookError};
use crate::hose::Label;
use crate::journal::Moment;
use crate::rental::HandOutCheck;
use crate::view::form::rental::{self, Handing};
use crate::view::form::{Filled, Form};
use crate::words::sets;

/// A set that went out.
#[derive(Debug, Clone, PartialEq)]
pub struct HandedOut {
    /// That it is out, on which ticket and with how many hoses.
    pub words: String,
    /// What was checked, and what it went out over.
    pub check: HandOutCheck,
}

impl Logbook {
    /// What a hand-out of the hoses that were scanned comes to, and its form; one
    /// without a button if no reason lets the set out.
    ///
    /// # Errors
    /// As [`Logbook::hand_out_check`].
    pub fn hand_out_form(
        &self,
        set: &Label,
        filled: &Filled,
        moment: &Moment,
    ) -> Result<(HandOutCheck, Form), LogbookError> {
        let check = self.hand_out_check(set, &rental::scanned(filled), moment)?;
        let form = match check.ready || check.can_be_lifted() {
            true => rental::hand_out(filled, !check.ready),
            false => rental::stays_here(),
        };
        Ok((check, form))
    }

    /// Hands a set out as its form says. What stops it is lifted in the name that the
    /// form gives.
    ///
    /// # Errors
    /// [`FormRefused`] if a field is missing or wrong, or something stops it.
    pub fn submit_hand_out(
        &mut self,
        set: &Label,
        filled: &Filled,
        moment: &Moment,
    ) -> Result<HandedOut, FormRefused> {
        let Handing { ticket, over } = rental::read_hand_out(filled)?;
        let (by, why) = over.unzip();
        let now = Moment { by: by.unwrap_or_else(|| moment.by.clone()), ..moment.clone() };
        let scanned = rental::scanned(filled);
        let check = self.hand_out(set, ticket.clone(), &scanned, why, None, &now)?;
        let words = sets::handed_out(&check.set, &ticket, check.going().len());
        Ok(HandedOut { words, check })
    }
}
