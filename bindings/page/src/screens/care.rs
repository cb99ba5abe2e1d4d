//! What is done to a hose: cleaned, resealed, given a new tag, retired.

use hosewright_core::Found;
use hosewright_core::hose::Service;
use hosewright_core::view::Action;
use hosewright_core::view::form::{About, Filled, owner, rental};
use maud::html;

use super::forms::{self, card};
use crate::frame::Screen;
use crate::labels as l;
use crate::response::Shown;
use crate::state::State;

/// A form for each.
pub fn forms(state: &State<'_>) -> Shown {
    let (answer, cards) = state.read(|logbook, moment| {
        let found = logbook.find_typed(state.parameter("code"))?;
        let record = logbook.record(found.hose)?;
        let hose = found.hose;
        let inflator = record.specifications().any(|hose| hose.service() == Service::Inflator);
        let offered = [
            Some(("clean", "clean", Action::Clean { hose })),
            Some(("dives", "dived", Action::Dive { hose })),
            Some(("reseal", "reseal", Action::Reseal { hose, end: None })),
            inflator.then_some(("coupling", "recouple", Action::ReplaceCoupling { hose })),
            Some(("bind", "bind", Action::BindBarcode { hose })),
            Some(("retag", "retag", Action::Retag { hose })),
            Some(("retire", "retire", Action::Retire { hose })),
        ];
        let drawn = offered.into_iter().flatten().map(|(id, to, action)| {
            Ok((id, to, logbook.form(action, &Filled::default(), moment)?))
        });
        let answer = logbook.answer_found(Found { tag: None, ..found }, moment)?;
        Ok((answer, drawn.collect::<Result<Vec<_>, hosewright_core::LogbookError>>()?))
    })?;
    let to = |what: &str| format!("/hose/{}/{what}", answer.code);
    let body = html! {
        (forms::head(Some(&About::of(&answer)), l::CARE_TITLE))
        @for (id, what, form) in &cards { (card(state, id, form, &to(what))) }
        @if answer.place.home.is_some() {
            (card(state, "come-in", &owner::come_in(), &to("come-in")))
        } @else if answer.hose.origin.own.owner().ticket().is_some() {
            (card(state, "home", &owner::send_home(), &to("home")))
        }
    };
    Ok(Screen::new(format!("{} · {}", l::CARE_TITLE, answer.code), body).shown(state))
}

/// A customer's hose goes home.
pub fn home(state: &State<'_>) -> Shown {
    state.save_hose(|logbook, hose, moment| Ok(logbook.send_home(hose, None, moment)?))
}

/// It comes in again, under a new ticket.
pub fn come_in(state: &State<'_>) -> Shown {
    let ticket = state.request.form.needed_ticket(rental::TICKET)?;
    state.save_hose(|logbook, hose, moment| Ok(logbook.come_in(hose, ticket, None, moment)?))
}
