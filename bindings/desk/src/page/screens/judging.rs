//! What a device wrote that is not believed, and what is missing of it: listed
//! first, then judged by the owner, at the desk's own computer alone.

use hosewright_core::device::DeviceId;
use hosewright_core::hose::Label;
use hosewright_core::words::meeting;
use hosewright_core::{DeviceView, HistoryLine};
use maud::{Markup, html};

use super::told::timeline;
use super::{Shown, see};
use crate::page::ask::{Ask, Posted};
use crate::page::fields::Fields;
use crate::page::frame::{Screen, sentence};
use crate::page::labels as l;
use crate::page::parts::{reason, token};
use crate::page::refusal::Refusal;

fn number(fields: &Fields) -> Result<Label, Refusal> {
    fields.needed_label("device", "a device's number")
}

/// The entries, and what can be said about them.
pub async fn show(ask: Ask) -> Shown {
    let typed = number(&ask.query)?;
    let (id, view, lines) = ask
        .read(move |logbook, _| {
            let id = logbook.find_device(typed.as_str())?;
            let view = logbook.devices()?.into_iter().find(|view| view.device == id);
            Ok((id, view, logbook.disbelieved_lines(&id)?))
        })
        .await?;
    let name = view.as_ref().and_then(|view| view.name.as_ref());
    let body = html! {
        h1 { (l::JUDGE_TITLE) }
        p.lead { (meeting::named(&id, name)) @if let Some(view) = &view { ". " (sentence(&view.note())) } }
        @if lines.is_empty() { p { (l::JUDGE_NONE) } }
        (timeline(lines.iter(), None))
        @if ask.at_the_desk().is_ok() { (forms(&ask, &id, view.as_ref(), &lines)) }
        @else { p.hint { (sentence(meeting::AT_THE_DESK_ONLY)) } }
        p { a.button href="/owner/devices" { (l::DEVICES_BACK) } }
    };
    Ok(Screen::new(l::JUDGE_TITLE, body).shown(&ask))
}

fn forms(ask: &Ask, id: &DeviceId, view: Option<&DeviceView>, lines: &[HistoryLine]) -> Markup {
    let form = |to: &str, label: &str, lead: &str, why: bool| {
        html! {
            section.card {
                h2 { (label) }
                p { (lead) }
                form action={ "/owner/devices/" (to) } method="post" {
                    (token(&ask.token))
                    input type="hidden" name="device" value=(id);
                    @if why { (reason(to)) }
                    p { button.main type="submit" { (label) } }
                }
            }
        }
    };
    html! {
        @if !lines.is_empty() {
            @if !id.signs() { (form("admit", l::JUDGE_ADMIT, l::JUDGE_ADMIT_LEAD, false)) }
            (form("dismiss", l::JUDGE_DISMISS, l::JUDGE_DISMISS_LEAD, true))
        }
        @if view.is_some_and(|view| !view.complete) {
            (form("lost", l::JUDGE_LOST, l::JUDGE_LOST_LEAD, true))
        }
    }
}

/// Believes the unsigned entries.
pub async fn admit(Posted { ask, fields }: Posted) -> Shown {
    ask.at_the_desk()?;
    let device = number(&fields)?;
    ask.write(move |logbook, moment| {
        let device = logbook.find_device(device.as_str())?;
        Ok(logbook.admit_unsigned(&device, moment)?)
    })
    .await?;
    Ok(see("/owner/devices?written=yes"))
}

/// Says that they need no more attention.
pub async fn dismiss(Posted { ask, fields }: Posted) -> Shown {
    ask.at_the_desk()?;
    let (device, why) = (number(&fields)?, fields.needed_label("why", "a reason")?);
    ask.write(move |logbook, moment| {
        let device = logbook.find_device(device.as_str())?;
        Ok(logbook.dismiss_entries(&device, &why, moment)?)
    })
    .await?;
    Ok(see("/owner/devices?written=yes"))
}

/// Declares what is missing lost.
pub async fn lost(Posted { ask, fields }: Posted) -> Shown {
    ask.at_the_desk()?;
    let (device, why) = (number(&fields)?, fields.needed_label("why", "a reason")?);
    ask.write(move |logbook, moment| {
        let device = logbook.find_device(device.as_str())?;
        Ok(logbook.declare_lost(&device, why, moment)?)
    })
    .await?;
    Ok(see("/owner/devices?written=yes"))
}
