//! The forms for limits: of hoses, and of the dives that nobody knows.

use super::set::USES;
use super::typed::{DiveLimit, Months};
use super::{Choice, Field, FieldRefused, Filled, Form, Kind};
use crate::hose::{Construction, Service};
use crate::policy::{Change, Limit, Scope};
use crate::words::limits::{CAUTION, CHECK, MORE_PARTICULAR_WINS, on};
use crate::words::returns::dives_unknown;
use crate::words::{form, set_form as say};

/// The field of a limit, and how it is written.
const fn field(limit: Limit) -> (&'static str, &'static str) {
    match limit {
        Limit::InService => ("in_service", say::TIME_HINT),
        Limit::FromMade => ("from_made", say::TIME_HINT),
        Limit::Dives => ("dives", say::DIVES_HINT),
        Limit::FullInspection => ("full_inspection", say::TIME_HINT),
    }
}

/// The form that sets limits.
#[must_use]
pub fn draw(filled: &Filled) -> Form {
    let any =
        |choices: Vec<Choice>| Kind::Choice([vec![Choice::new("", say::ANY)], choices].concat());
    let uses = USES.map(|(value, label)| Choice::new(value, label)).into();
    let services = Service::ALL.iter().map(|s| Choice::new(s.word(), form::service(*s)));
    let constructions =
        Construction::ALL.iter().map(|c| Choice::new(c.word(), form::construction(*c)));
    let mut fields = vec![
        Field::new("use", say::WHICH_USE, any(uses)),
        Field::new("service", say::WHICH_SERVICE, any(services.collect())),
        Field::new("construction", say::WHICH_CONSTRUCTION, any(constructions.collect())),
    ];
    fields.extend(Limit::ALL.map(|limit| {
        let (name, hint) = field(limit);
        Field::text(name, on(limit)).hint(hint)
    }));
    let mut form = Form::new(say::LIMITS, say::LIMITS, fields);
    form.answers = vec![Choice::new(TRY, CHECK), Choice::new(SET, say::LIMITS)];
    let form = form.lead(CAUTION).lead(MORE_PARTICULAR_WINS).lead(say::LIMITS_LEAD);
    form.filled(filled).checked(&read(filled))
}

/// The answer that only asks what would change.
pub const TRY: &str = "try";
const SET: &str = "set";

/// The form that sets what was checked, as it was typed.
#[must_use]
pub fn confirm(filled: &Filled) -> Form {
    let names = ["use", "service", "construction"].into_iter();
    let names = names.chain(Limit::ALL.map(|limit| field(limit).0));
    let typed = names.filter_map(|name| Some(Field::fixed(name, filled.given(name)?)));
    Form::new(say::LIMITS, say::LIMITS, typed.collect())
}

/// The form that sets the dives a day that count if a return doesn't know.
#[must_use]
pub fn draw_unknown(filled: &Filled, a_day: u32) -> Form {
    let field = Field::text(UNKNOWN, say::UNKNOWN_DIVES).needed();
    let form = Form::new(say::UNKNOWN_DIVES, say::UNKNOWN_DIVES_GO, vec![field]);
    form.lead(dives_unknown(a_day)).filled(filled)
}

const UNKNOWN: &str = "unknown_dives";

/// What either form says; limits that are not given stay as they were.
///
/// # Errors
/// [`FieldRefused`] with what is missing or wrong.
pub fn read(filled: &Filled) -> Result<(Scope, Change), FieldRefused> {
    let months = |limit: Limit| -> Result<Option<u32>, FieldRefused> {
        let months: Option<Months> = filled.parsed(field(limit).0)?;
        Ok(months.map(|months| months.0))
    };
    let dives: Option<DiveLimit> = filled.parsed(field(Limit::Dives).0)?;
    let (in_service, from_made) = (months(Limit::InService)?, months(Limit::FromMade)?);
    let (dives, full) = (dives.map(|limit| limit.0), months(Limit::FullInspection)?);
    let change = match filled.parsed(UNKNOWN)? {
        Some(a_day) => {
            Change::of_unknown_dives(a_day).map_err(|error| FieldRefused::new(UNKNOWN, error))
        }
        None => Change::new(in_service, from_made, dives, full)
            .map_err(|error| FieldRefused::new("", error)),
    }?;
    let (service, construction) = (filled.parsed("service")?, filled.parsed("construction")?);
    Ok((Scope { service, construction, in_use: filled.parsed("use")? }, change))
}
