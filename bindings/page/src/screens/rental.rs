//! Handing a set out and taking it back.

use hosewright_core::hose::Label;
use hosewright_core::rental::HandOutCheck;
use hosewright_core::set_view::Checked;
use hosewright_core::{TakenBack, words};
use maud::{Markup, html};

use super::forms::card;
use super::sets;
use super::sets::named;
use crate::frame::{Scan, Screen};
use crate::labels as l;
use crate::parts::{checked, link};
use crate::response::{Response, Shown};
use crate::state::State;
use hosewright_core::view::form::{Form, rental};
use hosewright_core::words::sentence;

/// The live list: what was scanned, what is missing, foreign or held.
pub fn check(state: &State<'_>) -> Shown {
    let set = named(state.parameter("name"))?;
    let filled = state.request.query.filled();
    let (check, form) =
        state.read(|logbook, moment| Ok(logbook.hand_out_form(&set, &filled, moment)?))?;
    Ok(checking(state, &set, &rental::scanned(&filled), (&check, &form)))
}

fn checking(
    state: &State<'_>,
    set: &Label,
    texts: &[String],
    (check, form): (&HandOutCheck, &Form),
) -> Response {
    let at = sets::to(set, "/out");
    let scan = Scan {
        action: at.clone(),
        field: rental::SCANNED,
        label: l::SCAN_SET,
        kept: kept(texts),
        several: true,
    };
    let of = check.found.len() + check.missing.len();
    let body = html! {
        h1 { (l::HAND_OUT) ": " (l::SET) " " (set) }
        p.result.(if check.ready { "ready" } else { "hold" }) role="status" {
            b.count { (check.found.len()) " " (l::OUT_OF) " " (of) } " " (check.words)
        }
        @if check.ready { (state.form(&at).shown(form)) }
        @if !check.ready && texts.is_empty() { (missing(&check.missing)) }
        @else {
            @if !check.stops.is_empty() {
                section {
                    h2 { (l::STOPS) }
                    ul.reasons {
                        @for stop in &check.stops {
                            li.hold { div { p.why { (stop.words) } p.todo { (stop.todo) } } }
                        }
                    }
                }
            }
            @if !check.watch.is_empty() { (list(l::TELL_HIRER, &check.watch)) }
            @if !check.foreign.is_empty() {
                section {
                    h2 { (l::FOREIGN) }
                    ul.list {
                        @for foreign in &check.foreign {
                            li { b { (foreign.scanned) } " " (foreign.words) }
                        }
                    }
                }
            }
            @if !check.missing.is_empty() { (missing(&check.missing)) }
            @if !check.found.is_empty() { (list(l::FOUND, &check.found)) }
            @if !check.ready && !texts.is_empty() { (card(state, "over", form, &at)) }
            p.under { a.button href=(at) { (l::OUT_AGAIN) } }
        }
    };
    Screen::new(format!("{} · {set}", l::HAND_OUT), body).scan(scan).shown(state)
}

fn kept(texts: &[String]) -> Vec<(String, String)> {
    texts.iter().map(|text| (rental::SCANNED.to_owned(), text.clone())).collect()
}

/// What is missing stands without its verdict: a green sign would say that all
/// is well.
fn missing(hoses: &[Checked]) -> Markup {
    html! {
        section {
            h2 { (l::MISSING) " (" (hoses.len()) ")" }
            ul.list {
                @for hose in hoses {
                    li {
                        @if let Some(port) = hose.port { b { (port) } " " }
                        (link(hose.code)) " " (hose.words)
                    }
                }
            }
        }
    }
}

fn list(title: &str, hoses: &[Checked]) -> Markup {
    html! {
        section { h2 { (title) " (" (hoses.len()) ")" } ul.reasons { @for hose in hoses { (checked(hose)) } } }
    }
}

/// Hands it out; with a name and a reason over what stops it.
pub fn hand_out(state: &State<'_>) -> Shown {
    let (set, filled) = (named(state.parameter("name"))?, state.request.form.filled());
    let out = state.write(|logbook, moment| Ok(logbook.submit_hand_out(&set, &filled, moment)?))?;
    let check = &out.check;
    let body = html! {
        h1 { (out.words) }
        @if !check.stops.is_empty() {
            section {
                h2 { (words::sets::OVER_THESE) }
                ul.reasons { @for stop in &check.stops { li.hold { div { p.why { (stop.words) } } } } }
            }
        }
        @if !check.watch.is_empty() { (list(l::TELL_HIRER, &check.watch)) }
        p.under { a.button.main href="/sets" { (l::SETS_TITLE) } }
    };
    Ok(Screen::new(l::HAND_OUT, body).shown(state))
}

/// The form for a set that comes back. What is scanned is here.
pub fn form(state: &State<'_>) -> Shown {
    let set = named(state.parameter("name"))?;
    let texts = rental::scanned(&state.request.query.filled());
    let (form, strange) = state.read(|logbook, moment| {
        let mut filled = state.refused.map(|refused| refused.typed.filled()).unwrap_or_default();
        let strange = logbook.scan_return(&set, &mut filled, texts.iter().map(String::as_str))?;
        Ok((logbook.return_form(&set, &filled, moment)?, strange))
    })?;
    let body = html! {
        h1 { (form.title) }
        @for why in &strange { p.result.watch { (sentence(why)) } }
        (state.form(sets::to(&set, "/in")).class("looking").shown(&form))
    };
    let scan = Scan {
        action: sets::to(&set, "/in"),
        field: rental::SCANNED,
        label: words::inspection::SCAN_RETURN,
        kept: kept(&texts),
        several: true,
    };
    Ok(Screen::new(format!("{} · {set}", l::TAKE_BACK), body).scan(scan).shown(state))
}

/// Takes it back.
pub fn take_back(state: &State<'_>) -> Shown {
    let set = named(state.parameter("name"))?;
    let filled = state.request.form.filled();
    let back = state.write(|logbook, moment| Ok(logbook.submit_return(&set, &filled, moment)?))?;
    Ok(returned(state, &back))
}

fn returned(state: &State<'_>, back: &TakenBack) -> Response {
    let body = html! {
        h1 { (l::TAKE_BACK) ": " (l::SET) " " (back.set) }
        p.result.(if back.quarantined { "hold" } else { "ready" }) role="status" {
            (back.words)
        }
        @for difference in &back.differences { p { (difference) } }
        @if !back.stops.is_empty() { (list(l::STOPS, &back.stops)) }
        @if !back.missing.is_empty() { (list(l::LOST, &back.missing)) }
        @if !back.hoses.is_empty() { (list(l::CAME_BACK, &back.hoses)) }
        p.under { a.button.main href="/sets" { (l::SETS_TITLE) } }
    };
    Screen::new(l::TAKE_BACK, body).shown(state)
}
