//! The case file of a hose or a set: one screen with both of its files.

use hosewright_core::case::{CaseFile, CaseOf};
use hosewright_core::words::case as say;
use hosewright_core::{Logbook, journal::Moment};
use maud::{Markup, html};

use super::sets::{self, named};
use crate::frame::Screen;
use crate::labels as l;
use crate::refusal::Refusal;
use crate::response::Shown;
use crate::state::State;

/// What can be shown of a hose.
pub fn of_hose(state: &State<'_>) -> Shown {
    let code = state.read(|logbook, _| Ok(logbook.find_typed(state.parameter("code"))?.hose))?;
    let at = format!("/hose/{code}");
    Ok(Screen::new(say::CASE, page(&at, l::CANCEL)).shown(state))
}

/// What can be shown of a set.
pub fn of_set(state: &State<'_>) -> Shown {
    let set = named(state.parameter("name"))?;
    state.read(|logbook, _| Ok(logbook.set(&set)?))?;
    Ok(Screen::new(say::CASE, page(&sets::to(&set, ""), l::SET_BACK)).shown(state))
}

fn page(at: &str, back: &str) -> Markup {
    html! {
        h1 { (say::CASE) }
        p.lead { (say::LEAD) }
        section.card {
            h2 { (say::PAPER) }
            p { a.button.main href={ (at) "/case/case.pdf" } { (say::PAPER_GO) } }
        }
        section.card {
            h2 { (say::ENTRIES) }
            p { (say::ENTRIES_LEAD) }
            p { a.button href={ (at) "/case/entries.jsonl" } { (say::ENTRIES_GO) } }
        }
        p { (say::CONFIDENTIAL) }
        p { a.button href=(at) { (back) } }
    }
}

/// The case file of a hose, to read and print.
pub fn paper_of_hose(state: &State<'_>) -> Shown {
    paper(state, of_code)
}

/// The same of a set.
pub fn paper_of_set(state: &State<'_>) -> Shown {
    paper(state, of_name)
}

/// The signed entries of a hose.
pub fn entries_of_hose(state: &State<'_>) -> Shown {
    entries(state, of_code)
}

/// The same of a set.
pub fn entries_of_set(state: &State<'_>) -> Shown {
    entries(state, of_name)
}

/// What the path names.
type Of = fn(&State<'_>, &Logbook) -> Result<CaseOf, Refusal>;

fn of_code(state: &State<'_>, logbook: &Logbook) -> Result<CaseOf, Refusal> {
    Ok(CaseOf::Hose(logbook.find_typed(state.parameter("code"))?.hose))
}

fn of_name(state: &State<'_>, _: &Logbook) -> Result<CaseOf, Refusal> {
    Ok(CaseOf::Set(named(state.parameter("name"))?))
}

fn paper(state: &State<'_>, of: Of) -> Shown {
    state.read(|logbook, moment| {
        let case = case(state, logbook, moment, of)?;
        state.file("application/pdf", ("attachment", "case.pdf"), |out| {
            Ok(logbook.print_case(&case, out).map(drop)?)
        })
    })
}

fn entries(state: &State<'_>, of: Of) -> Shown {
    state.read(|logbook, moment| {
        let case = case(state, logbook, moment, of)?;
        state.file("application/jsonl", ("attachment", "entries.jsonl"), |out| {
            Ok(logbook.case_entries(&case, out)?)
        })
    })
}

fn case(
    state: &State<'_>,
    logbook: &Logbook,
    moment: &Moment,
    of: Of,
) -> Result<CaseFile, Refusal> {
    Ok(logbook.case_file(&of(state, logbook)?, moment)?)
}
