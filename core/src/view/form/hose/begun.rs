//! What the form about a hose begins with: nothing, what is on record, or what a tag says.

use super::super::Filled;
use super::{ENDS, OWN, USUAL, known};
use crate::hose::{Fitting, Label, Origin, Owner, Specification};
use crate::measure::PartialDate;
use crate::record;
use crate::tag::Payload;
use crate::tag::payload::FittingKind;
use crate::words::form::HoseField;

/// The form for a new hose before anything was typed.
#[must_use]
pub fn empty() -> Filled {
    let mut filled = Filled::default();
    filled.set(HoseField::EndA.word(), USUAL);
    filled.set(HoseField::EndB.word(), USUAL);
    filled
}

/// The form with what is on record about a hose.
#[must_use]
pub fn on_record(hose: Option<&Specification>, origin: &Origin) -> Filled {
    let mut filled = hose.map_or_else(empty, of_specification);
    let own = &origin.own;
    let ticket = own.owner.as_ref().and_then(Owner::ticket).map(ToString::to_string);
    let date = |date: Option<PartialDate>| date.map(|date| date.to_string());
    let label = |label: &Option<Label>| label.as_ref().map(ToString::to_string);
    for (field, text) in [
        (HoseField::Made, date(origin.made)),
        (HoseField::Bought, date(origin.bought)),
        (HoseField::InService, date(origin.in_service)),
        (HoseField::Maker, label(&origin.maker)),
        (HoseField::Lot, label(&origin.lot)),
        (HoseField::Model, label(&origin.model)),
        (HoseField::Number, label(&own.number)),
        (HoseField::Note, own.note.as_ref().map(ToString::to_string)),
        (HoseField::Branch, label(&own.branch)),
        (HoseField::Ticket, ticket),
    ] {
        filled.set(field.word(), &text.unwrap_or_default());
    }
    filled
}

fn of_specification(hose: &Specification) -> Filled {
    let mut filled = Filled::default();
    filled.set(HoseField::Service.word(), hose.service().word());
    filled.set(HoseField::Construction.word(), hose.construction().word());
    filled.set(HoseField::Length.word(), hose.length().as_typed());
    for (field, end) in ENDS {
        let fitting = hose.fitting(end);
        let usual = known(hose.service(), end).first() == Some(fitting);
        match fitting {
            Fitting::Proprietary(own) => {
                filled.set(field.word(), OWN);
                filled.set(HoseField::OwnFitting.word(), own.as_str());
            }
            _ if usual => filled.set(field.word(), USUAL),
            other => filled.set(field.word(), &other.to_string()),
        }
    }
    filled.tick(HoseField::Protector.word(), hose.protector());
    filled.tick(HoseField::Oxygen.word(), hose.oxygen());
    filled
}

/// The form with what a tag says of its hose: dates to the month, and the length
/// rounded.
#[must_use]
pub fn of_tag(payload: &Payload) -> Filled {
    let mut filled = on_record(None, &record::HoseRecord::of_tag(payload).origin);
    let Some(passport) = payload.passport else { return filled };
    filled.set(HoseField::Service.word(), passport.service().word());
    filled.set(HoseField::Construction.word(), passport.construction().word());
    let about = passport.length().to_string();
    filled.set(HoseField::Length.word(), about.trim_start_matches("about "));
    for (field, end) in ENDS {
        let fitting = match passport.fitting(end) {
            FittingKind::Thread(thread) => Fitting::Thread(thread).to_string(),
            FittingKind::QuickDisconnect => Fitting::QuickDisconnect.to_string(),
            FittingKind::Proprietary => OWN.to_owned(),
        };
        let usual = known(passport.service(), end).first().map(ToString::to_string);
        filled.set(field.word(), if usual.as_ref() == Some(&fitting) { USUAL } else { &fitting });
    }
    filled.tick(HoseField::Protector.word(), passport.protector());
    filled
}
