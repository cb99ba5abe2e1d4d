//! The form with which a set is handed out, and the slip that goes with the set.

use super::believed::set_of;
use super::{FormRefused, Logbook, LogbookError};
use crate::answer::answer;
use crate::hose::{Label, Prose};
use crate::journal::Moment;
use crate::record::{HandOut, SetRecord};
use crate::rental::{HandOutCheck, Slip, told_hirer};
use crate::set_view::Checked;
use crate::tag::Code;
use crate::view::form::rental::{self, Handing};
use crate::view::form::{Filled, Form};
use crate::words::rental::CAUTIONS;
use crate::words::sets;

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
        if !check.ready && !check.can_be_lifted() {
            return Ok((check, rental::stays_here()));
        }
        let packed = self.set(set)?.packed;
        let mut filled = filled.clone();
        if let Some(packed) = packed.as_ref().filter(|_| filled.given(rental::TICKET).is_none()) {
            filled.set(rental::TICKET, packed.ticket.as_str());
        }
        let form = rental::hand_out(&filled, !check.ready);
        let form = if packed.is_none() { rental::or_packed(form) } else { form };
        Ok((check, form))
    }

    /// Hands a set out as its form says. What stops it is lifted in the name that the
    /// form gives. A form that is sent a second time writes nothing more: a set that is
    /// out since today, under this ticket, with just these hoses and for the same reason
    /// went out by it.
    ///
    /// # Errors
    /// [`FormRefused`] if a field is missing or wrong, or something stops it.
    pub fn submit_hand_out(
        &mut self,
        set: &Label,
        filled: &Filled,
        moment: &Moment,
    ) -> Result<Slip, FormRefused> {
        let Handing { ticket, over } = rental::read_hand_out(filled)?;
        let (by, why) = over.unzip();
        let now = Moment { by: by.unwrap_or_else(|| moment.by.clone()), ..moment.clone() };
        let scanned = rental::scanned(filled);
        if !self.is_out_so(set, (&ticket, why.as_ref()), &scanned, moment)? {
            self.hand_out(set, ticket, &scanned, why, None, &now)?;
        }
        let slip = self.slip(set, moment)?;
        Ok(slip.ok_or_else(|| LogbookError::NotOut(set.clone()))?)
    }

    /// The slip of a set that is out; none of one that is not.
    ///
    /// # Errors
    /// [`LogbookError`] if there is no such set, or the store cannot be read.
    pub fn slip(&self, set: &Label, moment: &Moment) -> Result<Option<Slip>, LogbookError> {
        self.reading(|| {
            let record = set_of(&self.connection, set, moment.today)?;
            let Some(out) = record.out.clone() else { return Ok(None) };
            let mut hoses = self.gone_with(&record, &out, moment)?;
            hoses.sort_by_key(|hose| (hose.port.is_none(), hose.port));
            Ok(Some(Slip {
                words: sets::handed_out(&record.name, &out.ticket, hoses.len()),
                told: told_hirer(&hoses),
                set: record.name,
                ticket: out.ticket,
                on: out.on,
                override_why: out.override_why,
                hoses,
                cautions: &CAUTIONS,
            }))
        })
    }

    /// The hoses that are out with a set.
    fn gone_with(
        &self,
        set: &SetRecord,
        out: &HandOut,
        moment: &Moment,
    ) -> Result<Vec<Checked>, LogbookError> {
        let mut around = self.around(moment.today)?;
        let checked = |hose: &Code| {
            let answer = around.ask_of(*hose, answer)?;
            let port = set.hoses.iter().find(|(_, own)| *own == hose).map(|(port, _)| *port);
            Ok(Checked::of(&answer, port))
        };
        out.hoses.iter().map(checked).collect()
    }

    /// The hoses that were scanned; none if anything else was.
    pub(super) fn all_found(&self, scanned: &[String]) -> Result<Option<Vec<Code>>, LogbookError> {
        let mut hoses = Vec::new();
        for text in scanned {
            match self.find_typed(text) {
                Ok(found) => hoses.push(found.hose),
                Err(LogbookError::Store(error)) => return Err(error.into()),
                Err(_) => return Ok(None),
            }
        }
        Ok(Some(hoses))
    }

    /// Whether a set went out today as a form says.
    fn is_out_so(
        &self,
        set: &Label,
        (ticket, why): (&Label, Option<&Prose>),
        scanned: &[String],
        moment: &Moment,
    ) -> Result<bool, LogbookError> {
        let Some(out) = self.set(set)?.out else { return Ok(false) };
        let Some(hoses) = self.all_found(scanned)? else { return Ok(false) };
        let same = |mut hoses: Vec<Code>| {
            hoses.sort_unstable();
            hoses.dedup();
            hoses
        };
        Ok(out.tickets.len() < 2
            && (out.on, &out.ticket) == (moment.today, ticket)
            && out.override_why.as_ref().is_none_or(|known| Some(known) == why)
            && same(out.hoses) == same(hoses))
    }
}

#[cfg(test)]
#[path = "rental_forms_tests.rs"]
mod tests;
