//! A hose on hold by hand, and its release.

use hosewright_core::Found;
use hosewright_core::record::SetRecord;
use hosewright_core::view::Action;
use hosewright_core::view::form::{About, Filled};
use hosewright_core::words::care::held;
use maud::html;

use super::forms::{self, card};
use crate::frame::Screen;
use crate::labels as l;
use crate::refusal::Refusal;
use crate::response::Shown;
use crate::state::State;

/// The forms, with what holds it now.
pub fn forms(state: &State<'_>) -> Shown {
    let (answer, hold, release, sets) = state.read(|logbook, moment| {
        let found = logbook.find_typed(state.parameter("code"))?;
        let answer = logbook.answer_found(Found { tag: None, ..found }, moment)?;
        let mut sets: Vec<SetRecord> = Vec::new();
        for stay in &logbook.record(found.hose)?.stays {
            let set = logbook.set_by_id(stay.set)?;
            let held = set.filter(|set| !set.holds.is_empty() || !set.quarantines.is_empty());
            sets.extend(held.filter(|set| !sets.iter().any(|known| known.id == set.id)));
        }
        let form = |action| logbook.form(action, &Filled::default(), moment);
        let (hose, of) = (found.hose, answer);
        Ok::<_, Refusal>((of, form(Action::Hold { hose })?, form(Action::Release { hose })?, sets))
    })?;
    let to = |what: &str| format!("/hose/{}/{what}", answer.code);
    let body = html! {
        (forms::head(Some(&About::of(&answer)), l::HOLD_TITLE))
        (card(state, "hold", &hold, &to("hold")))
        (card(state, "release", &release, &to("release")))
        @for set in &sets {
            section.card {
                h2 { (l::RELEASE_OF_SET) ": " (set.name) }
                @for hold in set.holds.iter().chain(&set.quarantines) { p { (held(hold)) } }
                p { a.button href={ "/set/" (set.id) "/change#release" } { (l::RELEASE_OF_SET) } }
            }
        }
        p { a.button href={ "/hose/" (answer.code) } { (l::CANCEL) } }
    };
    Ok(Screen::new(format!("{} · {}", l::HOLD_TITLE, answer.code), body).shown(state))
}

/// Releases it; after an incident at the desk's own computer alone, as the
/// owner does.
pub fn release(state: &State<'_>) -> Shown {
    if let Some(far) = state.at_the_desk().err() {
        let held = state.read(|logbook, _| {
            let hose = logbook.find_typed(state.parameter("code"))?.hose;
            Ok(logbook.record(hose)?.holds)
        })?;
        if held.iter().any(|hold| hold.incident) {
            return Err(far);
        }
    }
    forms::release(state)
}
