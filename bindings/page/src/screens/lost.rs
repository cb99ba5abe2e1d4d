//! A phone is lost, a laptop is stolen, somebody left: three steps each.

use hosewright_core::device::DeviceId;
use hosewright_core::view::form::Form;
use hosewright_core::view::lost::form;
use hosewright_core::view::{Loss, LostDevice};
use hosewright_core::words::{lost as say, meeting, sentence, staff};
use http::header::CACHE_CONTROL;
use maud::{Markup, html};

use super::backup;
use crate::fields::query;
use crate::frame::Screen;
use crate::refusal::Refusal;
use crate::response::{Shown, redirect};
use crate::state::State;

const fn address(loss: Loss) -> &'static str {
    match loss {
        Loss::Phone => "/lost/phone",
        Loss::Laptop => "/lost/laptop",
        Loss::Left => "/left",
    }
}

/// The ways to these screens.
pub fn ways() -> Markup {
    html! {
        section {
            h2 { (say::TITLE) }
            p.under { @for loss in Loss::ALL { a.button href=(address(*loss)) { (loss.title()) } } }
        }
    }
}

/// A phone is lost.
pub fn phone(state: &State<'_>) -> Shown {
    show(state, Loss::Phone)
}

/// A laptop is lost or stolen.
pub fn laptop(state: &State<'_>) -> Shown {
    show(state, Loss::Laptop)
}

/// Somebody left.
pub fn left(state: &State<'_>) -> Shown {
    show(state, Loss::Left)
}

/// Dismisses the phone.
pub fn dismiss_phone(state: &State<'_>) -> Shown {
    dismiss(state, Loss::Phone)
}

/// Dismisses the laptop.
pub fn dismiss_laptop(state: &State<'_>) -> Shown {
    dismiss(state, Loss::Laptop)
}

/// Dismisses the device of somebody who left.
pub fn dismiss_left(state: &State<'_>) -> Shown {
    dismiss(state, Loss::Left)
}

fn dismiss(state: &State<'_>, loss: Loss) -> Shown {
    state.at_the_desk()?;
    let fields = &state.request.form;
    let device: DeviceId = fields.needed("device", "a device")?;
    state.write(|logbook, moment| {
        let known = logbook.other_devices()?.iter().any(|other| other.device == device);
        if !known {
            return Err(Refusal::at("device", say::NO_DEVICE));
        }
        Ok(logbook.dismiss_lost(device, fields.get("words"), moment)?)
    })?;
    let done = query([("done", device.to_string().as_str())]);
    Ok(redirect(&format!("{}?{done}", address(loss))))
}

fn show(state: &State<'_>, loss: Loss) -> Shown {
    let (own, others) =
        state.write(|logbook, _| Ok((logbook.own_device()?, logbook.other_devices()?)))?;
    let state_of = state.read(|logbook, moment| Ok(logbook.backup_state(moment)?))?;
    let done = state.request.query.parsed::<DeviceId>("done").ok().flatten();
    let done = others.iter().find(|other| Some(other.device) == done && !other.may_write());
    let [first, second, third] = loss.steps();
    let body = html! {
        h1 { (loss.title()) }
        p.lead { (loss.lead()) }
        @if loss == Loss::Left {
            p { (say::LEFT_STAFF) }
            p.under { a.button href="/owner/staff" { (staff::TITLE) } }
        }
        @match done {
            Some(done) => {
                section.card {
                    h2 { "1. " (first) }
                    p { (done.choice) }
                    h2 { "2. " (second) }
                    @for line in &done.words { p role="status" { (line) } }
                }
            }
            None => section.card {
                (asked(state, loss, &others, own.fleet.is_some(), own.holds_owner_key))
            }
        }
        section.card {
            h2 { "3. " (third) }
            p { (loss.after()) }
            p.under { a.button href="/owner/record" { (say::IMPORT) } }
        }
        (backup::drawn(state, &state_of))
    };
    Ok(Screen::new(loss.title(), body).shown(state).header(CACHE_CONTROL, "no-store"))
}

/// The form, or why there is none.
fn asked(
    state: &State<'_>,
    loss: Loss,
    others: &[LostDevice],
    owned: bool,
    key_here: bool,
) -> Markup {
    html! {
        @if !owned {
            p { (say::NO_OWNER) }
            p { a.button href="/owner/devices#found" { (say::NO_OWNER_GO) } }
        } @else if state.at_the_desk().is_err() {
            p.hint { (sentence(meeting::AT_THE_DESK_ONLY)) }
        } @else if !others.iter().any(LostDevice::may_write) {
            p { (say::NO_DEVICE) }
        } @else {
            (steps(state, loss, &form(loss, others, key_here)))
        }
    }
}

/// The form, each of its fields a step.
fn steps(state: &State<'_>, loss: Loss, form: &Form) -> Markup {
    let drawn = state.form(address(loss));
    let [first, second, _] = loss.steps();
    let (device, rest): (Vec<_>, Vec<_>) = form.fields().partition(|field| field.name == "device");
    html! {
        (drawn.drawn(html! {
            h2 { "1. " (first) }
            @for field in device { (drawn.field(field)) }
            h2 { "2. " (second) }
            @for words in &form.lead { p { (words) } }
            @for field in rest { (drawn.field(field)) }
            p { button.main type="submit" { (form.submit) } }
        }))
    }
}
