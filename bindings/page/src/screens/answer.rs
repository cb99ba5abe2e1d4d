//! The answer to a scan: may it be dived, why not, and what now.

use hosewright_core::HistoryLine;
use hosewright_core::answer::{Answer, lines};
use hosewright_core::photograph::PhotographName;
use http::header::CACHE_CONTROL;
use maud::{Markup, html};

use super::actions::{Action, actions, next};
use super::looking::photographs;
use super::timeline::timeline;
use crate::fields::{percent_encode, query};
use crate::frame::Screen;
use crate::labels as l;
use crate::parts::{class, reasons, sign};
use crate::refusal::Refusal;
use crate::response::{Response, Shown};
use crate::state::State;

/// How much of a history is shown before the rest is asked for.
const LINES: usize = 60;

/// A hose on record.
pub fn show(state: &State<'_>) -> Shown {
    let (answer, record, history) = state.read(|logbook, moment| {
        let found = logbook.find_typed(state.parameter("code"))?;
        let record = logbook.record(found.hose)?;
        let answer = logbook.answer_found(found, moment)?;
        let history = logbook.history(record.hose)?;
        Ok((answer, record, history))
    })?;
    let next = next(&answer, Some(&record));
    let actions = actions(&answer, &record);
    let all = state.request.query.ticked("all");
    let body = page(state, &answer, &next, &actions, history_of(&history, all, &answer));
    Ok(Screen::new(answer.code.to_string(), body).shown(state))
}

/// A tag of ours without a record here, answered from the tag alone.
pub fn from_tag(state: &State<'_>, text: &str) -> Shown {
    let answer = state.read(|logbook, moment| match logbook.answer_scan(text, moment) {
        // A bare code that was typed says nothing of the hose: not known.
        Err(_) => Ok(logbook.answer_typed(text, moment)?),
        answered => Ok(answered?),
    })?;
    let code = answer.code.to_string();
    let register = format!("/register?{}", query([("tag", code.as_str())]));
    let next = Action { to: register, label: l::REGISTER_IT };
    let body = page(state, &answer, &next, &[], html! { p { (l::NO_HISTORY) } });
    Ok(Screen::new(code, body).shown(state))
}

/// A photograph of a hose. Its name is made of its content, so a browser may
/// keep it.
pub fn photo(state: &State<'_>) -> Shown {
    let name = state.parameter("name");
    let name: PhotographName = name.parse().map_err(|_| Refusal::NoPage)?;
    let shown = state.read(|logbook, _| {
        let hose = logbook.find_typed(state.parameter("code"))?.hose;
        Ok(logbook.photograph(hose, name)?)
    })?;
    let shown = Response::new("image/jpeg", shown.photograph.jpeg());
    Ok(shown.header(CACHE_CONTROL, "private, max-age=31536000"))
}

fn page(
    state: &State<'_>,
    answer: &Answer,
    next: &Action,
    actions: &[Action],
    history: Markup,
) -> Markup {
    html! {
        article.answer {
            div.first {
                @if state.request.query.ticked("written") { p.written role="status" { (l::WRITTEN) } }
                @if state.request.query.ticked("registered") { p.written role="status" { (l::REGISTERED) } }
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
                        Some(set) => a href={ "/set/" (percent_encode(set.as_str())) } { (answer.place.words) },
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
