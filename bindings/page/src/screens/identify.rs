//! Two hoses of one tag: which of them is in the hand. It gets its new tag after a
//! full inspection.

use hosewright_core::Found;
use hosewright_core::view::form::About;
use maud::html;

use super::forms;
use crate::frame::Screen;
use crate::labels as l;
use crate::response::Shown;
use crate::state::State;

/// The registrations to choose from; then the form of the one that was chosen.
pub fn form(state: &State<'_>) -> Shown {
    if state.request.query.given("registration").is_some() {
        return forms::identify(state);
    }
    let (answer, registrations) = state.read(|logbook, moment| {
        let found = logbook.find_typed(state.parameter("code"))?;
        let answer = logbook.answer_found(Found { tag: None, ..found }, moment)?;
        let record = logbook.record(found.hose)?;
        let mut lines = logbook.history(found.hose)?;
        lines.retain(|line| record.registrations.contains(&line.id));
        Ok((answer, lines))
    })?;
    let body = html! {
        (forms::head(Some(&About::of(&answer)), l::IDENTIFY))
        @if registrations.len() < 2 { p { (l::IDENTIFY_NONE) } }
        @else {
            p.lead { (l::IDENTIFY_LEAD) }
            ul.list {
                @for line in &registrations {
                    li {
                        span { b { (line.entry.on) " " (line.entry.by) } ": " (line.words) }
                        a.button href={ "/hose/" (answer.code) "/identify?registration=" (line.id) } { (l::IDENTIFY_THIS) }
                    }
                }
            }
        }
        p { a.button href={ "/hose/" (answer.code) } { (l::CANCEL) } }
    };
    Ok(Screen::new(format!("{} · {}", l::IDENTIFY, answer.code), body).shown(state))
}
