//! The answer to a scan: may it be dived, why not, and what now.

use axum::http::header::{CACHE_CONTROL, CONTENT_TYPE};
use axum::response::{IntoResponse, Response};
use hosewright_core::HistoryLine;
use hosewright_core::answer::Answer;
use hosewright_core::photograph::PhotographName;
use hosewright_core::tag::Code;
use hosewright_core::view::{Action, AnswerView};
use maud::{Markup, html};

use axum::extract::Path;

use super::Shown;
use super::actions::address;
use super::looking::photographs;
use super::told::timeline;
use crate::page::ask::Ask;
use crate::page::fields::step;
use crate::page::frame::Screen;
use crate::page::labels as l;
use crate::page::parts::{class, reasons, sign};
use crate::page::refusal::Refusal;

/// How much of a history is shown before the rest is asked for.
const LINES: usize = 60;

/// A hose on record.
pub async fn show(ask: Ask, Path(code): Path<String>) -> Shown {
    let (view, history) = ask
        .read(move |logbook, moment| {
            let found = logbook.find_typed(&code)?;
            let view = logbook.view(logbook.answer_found(found, moment)?)?;
            let history = logbook.history(logbook.record(found.hose)?.hose)?;
            Ok((view, history))
        })
        .await?;
    let code = view.answer.code;
    let body = page(&ask, &view, history_of(&history, ask.query.ticked("all"), code));
    Ok(Screen::new(code.to_string(), body).shown(&ask))
}

/// A tag of ours without a record here, answered from the tag alone.
pub async fn from_tag(ask: Ask, text: String) -> Shown {
    let view = ask
        .read(move |logbook, moment| {
            let answer = match logbook.answer_scan(&text, moment) {
                // A bare code that was typed says nothing of the hose: not known.
                Err(_) => logbook.answer_typed(&text, moment)?,
                Ok(answer) => answer,
            };
            Ok(logbook.view(answer)?)
        })
        .await?;
    let code = view.answer.code.to_string();
    let body = page(&ask, &view, html! { p { (l::NO_HISTORY) } });
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

fn page(ask: &Ask, view: &AnswerView, history: Markup) -> Markup {
    html! {
        article.answer {
            div.first {
                @if ask.query.ticked("written") { p.written role="status" { (l::WRITTEN) } }
                @if ask.query.ticked("registered") { p.written role="status" { (l::REGISTERED) } }
                (banner(&view.answer))
                @if !view.answer.reasons.is_empty() {
                    section aria-label=(l::WHY) { (reasons(&view.answer.reasons)) }
                }
                p.thumb { (button(view.next, true)) }
            }
            div.second {
                (facts(view))
                @if !view.actions.is_empty() {
                    section.write {
                        h2 { (l::ALL_ACTIONS) }
                        ul.actions { @for action in &view.actions { li { (button(*action, false)) } } }
                    }
                }
                section.history #history { h2 { (l::HISTORY) } (history) }
            }
        }
    }
}

fn button(action: Action, main: bool) -> Markup {
    html! { a.button.main[main] href=(address(action)) { (action.in_words()) } }
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

fn facts(view: &AnswerView) -> Markup {
    let answer = &view.answer;
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
                dt { (l::AGE) } dd { (view.age) }
                dt { (l::LOOKED_OVER) }
                @for (at, line) in view.inspections.iter().enumerate() {
                    dd {
                        (line)
                        @if let Some(look) = answer.inspections.get(at) {
                            (photographs(answer.code, look, None))
                        }
                    }
                }
                @if !view.due.is_empty() { dt { (l::DUE) } }
                @for due in &view.due { dd { (due) } }
                dt { (l::DIVES) } dd { (view.dives) }
                dt { (l::RECORD) } dd { (view.record) }
            }
        }
    }
}

fn history_of(history: &[HistoryLine], all: bool, code: Code) -> Markup {
    let shown = if all { history.len() } else { history.len().min(LINES) };
    let newest = history.iter().rev().take(shown);
    html! {
        (timeline(newest, Some(code)))
        @if shown < history.len() {
            p { a.button href={ "/hose/" (code) "?all=yes" } { (l::MORE) } }
        }
    }
}
