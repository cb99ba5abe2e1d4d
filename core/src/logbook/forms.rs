//! Forms: what each begins with, how it is drawn, and what is recorded when it is
//! submitted. Which form it is, an action says.

use thiserror::Error;

use super::slips::of_description;
use super::{Found, Logbook, LogbookError, NamingError, TakenBack, hoses};
use crate::answer::Answer;
use crate::event::{EntryId, Event, Registration, SetId};
use crate::hose::{Label, Specification};
use crate::inspection::{InspectionKind, Known, Place};
use crate::journal::{Draft, Moment};
use crate::photograph::Photograph;
use crate::record::{self, Hold};
use crate::tag::Code;
use crate::view::Action;
use crate::view::form::care;
use crate::view::form::hose::{self, Describes};
use crate::view::form::identify;
use crate::view::form::inspection::{self, Inspected};
use crate::view::form::rental;
use crate::view::form::set;
use crate::view::form::{FieldRefused, Filled, Form};
use crate::words::form as say;

/// What has no form.
const NO_FORM: LogbookError = LogbookError::Nothing("this has no form");

/// Why a form was not saved; nothing was changed.
#[derive(Debug, Error)]
pub enum FormRefused {
    /// A field is missing or wrong.
    #[error(transparent)]
    Field(#[from] FieldRefused),
    /// The record refuses it.
    #[error(transparent)]
    Logbook(#[from] LogbookError),
}

/// A form was saved.
#[derive(Debug, Clone, PartialEq)]
pub enum Saved {
    /// One about a hose.
    OfHose {
        /// The hose, by its tag.
        hose: Code,
        /// What was done, and what to do next.
        words: &'static str,
    },
    /// One about a set.
    OfSet(SetId),
    /// One with which a set was taken back.
    Returned(Box<TakenBack>),
}

impl Saved {
    const fn hose(hose: Code) -> Self {
        Self::OfHose { hose, words: say::SAVED }
    }
}

impl Logbook {
    /// What a form begins with.
    ///
    /// # Errors
    /// [`FormRefused`] if the hose is unknown, or the tag of a new one is in use.
    pub fn begin_form(&self, action: Action) -> Result<Filled, FormRefused> {
        match action {
            Action::Register { tag: Some(tag) } => {
                if self.is_on_record(tag)? {
                    return Err(FieldRefused::new(
                        "tag",
                        LogbookError::Naming(NamingError::TagInUse(tag)),
                    )
                    .into());
                }
                let mut filled = hose::empty();
                filled.set("tag", &tag.to_string());
                Ok(filled)
            }
            Action::Register { tag: None } => Ok(hose::empty()),
            Action::Describe { hose } => {
                let record = self.record(hose)?;
                Ok(hose::on_record(record.specification.as_ref(), &record.origin))
            }
            Action::Reseal { end: Some(end), .. } => {
                let mut filled = Filled::default();
                filled.set("end", &end.to_string());
                Ok(filled)
            }
            Action::Place { hose } => Ok(self.begin_place(hose)?),
            Action::ChangeSet { set: id } => Ok(set::on_record(&self.set(&Label::from(id))?)),
            _ => Ok(Filled::default()),
        }
    }

    /// A form, as far as it is filled in.
    ///
    /// # Errors
    /// [`LogbookError`] if the hose is unknown, or the action has no form.
    pub fn form(
        &self,
        action: Action,
        filled: &Filled,
        moment: &Moment,
    ) -> Result<Form, LogbookError> {
        let today = moment.today;
        Ok(match action {
            Action::Register { tag: None } => hose::draw(filled, Describes::New, today),
            Action::Register { tag: Some(_) } => hose::draw(filled, Describes::Tagged, today),
            Action::Describe { hose } => {
                let answer = self.answer_of(hose, moment)?;
                hose::draw(filled, Describes::OnRecord, today).about(&answer)
            }
            Action::Inspect { hose, kind } => {
                let (answer, described) =
                    (self.answer_of(hose, moment)?, self.specification(hose)?);
                let known = self.known(hose, kind, filled, moment)?;
                let of = Inspected { hose: &described, kind, known: &known, of: "" };
                inspection::draw(filled, of, &answer)
            }
            Action::Identify { hose } => self.identify_form(hose, filled, moment)?,
            Action::Place { hose } => self.place_form(hose, filled, moment)?,
            Action::TakeBack { set } => self.return_form(&Label::from(set), filled, moment)?,
            Action::ChangeSet { set: id } => set::draw(filled, Some(&self.set(&Label::from(id))?)),
            Action::Reseal { hose, .. } => {
                let described = self.record(hose)?.specification;
                care::reseal(hose, described.as_ref().is_some_and(Specification::oxygen))
                    .filled(filled)
                    .about(&self.answer_of(hose, moment)?)
            }
            Action::Release { hose } => care::release(action.in_words(), &self.own_holds(hose)?)
                .filled(filled)
                .about(&self.answer_of(hose, moment)?),
            Action::Clean { hose }
            | Action::ReplaceCoupling { hose }
            | Action::Dive { hose }
            | Action::BindBarcode { hose }
            | Action::Retag { hose }
            | Action::Retire { hose }
            | Action::Hold { hose }
            | Action::ConfirmPlace { hose } => care::draw(action)
                .ok_or(NO_FORM)?
                .filled(filled)
                .about(&self.answer_of(hose, moment)?),
            _ => return Err(NO_FORM),
        })
    }

    /// Does what a tap on a field of a form does, or a text that was typed or scanned
    /// into it.
    ///
    /// # Errors
    /// [`FormRefused`] if the form has no such field or choice; nothing is changed.
    pub fn touch_form(
        &self,
        action: Action,
        filled: &mut Filled,
        (name, value): (&str, &str),
        moment: &Moment,
    ) -> Result<(), FormRefused> {
        if let (Action::TakeBack { set }, rental::SCANNED) = (action, name) {
            let strange = self.scan_return(&Label::from(set), filled, [value])?;
            let refused = |words| Err(FieldRefused::new(name, words).into());
            return strange.into_iter().next().map_or(Ok(()), refused);
        }
        let form = self.form(action, filled, moment)?;
        form.touch(filled, name, value)?;
        match action {
            Action::Register { .. } | Action::Describe { .. } if name == "service" => {
                hose::settle(filled);
            }
            Action::Inspect { .. } | Action::Identify { .. } => inspection::settle(filled, name),
            Action::Place { hose } if name == "set" => self.choose_port(hose, filled)?,
            _ => {}
        }
        Ok(())
    }

    /// Records what a form says.
    ///
    /// # Errors
    /// [`FormRefused`] if something is missing or wrong, or the record refuses it.
    pub fn submit_form(
        &mut self,
        action: Action,
        filled: &Filled,
        moment: &Moment,
    ) -> Result<Saved, FormRefused> {
        self.submit_form_with(action, filled, Vec::new(), moment)
    }

    /// Records what a form says, and photographs of what was found.
    ///
    /// # Errors
    /// As [`Logbook::submit_form`], and as [`Logbook::inspect_with`].
    pub fn submit_form_with(
        &mut self,
        action: Action,
        filled: &Filled,
        photographs: Vec<(Place, Photograph)>,
        moment: &Moment,
    ) -> Result<Saved, FormRefused> {
        match action {
            Action::Register { .. } => self.submit_new(filled, moment),
            Action::Describe { hose } => {
                let described = hose::read(filled, moment.today)?;
                let hose = self.describe(hose, described, hose::why(filled)?, moment)?;
                Ok(Saved::OfHose { hose, words: say::DESCRIBED })
            }
            Action::Inspect { hose, kind } => {
                let (described, on) = (self.specification(hose)?, filled.day("on")?);
                let known = self.known(hose, kind, filled, moment)?;
                let of = Inspected { hose: &described, kind, known: &known, of: "" };
                let look = inspection::read(filled, of)?;
                let hose = self.inspect_with(hose, look, photographs, on, moment)?;
                Ok(Saved::hose(hose))
            }
            Action::Identify { hose } => self.submit_identified(hose, filled, moment),
            Action::TakeBack { set } => {
                let back = self.submit_return(&Label::from(set), filled, moment)?;
                Ok(Saved::Returned(Box::new(back)))
            }
            Action::ChangeSet { set } => {
                self.submit_set(set, filled, moment)?;
                Ok(Saved::OfSet(set))
            }
            other => self.submit_care(other, filled, moment).map(Saved::hose),
        }
    }

    /// Records what a small form about a hose says.
    fn submit_care(
        &mut self,
        action: Action,
        filled: &Filled,
        moment: &Moment,
    ) -> Result<Code, FormRefused> {
        let why = || filled.needed_prose("why", "a reason");
        let on = filled.day("on")?;
        Ok(match action {
            Action::Clean { hose } => self.clean(hose, on, moment)?,
            Action::ReplaceCoupling { hose } => self.recouple(hose, on, moment)?,
            Action::Dive { hose } => {
                self.dived(&[hose], care::read_dives(filled)?, on, moment)?;
                self.record(hose)?.tag()
            }
            Action::Reseal { hose, .. } => {
                let (end, seal, grease, on) = care::read_reseal(filled)?;
                self.reseal_with(hose, (end, seal, grease), on, moment)?
            }
            Action::BindBarcode { hose } => {
                let typed = filled.needed_label("barcode", "the text of a barcode")?;
                self.bind(hose, hose::barcode(filled)?.unwrap_or(typed), moment)?
            }
            Action::Retag { hose } => self.retag(hose, hose::tag(filled)?, on, moment)?,
            Action::Retire { hose } => self.retire(hose, why()?, on, moment)?,
            Action::Hold { hose } => self.hold(hose, why()?, filled.ticked("incident"), moment)?,
            Action::Release { hose } => self.release(hose, &why()?, moment)?,
            Action::ConfirmPlace { hose } => self.confirm_place(hose, on, moment)?,
            Action::Place { hose } => self.submit_place(hose, filled, moment)?,
            _ => return Err(NO_FORM.into()),
        })
    }

    /// What holds a hose by hand; not the holds of a set that it was in.
    fn own_holds(&self, hose: Code) -> Result<Vec<Hold>, LogbookError> {
        let record = self.record(hose)?;
        let mut own = record.holds;
        for stay in &record.stays {
            let of_set = self.set_by_id(stay.set)?.map(|set| set.holds).unwrap_or_default();
            own.retain(|hold| !of_set.iter().any(|other| other.entry == hold.entry));
        }
        Ok(own)
    }

    /// What is on record and wants an answer, on the day that the form says.
    fn known(
        &self,
        hose: Code,
        kind: InspectionKind,
        filled: &Filled,
        moment: &Moment,
    ) -> Result<Vec<Known>, LogbookError> {
        match kind {
            InspectionKind::Full => {
                self.wants_answers(hose, filled.day("on").ok().flatten(), moment)
            }
            InspectionKind::Quick | InspectionKind::LeakTest => Ok(Vec::new()),
        }
    }

    /// Registers the hose that a form describes, with its barcode.
    fn submit_new(&mut self, filled: &Filled, moment: &Moment) -> Result<Saved, FormRefused> {
        let (specification, origin) = hose::read(filled, moment.today)?;
        let (tag, barcode) = (hose::tag(filled)?, hose::barcode(filled)?);
        self.ask(of_description(&specification, &origin))?;
        let new = Registration { specification, origin, tag };
        let on = moment.today;
        let (_, hose) = self.write(moment, |work, random| {
            let (hose, event) = hoses::registered(work, new, &[], on, random)?;
            let mut drafts = vec![Draft { on, event }];
            if let Some(barcode) = barcode {
                if let Some(other) = record::find_barcode(work, barcode.as_str())?.first() {
                    return Err(LogbookError::Naming(NamingError::BarcodeInUse(*other)));
                }
                drafts.push(Draft { on, event: Event::Bound { hose, barcode } });
            }
            Ok((drafts, hose))
        })?;
        let words = if tag.is_some() { say::REGISTERED_WITH_TAG } else { say::REGISTERED };
        Ok(Saved::OfHose { hose, words })
    }

    /// The form with which one of several hoses of one tag gets a new one. Which, its
    /// field `registration` says.
    fn identify_form(
        &self,
        hose: Code,
        filled: &Filled,
        moment: &Moment,
    ) -> Result<Form, LogbookError> {
        let answer = self.answer_of(hose, moment)?;
        let (id, words, described) = self.registered_as(hose, filled)?;
        let known = self.wants_answers(hose, None, moment)?;
        let of = identified(&described, &known);
        Ok(identify::draw(filled, of, (&id.to_string(), &words)).about(&answer))
    }

    fn submit_identified(
        &mut self,
        hose: Code,
        filled: &Filled,
        moment: &Moment,
    ) -> Result<Saved, FormRefused> {
        let tag = filled.parsed("tag")?;
        let (registration, _, described) = self.registered_as(hose, filled)?;
        let known = self.wants_answers(hose, None, moment)?;
        let look = inspection::read(filled, identified(&described, &known))?;
        let hose = self.identify(hose, registration, look, tag, None, moment)?;
        Ok(Saved::hose(hose))
    }

    /// The registration that a form names, with its words and the hose that it
    /// describes.
    fn registered_as(
        &self,
        hose: Code,
        filled: &Filled,
    ) -> Result<(EntryId, String, Specification), LogbookError> {
        let id = self.find_entry(filled.get("registration"))?;
        let lines = self.history(hose)?;
        let line = lines.into_iter().find(|line| line.id == id);
        let words = line.as_ref().map(|line| line.words.clone()).unwrap_or_default();
        let Some(Event::Registered { specification, .. }) = line.and_then(|line| line.event) else {
            return Err(LogbookError::Naming(NamingError::NotARegistration(
                self.record(hose)?.tag(),
            )));
        };
        Ok((id, words, specification))
    }

    /// Whether a hose has this tag.
    ///
    /// # Errors
    /// [`LogbookError`] if the store can't be read.
    pub fn is_on_record(&self, tag: Code) -> Result<bool, LogbookError> {
        match self.record(tag) {
            Ok(_) => Ok(true),
            Err(LogbookError::Naming(NamingError::UnknownTag(_))) => Ok(false),
            Err(other) => Err(other),
        }
    }

    pub(super) fn answer_of(&self, hose: Code, moment: &Moment) -> Result<Answer, LogbookError> {
        self.answer_found(Found { hose, tag: None }, moment)
    }
}

/// What is inspected of a hose that gets a tag of its own.
const fn identified<'i>(hose: &'i Specification, known: &'i [Known]) -> Inspected<'i> {
    Inspected { hose, kind: InspectionKind::Full, known, of: identify::OF }
}

#[cfg(test)]
#[path = "forms_tests.rs"]
mod tests;
