//! What a device wrote that is not believed, and what is missing of it: listed
//! first, then judged by the owner, at the desk's own computer alone.

use hosewright_core::device::DeviceId;
use hosewright_core::hose::Label;
use hosewright_core::view::form::{Form, owner};
use hosewright_core::words::meeting;
use hosewright_core::{DeviceView, HistoryLine};
use maud::{Markup, html};

use super::forms::card;
use super::timeline::timeline;
use crate::fields::Fields;
use crate::frame::Screen;
use crate::labels as l;
use crate::refusal::Refusal;
use crate::response::{Shown, redirect};
use crate::state::State;
use hosewright_core::words::sentence;

fn number(fields: &Fields) -> Result<Label, Refusal> {
    fields.needed_label("device", "a device's number")
}

/// The entries, and what can be said about them.
pub fn show(state: &State<'_>) -> Shown {
    let typed = number(&state.request.query)?;
    let (id, view, lines) = state.read(|logbook, _| {
        let id = logbook.find_device(typed.as_str())?;
        let view = logbook.devices()?.into_iter().find(|view| view.device == id);
        Ok((id, view, logbook.disbelieved_lines(&id)?))
    })?;
    let name = view.as_ref().and_then(|view| view.name.as_ref());
    let body = html! {
        h1 { (l::JUDGE_TITLE) }
        p.lead { (meeting::named(&id, name)) @if let Some(view) = &view { ". " (sentence(&view.note())) } }
        @if lines.is_empty() { p { (l::JUDGE_NONE) } }
        (timeline(lines.iter()))
        @if state.at_the_desk().is_ok() { (forms(state, &id, view.as_ref(), &lines)) }
        @else { p.hint { (sentence(meeting::AT_THE_DESK_ONLY)) } }
        p { a.button href="/owner/devices" { (l::DEVICES_BACK) } }
    };
    Ok(Screen::new(l::JUDGE_TITLE, body).shown(state))
}

fn forms(
    state: &State<'_>,
    id: &DeviceId,
    view: Option<&DeviceView>,
    lines: &[HistoryLine],
) -> Markup {
    let drawn = |to: &str, form: &Form| card(state, to, form, &format!("/owner/devices/{to}"));
    html! {
        @if !lines.is_empty() {
            @if !id.signs() { (drawn("admit", &owner::admit(id))) }
            (drawn("dismiss", &owner::dismiss(id)))
        }
        @if view.is_some_and(|view| !view.complete) { (drawn("lost", &owner::lost(id))) }
    }
}

/// Believes the unsigned entries.
pub fn admit(state: &State<'_>) -> Shown {
    state.at_the_desk()?;
    let device = number(&state.request.form)?;
    state.write(|logbook, moment| {
        let device = logbook.find_device(device.as_str())?;
        Ok(logbook.admit_unsigned(&device, moment)?)
    })?;
    Ok(redirect("/owner/devices?written=yes"))
}

/// Says that they need no more attention.
pub fn dismiss(state: &State<'_>) -> Shown {
    let fields = &state.request.form;
    state.at_the_desk()?;
    let (device, why) = (number(fields)?, fields.needed_prose("why", "a reason")?);
    state.write(|logbook, moment| {
        let device = logbook.find_device(device.as_str())?;
        Ok(logbook.dismiss_entries(&device, &why, moment)?)
    })?;
    Ok(redirect("/owner/devices?written=yes"))
}

/// Declares what is missing lost.
pub fn lost(state: &State<'_>) -> Shown {
    let fields = &state.request.form;
    state.at_the_desk()?;
    let (device, why) = (number(fields)?, fields.needed_prose("why", "a reason")?);
    state.write(|logbook, moment| {
        let device = logbook.find_device(device.as_str())?;
        Ok(logbook.declare_lost(&device, why, moment)?)
    })?;
    Ok(redirect("/owner/devices?written=yes"))
}
