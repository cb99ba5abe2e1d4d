//! The form for a set that comes back.

use chrono::NaiveDate;

use super::{FormRefused, Logbook, LogbookError, TakenBack};
use crate::event::SetId;
use crate::hose::Label;
use crate::inspection::{Observation, Place};
use crate::journal::Moment;
use crate::photograph::Photograph;
use crate::record::{HandOut, SetRecord};
use crate::rental::BroughtBack;
use crate::set_view::Checked;
use crate::tag::Code;
use crate::view::form::rental::{self, Away};
use crate::view::form::{Filled, Form};
use crate::words::returns;

/// Hoses that came back, as they were scanned.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct ComingBack {
    /// The sets that they are out with, each with what was scanned of it.
    pub sets: Vec<(SetId, Vec<String>)>,
    /// What is to be said of what is not out, and the hose where it is one.
    pub strange: Vec<(Option<Code>, String)>,
}

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
        let (away, a_day) = (self.away(&record, &out.hoses)?, self.dives_a_day(moment)?);
        Ok(rental::draw(filled, &record.name, &out, &away, a_day))
    }

    /// The same with a photo of each place of each hose.
    ///
    /// # Errors
    /// As [`Logbook::return_form`].
    pub fn return_form_with_photographs(
        &self,
        set: &Label,
        filled: &Filled,
        moment: &Moment,
    ) -> Result<Form, LogbookError> {
        let mut form = self.return_form(set, filled, moment)?;
        let (record, out) = self.out(set)?;
        for away in self.away(&record, &out.hoses)? {
            rental::with_photographs(&mut form, &away);
        }
        Ok(form)
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
    /// As [`Logbook::submit_return_with`].
    pub fn submit_return(
        &mut self,
        set: &Label,
        filled: &Filled,
        moment: &Moment,
    ) -> Result<TakenBack, FormRefused> {
        self.submit_return_with(set, filled, Vec::new(), moment)
    }

    /// The same with photos of what was found, each of a hose and a place. A form that is sent a second time writes nothing
    /// more: a set that came back as it says came back by it.
    ///
    /// # Errors
    /// [`FormRefused`] if something is missing or wrong, or the record refuses it.
    pub fn submit_return_with(
        &mut self,
        set: &Label,
        filled: &Filled,
        photographs: Vec<(Code, Place, Photograph)>,
        moment: &Moment,
    ) -> Result<TakenBack, FormRefused> {
        let on: Option<NaiveDate> = filled.day("on")?;
        rental::dives(filled)?;
        let (record, out) = match self.out(set) {
            Err(LogbookError::NotOut(name)) => {
                let again = self.came_back_so(set, filled, on.unwrap_or(moment.today))?;
                let back = if again { self.last_return(set, moment)? } else { None };
                return Ok(back.ok_or(LogbookError::NotOut(name))?);
            }
            out => out?,
        };
        let said = rental::read(filled, &self.away(&record, &out.hoses)?)?;
        let texts = |codes: Vec<Code>| codes.iter().map(ToString::to_string).collect();
        let back = BroughtBack {
            dives: said.dives,
            scanned: texts(said.here),
            missing: texts(said.missing),
            clear: texts(said.clear),
            seen: said.seen.into_iter().map(|(code, seen)| (code.to_string(), seen)).collect(),
            photographs: photographs
                .into_iter()
                .map(|(of, at, it)| (of.to_string(), at, it))
                .collect(),
        };
        Ok(self.take_back(set, &back, on, moment)?)
    }

    /// Whether a set came back last as a form says.
    fn came_back_so(
        &self,
        set: &Label,
        filled: &Filled,
        on: NaiveDate,
    ) -> Result<bool, FormRefused> {
        let Some(last) = self.last_returned(set)? else { return Ok(false) };
        let away = self.away(&self.set(set)?, &last.hoses)?;
        let said = rental::read(filled, &away)?;
        let dives =
            said.dives.map_or(last.estimated, |dives| !last.estimated && dives == last.dives);
        let mut same = dives && on == last.on;
        for (hose, Away { code, .. }) in last.hoses.iter().zip(&away) {
            let mut seen: Vec<Observation> =
                said.seen.iter().filter(|(of, _)| of == code).map(|(_, seen)| *seen).collect();
            seen.sort_by_key(ToString::to_string);
            same &= match last.looks.get(hose) {
                None => said.missing.contains(code),
                Some(found) if found.is_empty() => said.clear.contains(code),
                Some(found) => *found == seen,
            };
        }
        Ok(same)
    }

    /// What was scanned as it came back, by the set that it is out with, `first` before
    /// the others; and what is to be said of what is not out.
    ///
    /// # Errors
    /// [`LogbookError`] if the set is unknown or not out.
    pub fn coming_back(
        &self,
        first: Option<&Label>,
        texts: &[String],
        moment: &Moment,
    ) -> Result<ComingBack, LogbookError> {
        let mut coming = ComingBack::default();
        if let Some(first) = first {
            coming.sets.push((self.out(first)?.0.id, Vec::new()));
        }
        for text in texts {
            let hose = match self.find_typed(text) {
                Err(LogbookError::Store(error)) => return Err(error.into()),
                Err(why) => {
                    coming.strange.push((None, why.to_string()));
                    continue;
                }
                Ok(found) => found.hose,
            };
            let record = self.record(hose)?;
            let set = record.out().map(|out| out.set);
            let set = match set.map(|set| self.out(&set.into())).transpose() {
                Ok(set) => set.filter(|(_, out)| out.hoses.contains(&hose)),
                Err(LogbookError::NotOut(_)) => None,
                Err(other) => return Err(other),
            };
            let Some((set, _)) = set else {
                let answer = self.answer(&record.tag().to_string(), moment)?;
                let hose = Checked::of(&answer, None).by_number();
                let words = returns::not_out(&hose, &answer.place.words);
                coming.strange.push((Some(answer.code), words));
                continue;
            };
            match coming.sets.iter_mut().find(|(known, _)| *known == set.id) {
                Some((_, texts)) => texts.push(text.clone()),
                None => coming.sets.push((set.id, vec![text.clone()])),
            }
        }
        Ok(coming)
    }

    fn out(&self, set: &Label) -> Result<(SetRecord, HandOut), LogbookError> {
        let record = self.set(set)?;
        let out = record.out.clone().ok_or_else(|| LogbookError::NotOut(record.name.clone()))?;
        Ok((record, out))
    }

    fn away(&self, set: &SetRecord, hoses: &[Code]) -> Result<Vec<Away>, LogbookError> {
        let of = |hose: &Code| {
            let record = self.record(*hose)?;
            let port = set.hoses.iter().find(|(_, own)| *own == hose).map(|(port, _)| *port);
            let (code, number) = (record.tag(), record.origin.own.number.clone());
            Ok(Away { code, port, number, hose: record.specification })
        };
        hoses.iter().map(of).collect()
    }
}

#[cfg(test)]
#[path = "returned_tests.rs"]
mod tests;
