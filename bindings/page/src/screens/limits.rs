//! The limits that hoses are held to: what holds, where it comes from, and the
//! owner's rules.

use hosewright_core::FormRefused;
use hosewright_core::hose::Construction;
use hosewright_core::policy::{Change, Limit, Policy, Scope, Use};
use hosewright_core::view::form::{ANSWER, Filled, limits};
use hosewright_core::words::{self, limits as say, sentence};
use maud::html;

use super::forms::card;
use crate::fields::{Fields, query};
use crate::frame::Screen;
use crate::labels as l;
use crate::response::{Shown, redirect};
use crate::sheet::{Cell, Sheet};
use crate::state::State;

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
        section.card {
            h2 { (words::limits::ONE_KIND) }
            p { (words::limits::ONE_KIND_LEAD) }
            p.others {
                @for construction in Construction::ALL {
                    a.button href={ "/owner/limits?construction=" (construction.word()) "#set" } {
                        (words::limits::for_construction(*construction))
                    }
                }
            }
        }
        (card(state, "set", &limits::draw(&state.request.query.filled()), "/owner/limits"))
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
    let what = vec![words::limits::on(on).to_owned(), words::limits::explained(on).to_owned()];
    vec![Cell::Lines(what), of(Use::Personal), of(Use::Rental)]
}

/// Sets limits; what is not given stays as it was. Asked only what would change, it leads
/// to that.
pub fn set(state: &State<'_>) -> Shown {
    let form = &state.request.form;
    let said = limits::read(&form.filled());
    let (scope, change) = said.map_err(FormRefused::from)?;
    if form.get(ANSWER) == limits::TRY {
        return Ok(redirect(&format!("/owner/limits/check?{}", typed(form))));
    }
    state.write(|logbook, moment| Ok(logbook.limit(scope, change, moment, |_, _| ())?))?;
    Ok(redirect("/owner/limits?written=yes"))
}

/// What was typed, as a question.
fn typed(fields: &Fields) -> String {
    let pairs = fields.pairs().iter().map(|(name, text)| (name.as_str(), text.trim()));
    query(pairs.filter(|(name, text)| !["token", ANSWER].contains(name) && !text.is_empty()))
}

/// What the limits of the question would change, before they are set.
pub fn check(state: &State<'_>) -> Shown {
    let filled = state.request.query.filled();
    let (scope, change) = limits::read(&filled).map_err(FormRefused::from)?;
    let tried = state
        .read(|logbook, moment| Ok(logbook.try_limits(scope, change, moment, |_, _| ())?))?;
    let head = vec![l::CODE, l::LIMITS_NOW, l::LIMITS_THEN, l::WHERE, l::HOSE, l::WHY];
    let rows = tried.changed.iter().map(|hose| {
        vec![
            Cell::Numbered(hose.number.clone(), hose.code),
            Cell::Verdict(hose.before),
            Cell::Verdict(hose.after),
            Cell::text(&hose.place),
            Cell::text(&hose.hose),
            Cell::text(&hose.words),
        ]
    });
    let sheet = Sheet::new("limits-check", head, rows.collect());
    if sheet.wanted(state) {
        return sheet.csv();
    }
    let body = html! {
        h1 { (say::CHECKED) }
        p { b { (sentence(&scope.to_string())) } " " (change) }
        p.result role="status" { (tried.words) }
        p { (say::judged(tried.hoses)) " " b { (say::NOT_WRITTEN) } }
        @if !sheet.is_empty() { (sheet.drawn(state)) }
        (card(state, "confirm", &limits::confirm(&filled), "/owner/limits"))
        p { a.button href={ "/owner/limits?" (typed(&state.request.query)) "#set" } { (say::BACK) } }
    };
    Ok(Screen::new(say::CHECKED, body).shown(state))
}
