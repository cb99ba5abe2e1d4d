//! The shop's network: its door, the symbol that lets a device in, and who was let in. All of it
//! at the desk's own computer.

use hosewright_core::DeviceView;
use hosewright_core::device::{DeviceId, Invitation, Role};
use hosewright_core::tag::{Level, Symbol};
use hosewright_core::view::form::network as form;
use hosewright_core::words::{counters as say, meeting};
use http::header::CACHE_CONTROL;
use maud::{Markup, html};

use super::forms::card;
use crate::frame::Screen;
use crate::host::{Invited, Network};
use crate::labels as l;
use crate::meeting::Meeting;
use crate::refusal::Refusal;
use crate::response::{Shown, redirect};
use crate::state::{OWNER_PASS, State};

const HERE: &str = "/owner/meet/network";
/// Where the form that calls others is sent.
pub const CALL: &str = "/owner/meet/call";

/// Only where other devices reach this page, only by the person at the desk, and never for the
/// demonstration.
pub fn at_the_door(state: &State<'_>) -> Result<(), Refusal> {
    if !state.host.serves() {
        return Err(Refusal::NoPage);
    }
    state.at_the_desk()?;
    if state.request.demo { Err(Refusal::bad(l::NETWORK_DEMO)) } else { Ok(()) }
}

/// The way to it, among the ways to meet.
pub fn way(state: &State<'_>) -> Markup {
    html! {
        @if state.host.serves() && !state.request.demo {
            section.card #network {
                h2 { (say::TITLE) }
                p { (say::LEAD) }
                @if state.at_the_desk().is_ok() {
                    @if let Some(network) = state.host.network() { (addresses(&network)) } @else { p { (say::CLOSED) } }
                    p.under { a.button href=(HERE) { (l::NETWORK_GO) } }
                } @else { p.hint { (say::AT_THE_DESK) } }
            }
        }
    }
}

fn addresses(network: &Network) -> Markup {
    html! {
        p { (say::OPEN) @for address in &network.addresses { " " b.code { "https://" (address) "/" } } }
    }
}

/// The form that calls others from here, where it can be done.
pub fn call(state: &State<'_>) -> Markup {
    html! {
        @if at_the_door(state).is_ok() { (card(state, "call", &form::call(), CALL)) }
    }
}

/// Calls.
pub fn called(state: &State<'_>) -> Shown {
    at_the_door(state)?;
    let fields = &state.request.form;
    let place = fields.get("place");
    let meeting = Meeting::new(say::MET, CALL, ("place", place));
    state.begun(state.host.call(meeting, place, fields.given("word"), &state.request.moment))
}

/// The door, and what can be done at it.
pub fn show(state: &State<'_>) -> Shown {
    at_the_door(state)?;
    let (own, devices, paired) = state.write(|logbook, _| {
        Ok((logbook.own_device()?, logbook.devices()?, logbook.paired_devices()?))
    })?;
    let network = state.host.network();
    let body = html! {
        h1 { (say::TITLE) }
        @if state.request.query.given("written").is_some() { p.written role="status" { (l::WRITTEN) } }
        p.lead { (say::LEAD) }
        @if let Some(network) = &network {
            section.card {
                (addresses(network))
                @if !network.browsers { p { (say::NO_PASS_PHRASE) } }
                p { (say::BROWSERS) }
                p { b { (say::FINGERPRINT) } br; span.fingerprint { (network.fingerprint) } }
            }
            (let_in(state, own.holds_owner_key, own.fleet.is_some()))
        } @else {
            (card(state, "open", &form::open(state.host.pass_phrase_chosen()), &format!("{HERE}/open")))
        }
        section.card #paired {
            h2 { (say::LET_IN_HERE) }
            @if paired.is_empty() { p { (say::NOBODY) } }
            ul.list { @for (device, on) in &paired { li { (one(state, device, *on, &devices)) } } }
        }
        @if network.is_some() { (card(state, "close", &form::close(), &format!("{HERE}/close"))) }
        p.under { a.button href="/owner/meet" { (l::MEET_BACK) } }
    };
    Ok(Screen::new(say::TITLE, body).shown(state))
}

fn let_in(state: &State<'_>, admits: bool, fleet: bool) -> Markup {
    let words = match (admits, fleet) {
        (true, _) => None,
        (false, true) => Some(say::NOT_ADMITTED),
        (false, false) => Some(say::NO_FLEET),
    };
    html! {
        section.card #let-in {
            h2 { (say::LET_IN) }
            ol.steps { @for step in say::LET_IN_STEPS { li { (step) } } }
            @if let Some(words) = words { p { (words) } }
            (state.form(format!("{HERE}/let-in")).on_card(&form::let_in(admits)))
        }
    }
}

fn one(
    state: &State<'_>,
    device: &DeviceId,
    on: chrono::NaiveDate,
    devices: &[DeviceView],
) -> Markup {
    let known = devices.iter().find(|known| known.device == *device);
    let name = meeting::named(device, known.and_then(|known| known.name.as_ref()));
    let admitted =
        known.is_some_and(|known| known.role.is_some_and(|role| role != Role::Dismissed));
    html! {
        p { (say::paired(&name, on, state.request.moment.today)) }
        @if admitted { p.hint { (say::ADMITTED) } }
        @else { (state.form(format!("{HERE}/forget")).on_card(&form::forget(device))) }
    }
}

/// Opens the door.
pub fn open(state: &State<'_>) -> Shown {
    at_the_door(state)?;
    state.host.open_network(state.request.form.given("pass"))?;
    Ok(redirect(&format!("{HERE}?written=yes")))
}

/// Closes it.
pub fn close(state: &State<'_>) -> Shown {
    at_the_door(state)?;
    state.host.close_network()?;
    Ok(redirect(&format!("{HERE}?written=yes")))
}

/// Lets a device in no longer.
pub fn forget(state: &State<'_>) -> Shown {
    at_the_door(state)?;
    let device: DeviceId = state.request.form.needed("device", "a device's number")?;
    state.write(|logbook, _| Ok(logbook.forget_paired(&device)?))?;
    Ok(redirect(&format!("{HERE}?written=yes")))
}

/// Begins to let in a device.
pub fn invite(state: &State<'_>) -> Shown {
    at_the_door(state)?;
    let fields = &state.request.form;
    let role: Role = fields.parsed("role")?.unwrap_or(Role::Bench);
    if role == Role::Dismissed {
        return Err(Refusal::at("role", l::NETWORK_ROLE));
    }
    let own = state.write(|logbook, _| Ok(logbook.own_device()?))?;
    if own.holds_owner_key {
        // Its pass phrase is asked for now: nobody can be asked when the device comes.
        state.write(|logbook, _| Ok(logbook.check_owner_key()?))?;
    }
    let name = fields.label("name", "a name")?;
    state.host.invite(role, name, fields.given(OWNER_PASS))?;
    Ok(redirect(&format!("{HERE}/symbol")))
}

/// The symbol, or what became of it. No cache keeps it: it is a key.
pub fn symbol(state: &State<'_>) -> Shown {
    at_the_door(state)?;
    let body = match (state.host.invited(), state.host.network()) {
        (Invited::Waiting { symbol, minutes }, Some(network)) => {
            let own = state.write(|logbook, _| Ok(logbook.own_device()?))?.device;
            let invitation = Invitation::new(own, symbol, network.addresses);
            waiting(state, &invitation.ok_or_else(Refusal::failed)?, minutes)?
        }
        (Invited::Came(device), _) => {
            let devices = state.read(|logbook, _| Ok(logbook.devices()?))?;
            let known = devices.iter().find(|known| known.device == device);
            html! { p.written role="status" { (say::let_in(&device, known.and_then(|known| known.role))) } }
        }
        (Invited::Over, _) => html! { p.result { (say::OVER) } },
        _ => return Ok(redirect(HERE)),
    };
    let body = html! {
        h1 { (say::LET_IN) }
        (body)
        p.under { a.button href=(HERE) { (l::NETWORK_BACK) } }
    };
    Ok(Screen::new(say::LET_IN, body).shown(state).header(CACHE_CONTROL, "no-store"))
}

fn waiting(state: &State<'_>, invitation: &Invitation, minutes: u64) -> Result<Markup, Refusal> {
    let text = invitation.to_string();
    let symbol = Symbol::of(&text, Level::M)?;
    let side = symbol.side();
    Ok(html! {
        p { (say::minutes(minutes)) " " b { (say::ONE_DEVICE) } }
        p.strip {
            svg.symbol viewBox={ "0 0 " (side) " " (side) } role="img" aria-label=(say::LET_IN) {
                rect width="100%" height="100%" fill="#fff" {}
                path d=(symbol.path()) fill="#000" shape-rendering="crispEdges" {}
            }
        }
        ol.steps { @for step in say::LET_IN_STEPS.iter().skip(1) { li { (step) } } }
        p.field {
            label for="text" { (say::TEXT) }
            textarea.copied #text rows="4" readonly { (text) }
        }
        p.others { button type="button" data-copy="text" data-done=(l::COPIED) hidden { (l::COPY) } }
        p.under { a.button.main href={ (HERE) "/symbol" } { (say::HAS_IT_COME) } }
        (state.form(format!("{HERE}/end-symbol")).on_card(&form::end_symbol()))
    })
}

/// Ends the symbol.
pub fn uninvite(state: &State<'_>) -> Shown {
    at_the_door(state)?;
    state.host.uninvite();
    Ok(redirect(HERE))
}
