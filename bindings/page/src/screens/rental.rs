//! Handing a set out and taking it back.

use hosewright_core::FormRefused;
use hosewright_core::hose::Label;
use hosewright_core::rental::HandOutCheck;
use hosewright_core::set_view::Checked;
use hosewright_core::{TakenBack, words};
use maud::{Markup, html};

use super::forms::card;
use super::sets;
use super::sets::named;
use crate::fields::Fields;
use crate::frame::{Scan, Screen};
use crate::labels as l;
use crate::parts::{checked, link};
use crate::response::{Response, Shown};
use crate::state::State;
use hosewright_core::view::form::rental;
use hosewright_core::words::sentence;

/// More scans than any set has hoses.
const MOST: usize = 64;

/// What was scanned so far, each once.
fn scanned(fields: &Fields) -> Vec<String> {
    let mut all: Vec<String> = Vec::new();
    for text in fields.all("scanned") {
        if !all.contains(&text) && all.len() < MOST {
            all.push(text);
        }
    }
    all
}

/// The live list: what was scanned, what is missing, foreign or held.
pub fn check(state: &State<'_>) -> Shown {
    let set = named(state.parameter("name"))?;
    let texts = scanned(&state.request.query);
    let check = state.read(|logbook, moment| Ok(logbook.hand_out_check(&set, &texts, moment)?))?;
    Ok(checking(state, &set, &texts, &check))
}

fn checking(state: &State<'_>, set: &Label, texts: &[String], check: &HandOutCheck) -> Response {
    let kept: Vec<(String, String)> =
        texts.iter().map(|text| ("scanned".to_owned(), text.clone())).collect();
    let at = sets::to(set, "/out");
    let scan = Scan {
        action: at.clone(),
        field: "scanned",
        label: l::SCAN_FOR_SET,
        kept: kept.clone(),
        several: true,
    };
    let of = check.found.len() + check.missing.len();
    let body = html! {
        h1 { (l::OUT_TITLE) ": " (l::SET) " " (set) }
        p.result.(if check.ready { "ready" } else { "hold" }) role="status" {
            b.count { (check.found.len()) " " (l::OUT_OF) " " (of) } " " (check.words)
        }
        @if check.ready { (state.form(&at).shown(&rental::hand_out(texts, false))) }
        @if !check.ready && texts.is_empty() { (missing(&check.missing)) }
        @else {
            @if !check.stops.is_empty() {
                section {
                    h2 { (l::OUT_STOPS) }
                    ul.reasons {
                        @for stop in &check.stops {
                            li.hold { div { p.why { (stop.words) } p.todo { (stop.todo) } } }
                        }
                    }
                }
            }
            @if !check.watch.is_empty() { (list(l::OUT_WATCH, &check.watch)) }
            @if !check.foreign.is_empty() {
                section {
                    h2 { (l::OUT_FOREIGN) }
                    ul.list {
                        @for foreign in &check.foreign {
                            li { b { (foreign.scanned) } " " (foreign.words) }
                        }
                    }
                }
            }
            @if !check.missing.is_empty() { (missing(&check.missing)) }
            @if !check.found.is_empty() { (list(l::OUT_FOUND, &check.found)) }
            @if !check.ready && !texts.is_empty() {
                @if check.can_be_lifted() {
                    (card(state, "over", &rental::hand_out(texts, true), &at))
                } @else {
                    section.card { h2 { (l::OUT_OVER) } p { (words::sets::OVERRIDE_DOES_NOT_LIFT) } }
                }
            }
            p.under { a.button href=(at) { (l::OUT_AGAIN) } }
        }
    };
    Screen::new(format!("{} · {set}", l::OUT_TITLE), body).scan(scan).shown(state)
}

/// What is missing stands without its verdict: a green sign would say that all
/// is well.
fn missing(hoses: &[Checked]) -> Markup {
    html! {
        section {
            h2 { (l::OUT_MISSING) " (" (hoses.len()) ")" }
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
    let (set, fields) = (named(state.parameter("name"))?, &state.request.form);
    let said = rental::read_hand_out(&fields.filled()).map_err(FormRefused::from)?;
    let (by, why) = said.over.unzip();
    let own = by.map(|name| state.request.by(name));
    let state = &State { request: own.as_ref().unwrap_or(state.request), ..*state };
    let (ticket, texts) = (said.ticket, scanned(fields));
    let check = state.write(|logbook, moment| {
        Ok(logbook.hand_out(&set, ticket.clone(), &texts, why, None, moment)?)
    })?;
    Ok(gone(state, &set, &ticket, &check))
}

fn gone(state: &State<'_>, set: &Label, ticket: &Label, check: &HandOutCheck) -> Response {
    let body = html! {
        h1 { (words::sets::handed_out(set, ticket, check.going().len())) }
        @if !check.stops.is_empty() {
            section {
                h2 { (words::sets::OVER_THESE) }
                ul.reasons { @for stop in &check.stops { li.hold { div { p.why { (stop.words) } } } } }
            }
        }
        @if !check.watch.is_empty() { (list(l::OUT_WATCH, &check.watch)) }
        p.under { a.button.main href="/sets" { (l::SETS_TITLE) } }
    };
    Screen::new(l::OUT_TITLE, body).shown(state)
}

/// The form for a set that comes back. What is scanned is here.
pub fn form(state: &State<'_>) -> Shown {
    let set = named(state.parameter("name"))?;
    let texts = scanned(&state.request.query);
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
        field: "scanned",
        label: words::inspection::SCAN_RETURN,
        kept: texts.into_iter().map(|text| ("scanned".to_owned(), text)).collect(),
        several: true,
    };
    Ok(Screen::new(format!("{} · {set}", l::IN_TITLE), body).scan(scan).shown(state))
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
        h1 { (l::IN_TITLE) ": " (l::SET) " " (back.set) }
        p.result.(if back.quarantined { "hold" } else { "ready" }) role="status" {
            (back.words)
        }
        @for difference in &back.differences { p { (difference) } }
        @if !back.stops.is_empty() { (list(l::OUT_STOPS, &back.stops)) }
        @if !back.missing.is_empty() { (list(l::IN_LOST, &back.missing)) }
        @if !back.hoses.is_empty() { (list(l::IN_HOSES, &back.hoses)) }
        p.under { a.button.main href="/sets" { (l::SETS_TITLE) } }
    };
    Screen::new(l::IN_TITLE, body).shown(state)
}
