//! The devices of a record, and the owner's word on them. What the owner's key
//! does is done at the desk's own computer alone.

use axum::http::HeaderValue;
use axum::http::header::CACHE_CONTROL;
use hosewright_core::device::{DeviceId, Role};
use hosewright_core::hose::Label;
use hosewright_core::words::meeting;
use hosewright_core::{DeviceView, OwnDevice};
use maud::{Markup, html};

use super::{Shown, see};
use crate::page::ask::{Ask, Posted};
use crate::page::fields::query;
use crate::page::frame::{Screen, sentence};
use crate::page::labels as l;
use crate::page::parts::{Field, choice, token};
use crate::page::sheet::{Cell, Sheet};

/// Every device, and what can be done about it here.
pub async fn show(ask: Ask) -> Shown {
    let (own, devices) =
        ask.write(|logbook, _| Ok((logbook.own_device()?, logbook.devices()?))).await?;
    let owner = own.holds_owner_key && ask.at_the_desk().is_ok();
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
    if sheet.wanted(&ask) {
        return sheet.csv();
    }
    let body = html! {
        h1 { (l::DEVICES_TITLE) }
        @if ask.query.given("written").is_some() { p.written role="status" { (l::WRITTEN) } }
        section.card {
            h2 { (l::DEVICES_OWN) }
            @for line in own.words() { p { (line) } }
        }
        h2 { (l::DEVICES_ALL) }
        (sheet.drawn(&ask))
        @if ask.at_the_desk().is_ok() { (works(&ask, &own)) }
        @else { p.hint { (sentence(meeting::AT_THE_DESK_ONLY)) } }
    };
    Ok(Screen::new(l::DEVICES_TITLE, body).shown(&ask))
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
fn works(ask: &Ask, own: &OwnDevice) -> Markup {
    html! {
        @if own.holds_owner_key { (owners(ask)) }
        @else {
            @if own.fleet.is_none() { (founding(ask)) }
            section.card {
                h2 { (l::DEVICES_RECOVER) }
                form action="/owner/devices/recover" method="post" {
                    (token(&ask.token))
                    (Field::new("words", l::DEVICES_RECOVER_WORDS).needed().drawn())
                    p { button type="submit" { (l::DEVICES_RECOVER_GO) } }
                }
            }
        }
    }
}

fn owners(ask: &Ask) -> Markup {
    let roles = [Role::Read, Role::Bench, Role::Owner, Role::Dismissed];
    let roles = roles.map(|role| (role.word(), meeting::role(Some(role))));
    html! {
        section.card #word {
            h2 { (l::DEVICES_WORD) }
            p { (meeting::OWNERS_WORD) }
            form action="/owner/devices" method="post" {
                (token(&ask.token))
                (Field::new("device", l::DEVICES_NUMBER).value(ask.query.get("device")).needed().drawn())
                (choice("role", l::DEVICES_WHAT, "", &roles))
                (Field::new("name", l::DEVICES_NAME).hint(l::NOTE_HINT).drawn())
                label.pick {
                    input type="checkbox" name="from_the_start" value="yes";
                    span { (l::DEVICES_FROM_START) }
                }
                p.under { button.main type="submit" { (l::DEVICES_WORD_GO) } }
            }
        }
        section.card {
            h2 { (l::DEVICES_WORDS) }
            form action="/owner/devices/words" method="post" {
                (token(&ask.token))
                button type="submit" { (l::DEVICES_WORDS_GO) }
            }
        }
    }
}

fn founding(ask: &Ask) -> Markup {
    html! {
        section.card {
            h2 { (l::DEVICES_FOUND) }
            p { (meeting::FOUNDING) }
            form action="/owner/devices/found" method="post" {
                (token(&ask.token))
                button type="submit" { (l::DEVICES_FOUND_GO) }
            }
        }
        section.card {
            h2 { (l::DEVICES_JOIN) }
            form action="/owner/devices/join" method="post" {
                (token(&ask.token))
                (Field::new("fleet", l::DEVICES_FLEET).needed().drawn())
                p { button type="submit" { (l::DEVICES_JOIN_GO) } }
            }
        }
    }
}

/// The owner lets a device write, or sends it away.
pub async fn word(Posted { ask, fields }: Posted) -> Shown {
    ask.at_the_desk()?;
    let typed: Label = fields.needed_label("device", "a device's number")?;
    let role: Role = fields.needed("role", "what the device may write")?;
    let name = fields.label("name", "a name")?;
    let from_the_start = fields.ticked("from_the_start");
    ask.write(move |logbook, moment| {
        let device = logbook.find_device(typed.as_str())?;
        Ok(logbook.enrol(device, (role, name), from_the_start, moment)?)
    })
    .await?;
    Ok(see("/owner/devices?written=yes"))
}

/// Founds a fleet, and shows its key.
pub async fn found(Posted { ask, .. }: Posted) -> Shown {
    ask.at_the_desk()?;
    let words = ask.write(|logbook, moment| Ok(logbook.found_fleet(moment)?)).await?;
    secret(&ask, &words)
}

/// Shows the owner's key again.
pub async fn words(Posted { ask, .. }: Posted) -> Shown {
    ask.at_the_desk()?;
    let words = ask.read(|logbook, _| Ok(logbook.owner_words()?)).await?;
    secret(&ask, &words)
}

/// The words of a key, on a page that no cache keeps.
fn secret(ask: &Ask, words: &str) -> Shown {
    let body = html! {
        h1 { (l::DEVICES_WORDS) }
        p { (meeting::KEEP_THE_WORDS) }
        ol.words { @for word in words.split_whitespace() { li { (word) } } }
        p { (meeting::ADMIT_THE_OTHERS_HERE) }
        p { a.button.main href="/owner/devices" { (l::DEVICES_BACK) } }
    };
    let mut shown = Screen::new(l::DEVICES_WORDS, body).shown(ask);
    shown.headers_mut().insert(CACHE_CONTROL, HeaderValue::from_static("no-store"));
    Ok(shown)
}

/// Joins a fleet.
pub async fn join(Posted { ask, fields }: Posted) -> Shown {
    ask.at_the_desk()?;
    let fleet: DeviceId = fields.needed("fleet", "the fleet's number")?;
    ask.write(move |logbook, moment| Ok(logbook.join_fleet(&fleet, moment)?)).await?;
    Ok(see("/owner/devices?written=yes"))
}

/// Brings the owner's key here from its words.
pub async fn recover(Posted { ask, fields }: Posted) -> Shown {
    ask.at_the_desk()?;
    let words = fields.get("words").to_owned();
    ask.write(move |logbook, moment| Ok(logbook.recover_owner(&words, moment)?)).await?;
    Ok(see("/owner/devices?written=yes"))
}
