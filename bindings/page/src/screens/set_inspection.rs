//! A set's hoses scanned one after another, then inspected and leak-tested together.

use hosewright_core::view::form::rental::SCANNED;
use hosewright_core::words::inspection as say;
use maud::html;

use super::sets::{self, named};
use crate::frame::{Scan, Screen};
use crate::labels as l;
use crate::response::{Shown, redirect};
use crate::state::State;

/// The hoses that were scanned, each with its checkpoints, and those that were not.
pub fn form(state: &State<'_>) -> Shown {
    let set = named(state.parameter("name"))?;
    let filled = match state.refused {
        Some(refused) => refused.typed.filled(),
        None => state.request.query.filled(),
    };
    let (scanned, form) =
        state.read(|logbook, moment| Ok(logbook.set_inspection_form(&set, &filled, moment)?))?;
    let at = sets::to(&set, "/inspect");
    let scan = Scan {
        action: at.clone(),
        field: SCANNED,
        label: l::SCAN_SET,
        kept: filled.all(SCANNED).map(|text| (SCANNED.to_owned(), text.to_owned())).collect(),
        several: true,
        elsewhere: !scanned.hoses.is_empty() && scanned.missing.is_empty(),
        saves: false,
    };
    let of = scanned.hoses.len() + scanned.missing.len();
    let body = html! {
        h1 { (say::SET_TITLE) ": " (scanned.set) }
        p.result role="status" {
            b.count { (scanned.hoses.len()) " " (l::OUT_OF) " " (of) } " " (say::SET_LEAD)
        }
        @if !scanned.foreign.is_empty() {
            section {
                h2 { (l::FOREIGN) }
                ul.list { @for (text, why) in &scanned.foreign { li { b { (text) } " " (why) } } }
            }
        }
        @if !scanned.missing.is_empty() {
            section {
                h2 { (say::SET_NOT_SCANNED) " (" (scanned.missing.len()) ")" }
                ul.list { @for hose in &scanned.missing { li { (hose) } } }
            }
        }
        @if !scanned.hoses.is_empty() { (state.form(&at).class("looking").shown(&form)) }
        p { a.button href=(sets::to(&set, "")) { (l::SET_BACK) } }
    };
    Ok(Screen::new(format!("{} · {set}", say::SET_TITLE), body).scan(scan).shown(state))
}

/// Records them all, and shows the set.
pub fn write(state: &State<'_>) -> Shown {
    let (set, filled) = (named(state.parameter("name"))?, state.request.form.filled());
    state.write(|logbook, moment| Ok(logbook.submit_set_inspection(&set, &filled, moment)?))?;
    Ok(redirect(&format!("{}?written=yes", sets::to(&set, ""))))
}
