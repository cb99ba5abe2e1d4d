//! What is done to a hose: cleaned, resealed, given a new tag, retired.

use axum::extract::Path;
use hosewright_core::Found;
use hosewright_core::fit::seal::SEAL_CAUTIONS;
use hosewright_core::hose::{End, Grease, Label, Specification};
use maud::html;

use super::{Shown, inspect, see_written};
use crate::cli::values;
use crate::page::ask::{Ask, Posted};
use crate::page::frame::Screen;
use crate::page::labels as l;
use crate::page::parts::{Field, cautions, choice, day, token};
use crate::page::refusal::Refusal;

const GREASES: &[(&str, &str)] =
    &[("", l::GREASE_NOT_ASKED), ("oxygen", l::GREASE_OXYGEN), ("other", l::GREASE_OTHER)];

/// A form for each.
pub async fn forms(ask: Ask, Path(code): Path<String>) -> Shown {
    let answer = ask
        .read(move |logbook, moment| {
            let found = logbook.find_typed(&code)?;
            Ok(logbook.answer_found(Found { tag: None, ..found }, moment)?)
        })
        .await?;
    let to = |what: &str| format!("/hose/{}/{what}", answer.code);
    let body = html! {
        (inspect::head(&answer, l::CARE_TITLE))
        section.card #clean {
            h2 { (l::CLEAN) }
            form action=(to("clean")) method="post" {
                (token(&ask.token))
                p { (l::CLEAN_LEAD) }
                p { button.main type="submit" { (l::SAVE) } }
            }
        }
        section.card #reseal {
            h2 { (l::RESEAL) }
            form action=(to("reseal")) method="post" {
                (token(&ask.token))
                (choice("end", l::WHICH_END, "", &[("a", l::END_A), ("b", l::END_B)]))
                (Field::new("seal", l::SEAL_SIZE).hint(l::NOTE_HINT).drawn())
                (choice("grease", l::GREASE, if answer.hose.specification.as_ref().is_some_and(Specification::oxygen) { "-" } else { "" }, GREASES))
                (day())
                p { button.main type="submit" { (l::SAVE) } }
            }
            (cautions(SEAL_CAUTIONS))
        }
        section.card #bind {
            h2 { (l::BIND) }
            form action=(to("bind")) method="post" {
                (token(&ask.token))
                p { (l::BIND_LEAD) }
                (Field::new("barcode", l::BIND_TEXT).needed().drawn())
                p { button.main type="submit" { (l::BIND) } }
            }
        }
        section.card #retag {
            h2 { (l::RETAG) }
            form action=(to("retag")) method="post" {
                (token(&ask.token))
                p { (l::RETAG_LEAD) " " (l::RETAG_EMPTY) }
                (Field::new("tag", l::RETAG_CODE).drawn())
                p { button.main type="submit" { (l::RETAG) } }
            }
        }
        @if answer.place.home.is_some() {
            section.card #come-in {
                h2 { (l::COME_IN) }
                form action=(to("come-in")) method="post" {
                    (token(&ask.token))
                    (Field::new("ticket", l::NEW_TICKET).needed().drawn())
                    p { button.main type="submit" { (l::COME_IN) } }
                }
            }
        } @else if answer.hose.origin.own.owner().ticket().is_some() {
            section.card #home {
                h2 { (l::SEND_HOME) }
                form action=(to("home")) method="post" {
                    (token(&ask.token))
                    p { button.main type="submit" { (l::SEND_HOME) } }
                }
            }
        }
        section.card #retire {
            h2 { (l::RETIRE) }
            form action=(to("retire")) method="post" {
                (token(&ask.token))
                p { (l::RETIRE_LEAD) }
                (Field::new("why", l::RETIRE_WHY).needed().drawn())
                p { button.main type="submit" { (l::RETIRE) } }
            }
        }
    };
    Ok(Screen::new(format!("{} · {}", l::CARE_TITLE, answer.code), body).shown(&ask))
}

/// Soaked, cleaned and dried.
pub async fn clean(Path(code): Path<String>, Posted { ask, .. }: Posted) -> Shown {
    let tag = ask
        .write(move |logbook, moment| {
            let hose = logbook.find_typed(&code)?.hose;
            Ok(logbook.clean(hose, None, moment)?)
        })
        .await?;
    Ok(see_written(tag))
}

/// New O-rings at one end.
pub async fn reseal(Path(code): Path<String>, Posted { ask, fields }: Posted) -> Shown {
    let end: End = fields.needed("end", "the end")?;
    let seal = fields.given("seal").map(values::seal).transpose().map_err(Refusal::bad)?;
    let grease: Option<Grease> = fields.parsed("grease")?;
    let on = fields.on()?;
    let tag = ask
        .write(move |logbook, moment| {
            let hose = logbook.find_typed(&code)?.hose;
            Ok(logbook.reseal_with(hose, (end, seal, grease), on, moment)?)
        })
        .await?;
    Ok(see_written(tag))
}

/// Binds a maker's own barcode to the hose.
pub async fn bind(Path(code): Path<String>, Posted { ask, fields }: Posted) -> Shown {
    let barcode: Label = fields.needed_label("barcode", "the text of a barcode")?;
    let tag = ask
        .write(move |logbook, moment| {
            let hose = logbook.find_typed(&code)?.hose;
            Ok(logbook.bind(hose, barcode, moment)?)
        })
        .await?;
    Ok(see_written(tag))
}

/// A new tag; the old one is withdrawn.
pub async fn retag(Path(code): Path<String>, Posted { ask, fields }: Posted) -> Shown {
    let tag = fields.parsed("tag")?;
    let tag = ask
        .write(move |logbook, moment| {
            let hose = logbook.find_whole(&code)?.hose;
            Ok(logbook.retag(hose, tag, None, moment)?)
        })
        .await?;
    Ok(see_written(tag))
}

/// A customer's hose goes home.
pub async fn home(Path(code): Path<String>, Posted { ask, .. }: Posted) -> Shown {
    let tag = ask
        .write(move |logbook, moment| {
            let hose = logbook.find_typed(&code)?.hose;
            Ok(logbook.send_home(hose, None, moment)?)
        })
        .await?;
    Ok(see_written(tag))
}

/// It comes in again, under a new ticket.
pub async fn come_in(Path(code): Path<String>, Posted { ask, fields }: Posted) -> Shown {
    let ticket: Label = fields.needed_label("ticket", "a ticket")?;
    let tag = ask
        .write(move |logbook, moment| {
            let hose = logbook.find_typed(&code)?.hose;
            Ok(logbook.come_in(hose, ticket, None, moment)?)
        })
        .await?;
    Ok(see_written(tag))
}

/// Out of service for good.
pub async fn retire(Path(code): Path<String>, Posted { ask, fields }: Posted) -> Shown {
    let why: Label = fields.needed_label("why", "a reason")?;
    let tag = ask
        .write(move |logbook, moment| {
            let hose = logbook.find_whole(&code)?.hose;
            Ok(logbook.retire(hose, why, None, moment)?)
        })
        .await?;
    Ok(see_written(tag))
}
