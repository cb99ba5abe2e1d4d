//! Describing a hose: a form that is filled in field by field, in any order,
//! and kept as it was typed until it is whole.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};
use thiserror::Error;

use super::{Logbook, LogbookError, hoses};
use crate::event::{Event, Registration};
use crate::hose::{
    Construction, End, FITTINGS, Fitting, HoseError, Label, Origin, Owner, Particulars, Service,
    Specification,
};
use crate::journal::{Draft, Moment};
use crate::measure::{HoseLength, PartialDate};
use crate::record;
use crate::tag::payload::FittingKind;
use crate::tag::{Code, Payload, PayloadError};
use crate::words::form::{self as say, HoseField};

/// Why a field is invalid.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error("{words}")]
pub struct FieldRefused {
    /// The field to put right.
    pub field: HoseField,
    /// What is wrong and what to do.
    pub words: String,
}

/// Why a form was not recorded; nothing was changed.
#[derive(Debug, Error)]
pub enum FormRefused {
    /// A field cannot be as it is.
    #[error(transparent)]
    Field(#[from] FieldRefused),
    /// Something else is in the way.
    #[error(transparent)]
    Logbook(#[from] LogbookError),
}

/// How a field is answered.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum FieldEntry {
    /// By one of these.
    Choice(Vec<FieldChoice>),
    /// By yes or no.
    YesNo,
    /// By a text.
    Text,
    /// By scanning a tag, or typing its code.
    Tag,
    /// By scanning a barcode, or typing what it says.
    Barcode,
}

/// Something that can be chosen in a field.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FieldChoice {
    /// What [`HoseForm::fill`] takes.
    pub value: String,
    /// The same in words.
    pub words: String,
    /// Whether it counts now.
    pub chosen: bool,
}

/// What a person has filled in about a hose, as it was typed. It may be wrong
/// or not whole: [`HoseForm::described`] says so.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(transparent)]
pub struct HoseForm(BTreeMap<HoseField, String>);

/// What stands in [`HoseField::EndB`] for a maker's own fitting.
const OWN: &str = "proprietary";
/// What stands in [`HoseField::Protector`] and [`HoseField::Oxygen`] for yes.
const YES: &str = "yes";

impl HoseForm {
    /// The form with what is on record about a hose.
    #[must_use]
    pub fn of(hose: Option<&Specification>, origin: &Origin) -> Self {
        let mut form = Self::default();
        if let Some(hose) = hose {
            form.fill(HoseField::Service, hose.service().word());
            form.fill(HoseField::Construction, hose.construction().word());
            form.fill(HoseField::Length, hose.length().as_typed());
            form.fill(HoseField::EndA, &hose.fitting(End::A).to_string());
            match hose.fitting(End::B) {
                Fitting::Proprietary(own) => {
                    form.fill(HoseField::EndB, OWN);
                    form.fill(HoseField::OwnFitting, own.as_str());
                }
                other => form.fill(HoseField::EndB, &other.to_string()),
            }
            form.tick(HoseField::Protector, hose.protector());
            form.tick(HoseField::Oxygen, hose.oxygen());
        }
        let date = |date: Option<PartialDate>| date.map(|d| d.to_string()).unwrap_or_default();
        let label = |label: &Option<Label>| label.as_ref().map(ToString::to_string);
        form.fill(HoseField::Made, &date(origin.made));
        form.fill(HoseField::Bought, &date(origin.bought));
        form.fill(HoseField::InService, &date(origin.in_service));
        form.fill(HoseField::Maker, &label(&origin.maker).unwrap_or_default());
        form.fill(HoseField::Lot, &label(&origin.lot).unwrap_or_default());
        form.fill(HoseField::Model, &label(&origin.model).unwrap_or_default());
        form.fill(HoseField::Number, &label(&origin.own.number).unwrap_or_default());
        form.fill(HoseField::Note, &label(&origin.own.note).unwrap_or_default());
        let ticket = origin.own.owner.as_ref().and_then(Owner::ticket).map(ToString::to_string);
        form.fill(HoseField::Ticket, &ticket.unwrap_or_default());
        form
    }

    /// The form with what a tag says of its hose: dates to the month, and the
    /// length rounded.
    #[must_use]
    pub fn of_tag(payload: &Payload) -> Self {
        let mut form = Self::of(None, &record::HoseRecord::of_tag(payload).origin);
        let Some(passport) = payload.passport else { return form };
        form.fill(HoseField::Service, passport.service().word());
        form.fill(HoseField::Construction, passport.construction().word());
        let about = passport.length().to_string();
        form.fill(HoseField::Length, about.trim_start_matches("about "));
        for (field, end) in [(HoseField::EndA, End::A), (HoseField::EndB, End::B)] {
            let fitting = match passport.fitting(end) {
                FittingKind::Thread(thread) => Fitting::Thread(thread).to_string(),
                FittingKind::QuickDisconnect => Fitting::QuickDisconnect.to_string(),
                FittingKind::Proprietary => OWN.to_owned(),
            };
            form.fill(field, &fitting);
        }
        form.tick(HoseField::Protector, passport.protector());
        form
    }

    /// What is in a field; empty if nothing does.
    #[must_use]
    pub fn typed(&self, field: HoseField) -> &str {
        self.0.get(&field).map_or("", String::as_str)
    }

    /// Fills a field in; an empty text empties it. Another service takes back
    /// ends that it cannot have.
    pub fn fill(&mut self, field: HoseField, typed: &str) {
        let typed = typed.trim();
        if typed.is_empty() {
            self.0.remove(&field);
        } else {
            self.0.insert(field, typed.to_owned());
        }
        if field == HoseField::Service {
            for (field, end) in [(HoseField::EndA, End::A), (HoseField::EndB, End::B)] {
                if self.end(field, end).is_err_and(|refused| refused.field == field) {
                    self.0.remove(&field);
                }
            }
        }
    }

    fn tick(&mut self, field: HoseField, yes: bool) {
        self.fill(field, if yes { YES } else { "" });
    }

    /// How a field is answered, with what can be chosen now. None if the
    /// field is not asked at this point: ends before the service is known, and
    /// the name of a fitting that is not the maker's own.
    #[must_use]
    pub fn entry(&self, field: HoseField) -> Option<FieldEntry> {
        let chosen = |value: &str| self.typed(field) == value;
        let choice = |value: &str, words: &str| FieldChoice {
            value: value.to_owned(),
            words: words.to_owned(),
            chosen: chosen(value),
        };
        match field {
            HoseField::Service => Some(FieldEntry::Choice(
                Service::ALL.iter().map(|s| choice(s.word(), say::service(*s))).collect(),
            )),
            HoseField::Construction => Some(FieldEntry::Choice(
                Construction::ALL.iter().map(|c| choice(c.word(), say::construction(*c))).collect(),
            )),
            HoseField::EndA => Some(FieldEntry::Choice(self.ends(field, End::A)?)),
            HoseField::EndB => Some(FieldEntry::Choice(self.ends(field, End::B)?)),
            HoseField::OwnFitting => (self.service().is_ok() && self.typed(HoseField::EndB) == OWN)
                .then_some(FieldEntry::Text),
            HoseField::Protector | HoseField::Oxygen => Some(FieldEntry::YesNo),
            HoseField::Tag => Some(FieldEntry::Tag),
            HoseField::Barcode => Some(FieldEntry::Barcode),
            _ => Some(FieldEntry::Text),
        }
    }

    /// What can be chosen at an end; where nothing was, the usual one counts.
    fn ends(&self, field: HoseField, end: End) -> Option<Vec<FieldChoice>> {
        let service = self.service().ok()?;
        let typed = self.typed(field);
        let mut choices: Vec<FieldChoice> = known(service, end)
            .iter()
            .enumerate()
            .map(|(at, fitting)| FieldChoice {
                words: say::fitting(&fitting.to_string(), at == 0),
                chosen: typed == fitting.to_string() || (typed.is_empty() && at == 0),
                value: fitting.to_string(),
            })
            .collect();
        if end == End::B {
            choices.push(FieldChoice {
                value: OWN.to_owned(),
                words: say::OWN_FITTING.to_owned(),
                chosen: typed == OWN,
            });
        }
        Some(choices)
    }

    /// What is wrong with what is in a field; none if it is empty.
    #[must_use]
    pub fn wrong(&self, field: HoseField, today: NaiveDate) -> Option<String> {
        if self.typed(field).is_empty() {
            return None;
        }
        let refused = match field {
            HoseField::Service => self.service().err(),
            HoseField::Construction => self.construction().err(),
            HoseField::Length => self.length().err(),
            HoseField::EndA => self.end(field, End::A).err(),
            HoseField::EndB | HoseField::OwnFitting => self.end(HoseField::EndB, End::B).err(),
            HoseField::Made | HoseField::Bought | HoseField::InService => self.dates(today).err(),
            HoseField::Maker => self.label(field, "a maker's name").err(),
            HoseField::Lot => self.label(field, "a lot").err(),
            HoseField::Model => self.label(field, "a model").err(),
            HoseField::Number => self.own().err(),
            HoseField::Note => self.label(field, "a note").err(),
            HoseField::Ticket => self.label(field, "a ticket").err(),
            HoseField::Protector | HoseField::Oxygen => None,
            HoseField::Tag => self.tag().err(),
            HoseField::Barcode => self.barcode().err(),
            HoseField::Why => self.why().err(),
        };
        refused.filter(|refused| refused.field == field).map(|refused| refused.words)
    }

    /// The hose that it describes.
    ///
    /// # Errors
    /// [`FieldRefused`] with the first field that is empty and must not be, or
    /// cannot be as it is.
    pub fn described(&self, today: NaiveDate) -> Result<(Specification, Origin), FieldRefused> {
        let (service, construction) = (self.service()?, self.construction()?);
        let length = self.length()?;
        let end_a = self.end(HoseField::EndA, End::A)?;
        let end_b = self.end(HoseField::EndB, End::B)?;
        let protector = self.typed(HoseField::Protector) == YES;
        let made = Specification::new(service, construction, length, end_a, end_b, protector);
        let specification = made.map_err(|error| refused(HoseField::EndA, error))?;
        let oxygen = self.typed(HoseField::Oxygen) == YES;
        let specification = specification.cleaned_for_oxygen(oxygen);
        let (maker, lot) =
            (self.label(HoseField::Maker, "a maker's name")?, self.label(HoseField::Lot, "a lot")?);
        let (model, own) = (self.label(HoseField::Model, "a model")?, self.own()?);
        Ok((specification, Origin { maker, lot, model, own, ..self.dates(today)? }))
    }

    /// What the shop says of it.
    fn own(&self) -> Result<Particulars, FieldRefused> {
        let field = HoseField::Number;
        let number = Some(self.typed(field)).filter(|typed| !typed.is_empty());
        let number = number.map(Particulars::own_number).transpose();
        Ok(Particulars {
            number: number.map_err(|error| refused(field, error))?,
            note: self.label(HoseField::Note, "a note")?,
            owner: self.label(HoseField::Ticket, "a ticket")?.map(Owner::Ticket),
        })
    }

    /// The tag that is on the hose; none if it is to be drawn.
    ///
    /// # Errors
    /// [`FieldRefused`] if it is not a tag.
    pub fn tag(&self) -> Result<Option<Code>, FieldRefused> {
        let typed = self.typed(HoseField::Tag);
        if typed.is_empty() {
            return Ok(None);
        }
        match Payload::parse(typed) {
            Ok(payload) => Ok(Some(payload.code)),
            Err(PayloadError::NotOurs { .. }) => {
                Code::parse(typed).map(Some).map_err(|error| refused(HoseField::Tag, error))
            }
            Err(error) => Err(refused(HoseField::Tag, error)),
        }
    }

    /// The maker's own barcode; none if there is none.
    ///
    /// # Errors
    /// [`FieldRefused`] if it is one of our tags, or cannot be a label.
    pub fn barcode(&self) -> Result<Option<Label>, FieldRefused> {
        let typed = self.typed(HoseField::Barcode);
        if typed.is_empty() {
            return Ok(None);
        }
        if !matches!(Payload::parse(typed), Err(PayloadError::NotOurs { .. })) {
            return Err(refused(HoseField::Barcode, say::BARCODE_IS_A_TAG));
        }
        self.label(HoseField::Barcode, "a barcode")
    }

    /// Why what is on record is put right; none if no reason is given.
    ///
    /// # Errors
    /// [`FieldRefused`] if it cannot be a label.
    pub fn why(&self) -> Result<Option<Label>, FieldRefused> {
        self.label(HoseField::Why, "a reason")
    }

    fn service(&self) -> Result<Service, FieldRefused> {
        self.needed(HoseField::Service)?.parse().map_err(|e| refused(HoseField::Service, e))
    }

    fn construction(&self) -> Result<Construction, FieldRefused> {
        let field = HoseField::Construction;
        self.needed(field)?.parse().map_err(|e| refused(field, e))
    }

    fn length(&self) -> Result<HoseLength, FieldRefused> {
        let field = HoseField::Length;
        HoseLength::parse(self.needed(field)?).map_err(|error| refused(field, error))
    }

    fn end(&self, field: HoseField, end: End) -> Result<Fitting, FieldRefused> {
        let service = self.service()?;
        let known = known(service, end);
        let fitting = match (self.typed(field), known.first()) {
            ("", Some(usual)) => usual.clone(),
            (OWN, _) if end == End::B => {
                let field = HoseField::OwnFitting;
                let named = Label::new("a fitting's name", self.needed(field)?);
                return named.map(Fitting::Proprietary).map_err(|error| refused(field, error));
            }
            (typed, _) => typed.parse().map_err(|error: HoseError| refused(field, error))?,
        };
        if known.contains(&fitting) {
            return Ok(fitting);
        }
        let choices = known.iter().map(ToString::to_string).collect::<Vec<_>>().join(" or ");
        let words = format!("a {service} hose cannot have {fitting} here; it has {choices}");
        Err(FieldRefused { field, words })
    }

    /// Each date by itself, then those that must follow another.
    fn dates(&self, today: NaiveDate) -> Result<Origin, FieldRefused> {
        let date = |field: HoseField| -> Result<Option<PartialDate>, FieldRefused> {
            let typed = self.typed(field);
            if typed.is_empty() {
                return Ok(None);
            }
            let date = typed.parse().map_err(|error| refused(field, error))?;
            Ok(Some(date))
        };
        let mut origin = Origin::default();
        for field in [HoseField::Made, HoseField::Bought, HoseField::InService] {
            let read = date(field)?;
            match field {
                HoseField::Made => origin.made = read,
                HoseField::Bought => origin.bought = read,
                _ => origin.in_service = read,
            }
            // What stood before was checked: what is wrong now is this one.
            origin.check(today).map_err(|error| refused(field, error))?;
        }
        Ok(origin)
    }

    fn label(&self, field: HoseField, what: &'static str) -> Result<Option<Label>, FieldRefused> {
        let typed = self.typed(field);
        let label = (!typed.is_empty()).then(|| Label::new(what, typed)).transpose();
        label.map_err(|error| refused(field, error))
    }

    fn needed(&self, field: HoseField) -> Result<&str, FieldRefused> {
        let typed = self.typed(field);
        if typed.is_empty() { Err(refused(field, field.missing())) } else { Ok(typed) }
    }
}

impl Logbook {
    /// Registers the hose that a form describes, with its barcode, under `tag`.
    ///
    /// # Errors
    /// [`FormRefused`] if a field cannot be as it is or the store cannot be
    /// written.
    pub fn register_form(
        &mut self,
        form: &HoseForm,
        tag: Code,
        moment: &Moment,
    ) -> Result<Code, FormRefused> {
        let (specification, origin) = form.described(moment.today)?;
        let barcode = form.barcode()?;
        let new = Registration { specification, origin, tag: Some(tag) };
        let on = moment.today;
        let written = self.write(moment, |work, random| {
            let (hose, event) = hoses::registered(work, new, &[], on, random)?;
            let mut drafts = vec![Draft { on, event }];
            if let Some(barcode) = barcode {
                if let Some(other) = record::find_barcode(work, barcode.as_str())?.first() {
                    return Err(LogbookError::BarcodeInUse(*other));
                }
                drafts.push(Draft { on, event: Event::Bound { hose, barcode } });
            }
            Ok((drafts, hose))
        });
        match written {
            Ok((_, hose)) => Ok(hose),
            Err(error @ LogbookError::TagInUse(_)) => Err(refused(HoseField::Tag, error).into()),
            Err(error @ LogbookError::BarcodeInUse(_)) => {
                Err(refused(HoseField::Barcode, error).into())
            }
            Err(other) => Err(other.into()),
        }
    }
}

fn refused(field: HoseField, why: impl std::fmt::Display) -> FieldRefused {
    FieldRefused { field, words: why.to_string() }
}

fn known(service: Service, end: End) -> &'static [Fitting] {
    let row = FITTINGS.iter().find(|(s, e, ..)| *s == service && *e == end);
    row.map_or(&[], |(_, _, fittings, _)| fittings)
}

#[cfg(test)]
#[path = "describing_tests.rs"]
mod tests;
