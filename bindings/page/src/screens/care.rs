//! What is done to a hose: cleaned, resealed, given a new tag, retired.

use hosewright_core::Found;
use hosewright_core::fit::seal::SEAL_CAUTIONS;
use hosewright_core::hose::{End, Grease, Label, Service, Specification};
use hosewright_core::words::RECOUPLE;
use maud::html;

use super::inspect;
use crate::form::Field;
use crate::frame::Screen;
use crate::labels as l;
use crate::parts::cautions;
use crate::refusal::Refusal;
use crate::response::{Shown, redirect_saved};
use crate::state::State;
use crate::typed;

const GREASES: &[(&str, &str)] =
    &[("", l::GREASE_NOT_ASKED), ("oxygen", l::GREASE_OXYGEN), ("other", l::GREASE_OTHER)];

/// A form for each.
pub fn forms(state: &State<'_>) -> Shown {
    let (answer, inflator) = state.read(|logbook, moment| {
        let found = logbook.find_typed(state.parameter("code"))?;
        let record = logbook.record(found.hose)?;
        let inflator = record.specifications().any(|hose| hose.service() == Service::Inflator);
        Ok((logbook.answer_found(Found { tag: None, ..found }, moment)?, inflator))
    })?;
    let to = |what: &str| format!("/hose/{}/{what}", answer.code);
    let body = html! {
        (inspect::head(&answer, l::CARE_TITLE))
        section.card #clean {
            h2 { (l::CLEAN) }
            @let form = state.form(to("clean"));
            (form.drawn(html! {
                p { (l::CLEAN_LEAD) }
                p { button.main type="submit" { (l::SAVE) } }
            }))
        }
        section.card #reseal {
            h2 { (l::RESEAL) }
            @let form = state.form(to("reseal"));
            (form.drawn(html! {
                (form.choice("end", l::WHICH_END, "", &[("a", l::END_A), ("b", l::END_B)]))
                (form.field(&Field::new("seal", l::SEAL_SIZE).hint(l::NOTE_HINT)))
                (form.choice("grease", l::GREASE, if answer.hose.specification.as_ref().is_some_and(Specification::oxygen) { "-" } else { "" }, GREASES))
                (form.day())
                p { button.main type="submit" { (l::SAVE) } }
            }))
            (cautions(SEAL_CAUTIONS))
        }
        @if inflator {
            section.card #coupling {
                h2 { (l::RECOUPLE) }
                @let form = state.form(to("recouple"));
                (form.drawn(html! {
                    p { (RECOUPLE) }
                    (form.day())
                    p { button.main type="submit" { (l::SAVE) } }
                }))
            }
        }
        section.card #bind {
            h2 { (l::BIND) }
            @let form = state.form(to("bind"));
            (form.drawn(html! {
                p { (l::BIND_LEAD) }
                (form.field(&Field::new("barcode", l::BIND_TEXT).needed()))
                p { button.main type="submit" { (l::BIND) } }
            }))
        }
        section.card #retag {
            h2 { (l::RETAG) }
            @let form = state.form(to("retag"));
            (form.drawn(html! {
                p { (l::RETAG_LEAD) " " (l::RETAG_EMPTY) }
                (form.field(&Field::new("tag", l::RETAG_CODE)))
                p { button.main type="submit" { (l::RETAG) } }
            }))
        }
        @if answer.place.home.is_some() {
            section.card #come-in {
                h2 { (l::COME_IN) }
                @let form = state.form(to("come-in"));
                (form.drawn(html! {
                    (form.field(&Field::new("ticket", l::NEW_TICKET).needed()))
                    p { button.main type="submit" { (l::COME_IN) } }
                }))
            }
        } @else if answer.hose.origin.own.owner().ticket().is_some() {
            section.card #home {
                h2 { (l::SEND_HOME) }
                @let form = state.form(to("home"));
                (form.drawn(html! {
                    p { button.main type="submit" { (l::SEND_HOME) } }
                }))
            }
        }
        section.card #retire {
            h2 { (l::RETIRE) }
            @let form = state.form(to("retire"));
            (form.drawn(html! {
                p { (l::RETIRE_LEAD) }
                (form.field(&Field::new("why", l::RETIRE_WHY).needed()))
                p { button.main type="submit" { (l::RETIRE) } }
            }))
        }
    };
    Ok(Screen::new(format!("{} · {}", l::CARE_TITLE, answer.code), body).shown(state))
}

/// Soaked, cleaned and dried.
pub fn clean(state: &State<'_>) -> Shown {
    state.save_hose(|logbook, hose, moment| Ok(logbook.clean(hose, None, moment)?))
}

/// New O-rings at one end.
pub fn reseal(state: &State<'_>) -> Shown {
    let fields = &state.request.form;
    let end: End = fields.needed("end", "the end")?;
    let seal = fields.given("seal").map(typed::seal).transpose().map_err(Refusal::bad)?;
    let grease: Option<Grease> = fields.parsed("grease")?;
    let on = fields.on()?;
    state.save_hose(|logbook, hose, moment| {
        Ok(logbook.reseal_with(hose, (end, seal, grease), on, moment)?)
    })
}

/// A new valve core or coupling.
pub fn recouple(state: &State<'_>) -> Shown {
    let on = state.request.form.on()?;
    state.save_hose(|logbook, hose, moment| Ok(logbook.recouple(hose, on, moment)?))
}

/// Binds a maker's own barcode to the hose.
pub fn bind(state: &State<'_>) -> Shown {
    let barcode: Label = state.request.form.needed_label("barcode", "the text of a barcode")?;
    state.save_hose(|logbook, hose, moment| Ok(logbook.bind(hose, barcode, moment)?))
}

/// A new tag; the old one is withdrawn.
pub fn retag(state: &State<'_>) -> Shown {
    let tag = state.request.form.parsed("tag")?;
    let tag = state.write(|logbook, moment| {
        let hose = logbook.find_whole(state.parameter("code"))?.hose;
        Ok(logbook.retag(hose, tag, None, moment)?)
    })?;
    Ok(redirect_saved(tag))
}

/// A customer's hose goes home.
pub fn home(state: &State<'_>) -> Shown {
    state.save_hose(|logbook, hose, moment| Ok(logbook.send_home(hose, None, moment)?))
}

/// It comes in again, under a new ticket.
pub fn come_in(state: &State<'_>) -> Shown {
    let ticket: Label = state.request.form.needed_label("ticket", "a ticket")?;
    state.save_hose(|logbook, hose, moment| Ok(logbook.come_in(hose, ticket, None, moment)?))
}

/// Out of service for good.
pub fn retire(state: &State<'_>) -> Shown {
    let why: Label = state.request.form.needed_label("why", "a reason")?;
    let tag = state.write(|logbook, moment| {
        let hose = logbook.find_whole(state.parameter("code"))?.hose;
        Ok(logbook.retire(hose, why, None, moment)?)
    })?;
    Ok(redirect_saved(tag))
}
