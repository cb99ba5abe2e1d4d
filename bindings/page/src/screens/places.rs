//! Where a hose goes: into a port of a set, or to stock.

use hosewright_core::Found;
use hosewright_core::hose::Label;
use hosewright_core::view::form::{About, care};
use maud::html;

use super::forms::{self, card};
use crate::fields::query;
use crate::frame::Screen;
use crate::labels as l;
use crate::response::Shown;
use crate::state::State;

/// How many sets are offered at once.
const SETS: u32 = 60;

/// Offers the free ports of a set that take the hose.
pub fn form(state: &State<'_>) -> Shown {
    let chosen: Option<Label> = state.request.query.label("set", "the name of a set")?;
    let after = state.request.query.get("after");
    let (answer, sets, set, ports) = state.read(|logbook, moment| {
        let found = logbook.find_typed(state.parameter("code"))?;
        let answer = logbook.answer_found(Found { tag: None, ..found }, moment)?;
        let sets = logbook.set_page(after, "", SETS)?;
        // A hose moves within its own set, or goes into any.
        let set = chosen.or_else(|| answer.place.set.clone());
        let ports = match &set {
            Some(set) => logbook.suggest_ports(found.hose, set)?,
            None => Vec::new(),
        };
        Ok((answer, sets, set, ports))
    })?;
    let at = format!("/hose/{}/place", answer.code);
    let confirm = care::confirm(&answer);
    let body = html! {
        (forms::head(Some(&About::of(&answer)), l::PLACE))
        p { (l::WHERE) ": " b { (answer.place.words) } }
        @if let Some(confirm) = &confirm {
            (card(state, "confirm", confirm, &format!("/hose/{}/confirm-place", answer.code)))
        }
        @if answer.place.set.is_some() {
            @let form = state.form(format!("/hose/{}/remove", answer.code));
            (form.drawn(html! {
                button type="submit" { (l::TO_STOCK) }
            }))
        }
        @if let Some(set) = &set {
            (card(state, "fit", &care::fit(set, &ports), &format!("/hose/{}/fit", answer.code)))
        }
        @if answer.place.set.is_none() {
            section.card {
                h2 { (l::FIT_CHOOSE) }
                ul.actions {
                    @for other in &sets {
                        li { a.button href={ (at) "?" (query([("set", other.name.as_str())])) } { (other.name) } }
                    }
                }
                @if let Some(last) = sets.last().filter(|_| sets.len() == SETS as usize) {
                    p { a.button href={ (at) "?" (query([("after", last.id.to_string().as_str())])) } { (l::MORE) } }
                }
            }
        }
    };
    Ok(Screen::new(format!("{} · {}", l::PLACE, answer.code), body).shown(state))
}

/// Takes it off its set, to stock.
pub fn remove(state: &State<'_>) -> Shown {
    state.save_hose(|logbook, hose, moment| Ok(logbook.remove(hose, None, moment)?))
}
