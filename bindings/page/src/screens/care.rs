//! What is done to a hose: cleaned, resealed, given a new tag, retired.

use hosewright_core::Found;
use hosewright_core::fit::seal::SEAL_CAUTIONS;
use hosewright_core::hose::{End, Grease, Label, Service, Specification};
use hosewright_core::words::RECOUPLE;
use maud::html;

use super::inspect;
use crate::frame::Screen;
use crate::labels as l;
use crate::parts::{Field, cautions, choice, day, token};
use crate::refusal::Refusal;
use crate::response::{Shown, redirect_saved};
use crate::state::State;
use crate::typed;

const GREASES: &[(&str, &str)] =
    &[("", l::GREASE_NOT_ASKED), ("oxygen", l::GREASE_OXYGEN), ("other", l::GREASE_OTHER)];

/// A form for each.
pub fn forms(state: &State<'_>) -> Shown {
    let code = state.parameter("code");
    let (answer, inflator) = state.read(|logbook, moment| {
        let found = logbook.find_typed(code)?;
        let record = logbook.record(found.hose)?;
        let inflator = record.specifications().any(|hose| hose.service() == Service::Inflator);
        Ok((logbook.answer_found(Found { tag: None, ..found }, moment)?, inflator))
    })?;
    let to = |what: &str| format!("/hose/{}/{what}", answer.code);
    let body = html! {
        (inspect::head(&answer, l::CARE_TITLE))
        section.card #clean {
            h2 { (l::CLEAN) }
            form action=(to("clean")) method="post" {
                (token(state.request))
                p { (l::CLEAN_LEAD) }
                p { button.main type="submit" { (l::SAVE) } }
            }
        }
        section.card #reseal {
            h2 { (l::RESEAL) }
            form action=(to("reseal")) method="post" {
                (token(state.request))
                (choice("end", l::WHICH_END, "", &[("a", l::END_A), ("b", l::END_B)]))
                (Field::new("seal", l::SEAL_SIZE).hint(l::NOTE_HINT).drawn())
                (choice("grease", l::GREASE, if answer.hose.specification.as_ref().is_some_and(Specification::oxygen) { "-" } else { "" }, GREASES))
                (day())
                p { button.main type="submit" { (l::SAVE) } }
            }
            (cautions(SEAL_CAUTIONS))
        }
        @if inflator {
            section.card #coupling {
                h2 { (l::RECOUPLE) }
                form action=(to("recouple")) method="post" {
                    (token(state.request))
                    p { (RECOUPLE) }
                    (day())
                    p { button.main type="submit" { (l::SAVE) } }
                }
            }
        }
        section.card #bind {
            h2 { (l::BIND) }
            form action=(to("bind")) method="post" {
                (token(state.request))
                p { (l::BIND_LEAD) }
                (Field::new("barcode", l::BIND_TEXT).needed().drawn())
                p { button.main type="submit" { (l::BIND) } }
            }
        }
        section.card #retag {
            h2 { (l::RETAG) }
            form action=(to("retag")) method="post" {
                (token(state.request))
                p { (l::RETAG_LEAD) " " (l::RETAG_EMPTY) }
                (Field::new("tag", l::RETAG_CODE).drawn())
                p { button.main type="submit" { (l::RETAG) } }
            }
        }
        @if answer.place.home.is_some() {
            section.card #come-in {
                h2 { (l::COME_IN) }
                form action=(to("come-in")) method="post" {
                    (token(state.request))
                    (Field::new("ticket", l::NEW_TICKET).needed().drawn())
                    p { button.main type="submit" { (l::COME_IN) } }
                }
            }
        } @else if answer.hose.origin.own.owner().ticket().is_some() {
            section.card #home {
                h2 { (l::SEND_HOME) }
                form action=(to("home")) method="post" {
                    (token(state.request))
                    p { button.main type="submit" { (l::SEND_HOME) } }
                }
            }
        }
        section.card #retire {
            h2 { (l::RETIRE) }
            form action=(to("retire")) method="post" {
                (token(state.request))
                p { (l::RETIRE_LEAD) }
                (Field::new("why", l::RETIRE_WHY).needed().drawn())
                p { button.main type="submit" { (l::RETIRE) } }
            }
        }
    };
    Ok(Screen::new(format!("{} · {}", l::CARE_TITLE, answer.code), body).shown(state))
}

/// Soaked, cleaned and dried.
pub fn clean(state: &State<'_>) -> Shown {
    let code = state.parameter("code");
    let tag = state.write(|logbook, moment| {
        let hose = logbook.find_typed(code)?.hose;
        Ok(logbook.clean(hose, None, moment)?)
    })?;
    Ok(redirect_saved(tag))
}

/// New O-rings at one end.
pub fn reseal(state: &State<'_>) -> Shown {
    let code = state.parameter("code");
    let fields = &state.request.form;
    let end: End = fields.needed("end", "the end")?;
    let seal = fields.given("seal").map(typed::seal).transpose().map_err(Refusal::bad)?;
    let grease: Option<Grease> = fields.parsed("grease")?;
    let on = fields.on()?;
    let tag = state.write(|logbook, moment| {
        let hose = logbook.find_typed(code)?.hose;
        Ok(logbook.reseal_with(hose, (end, seal, grease), on, moment)?)
    })?;
    Ok(redirect_saved(tag))
}

/// A new valve core or coupling.
pub fn recouple(state: &State<'_>) -> Shown {
    let code = state.parameter("code");
    let fields = &state.request.form;
    let on = fields.on()?;
    let tag = state.write(|logbook, moment| {
        let hose = logbook.find_typed(code)?.hose;
        Ok(logbook.recouple(hose, on, moment)?)
    })?;
    Ok(redirect_saved(tag))
}

/// Binds a maker's own barcode to the hose.
pub fn bind(state: &State<'_>) -> Shown {
    let code = state.parameter("code");
    let fields = &state.request.form;
    let barcode: Label = fields.needed_label("barcode", "the text of a barcode")?;
    let tag = state.write(|logbook, moment| {
        let hose = logbook.find_typed(code)?.hose;
        Ok(logbook.bind(hose, barcode, moment)?)
    })?;
    Ok(redirect_saved(tag))
}

/// A new tag; the old one is withdrawn.
pub fn retag(state: &State<'_>) -> Shown {
    let code = state.parameter("code");
    let fields = &state.request.form;
    let tag = fields.parsed("tag")?;
    let tag = state.write(|logbook, moment| {
        let hose = logbook.find_whole(code)?.hose;
        Ok(logbook.retag(hose, tag, None, moment)?)
    })?;
    Ok(redirect_saved(tag))
}

/// A customer's hose goes home.
pub fn home(state: &State<'_>) -> Shown {
    let code = state.parameter("code");
    let tag = state.write(|logbook, moment| {
        let hose = logbook.find_typed(code)?.hose;
        Ok(logbook.send_home(hose, None, moment)?)
    })?;
    Ok(redirect_saved(tag))
}

/// It comes in again, under a new ticket.
pub fn come_in(state: &State<'_>) -> Shown {
    let code = state.parameter("code");
    let fields = &state.request.form;
    let ticket: Label = fields.needed_label("ticket", "a ticket")?;
    let tag = state.write(|logbook, moment| {
        let hose = logbook.find_typed(code)?.hose;
        Ok(logbook.come_in(hose, ticket, None, moment)?)
    })?;
    Ok(redirect_saved(tag))
}

/// Out of service for good.
pub fn retire(state: &State<'_>) -> Shown {
    let code = state.parameter("code");
    let fields = &state.request.form;
    let why: Label = fields.needed_label("why", "a reason")?;
    let tag = state.write(|logbook, moment| {
        let hose = logbook.find_whole(code)?.hose;
        Ok(logbook.retire(hose, why, None, moment)?)
    })?;
    Ok(redirect_saved(tag))
}
