//! The form for a set that comes back.

use chrono::NaiveDate;

use super::{FormRefused, Logbook, LogbookError, TakenBack};
use crate::hose::Label;
use crate::journal::Moment;
use crate::record::{HandOut, SetRecord};
use crate::rental::BroughtBack;
use crate::tag::Code;
use crate::view::form::rental::{self, Away};
use crate::view::form::{Filled, Form};

impl Logbook {
    /// The form for a set that comes back, as far as it is filled in.
    ///
    /// # Errors
    /// [`LogbookError`] if the set is unknown or not out.
    pub fn return_form(
        &self,
        set: &Label,
        filled: &Filled,
        moment: &Moment,
    ) -> Result<Form, LogbookError> {
        let (record, out) = self.out(set)?;
        let (away, a_day) = (self.away(&out)?, self.dives_a_day(moment)?);
        Ok(rental::draw(filled, &record.name, &out, &away, a_day))
    }

    /// Fills in that hoses are here whose tags were scanned; says what is wrong with
    /// a scan that is no hose of this set.
    ///
    /// # Errors
    /// [`LogbookError`] if the set is unknown or not out.
    pub fn scan_return<'t>(
        &self,
        set: &Label,
        filled: &mut Filled,
        texts: impl IntoIterator<Item = &'t str>,
    ) -> Result<Vec<String>, LogbookError> {
        let (record, out) = self.out(set)?;
        let mut strange = Vec::new();
        for text in texts {
            match self.find_typed(text).map(|found| found.hose) {
                Ok(hose) if out.hoses.contains(&hose) => {
                    rental::is_here(filled, self.record(hose)?.tag());
                }
                Ok(hose) => {
                    let (set, ticket) = (record.name.clone(), out.ticket.clone());
                    strange.push(LogbookError::NotOutWith { hose, set, ticket }.to_string());
                }
                Err(why) => strange.push(why.to_string()),
            }
        }
        Ok(strange)
    }

    /// Takes a set back as a form says.
    ///
    /// # Errors
    /// [`FormRefused`] if something is missing or wrong, or the record refuses it.
    pub fn submit_return(
        &mut self,
        set: &Label,
        filled: &Filled,
        moment: &Moment,
    ) -> Result<TakenBack, FormRefused> {
        let on: Option<NaiveDate> = filled.day("on")?;
        rental::dives(filled)?;
        let (_, out) = self.out(set)?;
        let said = rental::read(filled, &self.away(&out)?)?;
        let texts = |codes: Vec<Code>| codes.iter().map(ToString::to_string).collect();
        let back = BroughtBack {
            dives: said.dives,
            scanned: texts(said.here),
            missing: texts(said.missing),
            seen: said.seen.into_iter().map(|(code, seen)| (code.to_string(), seen)).collect(),
        };
        Ok(self.take_back(set, &back, on, moment)?)
    }

    fn out(&self, set: &Label) -> Result<(SetRecord, HandOut), LogbookError> {
        let record = self.set(set)?;
        let out = record.out.clone().ok_or_else(|| LogbookError::NotOut(record.name.clone()))?;
        Ok((record, out))
    }

    fn away(&self, out: &HandOut) -> Result<Vec<Away>, LogbookError> {
        let of = |hose: &Code| {
            let record = self.record(*hose)?;
            Ok(Away { code: record.tag(), hose: record.specification })
        };
        out.hoses.iter().map(of).collect()
    }
}
