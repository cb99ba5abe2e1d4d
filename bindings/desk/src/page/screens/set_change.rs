//! What is done to a set: changed, held, released, said to be another, dissolved.

use axum::extract::Path;
use hosewright_core::hose::{Label, Owner, Pressure};
use hosewright_core::policy::Use;
use hosewright_core::record::{Hold, SetRecord};
use hosewright_core::{PortIs, SetEdit};
use maud::{Markup, html};

use super::hold::{hold_form, release_form};
use super::sets::{
    USES, counts, detail_fields, devices_of, join_form, named, port_fields, ports_of, to,
};
use super::{Shown, see};
use crate::page::ask::{Ask, Posted};
use crate::page::fields::Fields;
use crate::page::frame::Screen;
use crate::page::labels as l;
use crate::page::parts::{Field, choice, reason, token};
use crate::page::refusal::Refusal;

/// A form for each.
pub async fn forms(ask: Ask, Path(name): Path<String>) -> Shown {
    let at = named(&name)?;
    let asked = at.clone();
    let set = ask.read(move |logbook, _| Ok(logbook.set(&asked)?)).await?;
    let holds: Vec<Hold> = set.holds.iter().chain(&set.quarantines).cloned().collect();
    let body = html! {
        h1 { (l::SET) " " (set.name) }
        (release_form(&ask, &to(&at, "/release"), &holds))
        (hold_form(&ask, &to(&at, "/hold")))
        (change_form(&ask, &at, &set))
        (join_form(&ask, &at, ""))
        (home_form(&ask, &at, &set))
        section.card #dissolve {
            h2 { (l::SET_DISSOLVE) }
            form action=(to(&at, "/dissolve")) method="post" {
                (token(&ask.token))
                p { (l::SET_DISSOLVE_LEAD) }
                (reason("dissolve-"))
                p { button.main type="submit" { (l::SET_DISSOLVE) } }
            }
        }
        p { a.button href=(to(&at, "")) { (l::SET) " " (set.name) } }
    };
    Ok(Screen::new(format!("{} {}", l::SET, set.name), body).shown(&ask))
}

/// The form that sends a customer's set home, or takes it in again.
fn home_form(ask: &Ask, at: &Label, set: &SetRecord) -> Markup {
    html! {
        @if set.home.is_some() {
            section.card #come-in {
                h2 { (l::COME_IN) }
                form action=(to(at, "/come-in")) method="post" {
                    (token(&ask.token))
                    (Field::new("ticket", l::NEW_TICKET).needed().of("come-in-").drawn())
                    p { button.main type="submit" { (l::COME_IN) } }
                }
            }
        } @else if set.owner.ticket().is_some() {
            section.card #home {
                h2 { (l::SEND_HOME) }
                form action=(to(at, "/home")) method="post" {
                    (token(&ask.token))
                    p { button.main type="submit" { (l::SEND_HOME) } }
                }
            }
        }
    }
}

/// A customer's set goes home with its hoses.
pub async fn home(Path(name): Path<String>, Posted { ask, .. }: Posted) -> Shown {
    let at = named(&name)?;
    let set = at.clone();
    ask.write(move |logbook, moment| Ok(logbook.send_set_home(&set, None, moment)?)).await?;
    Ok(written(&at))
}

/// It comes in again, under a new ticket.
pub async fn come_in(Path(name): Path<String>, Posted { ask, fields }: Posted) -> Shown {
    let (at, ticket) = (named(&name)?, fields.needed_label("ticket", "a ticket")?);
    let set = at.clone();
    ask.write(move |logbook, moment| Ok(logbook.set_comes_in(&set, ticket, None, moment)?)).await?;
    Ok(written(&at))
}

fn change_form(ask: &Ask, at: &Label, set: &SetRecord) -> Markup {
    html! {
        section.card #change {
            h2 { (l::SET_CHANGE_IT) }
            form action=(to(at, "/change")) method="post" {
                (token(&ask.token))
                (Field::new("name", l::SET_NAME).value(set.name.as_str()).needed().drawn())
                (choice("use", l::SET_USE, set.in_use.word(), USES))
                (port_fields(counts(&set.ports)))
                @for port in set.ports.iter().filter(|port| port.name.pressure().is_none()) {
                    (choice(
                        &format!("kind-{}", port.name),
                        &format!("{} {}", l::PORT_GIVES, port.name),
                        port.kind.map_or("", |kind| kind.word()),
                        PORT_KINDS,
                    ))
                }
                (detail_fields(Some(set)))
                (Field::new("why", l::REASON).hint(l::SET_WHY_HINT).of("change-").drawn())
                p { button.main type="submit" { (l::SET_CHANGE_GO) } }
            }
        }
    }
}

/// What a port that was named without a kind gives.
const PORT_KINDS: &[(&str, &str)] =
    &[("", l::KIND_NOT_KNOWN), ("LP", l::KIND_LP), ("HP", l::KIND_HP)];

/// Changes its name, use or ports.
pub async fn change(Path(name): Path<String>, Posted { ask, fields }: Posted) -> Shown {
    let at = named(&name)?;
    let new: Label = fields.needed_label("name", "the name of a set")?;
    let in_use: Use = fields.needed("use", "who dives with it")?;
    let why = fields.label("why", "a reason")?;
    let (ports, wanted) = ports_of(&fields)?;
    let owner = Owner::of_ticket(fields.label("ticket", "a ticket")?);
    let set = ask
        .write(move |logbook, moment| {
            let set = logbook.set(&at)?;
            let edit = SetEdit {
                name: (new != set.name).then_some(new),
                in_use: (in_use != set.in_use).then_some(in_use),
                ports: (wanted != counts(&set.ports)).then_some(ports),
                devices: devices_of(&fields, Some(&set))?,
                kinds: kinds_of(&fields, &set)?,
                oxygen: Some(fields.ticked("oxygen")),
                owner: Some(owner),
                dissolved: false,
            };
            logbook.change_set(&at, edit, why, moment)?;
            Ok(set.id)
        })
        .await?;
    Ok(see(&format!("/set/{set}?written=yes")))
}

/// What was found out about ports that were named without a kind.
fn kinds_of(fields: &Fields, set: &SetRecord) -> Result<Vec<PortIs>, Refusal> {
    let mut kinds = Vec::new();
    for port in set.ports.iter().filter(|port| port.name.pressure().is_none()) {
        let given: Option<Pressure> = fields.parsed(&format!("kind-{}", port.name))?;
        if let Some(pressure) = given.filter(|given| Some(*given) != port.kind) {
            kinds.push(PortIs { port: port.name, pressure });
        }
    }
    Ok(kinds)
}

/// Puts it on hold, with every hose in it.
pub async fn hold(Path(name): Path<String>, Posted { ask, fields }: Posted) -> Shown {
    let (at, why) = (named(&name)?, fields.needed_label("why", "a reason")?);
    let (set, incident) = (at.clone(), fields.ticked("incident"));
    ask.write(move |logbook, moment| Ok(logbook.hold_set(&set, why, incident, moment)?)).await?;
    Ok(written(&at))
}

/// Releases it; after an incident at the desk's own computer alone.
pub async fn release(Path(name): Path<String>, Posted { ask, fields }: Posted) -> Shown {
    let (at, why) = (named(&name)?, fields.needed_label("why", "a reason")?);
    let (set, far) = (at.clone(), ask.at_the_desk().err());
    ask.write(move |logbook, moment| {
        let incident = logbook.set(&set)?.holds.iter().any(|hold| hold.incident);
        match far.filter(|_| incident) {
            Some(far) => Err(far),
            None => Ok(logbook.release_set(&set, &why, moment)?),
        }
    })
    .await?;
    Ok(written(&at))
}

/// Says that another set is the same.
pub async fn join(Path(name): Path<String>, Posted { ask, fields }: Posted) -> Shown {
    let (at, why) = (named(&name)?, fields.needed_label("why", "a reason")?);
    let other: Label = fields.needed_label("other", "the name of a set")?;
    let set = ask
        .write(move |logbook, moment| {
            let set = logbook.set(&at)?.id;
            logbook.join_sets((&at, &other), why, moment)?;
            Ok::<_, Refusal>(set)
        })
        .await?;
    Ok(see(&format!("/set/{set}?written=yes")))
}

/// It is no more.
pub async fn dissolve(Path(name): Path<String>, Posted { ask, fields }: Posted) -> Shown {
    let (at, why) = (named(&name)?, fields.needed_label("why", "a reason")?);
    let edit = SetEdit { dissolved: true, ..SetEdit::default() };
    ask.write(move |logbook, moment| Ok(logbook.change_set(&at, edit, Some(why), moment)?)).await?;
    Ok(see("/sets"))
}

fn written(set: &Label) -> axum::response::Response {
    see(&to(set, "?written=yes"))
}
