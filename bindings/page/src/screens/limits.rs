//! The limits that hoses are held to: what holds, where it comes from, and the
//! owner's rules.

use hosewright_core::FormRefused;
use hosewright_core::policy::{Change, Limit, Policy, Scope, Use};
use hosewright_core::view::form::{Filled, limits};
use hosewright_core::words;
use maud::html;

use super::forms::card;
use crate::frame::Screen;
use crate::labels as l;
use crate::response::{Shown, redirect};
use crate::sheet::{Cell, Sheet};
use crate::state::State;
use hosewright_core::words::sentence;

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
        (card(state, "set", &limits::draw(&Filled::default()), "/owner/limits"))
        (card(state, "unknown", &limits::draw_unknown(&Filled::default(), a_day), "/owner/limits"))
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

/// Sets limits; what is not given stays as it was.
pub fn set(state: &State<'_>) -> Shown {
    let said = limits::read(&state.request.form.filled());
    let (scope, change) = said.map_err(FormRefused::from)?;
    state.write(|logbook, moment| Ok(logbook.limit(scope, change, moment, |_, _| ())?))?;
    Ok(redirect("/owner/limits?written=yes"))
}
