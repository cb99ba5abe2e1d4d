//! What is done to a set: changed, held, released, said to be another, dissolved.

use hosewright_core::SetEdit;
use hosewright_core::hose::Label;
use hosewright_core::record::Hold;
use hosewright_core::tag::Code;
use hosewright_core::view::Action;
use hosewright_core::view::form::{care, owner, rental, set};
use hosewright_core::words;
use maud::html;

use super::forms::card;
use super::sets::{named, to};
use crate::frame::Screen;
use crate::labels as l;
use crate::refusal::Refusal;
use crate::response::{Response, Shown, redirect};
use crate::state::State;

/// A form for each.
pub fn forms(state: &State<'_>) -> Shown {
    let at = named(state.parameter("name"))?;
    let set = state.read(|logbook, _| Ok(logbook.set(&at)?))?;
    let holds: Vec<Hold> = set.holds.iter().chain(&set.quarantines).cloned().collect();
    let body = html! {
        h1 { (l::SET) " " (set.name) }
        (card(state, "release", &care::release(l::RELEASE, &holds), &to(&at, "/release")))
        (card(state, "hold", &care::hold(l::HOLD), &to(&at, "/hold")))
        @if set.out.is_none() && !set.hoses.is_empty() {
            (card(state, "dives", &care::dive(words::care::SET_DIVED), &to(&at, "/dived")))
        }
        (card(state, "change", &set::draw(&set::on_record(&set), Some(&set)), &to(&at, "/change")))
        (card(state, "join", &owner::join_sets(""), &to(&at, "/join")))
        (card(state, "tag", &owner::tag_set(&set), &to(&at, "/tag")))
        @if set.home.is_some() {
            (card(state, "come-in", &owner::come_in(), &to(&at, "/come-in")))
        } @else if set.owner.ticket().is_some() {
            (card(state, "home", &owner::send_home(), &to(&at, "/home")))
        }
        (card(state, "dissolve", &owner::dissolve(), &to(&at, "/dissolve")))
        p { a.button href=(to(&at, "")) { (l::SET) " " (set.name) } }
    };
    Ok(Screen::new(format!("{} {}", l::SET, set.name), body).shown(state))
}

/// A customer's set goes home with its hoses.
pub fn home(state: &State<'_>) -> Shown {
    let at = named(state.parameter("name"))?;
    state.write(|logbook, moment| Ok(logbook.send_set_home(&at, None, moment)?))?;
    Ok(written(&at))
}

/// It comes in again, under a new ticket.
pub fn come_in(state: &State<'_>) -> Shown {
    let at = named(state.parameter("name"))?;
    let ticket = state.request.form.needed_ticket(rental::TICKET)?;
    state.write(|logbook, moment| Ok(logbook.set_comes_in(&at, ticket, None, moment)?))?;
    Ok(written(&at))
}

/// Dives outside a rental, with every hose in it.
pub fn dived(state: &State<'_>) -> Shown {
    let (at, filled) = (named(state.parameter("name"))?, state.request.form.filled());
    state.write(|logbook, moment| Ok(logbook.submit_set_dives(&at, &filled, moment)?))?;
    Ok(written(&at))
}

/// Gives it a new tag.
pub fn tag(state: &State<'_>) -> Shown {
    let at = named(state.parameter("name"))?;
    let tag: Option<Code> = state.request.form.parsed("tag")?;
    state.write(|logbook, moment| Ok(logbook.tag_set(&at, tag, None, moment)?))?;
    Ok(written(&at))
}

/// Changes its name, use or ports.
pub fn change(state: &State<'_>) -> Shown {
    let (at, filled) = (named(state.parameter("name"))?, state.request.form.filled());
    let set = state.write(|logbook, moment| {
        let set = logbook.set(&at)?.id;
        logbook.submit_form(Action::ChangeSet { set }, &filled, moment)?;
        Ok(set)
    })?;
    Ok(redirect(&format!("/set/{set}?written=yes")))
}

/// Puts it on hold, with every hose in it.
pub fn hold(state: &State<'_>) -> Shown {
    let fields = &state.request.form;
    let (at, why) = (named(state.parameter("name"))?, fields.needed_prose("why", "a reason")?);
    let incident = fields.ticked("incident");
    state.write(|logbook, moment| Ok(logbook.hold_set(&at, why, incident, moment)?))?;
    Ok(written(&at))
}

/// Releases it; after an incident at the desk's own computer alone.
pub fn release(state: &State<'_>) -> Shown {
    let (at, why) =
        (named(state.parameter("name"))?, state.request.form.needed_prose("why", "a reason")?);
    let far = state.at_the_desk().err();
    state.write(|logbook, moment| {
        let incident = logbook.set(&at)?.holds.iter().any(|hold| hold.incident);
        match far.filter(|_| incident) {
            Some(far) => Err(far),
            None => Ok(logbook.release_set(&at, &why, moment)?),
        }
    })?;
    Ok(written(&at))
}

/// Says that another set is the same.
pub fn join(state: &State<'_>) -> Shown {
    let name = state.parameter("name");
    let fields = &state.request.form;
    let (at, why) = (named(name)?, fields.needed_prose("why", "a reason")?);
    let other: Label = fields.needed_label("other", "the name of a set")?;
    let set = state.write(|logbook, moment| {
        let set = logbook.set(&at)?.id;
        logbook.join_sets((&at, &other), why, moment)?;
        Ok::<_, Refusal>(set)
    })?;
    Ok(redirect(&format!("/set/{set}?written=yes")))
}

/// It is gone.
pub fn dissolve(state: &State<'_>) -> Shown {
    let (at, why) =
        (named(state.parameter("name"))?, state.request.form.needed_prose("why", "a reason")?);
    let edit = SetEdit { dissolved: true, ..SetEdit::default() };
    state.write(|logbook, moment| Ok(logbook.change_set(&at, edit, Some(why), moment)?))?;
    Ok(redirect("/sets"))
}

fn written(set: &Label) -> Response {
    redirect(&to(set, "?written=yes"))
}
