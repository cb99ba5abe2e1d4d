//! Where records meet: the ways, and which to take.

use hosewright_core::view::Sharing;
use hosewright_core::words::{sharing as say, sight};
use maud::{Markup, html};

use super::{folder, network, show, under_way};
use crate::frame::Screen;
use crate::labels as l;
use crate::response::Shown;
use crate::state::State;

/// The most of what is contested that is listed; the command line lists all.
const CONTESTED: usize = 100;

/// What is to be done before the day ends.
pub fn closing(sharing: &Sharing) -> Markup {
    html! {
        section.card #closing {
            h2 { (say::TITLE) }
            div.note[sharing.warn] role=[sharing.warn.then_some("status")] { @for line in &sharing.words { p { (line) } } }
            p.under { a.button.main[sharing.warn] href="/owner/meet" { (l::MEET_TITLE) } }
        }
    }
}

/// How the records of others stand to this one.
fn others(sharing: Option<&Sharing>) -> Markup {
    html! {
        section.card {
            h2 { (say::OTHERS) }
            @if let Some(sharing) = sharing {
                @for line in &sharing.words { p { (line) } }
                ul.list { @for other in &sharing.devices { li { (other.words) } } }
            } @else { p { (say::NOBODY) } }
        }
    }
}

/// What people wrote against each other, and what settles it.
fn contested(all: &[String]) -> Markup {
    html! {
        section.card {
            h2 { (say::CONTESTED) @if !all.is_empty() { " (" (all.len()) ")" } }
            @if all.is_empty() { p { (say::NOTHING_CONTESTED) } }
            ul.list { @for line in all.iter().take(CONTESTED) { li { (line) } } }
        }
    }
}

/// The ways, and what there is to meet for.
pub fn doors(state: &State<'_>) -> Shown {
    let (sharing, conflicts) =
        state.read(|logbook, moment| Ok((logbook.sharing(moment)?, logbook.conflicts(moment)?)))?;
    let body = html! {
        h1 { (l::MEET_TITLE) }
        (under_way::way(state))
        (others(sharing.as_ref()))
        section.card {
            h2 { (sight::TITLE) }
            p { (sight::LEAD) }
            ol.steps { @for step in sight::STEPS { li { (step) } } }
            p.under { a.button.main href="/owner/meet/watch" { (sight::WATCH) } }
            (show::button(state, &[("holds", "yes")], sight::HOLDS, false))
            (show::button(state, &[], sight::SHOW_ALL, false))
            p.hint { (sight::FLICKER) }
        }
        (network::way(state))
        (network::call(state))
        (folder::form(state))
        section.card {
            h2 { (l::MEET_FILE) }
            p { (l::MEET_FILE_LEAD) }
            p.under { a.button href="/owner/record" { (l::RECORD_TITLE) } }
        }
        (contested(&conflicts))
    };
    Ok(Screen::new(l::MEET_TITLE, body).shown(state))
}
