//! The devices of a record, and what the owner permits them. What the owner's key
//! does is done at the desk's own computer alone.

use hosewright_core::device::{DeviceId, Role};
use hosewright_core::hose::Label;
use hosewright_core::words::{meeting, owner as say};
use hosewright_core::{DeviceView, LogbookError, OwnDevice};
use http::header::CACHE_CONTROL;
use maud::{Markup, html};

use super::forms::card;
use crate::fields::query;
use crate::frame::Screen;
use crate::labels as l;
use crate::refusal::Refusal;
use crate::response::{Shown, redirect};
use crate::sheet::{Cell, Sheet};
use crate::state::State;
use hosewright_core::view::form::owner;
use hosewright_core::words::sentence;

/// Every device, and what can be done about it here.
pub fn show(state: &State<'_>) -> Shown {
    let (own, devices) =
        state.write(|logbook, _| Ok((logbook.own_device()?, logbook.devices()?)))?;
    let owner = own.holds_owner_key && state.at_the_desk().is_ok();
    let rows = devices.iter().map(|device| row(device, own.fleet.is_some(), owner));
    let head = vec![
        l::DEVICES_DEVICE,
        l::DEVICES_ENTRIES,
        l::DEVICES_NEWEST,
        l::DEVICES_ROLE,
        l::DEVICES_NOTE,
        "",
    ];
    let sheet = Sheet::new("devices", head, rows.collect());
    if sheet.wanted(state) {
        return sheet.csv();
    }
    let body = html! {
        h1 { (l::DEVICES_TITLE) }
        @if state.request.query.given("written").is_some() { p.written role="status" { (l::WRITTEN) } }
        @if state.request.query.given("words").is_some() { p.written role="status" { (say::KEY_RIGHT) } }
        section.card {
            h2 { (l::DEVICES_OWN) }
            @for line in own.words() { p { (line) } }
        }
        (super::lost::ways())
        h2 { (l::DEVICES_ALL) }
        (sheet.drawn(state))
        @if state.at_the_desk().is_ok() { (works(state, &own)) }
        @else { p.hint { (sentence(meeting::AT_THE_DESK_ONLY)) } }
    };
    Ok(Screen::new(l::DEVICES_TITLE, body).shown(state))
}

fn row(device: &DeviceView, fleet: bool, owner: bool) -> Vec<Cell> {
    let role = if fleet { meeting::role(device.role) } else { l::DEVICES_BELIEVED };
    let number = device.device.to_string();
    let change = html! {
        @if owner {
            a.button href={ "/owner/devices?" (query([("device", number.as_str())])) "#word" } { (l::DEVICES_CHANGE) }
        }
        @if !device.set_aside.is_empty() || !device.complete {
            " " a.button href={ "/owner/devices/entries?" (query([("device", number.as_str())])) } { (l::JUDGE) }
        }
    };
    vec![
        Cell::text(meeting::named(&device.device, device.name.as_ref())),
        Cell::text(device.entries),
        device.newest_on.map_or_else(|| Cell::text(""), Cell::Day),
        Cell::text(role),
        Cell::text(device.note()),
        Cell::Button(change),
    ]
}

/// What this device can do now, given whose key it has.
fn works(state: &State<'_>, own: &OwnDevice) -> Markup {
    let forms: Vec<_> = if own.holds_owner_key {
        let permissions = owner::permissions(state.request.query.get("device"));
        // A browser that has the record itself keeps keys where no pass phrase is round them.
        let seal = state.host.serves().then(|| ("seal", owner::seal_key(), "/seal"));
        let first = [("word", permissions, ""), ("words", owner::key(), "/words")];
        let then = [
            ("replace", owner::replace_key(), "/replace"),
            ("take-in", owner::take_in(), "/take-in"),
            ("follow", owner::follow(), "/follow"),
        ];
        first.into_iter().chain(seal).chain(then).collect()
    } else {
        let fleet = own.fleet.is_none();
        let found = fleet.then(|| ("found", owner::found_fleet(), "/found"));
        let join = fleet.then(|| ("join", owner::join_fleet(), "/join"));
        let recover = ("recover", owner::recover(), "/recover");
        let replace = (!fleet).then(|| ("replace", owner::replace_key(), "/replace"));
        found.into_iter().chain(join).chain([recover]).chain(replace).collect()
    };
    html! {
        @for (id, form, to) in &forms { (card(state, id, form, &format!("/owner/devices{to}"))) }
    }
}

/// Admits a device, or dismisses it.
pub fn word(state: &State<'_>) -> Shown {
    let fields = &state.request.form;
    state.at_the_desk()?;
    let typed: Label = fields.needed_label("device", "a device's number")?;
    let role: Role = fields.needed("role", "what the device may write")?;
    let name = fields.label("name", "a name")?;
    let from_the_start = fields.ticked("from_the_start");
    state.write(|logbook, moment| {
        let device = logbook.find_device(typed.as_str())?;
        Ok(logbook.enrol(device, (role, name), from_the_start, moment)?)
    })?;
    Ok(redirect("/owner/devices?written=yes"))
}

/// Founds a fleet, and shows its key.
pub fn found(state: &State<'_>) -> Shown {
    state.at_the_desk()?;
    let words = state.write(|logbook, moment| Ok(logbook.found_fleet(moment)?))?;
    shown_once(state, &words, &[meeting::ADMIT_THE_OTHERS_HERE.to_owned()])
}

/// Checks the words that the owner has on paper. They are not shown again here: others
/// stand at a counter.
pub fn words(state: &State<'_>) -> Shown {
    state.at_the_desk()?;
    let words = state.request.form.get("words");
    match state.read(|logbook, _| Ok(logbook.are_owner_words(words)?))? {
        true => Ok(redirect("/owner/devices?words=right")),
        false => Err(Refusal::at("words", say::KEY_WRONG)),
    }
}

/// Puts the owner's key under a pass phrase.
pub fn seal(state: &State<'_>) -> Shown {
    state.at_the_desk()?;
    let pass_phrase = state.request.form.get("pass");
    state.write(|logbook, _| Ok(logbook.seal_owner(pass_phrase)?))?;
    Ok(redirect("/owner/devices?written=yes"))
}

/// Replaces the owner's key, and shows the new one.
pub fn replace(state: &State<'_>) -> Shown {
    state.at_the_desk()?;
    let fields = &state.request.form;
    let (words, since) = (fields.get("words"), fields.filled().day("since"));
    let since = since.map_err(|refused| Refusal::at(&refused.field, refused.words))?;
    let replaced = state.write(|logbook, moment| {
        logbook.replace_owner(words, since, moment).map_err(|error| match error {
            LogbookError::Day(error) => Refusal::at("since", error),
            other => other.into(),
        })
    })?;
    let mut then = vec![meeting::REPLACED_NOW.to_owned()];
    then.extend(since.iter().flat_map(|since| meeting::not_granted(&replaced.left_out, *since)));
    shown_once(state, &replaced.words, &then)
}

/// Takes another fleet in.
pub fn take_in(state: &State<'_>) -> Shown {
    state.at_the_desk()?;
    let fleet: DeviceId = state.request.form.needed("fleet", "the fleet's number")?;
    state.write(|logbook, moment| Ok(logbook.take_fleet_in(&fleet, moment)?))?;
    Ok(redirect("/owner/devices?written=yes"))
}

/// Lets this fleet follow another.
pub fn follow(state: &State<'_>) -> Shown {
    state.at_the_desk()?;
    let fleet: DeviceId = state.request.form.needed("fleet", "the fleet's number")?;
    state.write(|logbook, moment| Ok(logbook.follow_fleet(&fleet, moment)?))?;
    Ok(redirect("/owner/devices?written=yes"))
}

/// The words of a new key, on a page that no cache keeps.
fn shown_once(state: &State<'_>, words: &str, then: &[String]) -> Shown {
    let body = html! {
        h1 { (say::KEY) }
        p { (meeting::KEEP_THE_WORDS) }
        ol.words { @for word in words.split_whitespace() { li { (word) } } }
        @for line in then { p { (line) } }
        p { a.button.main href="/owner/devices" { (l::DEVICES_BACK) } }
    };
    Ok(Screen::new(say::KEY, body).shown(state).header(CACHE_CONTROL, "no-store"))
}

/// Joins a fleet.
pub fn join(state: &State<'_>) -> Shown {
    state.at_the_desk()?;
    let fleet: DeviceId = state.request.form.needed("fleet", "the fleet's number")?;
    state.write(|logbook, moment| Ok(logbook.join_fleet(&fleet, moment)?))?;
    Ok(redirect("/owner/devices?written=yes"))
}

/// Brings the owner's key here from its words.
pub fn recover(state: &State<'_>) -> Shown {
    state.at_the_desk()?;
    let words = state.request.form.get("words");
    state.write(|logbook, moment| Ok(logbook.recover_owner(words, moment)?))?;
    Ok(redirect("/owner/devices?written=yes"))
}
