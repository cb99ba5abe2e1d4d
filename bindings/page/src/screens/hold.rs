//! A hose on hold by hand, and its release.

use hosewright_core::Found;
use hosewright_core::hose::Label;
use hosewright_core::record::{Hold, SetRecord};
use maud::{Markup, html};

use super::inspect;
use crate::frame::Screen;
use crate::labels as l;
use crate::refusal::Refusal;
use crate::response::Shown;
use crate::state::State;

/// The forms, with what holds it now.
pub fn forms(state: &State<'_>) -> Shown {
    let (answer, own, sets) = state.read(|logbook, moment| {
        let found = logbook.find_typed(state.parameter("code"))?;
        let answer = logbook.answer_found(Found { tag: None, ..found }, moment)?;
        let record = logbook.record(found.hose)?;
        let mut sets: Vec<SetRecord> = Vec::new();
        for stay in &record.stays {
            let set = logbook.set_by_id(stay.set)?;
            let held = set.filter(|set| !set.holds.is_empty() || !set.quarantines.is_empty());
            sets.extend(held.filter(|set| !sets.iter().any(|known| known.id == set.id)));
        }
        let mut own = record.holds;
        own.retain(|hold| {
            !sets.iter().any(|set| set.holds.iter().any(|other| other.entry == hold.entry))
        });
        Ok::<_, Refusal>((answer, own, sets))
    })?;
    let to = |what: &str| format!("/hose/{}/{what}", answer.code);
    let body = html! {
        (inspect::head(&answer, l::HOLD_TITLE))
        (hold_form(state, &to("hold")))
        (release_form(state, &to("release"), &own))
        @for set in &sets {
            section.card {
                h2 { (l::RELEASE_OF_SET) ": " (set.name) }
                (held_by(set.holds.iter().chain(&set.quarantines)))
                p { a.button href={ "/set/" (set.id) "/change#release" } { (l::RELEASE_OF_SET) } }
            }
        }
        p { a.button href={ "/hose/" (answer.code) } { (l::CANCEL) } }
    };
    Ok(Screen::new(format!("{} · {}", l::HOLD_TITLE, answer.code), body).shown(state))
}

/// The form that puts a hose or a set on hold.
pub fn hold_form(state: &State<'_>, to: &str) -> Markup {
    html! {
        section.card #hold {
            h2 { (l::HOLD) }
            @let form = state.form(to);
            (form.drawn(html! {
                (form.reason("hold-"))
                (form.tick("incident", l::HOLD_INCIDENT, false))
                p.under { button.main type="submit" { (l::HOLD) } }
            }))
        }
    }
}

/// The form that releases a hose or a set, with what holds it.
pub fn release_form(state: &State<'_>, to: &str, holds: &[Hold]) -> Markup {
    html! {
        section.card #release {
            h2 { (l::RELEASE) }
            @if holds.is_empty() { p { (l::RELEASE_NONE) } }
            @else {
                (held_by(holds.iter()))
                @let form = state.form(to);
                (form.drawn(html! {
                    (form.reason("release-"))
                    p { button.main type="submit" { (l::RELEASE) } }
                }))
            }
        }
    }
}

fn held_by<'h>(holds: impl Iterator<Item = &'h Hold>) -> Markup {
    html! {
        ul.list {
            @for hold in holds {
                li { span { (hold.when.0) " " (l::HELD_BY) " " (hold.by) ": " b { (hold.why) } @if hold.incident { ". " (l::HOLD_INCIDENT) } } }
            }
        }
    }
}

/// Puts it on hold.
pub fn hold(state: &State<'_>) -> Shown {
    let fields = &state.request.form;
    let why: Label = fields.needed_label("why", "a reason")?;
    let incident = fields.ticked("incident");
    state.save_hose(|logbook, hose, moment| Ok(logbook.hold(hose, why, incident, moment)?))
}

/// Releases it; after an incident at the desk's own computer alone, as the
/// owner does.
pub fn release(state: &State<'_>) -> Shown {
    let why: Label = state.request.form.needed_label("why", "a reason")?;
    let far = state.at_the_desk().err();
    state.save_hose(|logbook, hose, moment| {
        let incident = logbook.record(hose)?.holds.iter().any(|hold| hold.incident);
        match far.filter(|_| incident) {
            Some(far) => Err(far),
            None => Ok(logbook.release(hose, &why, moment)?),
        }
    })
}
