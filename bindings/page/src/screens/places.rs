//! Where a hose goes: into a port of a set, or to stock.

use hosewright_core::Found;
use hosewright_core::event::PortName;
use hosewright_core::fit::FIT_CAUTIONS;
use hosewright_core::hose::Label;
use maud::html;

use super::inspect;
use crate::fields::query;
use crate::form::save;
use crate::frame::Screen;
use crate::labels as l;
use crate::parts::cautions;
use crate::response::Shown;
use crate::state::State;

/// How many sets are offered at once.
const SETS: u32 = 60;

/// Offers the free ports of a set that take the hose.
pub fn form(state: &State<'_>) -> Shown {
    let chosen: Option<Label> = state.request.query.label("set", "the name of a set")?;
    let after = state.request.query.get("after");
    let (answer, sets, set, ports) = state.read(|logbook, moment| {
        let found = logbook.find_typed(state.parameter("code"))?;
        let answer = logbook.answer_found(Found { tag: None, ..found }, moment)?;
        let sets = logbook.set_page(after, "", SETS)?;
        // A hose moves within its own set, or goes into any.
        let set = chosen.or_else(|| answer.place.set.clone());
        let ports = match &set {
            Some(set) => logbook.suggest_ports(found.hose, set)?,
            None => Vec::new(),
        };
        Ok((answer, sets, set, ports))
    })?;
    let at = format!("/hose/{}/place", answer.code);
    let contested = answer.reasons.iter().any(|reason| reason.code == "place-contested");
    let ports: Vec<String> = ports.iter().map(ToString::to_string).collect();
    let choices: Vec<(&str, &str)> = ports.iter().map(|p| (p.as_str(), p.as_str())).collect();
    let best = ports.first().map(String::as_str).unwrap_or_default();
    let body = html! {
        (inspect::head(&answer, l::PLACE))
        p { (l::WHERE) ": " b { (answer.place.words) } }
        @if contested {
            section.card #confirm {
                h2 { (l::CONFIRM_PLACE) }
                p { (l::CONFIRM_LEAD) }
                @let form = state.form(format!("/hose/{}/confirm-place", answer.code));
                (form.drawn(html! {
                    (save(l::CONFIRM_PLACE))
                }))
            }
        }
        @if answer.place.set.is_some() {
            @let form = state.form(format!("/hose/{}/remove", answer.code));
            (form.drawn(html! {
                button type="submit" { (l::TO_STOCK) }
            }))
        }
        @if let Some(set) = &set {
            section.card {
                h2 { (l::FIT_IN) ": " (l::SET) " " (set) }
                @if choices.is_empty() { p { (l::FIT_NO_PORT) } }
                @else {
                    @let form = state.form(format!("/hose/{}/fit", answer.code));
                    (form.drawn(html! {
                        input type="hidden" name="set" value=(set);
                        (form.choice("port", l::PORT, best, &choices))
                        (form.day())
                        (save(l::FIT))
                    }))
                    (cautions(FIT_CAUTIONS))
                }
            }
        }
        @if answer.place.set.is_none() {
            section.card {
                h2 { (l::FIT_CHOOSE) }
                ul.actions {
                    @for other in &sets {
                        li { a.button href={ (at) "?" (query([("set", other.name.as_str())])) } { (other.name) } }
                    }
                }
                @if let Some(last) = sets.last().filter(|_| sets.len() == SETS as usize) {
                    p { a.button href={ (at) "?" (query([("after", last.id.to_string().as_str())])) } { (l::MORE) } }
                }
            }
        }
    };
    Ok(Screen::new(format!("{} · {}", l::PLACE, answer.code), body).shown(state))
}

/// Puts it in a port.
pub fn fit(state: &State<'_>) -> Shown {
    let fields = &state.request.form;
    let set: Label = fields.needed_label("set", "the name of a set")?;
    let port: PortName = fields.needed("port", "the port")?;
    let on = fields.on()?;
    state.save_hose(|logbook, hose, moment| Ok(logbook.fit(hose, &set, port, on, moment)?))
}

/// Takes it off its set, to stock.
pub fn remove(state: &State<'_>) -> Shown {
    state.save_hose(|logbook, hose, moment| Ok(logbook.remove(hose, None, moment)?))
}

/// It is where the record shows it, as somebody saw who looked.
pub fn confirm(state: &State<'_>) -> Shown {
    state.save_hose(|logbook, hose, moment| Ok(logbook.confirm_place(hose, None, moment)?))
}
