//! What is due as a calendar: a file, and a secret address that calendar programs read.

use hosewright_core::Page;
use hosewright_core::fleet::{CALENDAR_MOST, CALENDAR_WITHIN, Horizon, calendar};
use hosewright_core::index::Filter;
use hosewright_core::view::form::owner;
use hosewright_core::words::calendar as say;
use http::header::CONTENT_DISPOSITION;
use maud::{Markup, html};

use super::forms::card;
use crate::frame::{Screen, bare};
use crate::labels as l;
use crate::refusal::Refusal;
use crate::response::{Response, Shown, redirect};
use crate::state::State;

/// The calendar, without a session: whoever has the address may read it. Who has another
/// sees nothing of this desk, whatever goes wrong.
pub fn feed(state: &State<'_>) -> Shown {
    let known = state.host.is_calendar(state.parameter("address"));
    let shown = match known {
        Ok(true) => written(state, CALENDAR_WITHIN, "inline"),
        Ok(false) => Err(Refusal::NoPage),
        Err(_) => Err(Refusal::failed()),
    };
    Ok(shown.unwrap_or_else(|refusal| bare(&refusal)))
}

/// The same as a file, for whoever may see the list.
pub fn file(state: &State<'_>) -> Shown {
    let within = state.request.query.parsed("within")?.unwrap_or(CALENDAR_WITHIN);
    written(state, within, "attachment")
}

fn written(state: &State<'_>, within: Horizon, how: &str) -> Shown {
    let page = Page { from: 0, most: CALENDAR_MOST };
    let text = state.read(|logbook, moment| {
        let list = logbook.due_page(within, &Filter::default(), &page, moment)?;
        Ok(calendar(&list, moment))
    })?;
    let name = format!("{how}; filename=\"hoses-due.ics\"");
    Ok(Response::new("text/calendar; charset=utf-8", text).header(CONTENT_DISPOSITION, name))
}

/// The address, and the ways to change and to end it: at the desk's own computer.
pub fn show(state: &State<'_>) -> Shown {
    let at_the_desk = state.at_the_desk().is_ok();
    let addresses = if at_the_desk { state.host.calendar()? } else { Vec::new() };
    let body = html! {
        h1 { (say::TITLE) }
        @if state.request.query.given("written").is_some() { p.written role="status" { (l::WRITTEN) } }
        @if !at_the_desk { p { (say::AT_THE_DESK) } }
        @if !addresses.is_empty() { (shown(&addresses)) }
        @if at_the_desk && state.host.serves() {
            (card(state, "new", &owner::calendar_address(!addresses.is_empty()), "/owner/calendar/new"))
        }
        @if !addresses.is_empty() { (card(state, "off", &owner::end_calendar(), "/owner/calendar/off")) }
        p { a.button href="/owner/due/calendar.ics" { (say::FILE) } }
    };
    Ok(Screen::new(say::TITLE, body).shown(state))
}

fn shown(addresses: &[String]) -> Markup {
    html! {
        section.card {
            p { (say::ADDRESS_LEAD) }
            @for (at, address) in addresses.iter().enumerate() {
                p.field {
                    textarea.copied id={ "address-" (at) } rows="4" readonly aria-label=(say::TITLE) { (address) }
                }
                p.others {
                    button type="button" data-copy={ "address-" (at) } data-done=(l::COPIED) hidden { (l::COPY) }
                    @if let Some(rest) = address.strip_prefix("http:") {
                        a.button href={ "webcal:" (rest) } { (l::CALENDAR_OPEN) }
                    }
                }
            }
            p { b { (say::ADDRESS_SECRET) } " " (say::ADDRESS_REACH) }
        }
    }
}

/// Makes an address, or another in its place.
pub fn renew(state: &State<'_>) -> Shown {
    set(state, true)
}

/// Ends it.
pub fn end(state: &State<'_>) -> Shown {
    set(state, false)
}

fn set(state: &State<'_>, on: bool) -> Shown {
    state.at_the_desk()?;
    if !state.host.serves() {
        return Err(Refusal::NoPage);
    }
    state.host.set_calendar(on)?;
    Ok(redirect("/owner/calendar?written=yes"))
}
