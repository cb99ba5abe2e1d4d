//! The answer to a scan: may it be dived, why not, and what now.

use axum::http::header::{CACHE_CONTROL, CONTENT_TYPE};
use axum::response::{IntoResponse, Response};
use hosewright_core::HistoryLine;
use hosewright_core::answer::{Answer, lines};
use hosewright_core::photograph::PhotographName;
use maud::{Markup, html};

use axum::extract::Path;

use super::Shown;
use super::actions::{Action, actions, next};
use super::looking::photographs;
use super::told::timeline;
use crate::page::ask::Ask;
use crate::page::fields::{query, step};
use crate::page::frame::Screen;
use crate::page::labels as l;
use crate::page::parts::{class, reasons, sign};
use crate::page::refusal::Refusal;

/// How much of a history is shown before the rest is asked for.
const LINES: usize = 60;

/// A hose on record.
pub async fn show(ask: Ask, Path(code): Path<String>) -> Shown {
    let (answer, record, history) = ask
        .read(move |logbook, moment| {
            let found = logbook.find_typed(&code)?;
            let record = logbook.record(found.hose)?;
            let answer = logbook.answer_found(found, moment)?;
            let history = logbook.history(record.hose)?;
            Ok((answer, record, history))
        })
        .await?;
    let next = next(&answer, Some(&record));
    let actions = actions(&answer, &record);
    let all = ask.query.ticked("all");
    let body = page(&ask, &answer, &next, &actions, history_of(&history, all, &answer));
    Ok(Screen::new(answer.code.to_string(), body).shown(&ask))
}

/// A tag of ours without a record here, answered from the tag alone.
pub async fn from_tag(ask: Ask, text: String) -> Shown {
    let answer = ask
        .read(move |logbook, moment| match logbook.answer_scan(&text, moment) {
            // A bare code that was typed says nothing of the hose: not known.
            Err(_) => Ok(logbook.answer_typed(&text, moment)?),
            answered => Ok(answered?),
        })
        .await?;
    let code = answer.code.to_string();
    let register = format!("/register?{}", query([("tag", code.as_str())]));
    let next = Action { to: register, label: l::REGISTER_IT };
    let body = page(&ask, &answer, &next, &[], html! { p { (l::NO_HISTORY) } });
    Ok::<Response, Refusal>(Screen::new(code, body).shown(&ask))
}

/// A photograph of a hose. Its name is made of its content, so a browser may
/// keep it.
pub async fn photo(ask: Ask, Path((code, name)): Path<(String, String)>) -> Shown {
    let name: PhotographName = name.parse().map_err(|_| Refusal::NoPage)?;
    let shown = ask
        .read(move |logbook, _| {
            let hose = logbook.find_typed(&code)?.hose;
            Ok(logbook.photograph(hose, name)?)
        })
        .await?;
    let about = [(CONTENT_TYPE, "image/jpeg"), (CACHE_CONTROL, "private, max-age=31536000")];
    Ok::<Response, Refusal>((about, shown.photograph.jpeg().to_vec()).into_response())
}

fn page(ask: &Ask, answer: &Answer, next: &Action, actions: &[Action], history: Markup) -> Markup {
    html! {
        article.answer {
            div.first {
                @if ask.query.ticked("written") { p.written role="status" { (l::WRITTEN) } }
                @if ask.query.ticked("registered") { p.written role="status" { (l::REGISTERED) } }
                (banner(answer))
                @if !answer.reasons.is_empty() {
                    section aria-label=(l::WHY) { (reasons(&answer.reasons)) }
                }
                p.thumb { a.button.main href=(next.to) { (next.label) } }
            }
            div.second {
                (facts(answer))
                @if !actions.is_empty() {
                    section.write {
                        h2 { (l::ALL_ACTIONS) }
                        ul.actions {
                            @for action in actions {
                                li { a.button href=(action.to) { (action.label) } }
                            }
                        }
                    }
                }
                section.history #history { h2 { (l::HISTORY) } (history) }
            }
        }
    }
}

fn banner(answer: &Answer) -> Markup {
    html! {
        section.banner.(class(answer.verdict)) {
            (sign(answer.verdict))
            div {
                h1 { (answer.verdict) }
                p { (answer.meaning) }
            }
            p.which { span.code { (answer.code) } " " (answer.hose.words) }
        }
        @if let Some(set) = &answer.set {
            // A hose's answer is not its regulator's.
            p.set-line.(class(set.verdict)) {
                (sign(set.verdict)) " " a href={ "/set/" (set.id) } { (set.words) }
            }
        }
    }
}

fn facts(answer: &Answer) -> Markup {
    html! {
        section.facts {
            h2 { (l::AGE_AND_CARE) }
            dl {
                dt { (l::WHERE) }
                dd {
                    @match &answer.place.set {
                        Some(set) => a href={ "/set/" (step(set.as_str())) } { (answer.place.words) },
                        None => (answer.place.words),
                    }
                }
                dt { (l::AGE) } dd { (lines::age(answer)) }
                dt { (l::LOOKED_OVER) }
                @if answer.inspections.is_empty() { dd { (lines::NOT_LOOKED_OVER) } }
                @for look in &answer.inspections { dd { (lines::last_look(look)) (photographs(answer.code, look, None)) } }
                @if !answer.due.is_empty() { dt { (l::DUE) } }
                @for due in &answer.due { dd { (lines::due(due)) } }
                dt { (l::DIVES) } dd { (lines::dives(answer.dives)) }
                dt { (l::RECORD) } dd { (lines::freshness(&answer.record)) }
            }
        }
    }
}

fn history_of(history: &[HistoryLine], all: bool, answer: &Answer) -> Markup {
    let shown = if all { history.len() } else { history.len().min(LINES) };
    let newest = history.iter().rev().take(shown);
    html! {
        (timeline(newest, Some(answer.code)))
        @if shown < history.len() {
            p { a.button href={ "/hose/" (answer.code) "?all=yes" } { (l::MORE) } }
        }
    }
}
