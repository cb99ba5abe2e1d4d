//! The form that describes a hose: to register it, or to edit its details.

use chrono::NaiveDate;

use super::field::YES;
use super::{Choice, Field, FieldRefused, Filled, Form, Group, Kind};
use crate::hose::{
    Construction, End, FITTINGS, Fitting, HoseError, Label, Origin, Owner, Particulars, Prose,
    Service, Specification,
};
use crate::measure::{HoseLength, PartialDate};
use crate::tag::{Code, Payload, PayloadError};
use crate::words::form::{self as say, HoseField};

mod begun;

pub use begun::{empty, of_tag, on_record};

/// What fills in an end for the usual fitting.
pub(super) const USUAL: &str = "usual";
/// What fills in [`HoseField::EndB`] for a maker's own fitting.
pub(super) const OWN: &str = "own";

/// Which hose a form describes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Describes {
    /// One that is not on record.
    New,
    /// One that is not on record, whose tag was scanned.
    Tagged,
    /// One that is on record.
    OnRecord,
}

impl Describes {
    /// Whether a field is asked: a tag that was scanned is not, a barcode is added
    /// to a hose on record by itself, and only what is on record is edited.
    const fn asks(self, field: HoseField) -> bool {
        match self {
            Self::New => !matches!(field, HoseField::Why),
            Self::Tagged => !matches!(field, HoseField::Tag | HoseField::Why),
            Self::OnRecord => !matches!(field, HoseField::Tag | HoseField::Barcode),
        }
    }
}

/// Takes back ends that a hose of the chosen service can't have.
pub fn settle(filled: &mut Filled) {
    for (field, end) in ENDS {
        if Typed(filled).end(field, end).is_err_and(|refused| refused.field == field.word()) {
            filled.set(field.word(), USUAL);
        }
    }
}

/// The form, as far as it is filled in.
#[must_use]
pub fn draw(filled: &Filled, of: Describes, today: NaiveDate) -> Form {
    let typed = Typed(filled);
    let fields = HoseField::ALL.iter().filter(|field| of.asks(**field));
    let fields = fields.map(|field| typed.field(*field, today)).collect();
    let (title, submit) = match of {
        Describes::OnRecord => (say::DESCRIBE, say::SAVE),
        Describes::New | Describes::Tagged => (say::REGISTER, say::REGISTER_GO),
    };
    let beside = (of == Describes::Tagged).then(|| typed.of_the_tag());
    let lead = beside.into_iter().chain([say::REGISTER_LEAD]).map(ToOwned::to_owned).collect();
    let problem = typed.problem(of, today).map(|refused| refused.words);
    let groups = vec![Group { fields, ..Group::default() }];
    let (title, submit) = (title.to_owned(), submit.to_owned());
    Form { title, lead, groups, submit, problem, ..Form::default() }
}

/// The hose that a form describes.
///
/// # Errors
/// [`FieldRefused`] with the first field that is missing or wrong.
pub fn read(filled: &Filled, today: NaiveDate) -> Result<(Specification, Origin), FieldRefused> {
    Typed(filled).described(today)
}

/// The tag that is on the hose; none if one is to be drawn.
///
/// # Errors
/// [`FieldRefused`] if it is not a tag.
pub fn tag(filled: &Filled) -> Result<Option<Code>, FieldRefused> {
    Typed(filled).tag()
}

/// The maker's own barcode; none if there is none.
///
/// # Errors
/// [`FieldRefused`] if it is a tag of Hosewright's, or can't be a label.
pub fn barcode(filled: &Filled) -> Result<Option<Label>, FieldRefused> {
    Typed(filled).barcode()
}

/// Why what is on record is changed; none if no reason is given.
///
/// # Errors
/// [`FieldRefused`] if it can't be a label.
pub fn why(filled: &Filled) -> Result<Option<Prose>, FieldRefused> {
    filled.prose(HoseField::Why.word(), "a reason")
}

pub(super) const ENDS: [(HoseField, End); 2] =
    [(HoseField::EndA, End::A), (HoseField::EndB, End::B)];

/// What was typed, field by field.
struct Typed<'f>(&'f Filled);

impl Typed<'_> {
    fn typed(&self, field: HoseField) -> &str {
        self.0.get(field.word())
    }

    /// What is said of a tag that was scanned, or whose code was typed.
    fn of_the_tag(&self) -> &'static str {
        match Payload::parse(self.typed(HoseField::Tag)) {
            Err(_) => say::TAG_WAS_TYPED,
            Ok(Payload { passport: None, .. }) => say::TAG_WAS_BLANK,
            Ok(_) => say::TAG_OF_ANOTHER_RECORD,
        }
    }

    fn problem(&self, of: Describes, today: NaiveDate) -> Option<FieldRefused> {
        let asked = |field| of.asks(field).then_some(field);
        let refused = self.described(today).err();
        let refused = refused.or_else(|| asked(HoseField::Tag).and_then(|_| self.tag().err()));
        let refused =
            refused.or_else(|| asked(HoseField::Barcode).and_then(|_| self.barcode().err()));
        refused.or_else(|| asked(HoseField::Why).and_then(|_| why(self.0).err()))
    }

    fn field(&self, field: HoseField, today: NaiveDate) -> Field {
        let shown = Field {
            hint: field.hint().map(ToOwned::to_owned),
            values: self.0.all(field.word()).map(ToOwned::to_owned).collect(),
            wrong: self.wrong(field, today),
            ..Field::new(field.word(), field.label(), self.kind(field))
        };
        let known = self.service().is_ok();
        match field {
            HoseField::Service | HoseField::Construction | HoseField::Length => shown.needed(),
            HoseField::EndA | HoseField::EndB => Field { asked: known, ..shown },
            HoseField::OwnFitting => {
                Field { asked: known && self.typed(HoseField::EndB) == OWN, ..shown }
            }
            _ => shown,
        }
    }

    fn kind(&self, field: HoseField) -> Kind {
        match field {
            HoseField::Service => Kind::Choice(
                Service::ALL.iter().map(|s| Choice::new(s.word(), say::service(*s))).collect(),
            ),
            HoseField::Construction => Kind::Choice(
                Construction::ALL
                    .iter()
                    .map(|c| Choice::new(c.word(), say::construction(*c)))
                    .collect(),
            ),
            HoseField::EndA => Kind::Choice(self.ends(End::A)),
            HoseField::EndB => Kind::Choice(self.ends(End::B)),
            HoseField::Protector | HoseField::Oxygen => Kind::Tick,
            HoseField::Tag => Kind::Tag,
            HoseField::Barcode => Kind::Barcode,
            HoseField::Note | HoseField::Why => Kind::Prose,
            _ => Kind::Text,
        }
    }

    /// What can be chosen at an end: of the chosen service, or of any.
    fn ends(&self, end: End) -> Vec<Choice> {
        let service = self.service().ok();
        let usual = service.and_then(|service| known(service, end).first());
        let usual = usual.map_or_else(
            || say::USUAL_FITTING.to_owned(),
            |fitting| say::fitting(&fitting.to_string(), true),
        );
        let mut choices = vec![Choice::new(USUAL, usual)];
        let services = Service::ALL.iter().filter(|s| service.is_none_or(|known| known == **s));
        for fitting in services.flat_map(|service| known(*service, end).iter().skip(1)) {
            let text = fitting.to_string();
            if !choices.iter().any(|choice| choice.value == text) {
                choices.push(Choice::new(text.as_str(), say::fitting(&text, false)));
            }
        }
        if end == End::B {
            choices.push(Choice::new(OWN, say::OWN_FITTING));
        }
        choices
    }

    /// What is wrong with a field in which something was typed.
    fn wrong(&self, field: HoseField, today: NaiveDate) -> Option<String> {
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
            HoseField::Note => self.0.prose(field.word(), "a note").err(),
            HoseField::Branch => self.label(field, "a branch").err(),
            HoseField::Ticket => self.0.ticket(field.word()).err(),
            HoseField::Protector | HoseField::Oxygen => None,
            HoseField::Tag => self.tag().err(),
            HoseField::Barcode => self.barcode().err(),
            HoseField::Why => why(self.0).err(),
        };
        refused.filter(|refused| refused.field == field.word()).map(|refused| refused.words)
    }

    fn described(&self, today: NaiveDate) -> Result<(Specification, Origin), FieldRefused> {
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
            note: self.0.prose(HoseField::Note.word(), "a note")?,
            branch: self.label(HoseField::Branch, "a branch")?,
            owner: self.0.ticket(HoseField::Ticket.word())?.map(Owner::Ticket),
        })
    }

    fn tag(&self) -> Result<Option<Code>, FieldRefused> {
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

    fn barcode(&self) -> Result<Option<Label>, FieldRefused> {
        let typed = self.typed(HoseField::Barcode);
        if typed.is_empty() {
            return Ok(None);
        }
        if !matches!(Payload::parse(typed), Err(PayloadError::NotOurs { .. })) {
            return Err(refused(HoseField::Barcode, say::BARCODE_IS_A_TAG));
        }
        self.label(HoseField::Barcode, "a barcode")
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
            ("" | USUAL, Some(usual)) => usual.clone(),
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
        Err(refused(field, words))
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

fn refused(field: HoseField, why: impl std::fmt::Display) -> FieldRefused {
    FieldRefused::new(field.word(), why)
}

pub(super) fn known(service: Service, end: End) -> &'static [Fitting] {
    let row = FITTINGS.iter().find(|(s, e, ..)| *s == service && *e == end);
    row.map_or(&[], |(_, _, fittings, _)| fittings)
}

#[cfg(test)]
#[path = "hose_tests.rs"]
mod tests;
