//! What is done to a set: changed, held, released, said to be another, dissolved.

use hosewright_core::hose::{Label, Owner, Pressure};
use hosewright_core::policy::Use;
use hosewright_core::record::{Hold, SetRecord};
use hosewright_core::tag::Code;
use hosewright_core::{PortIs, SetEdit};
use maud::{Markup, html};

use super::hold::{hold_form, release_form};
use super::sets::{
    USES, counts, detail_fields, devices_of, join_form, named, port_fields, ports_of, to,
};
use crate::fields::Fields;
use crate::form::Field;
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
        (release_form(state, &to(&at, "/release"), &holds))
        (hold_form(state, &to(&at, "/hold")))
        (change_form(state, &at, &set))
        (join_form(state, &at, ""))
        (tag_form(state, &at, &set))
        (home_form(state, &at, &set))
        section.card #dissolve {
            h2 { (l::SET_DISSOLVE) }
            @let form = state.form(to(&at, "/dissolve"));
            (form.drawn(html! {
                p { (l::SET_DISSOLVE_LEAD) }
                (form.reason("dissolve-"))
                p { button.main type="submit" { (l::SET_DISSOLVE) } }
            }))
        }
        p { a.button href=(to(&at, "")) { (l::SET) " " (set.name) } }
    };
    Ok(Screen::new(format!("{} {}", l::SET, set.name), body).shown(state))
}

/// The form that sends a customer's set home, or takes it in again.
fn home_form(state: &State<'_>, at: &Label, set: &SetRecord) -> Markup {
    html! {
        @if set.home.is_some() {
            section.card #come-in {
                h2 { (l::COME_IN) }
                @let form = state.form(to(at, "/come-in"));
                (form.drawn(html! {
                    (form.field(&Field::new("ticket", l::NEW_TICKET).needed().of("come-in-")))
                    p { button.main type="submit" { (l::COME_IN) } }
                }))
            }
        } @else if set.owner.ticket().is_some() {
            section.card #home {
                h2 { (l::SEND_HOME) }
                @let form = state.form(to(at, "/home"));
                (form.drawn(html! {
                    p { button.main type="submit" { (l::SEND_HOME) } }
                }))
            }
        }
    }
}

/// A customer's set goes home with its hoses.
pub fn home(state: &State<'_>) -> Shown {
    let at = named(state.parameter("name"))?;
    state.write(|logbook, moment| Ok(logbook.send_set_home(&at, None, moment)?))?;
    Ok(written(&at))
}

/// It comes in again, under a new ticket.
pub fn come_in(state: &State<'_>) -> Shown {
    let (at, ticket) =
        (named(state.parameter("name"))?, state.request.form.needed_label("ticket", "a ticket")?);
    state.write(|logbook, moment| Ok(logbook.set_comes_in(&at, ticket, None, moment)?))?;
    Ok(written(&at))
}

fn change_form(state: &State<'_>, at: &Label, set: &SetRecord) -> Markup {
    html! {
        section.card #change {
            h2 { (l::SET_CHANGE_IT) }
            @let form = state.form(to(at, "/change"));
            (form.drawn(html! {
                (form.field(&Field::new("name", l::SET_NAME).value(set.name.as_str()).needed()))
                (form.choice("use", l::SET_USE, set.in_use.word(), USES))
                (port_fields(&form, counts(&set.ports)))
                @for port in set.ports.iter().filter(|port| port.name.pressure().is_none()) {
                    (form.choice(
                        &format!("kind-{}", port.name),
                        format!("{} {}", l::PORT_GIVES, port.name),
                        port.kind.map_or("", |kind| kind.word()),
                        PORT_KINDS,
                    ))
                }
                (detail_fields(&form, Some(set)))
                (form.field(&Field::new("why", l::REASON).hint(l::SET_WHY_HINT).of("change-")))
                p { button.main type="submit" { (l::SET_CHANGE_GO) } }
            }))
        }
    }
}

fn tag_form(state: &State<'_>, at: &Label, set: &SetRecord) -> Markup {
    html! {
        section.card #tag {
            h2 { (l::SET_TAG_NEW) }
            @let form = state.form(to(at, "/tag"));
            (form.drawn(html! {
                p { @match set.tag() { Some(tag) => { (l::SET_TAG_OWN) " " span.code { (tag) } } None => (l::SET_TAG_NONE) } }
                p { (l::RETAG_EMPTY) }
                (form.field(&Field::new("tag", l::RETAG_CODE)))
                p { button.main type="submit" { (l::SET_TAG_NEW) } }
            }))
        }
    }
}

/// Gives it a new tag.
pub fn tag(state: &State<'_>) -> Shown {
    let at = named(state.parameter("name"))?;
    let tag: Option<Code> = state.request.form.parsed("tag")?;
    state.write(|logbook, moment| Ok(logbook.tag_set(&at, tag, None, moment)?))?;
    Ok(written(&at))
}
/// What a port that was named without a kind gives.
const PORT_KINDS: &[(&str, &str)] =
    &[("", l::KIND_NOT_KNOWN), ("LP", l::KIND_LP), ("HP", l::KIND_HP)];

/// Changes its name, use or ports.
pub fn change(state: &State<'_>) -> Shown {
    let name = state.parameter("name");
    let fields = &state.request.form;
    let at = named(name)?;
    let new: Label = fields.needed_label("name", "the name of a set")?;
    let in_use: Use = fields.needed("use", "who dives with it")?;
    let why = fields.label("why", "a reason")?;
    let (ports, wanted) = ports_of(fields)?;
    let owner = Owner::of_ticket(fields.label("ticket", "a ticket")?);
    let set = state.write(|logbook, moment| {
        let set = logbook.set(&at)?;
        let edit = SetEdit {
            name: (new != set.name).then_some(new),
            in_use: (in_use != set.in_use).then_some(in_use),
            ports: (wanted != counts(&set.ports)).then_some(ports),
            devices: devices_of(fields, Some(&set))?,
            kinds: kinds_of(fields, &set)?,
            oxygen: Some(fields.ticked("oxygen")),
            owner: Some(owner),
            dissolved: false,
        };
        logbook.change_set(&at, edit, why, moment)?;
        Ok(set.id)
    })?;
    Ok(redirect(&format!("/set/{set}?written=yes")))
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
pub fn hold(state: &State<'_>) -> Shown {
    let fields = &state.request.form;
    let (at, why) = (named(state.parameter("name"))?, fields.needed_label("why", "a reason")?);
    let incident = fields.ticked("incident");
    state.write(|logbook, moment| Ok(logbook.hold_set(&at, why, incident, moment)?))?;
    Ok(written(&at))
}

/// Releases it; after an incident at the desk's own computer alone.
pub fn release(state: &State<'_>) -> Shown {
    let (at, why) =
        (named(state.parameter("name"))?, state.request.form.needed_label("why", "a reason")?);
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
    let (at, why) = (named(name)?, fields.needed_label("why", "a reason")?);
    let other: Label = fields.needed_label("other", "the name of a set")?;
    let set = state.write(|logbook, moment| {
        let set = logbook.set(&at)?.id;
        logbook.join_sets((&at, &other), why, moment)?;
        Ok::<_, Refusal>(set)
    })?;
    Ok(redirect(&format!("/set/{set}?written=yes")))
}

/// It is no more.
pub fn dissolve(state: &State<'_>) -> Shown {
    let (at, why) =
        (named(state.parameter("name"))?, state.request.form.needed_label("why", "a reason")?);
    let edit = SetEdit { dissolved: true, ..SetEdit::default() };
    state.write(|logbook, moment| Ok(logbook.change_set(&at, edit, Some(why), moment)?))?;
    Ok(redirect("/sets"))
}

fn written(set: &Label) -> Response {
    redirect(&to(set, "?written=yes"))
}
