//! Every hose of a set inspected and leak-tested at once.

use super::inspections::drafts;
use super::slips::of_strands;
use super::{FormRefused, Logbook, LogbookError, believed};
use crate::hose::Label;
use crate::inspection::{Form, InspectionKind, LeakTest, Look};
use crate::journal::Moment;
use crate::tag::Code;
use crate::view::form::set_inspection::{self, HoseOfSet};
use crate::view::form::{self, FieldRefused, Filled, rental};
use crate::words;

/// The hoses of a set that were scanned, those that were not, and what was scanned that
/// is none of the set's, with why.
#[derive(Debug, Clone, PartialEq)]
pub struct ScannedSet {
    /// The set's name.
    pub set: Label,
    /// Scanned, by port.
    pub hoses: Vec<HoseOfSet>,
    /// Not scanned: what people call each.
    pub missing: Vec<String>,
    /// What else was scanned, and why it is no hose of the set.
    pub foreign: Vec<(String, String)>,
}

impl Logbook {
    /// The form with which a set's hoses that were scanned are inspected.
    ///
    /// # Errors
    /// [`LogbookError`] if there is no such set.
    pub fn set_inspection_form(
        &self,
        set: &Label,
        filled: &Filled,
        moment: &Moment,
    ) -> Result<(ScannedSet, form::Form), LogbookError> {
        let scanned = self.scanned_of(set, filled, moment)?;
        let form = set_inspection::draw(filled, &scanned.hoses);
        Ok((scanned, form))
    }

    fn scanned_of(
        &self,
        set: &Label,
        filled: &Filled,
        moment: &Moment,
    ) -> Result<ScannedSet, LogbookError> {
        let view = self.set_view(set, moment)?;
        let mut all = ScannedSet {
            set: view.name,
            hoses: Vec::new(),
            missing: Vec::new(),
            foreign: Vec::new(),
        };
        let mut here: Vec<Code> = Vec::new();
        for text in rental::scanned(filled) {
            match self.find_typed(&text) {
                Ok(found) => here.push(self.record(found.hose)?.tag()),
                Err(LogbookError::Store(error)) => return Err(error.into()),
                Err(why) => all.foreign.push((text, why.to_string())),
            }
        }
        for port in view.ports {
            let Some(answer) = port.hose else { continue };
            let code = answer.code;
            if !here.contains(&code) {
                let number = answer.hose.origin.own.number.as_ref();
                all.missing.push(format!("{}: {}", port.port.name, words::by_number(number, code)));
                continue;
            }
            here.retain(|scanned| *scanned != code);
            match answer.hose.specification.clone() {
                Some(hose) => {
                    let known = self.wants_answers(code, None, moment)?;
                    all.hoses.push(HoseOfSet { port: port.port.name, hose, known, answer });
                }
                None => all
                    .foreign
                    .push((code.to_string(), LogbookError::Undescribed(code).to_string())),
            }
        }
        let other = |code: Code| (code.to_string(), words::sets::not_in_it(&all.set));
        let others: Vec<_> = here.into_iter().map(other).collect();
        all.foreign.extend(others);
        Ok(all)
    }

    /// Records the full inspection, and the leak test if there was one, of every hose of a
    /// set that was scanned: all of them, or nothing.
    ///
    /// # Errors
    /// [`FormRefused`] if something is missing or wrong, or the record refuses it; a
    /// hose for which the pressure is too low is named.
    pub fn submit_set_inspection(
        &mut self,
        set: &Label,
        filled: &Filled,
        moment: &Moment,
    ) -> Result<Vec<Code>, FormRefused> {
        let scanned = self.scanned_of(set, filled, moment)?;
        let seen = set_inspection::read(filled, &scanned.hoses)?;
        let mut questions = Vec::new();
        for (code, look, _) in &seen {
            let known = believed::record_of(&self.connection, *code, moment.today)?;
            questions.extend(of_strands(&known, &look.findings, moment.today));
        }
        self.ask(questions)?;
        let on = moment.today;
        let called = |code: Code| {
            let hose = scanned.hoses.iter().find(|hose| hose.code() == code);
            hose.map(HoseOfSet::called).unwrap_or_default()
        };
        let mut refused = None;
        let written = self.write(moment, |work, _| {
            let mut all = Vec::new();
            for (code, look, test) in seen {
                let record = believed::record_of(work, code, on)?;
                all.extend(drafts(work, &record, look, Vec::new(), on, moment)?);
                let Some((test, hose)) = test.zip(record.specification.as_ref()) else { continue };
                let look = tested(test, hose)?;
                match drafts(work, &record, look, Vec::new(), on, moment) {
                    Ok(more) => all.extend(more),
                    Err(error) => {
                        let words = format!("{}: {error}", called(code));
                        refused = Some(FieldRefused::new(set_inspection::PRESSURE, words));
                        return Err(error);
                    }
                }
            }
            Ok((all, ()))
        });
        match (written, refused) {
            (Err(_), Some(refused)) => Err(refused.into()),
            (written, _) => {
                written?;
                Ok(scanned.hoses.iter().map(HoseOfSet::code).collect())
            }
        }
    }
}

fn tested(test: LeakTest, hose: &crate::hose::Specification) -> Result<Look, LogbookError> {
    let mut form = Form::new(InspectionKind::LeakTest, hose);
    form.tested(test);
    Ok(form.finish()?)
}

#[cfg(test)]
#[path = "set_inspections_tests.rs"]
mod tests;
