//! The limits that hoses are held to: what holds, where it comes from, and the
//! owner's rules.

use hosewright_core::hose::{Construction, Service};
use hosewright_core::policy::{Change, Limit, Policy, Scope, Use};
use hosewright_core::words;
use maud::{Markup, html};

use crate::form::{Field, save};
use crate::frame::Screen;
use crate::labels as l;
use crate::parts::{cautions, sentence};
use crate::refusal::Refusal;
use crate::response::{Shown, redirect};
use crate::sheet::{Cell, Sheet};
use crate::state::State;
use crate::typed::{DiveLimit, Months};

/// The field of the form that sets a limit.
const fn field(limit: Limit) -> (&'static str, &'static str) {
    match limit {
        Limit::InService => ("in_service", l::LIMITS_TIME_HINT),
        Limit::FromMade => ("from_made", l::LIMITS_TIME_HINT),
        Limit::Dives => ("dives", l::LIMITS_DIVES_HINT),
        Limit::FullInspection => ("full_inspection", l::LIMITS_TIME_HINT),
    }
}

/// What holds, and the form that sets it.
pub fn show(state: &State<'_>) -> Shown {
    let (policy, a_day) = state.read(|logbook, moment| {
        Ok((logbook.fleet()?.policy().clone(), logbook.dives_a_day(moment)?))
    })?;
    let head = vec![l::LIMITS_ON, l::LIMITS_PERSONAL, l::LIMITS_RENTAL];
    let sheet = Sheet::new("limits", head, Limit::ALL.map(|on| row(&policy, on)).into());
    if sheet.wanted(state) {
        return sheet.csv();
    }
    let rules: Vec<(&Scope, &Change)> = policy.rules().collect();
    let body = html! {
        h1 { (l::LIMITS_TITLE) }
        @if state.request.query.given("written").is_some() { p.written role="status" { (l::WRITTEN) } }
        h2 { (l::LIMITS_HOLD) }
        (sheet.drawn(state))
        @if !rules.is_empty() {
            h2 { (l::LIMITS_RULES) }
            ul.list {
                @for (scope, change) in rules { li { b { (sentence(&scope.to_string())) } " " (change) } }
            }
        }
        section.card { (form(state)) }
        section.card {
            h2 { (l::LIMITS_UNKNOWN_DIVES) }
            @let form = state.form("/owner/limits");
            (form.drawn(html! {
                p { (words::returns::dives_unknown(a_day)) }
                (form.field(&Field::new("unknown_dives", l::LIMITS_UNKNOWN_DIVES).needed()))
                p { button.main type="submit" { (l::LIMITS_SET_UNKNOWN_DIVES) } }
            }))
        }
    };
    Ok(Screen::new(l::LIMITS_TITLE, body).shown(state))
}

/// A limit in each use, with where it comes from. What an owner's rule says of
/// one service or construction stands among the rules.
fn row(policy: &Policy, on: Limit) -> Vec<Cell> {
    let of = |in_use: Use| {
        let value = words::limits::value(&policy.limits(None, in_use), on);
        Cell::Lines(vec![value, words::limits::source(policy.source(None, in_use, on))])
    };
    vec![Cell::text(words::limits::on(on)), of(Use::Personal), of(Use::Rental)]
}

fn form(state: &State<'_>) -> Markup {
    let any = ("", l::LIMITS_ANY);
    let uses = [any, ("rental", l::SET_RENTAL), ("personal", l::SET_PERSONAL)];
    let services = [
        any,
        ("second-stage", l::SERVICE_SECOND),
        ("inflator", l::SERVICE_INFLATOR),
        ("gauge", l::SERVICE_GAUGE),
    ];
    let constructions = [any, ("rubber", l::RUBBER), ("braided", l::BRAIDED)];
    html! {
        h2 { (l::LIMITS_SET) }
        (cautions(&[words::limits::CAUTION, words::limits::MORE_PARTICULAR_WINS]))
        @let form = state.form("/owner/limits");
        (form.drawn(html! {
            (form.choice("use", l::LIMITS_WHICH_USE, "", &uses))
            (form.choice("service", l::LIMITS_WHICH_SERVICE, "", &services))
            (form.choice("construction", l::LIMITS_WHICH_CONSTRUCTION, "", &constructions))
            p { (l::LIMITS_SET_LEAD) }
            @for limit in Limit::ALL {
                @let (name, hint) = field(limit);
                (form.field(&Field::new(name, words::limits::on(limit)).hint(hint)))
            }
            (save(l::LIMITS_SET))
        }))
    }
}

/// Sets limits; what is not given stays as it was.
pub fn set(state: &State<'_>) -> Shown {
    let fields = &state.request.form;
    let months = |limit: Limit| -> Result<Option<u32>, Refusal> {
        let months: Option<Months> = fields.parsed(field(limit).0)?;
        Ok(months.map(|months| months.0))
    };
    let dives: Option<DiveLimit> = fields.parsed(field(Limit::Dives).0)?;
    let (in_service, from_made) = (months(Limit::InService)?, months(Limit::FromMade)?);
    let dives = dives.map(|limit| limit.0);
    let change = match fields.parsed("unknown_dives")? {
        Some(a_day) => Change::of_unknown_dives(a_day).map_err(|e| Refusal::at("unknown_dives", e)),
        None => Change::new(in_service, from_made, dives, months(Limit::FullInspection)?)
            .map_err(Refusal::bad),
    }?;
    let service: Option<Service> = fields.parsed("service")?;
    let construction: Option<Construction> = fields.parsed("construction")?;
    let scope = Scope { service, construction, in_use: fields.parsed("use")? };
    state.write(|logbook, moment| Ok(logbook.limit(scope, change, moment)?))?;
    Ok(redirect("/owner/limits?written=yes"))
}
