//! People who work here: what each may do, their badges and PINs, and who left.

use hosewright_core::device::DeviceId;
use hosewright_core::staff::{Person, WrongPins};
use hosewright_core::tag::draw;
use hosewright_core::view::form::Filled;
use hosewright_core::view::form::staff as form;
use hosewright_core::words::{meeting, sentence, staff as say};
use hosewright_core::{CarriedDevice, FormRefused};
use http::header::CACHE_CONTROL;
use maud::{Markup, PreEscaped, html};

use super::forms::card;
use crate::fields::query;
use crate::frame::Screen;
use crate::labels as l;
use crate::refusal::Refusal;
use crate::response::{Shown, redirect};
use crate::state::State;

/// Who works here, and a form for one more.
pub fn list(state: &State<'_>) -> Shown {
    let (staff, wrong, devices) = state
        .read(|logbook, _| Ok((logbook.staff()?, logbook.wrong_pins()?, devices(logbook)?)))?;
    let (here, gone): (Vec<&Person>, Vec<&Person>) = staff.iter().partition(|p| p.is_here());
    let body = html! {
        h1 { (say::TITLE) }
        p { (say::LEAD) }
        @if here.is_empty() { p.hint { (say::NOBODY) } }
        (told(state, &wrong))
        @for person in here { (row(person)) }
        (card(state, "new", &form::draw(&Filled::default(), &devices, true), "/owner/staff"))
        @if !gone.is_empty() {
            h2 { (say::GONE) }
            ul.list { @for person in gone { li { b { (person.name) } " " (say::here(person.since, person.left)) } } }
        }
    };
    Ok(Screen::new(say::TITLE, body).shown(state))
}

/// The devices that somebody may carry: those that others know of, and this one.
fn devices(logbook: &hosewright_core::Logbook) -> Result<Vec<(DeviceId, String)>, Refusal> {
    let all = logbook.devices()?;
    let named = |d: &hosewright_core::DeviceView| meeting::named(&d.device, d.name.as_ref());
    Ok(all.iter().filter(|d| !d.own).map(|d| (d.device, named(d))).collect())
}

fn row(person: &Person) -> Markup {
    let to = format!("/owner/staff/{}", person.person);
    html! {
        section.card {
            h2 { (person.name) }
            p { (sentence(&say::may(person.may.iter().copied()))) " " (sentence(&say::here(person.since, None))) }
            p {
                a.button href=(to) { (l::STAFF_CHANGE) span.spoken { ": " (person.name) } } " "
                a.button href={ (to) "/left" } { (say::LEAVES) span.spoken { ": " (person.name) } }
            }
        }
    }
}

/// Wrong PINs, until somebody who may has seen them.
fn told(state: &State<'_>, wrong: &[(Person, WrongPins)]) -> Markup {
    html! {
        @if !wrong.is_empty() {
            section.refused role="alert" {
                @for (person, wrong) in wrong {
                    p { b { (person.name) } ": " (say::wrong_pins(wrong.tried, wrong.since.date_naive())) "." }
                }
                (state.form("/owner/staff/seen").drawn(html! {
                    p { button type="submit" { (l::STAFF_SEEN) } }
                }))
            }
        }
    }
}

/// Puts somebody on the list.
pub fn add(state: &State<'_>) -> Shown {
    let said = form::read(&state.request.form.filled()).map_err(FormRefused::from)?;
    let person = state.write(|logbook, moment| Ok(logbook.staffed(None, said, moment)?))?;
    Ok(redirect(&format!("/owner/staff/{person}")))
}

/// The owner has seen the wrong PINs.
pub fn seen(state: &State<'_>) -> Shown {
    state.write(|logbook, moment| Ok(logbook.wrong_pins_seen(moment)?))?;
    Ok(redirect("/owner/staff"))
}

/// One person: what is said of them, the PIN, the badge.
pub fn show(state: &State<'_>) -> Shown {
    let (person, has_pin, devices) = state.read(|logbook, _| {
        let person = logbook.person(state.parameter("person"))?;
        let has_pin = logbook.has_pin(person.person)?;
        Ok((person, has_pin, devices(logbook)?))
    })?;
    let to = format!("/owner/staff/{}", person.person);
    let details = form::draw(&form::on_record(&person), &devices, false);
    let badge = draw::svg(&draw::badge(person.person.code())?);
    let body = html! {
        h1 { (person.name) }
        p { (sentence(&say::here(person.since, person.left))) }
        @if person.is_here() {
            (state.form(&to).shown(&details))
            @if state.at_the_desk().is_ok() {
                (card(state, "pin", &form::pin(has_pin), &format!("{to}/pin")))
                @if has_pin { (card(state, "no-pin", &form::no_pin(), &format!("{to}/no-pin"))) }
            }
            section.card {
                h2 { (say::BADGE) }
                p { (say::BADGE_LEAD) }
                figure.badge role="img" aria-label={ (say::BADGE) ": " (person.name) } {
                    (PreEscaped(badge))
                    figcaption { (person.name) }
                }
            }
            p { a.button href={ (to) "/left" } { (say::LEAVES) } }
        }
        p { a.button href="/owner/staff" { (say::TITLE) } }
    };
    Ok(Screen::new(person.name.to_string(), body).shown(state))
}

/// Saves what is said of somebody.
pub fn change(state: &State<'_>) -> Shown {
    let said = form::read(&state.request.form.filled()).map_err(FormRefused::from)?;
    state.write(|logbook, moment| {
        let person = logbook.person(state.parameter("person"))?;
        Ok(logbook.staffed(Some(person.person), said, moment)?)
    })?;
    Ok(redirect("/owner/staff"))
}

/// Chooses somebody's PIN on this computer.
pub fn pin(state: &State<'_>) -> Shown {
    state.at_the_desk()?;
    let typed = state.request.form.get("new_pin");
    let person = state.write(|logbook, moment| {
        let person = logbook.person(state.parameter("person"))?.person;
        logbook.choose_pin(person, typed, moment)?;
        Ok(person)
    })?;
    Ok(redirect(&format!("/owner/staff/{person}")))
}

/// Takes somebody's PIN on this computer away.
pub fn no_pin(state: &State<'_>) -> Shown {
    state.at_the_desk()?;
    let person = state.write(|logbook, moment| {
        let person = logbook.person(state.parameter("person"))?.person;
        logbook.remove_pin(person, moment)?;
        Ok(person)
    })?;
    Ok(redirect(&format!("/owner/staff/{person}")))
}

/// Asks whether somebody left, and shows the devices that they carry.
pub fn leaves(state: &State<'_>) -> Shown {
    let (person, devices) = state.read(|logbook, _| {
        let person = logbook.person(state.parameter("person"))?;
        let devices = logbook.devices_of(&person)?;
        Ok((person, devices))
    })?;
    let to = format!("/owner/staff/{}/left", person.person);
    let body = html! {
        h1 { (person.name) ": " (say::LEAVES) }
        p { (say::LEAVES_LEAD) }
        (carried(&devices))
        @if person.is_here() { (state.form(to).shown(&form::leaves())) }
        @else { p.written role="status" { (sentence(&say::here(person.since, person.left))) } }
        p { a.button href="/owner/staff" { (say::TITLE) } }
    };
    let title = format!("{}: {}", person.name, say::LEAVES);
    Ok(Screen::new(title, body).shown(state).header(CACHE_CONTROL, "no-store"))
}

fn carried(devices: &[CarriedDevice]) -> Markup {
    html! {
        @if devices.is_empty() { p { (say::LEAVES_NO_DEVICE) } }
        @else {
            ul.list {
                @for CarriedDevice { device, carried, others } in devices {
                    @let number = device.device.to_string();
                    li {
                        b { (meeting::named(&device.device, device.name.as_ref())) } " "
                        @if *carried { (say::CARRIED) "; " }
                        (say::written_on(*others)) ". "
                        a.button href={ "/owner/devices?" (query([("device", number.as_str())])) "#word" } { (l::STAFF_DISMISS) }
                    }
                }
            }
        }
    }
}

/// Somebody left.
pub fn left(state: &State<'_>) -> Shown {
    let person = state.write(|logbook, moment| {
        let person = logbook.person(state.parameter("person"))?.person;
        logbook.staff_left(person, moment)?;
        Ok(person)
    })?;
    Ok(redirect(&format!("/owner/staff/{person}/left")))
}
