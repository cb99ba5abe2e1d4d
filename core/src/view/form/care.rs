//! Small forms about one hose: what is done to it, and a hold and its release.

use chrono::NaiveDate;

use super::{Choice, Field, FieldRefused, Filled, Form, Kind, typed};
use crate::answer::Answer;
use crate::event::PortName;
use crate::fit::FIT_CAUTIONS;
use crate::fit::seal::SEAL_CAUTIONS;
use crate::hose::{End, Grease, Label};
use crate::record::Hold;
use crate::view::Action;
use crate::words::RECOUPLE;
use crate::words::care as say;
use crate::words::form::{NEW_TAG, NEW_TAG_HINT, SAVE};
use crate::words::inspection::{ON_DAY, OPTIONAL};
use crate::words::notices::{
    BARCODE_LEADS_TOO, CLEANED, NO_FREE_PORT, OLD_TAG_WITHDRAWN, RETIRED_FOR_GOOD,
};
use crate::words::screens::CONFIRM_LEAD;
use crate::words::{labels, withdrawal};

fn day() -> Field {
    Field::new("on", ON_DAY, Kind::Date)
}

/// A reason that has to be given.
#[must_use]
pub fn why() -> Field {
    Field::prose("why", say::WHY).hint(say::WHY_HINT).needed()
}

fn titled(action: Action, submit: &str, fields: Vec<Field>) -> Form {
    Form::new(action.in_words(), submit, fields)
}

/// The small form of an action; none if it has none, or one that needs more than
/// what is said here.
#[must_use]
pub fn draw(action: Action) -> Option<Form> {
    let named = |fields| titled(action, action.in_words(), fields);
    let saved = |fields| titled(action, SAVE, fields);
    Some(match action {
        Action::Clean { .. } => saved(Vec::new()).lead(CLEANED),
        Action::ReplaceCoupling { .. } => saved(vec![day()]).lead(RECOUPLE),
        Action::Dive { .. } => dive(say::DIVED),
        Action::BindBarcode { .. } => {
            let field = Field::new("barcode", say::BARCODE, Kind::Barcode);
            named(vec![field.needed()]).lead(BARCODE_LEADS_TOO)
        }
        Action::Retag { .. } => {
            let field = Field::new("tag", NEW_TAG, Kind::Tag).hint(NEW_TAG_HINT);
            named(vec![field]).lead(OLD_TAG_WITHDRAWN)
        }
        Action::Retire { .. } => named(vec![why()]).lead(RETIRED_FOR_GOOD),
        Action::Hold { .. } => hold(action.in_words()),
        Action::ConfirmPlace { .. } => named(Vec::new()).lead(CONFIRM_LEAD),
        _ => return None,
    })
}

/// The form that confirms a hose's place; none if its place is not in dispute.
#[must_use]
pub fn confirm(answer: &Answer) -> Option<Form> {
    let contested = answer.reasons.iter().any(|reason| reason.code == "place-contested");
    contested.then(|| draw(Action::ConfirmPlace { hose: answer.code })).flatten()
}

/// New O-rings at one end of a hose; of one cleaned for oxygen, with which grease.
#[must_use]
pub fn reseal(hose: crate::tag::Code, for_oxygen: bool) -> Form {
    let ends = [("a", say::END_A), ("b", say::END_B)];
    let greases = [("oxygen", say::GREASE_OXYGEN), ("other", say::GREASE_OTHER)];
    let grease = for_oxygen.then(|| Field::choice("grease", say::GREASE, greases).needed());
    let mut fields = vec![
        Field::choice("end", say::WHICH_END, ends).needed(),
        Field::text("seal", say::SEAL_SIZE).hint(OPTIONAL),
    ];
    fields.extend(grease);
    fields.push(day());
    let form = titled(Action::Reseal { hose, end: None }, SAVE, fields);
    Form { cautions: texts(SEAL_CAUTIONS), ..form }
}

/// What was said about new O-rings: the end, the size, the grease, the day.
pub type Resealed = (End, Option<Label>, Option<Grease>, Option<NaiveDate>);

/// What a form about new O-rings says.
///
/// # Errors
/// [`FieldRefused`] with what is missing or wrong.
pub fn read_reseal(filled: &Filled) -> Result<Resealed, FieldRefused> {
    let end = filled.needed("end", say::NO_END)?;
    let size = |text| typed::seal(text).map_err(|why| FieldRefused::new("seal", why));
    let seal = filled.given("seal").map(size).transpose()?;
    Ok((end, seal, filled.parsed("grease")?, filled.day("on")?))
}

/// Dives that were made outside a rental; `lead` says with what.
#[must_use]
pub fn dive(lead: &str) -> Form {
    let dives = Field::number("dives", say::DIVES, 999).needed();
    Form::new(say::DIVE, SAVE, vec![dives, day()]).lead(lead)
}

/// How many dives a form says.
///
/// # Errors
/// [`FieldRefused`] if it says none.
pub fn read_dives(filled: &Filled) -> Result<u32, FieldRefused> {
    let dives: u32 = filled.needed("dives", say::NO_DIVES)?;
    if dives == 0 { Err(FieldRefused::new("dives", say::NO_DIVES)) } else { Ok(dives) }
}

/// A hold by hand, of a hose or a set.
#[must_use]
pub fn hold(title: &str) -> Form {
    Form::new(title, title, vec![why(), Field::tick("incident", say::INCIDENT)])
}

/// The release of a hose or a set, with what holds it.
#[must_use]
pub fn release(title: &str, holds: &[Hold]) -> Form {
    if holds.is_empty() {
        return Form::new(title, "", Vec::new()).lead(say::NOT_HELD);
    }
    let lead = holds.iter().map(say::held).collect();
    Form { lead, ..Form::new(title, title, vec![why()]) }
}

/// A port of a set to fit a hose in; the first is the best.
#[must_use]
pub fn fit(set: &Label, ports: &[PortName]) -> Form {
    let title = say::fit_in(set);
    if ports.is_empty() {
        return Form::new(title, "", Vec::new()).lead(NO_FREE_PORT);
    }
    let ports: Vec<String> = ports.iter().map(ToString::to_string).collect();
    let choices = ports.iter().map(|port| (port.as_str(), port.as_str()));
    let port = Field::choice("port", say::PORT, choices).needed();
    let best = ports.first().cloned().unwrap_or_default();
    let fields = vec![Field::fixed("set", set), port.value(best), day()];
    Form { cautions: texts(FIT_CAUTIONS), ..Form::new(title, say::FIT, fields) }
}

/// Where a hose may go.
#[derive(Debug)]
pub struct Placing<'p> {
    /// The sets to choose from; none if it is in one.
    pub sets: Vec<Choice>,
    /// The set that is chosen, or that it is in.
    pub chosen: Option<&'p Label>,
    /// Whether it is in one.
    pub fitted: bool,
    /// The free ports of that set that take it, the best first.
    pub ports: &'p [PortName],
}

/// The answer with which a hose goes to stock.
pub const TO_STOCK: &str = "stock";

/// Where a hose goes; `place` says where it is.
#[must_use]
pub fn place(of: Placing<'_>, place: &str) -> Form {
    let mut fields = Vec::new();
    if !of.fitted {
        fields.push(Field::new("set", say::CHOOSE_SET, Kind::Choice(of.sets)).needed());
    }
    let port = |port: &PortName| Choice::new(port.to_string(), port.to_string());
    let fits = !of.ports.is_empty();
    if fits {
        let ports = Kind::Choice(of.ports.iter().map(port).collect());
        fields.extend([Field::new("port", say::PORT, ports).needed(), day()]);
    }
    let lead = vec![format!("{}: {place}", labels::WHERE)];
    let full = (of.chosen.is_some() && !fits).then(|| NO_FREE_PORT.to_owned());
    let cautions = if fits { texts(FIT_CAUTIONS) } else { Vec::new() };
    let fit = fits.then(|| Choice::new("", say::FIT));
    let stock = of.fitted.then(|| Choice::new(TO_STOCK, say::TO_STOCK));
    let title = of.chosen.map_or_else(|| say::PLACE.to_owned(), say::fit_in);
    let form = Form::new(title, "", fields);
    Form {
        lead: lead.into_iter().chain(full).collect(),
        answers: fit.into_iter().chain(stock).collect(),
        cautions,
        ..form
    }
}

/// The box that withdraws only the chosen one of several entries.
pub const ALONE: &str = "alone";

/// The withdrawal of an entry, or of several that were written together.
#[must_use]
pub fn withdrawal(several: bool) -> Form {
    let alone = several.then(|| Field::tick(ALONE, withdrawal::ALONE));
    let fields = [why()].into_iter().chain(alone);
    Form::new(withdrawal::WITHDRAW, withdrawal::GO, fields.collect())
}

fn texts(cautions: &[&str]) -> Vec<String> {
    cautions.iter().map(ToString::to_string).collect()
}
