//! Every hose of a set inspected and leak-tested at once.

use chrono::NaiveDate;

use super::inspections::drafts;
use super::slips::of_strands;
use super::{FormRefused, Logbook, LogbookError, believed};
use crate::hose::Label;
use crate::inspection::{Form, InspectionKind, LeakTest, Look, LookedOver};
use crate::journal::Moment;
use crate::tag::Code;
use crate::view::form::set_inspection::{self, HoseOfSet};
use crate::view::form::{self, FieldRefused, Filled, rental};
use crate::words;

/// What was seen on each hose, and what its leak test came to, if there was one.
type Seen = Vec<(Code, Look, Option<LeakTest>)>;

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
        self.write_inspections(&scanned, seen, moment.today, moment)
    }

    /// Records what was said of the hoses of a set, all of which were looked over: the full
    /// inspection of each, and the leak test if there was one. All of them, or nothing.
    ///
    /// # Errors
    /// [`FormRefused`] if something was scanned or named that is no hose of the set, or the
    /// record refuses it; a hose for which the pressure is too low is named.
    pub fn inspect_set(
        &mut self,
        set: &Label,
        looked: &LookedOver,
        on: Option<NaiveDate>,
        moment: &Moment,
    ) -> Result<Vec<Code>, FormRefused> {
        let mut filled = Filled::default();
        looked.scanned.iter().for_each(|text| filled.add(rental::SCANNED, text));
        let scanned = self.scanned_of(set, &filled, moment)?;
        if let Some((text, why)) = scanned.foreign.first() {
            return Err(FieldRefused::new(rental::SCANNED, format!("{text}: {why}")).into());
        }
        let seen = self.said_of(&scanned, looked)?;
        self.write_inspections(&scanned, seen, on.unwrap_or(moment.today), moment)
    }

    /// What was said of each hose that was scanned.
    fn said_of(&self, scanned: &ScannedSet, looked: &LookedOver) -> Result<Seen, FormRefused> {
        let seen = self.each_of(scanned, looked.seen.iter().map(|on| (&on.hose, on.seen)))?;
        let gone = self.each_of(scanned, looked.gone.iter().map(|on| (&on.hose, on.seen)))?;
        let test = looked.test.as_ref();
        let leaked = test.iter().flat_map(|test| test.leaked.iter().map(|hose| (hose, ())));
        let leaked = self.each_of(scanned, leaked)?;
        if scanned.hoses.is_empty() {
            return Err(
                FieldRefused::new(rental::SCANNED, words::inspection::SET_SCAN_FIRST).into()
            );
        }
        let look = |hose: &HoseOfSet| {
            let mut form =
                Form::new(InspectionKind::Full, &hose.hose).with_known(hose.known.clone());
            form.clear_rest();
            for (_, seen) in seen.iter().filter(|(code, _)| *code == hose.code()) {
                form.found(*seen)?;
            }
            let own = gone.iter().filter(|(code, _)| *code == hose.code());
            let mut own = own.peekable();
            if let Some(why) = looked.why.clone().filter(|_| own.peek().is_some()) {
                form.why(why);
            }
            own.for_each(|(_, damage)| form.gone(*damage));
            looked.note.iter().for_each(|note| form.note(note.clone()));
            form.finish()
        };
        let one = |hose: &HoseOfSet| {
            let named =
                |error| FieldRefused::new(rental::SCANNED, format!("{}: {error}", hose.called()));
            let test = test.map(|test| {
                let passed = leaked.iter().all(|(code, ())| *code != hose.code());
                LeakTest::new(passed, test.pressure.clone()).done(test.method)
            });
            Ok((hose.code(), look(hose).map_err(named)?, test))
        };
        scanned.hoses.iter().map(one).collect()
    }

    /// What is said of hoses by whatever names them, by their tags; each must be among those
    /// that were scanned.
    fn each_of<'s, T>(
        &self,
        scanned: &ScannedSet,
        said: impl Iterator<Item = (&'s String, T)>,
    ) -> Result<Vec<(Code, T)>, LogbookError> {
        said.map(|(typed, what)| {
            let code = self.record(self.find_typed(typed)?.hose)?.tag();
            match scanned.hoses.iter().any(|hose| hose.code() == code) {
                true => Ok((code, what)),
                false => Err(LogbookError::NotScanned(code)),
            }
        })
        .collect()
    }

    fn write_inspections(
        &mut self,
        scanned: &ScannedSet,
        seen: Seen,
        on: NaiveDate,
        moment: &Moment,
    ) -> Result<Vec<Code>, FormRefused> {
        let mut questions = Vec::new();
        for (code, look, _) in &seen {
            let known = believed::record_of(&self.connection, *code, moment.today)?;
            questions.extend(of_strands(&known, &look.findings, on));
        }
        self.ask(questions)?;
        let called = |code: Code| {
            let hose = scanned.hoses.iter().find(|hose| hose.code() == code);
            hose.map(HoseOfSet::called).unwrap_or_default()
        };
        let mut refused = None;
        let written = self.write(moment, |work, _| {
            let mut all = Vec::new();
            for (code, look, test) in seen {
                let record = believed::record_of(work, code, moment.today)?;
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
