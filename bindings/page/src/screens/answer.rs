//! The answer to a scan: may it be dived, why not, and what now.

use hosewright_core::answer::{Answer, lines};
use hosewright_core::photograph::PhotographName;
use hosewright_core::rental::PackedView;
use hosewright_core::tag::Code;
use hosewright_core::view::{Action, AnswerView};
use hosewright_core::{HistoryLine, words};
use http::header::CACHE_CONTROL;
use maud::{Markup, html};

use super::actions::address;
use super::looking::photographs;
use super::packing;
use super::tie;
use super::timeline;
use crate::fields::percent_encode;
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
    let (view, history, packed) = state.read(|logbook, moment| {
        let found = logbook.find_typed(state.parameter("code"))?;
        let view = logbook.view(logbook.answer_found(found, moment)?)?;
        let history = logbook.history(logbook.record(found.hose)?.hose)?;
        Ok((view, history, logbook.packed_with(found.hose, moment)?))
    })?;
    let (code, all) = (view.answer.code, state.request.query.ticked("all"));
    let body = page(state, &view, packed.as_ref(), history_of(&history, all, code));
    Ok(Screen::new(title(&view.answer), body).shown(state))
}

/// One of our tags without a record here, answered from the tag alone.
pub fn from_tag(state: &State<'_>, text: &str) -> Shown {
    let view = state.read(|logbook, moment| {
        let answer = match logbook.answer_scan(text, moment) {
            // A bare code that was typed says nothing of the hose: not known.
            Err(_) => logbook.answer_typed(text, moment)?,
            Ok(answer) => answer,
        };
        Ok(logbook.view(answer)?)
    })?;
    let nothing = || state.read(|logbook, _| Ok(logbook.hose_page(None, None, 1)?.is_empty()));
    if !state.host.serves() && nothing()? {
        return Ok(Screen::new(words::TAG_TITLE, for_visitor(&view)).shown(state));
    }
    let body = page(state, &view, None, html! { p { (l::NO_HISTORY) } });
    Ok(Screen::new(title(&view.answer), body).shown(state))
}

/// What a tag says of itself, where no hose is on record at all: whoever pointed a phone at it
/// is told where to ask, and is neither reassured nor alarmed.
fn for_visitor(view: &AnswerView) -> Markup {
    html! {
        h1 { (words::TAG_TITLE) }
        section.card {
            p.what { (lines::what(&view.answer)) }
            p { (view.old) }
            p { span.code { (view.answer.code) } }
        }
        p.result { (words::ASK_THE_DESK) }
    }
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
    view: &AnswerView,
    packed: Option<&PackedView>,
    history: Markup,
) -> Markup {
    html! {
        article.answer {
            div.first {
                @if state.request.query.ticked("written") { p.written role="status" { (l::WRITTEN) } }
                @if state.request.query.ticked("registered") { p.written role="status" { (l::REGISTERED) } }
                (banner(view))
                @if !view.answer.reasons.is_empty() {
                    section aria-label=(l::WHY) { (reasons(&view.answer.reasons)) }
                }
                @if let Some(packed) = packed { (packing::card(state, packed)) }
                p.thumb { (button(view.next, true)) }
                @if view.answer.dives.is_none() && view.answer.hose.is_unknown() { (tie::offered(view.answer.code)) }
            }
            div.second {
                (facts(view))
                @if !view.actions.is_empty() {
                    section.write {
                        h2 { (l::ALL_ACTIONS) }
                        ul.actions { @for action in &view.actions { li { (button(*action, false)) } } }
                    }
                }
                @if view.answer.hose.origin.own.owner().ticket().is_some() {
                    p { a.button href={ "/hose/" (view.answer.code) "/job" } { (words::job::TITLE) } }
                }
                @if !view.answer.hose.is_unknown() {
                    p { a.button href={ "/hose/" (view.answer.code) "/case" } { (words::case::CASE) } }
                }
                section.history #history { h2 { (l::HISTORY) } (history) }
            }
        }
    }
}

/// The verdict, and what people call the hose.
fn title(answer: &Answer) -> String {
    let number = answer.hose.origin.own.number.as_ref();
    format!("{}: {}", answer.verdict, words::called(number, answer.code))
}

fn button(action: Action, main: bool) -> Markup {
    html! { a.button.main[main] href=(address(action)) { (action.in_words()) } }
}

/// What a person asks first: the verdict, which hose it is, how old, and the last look.
fn banner(view: &AnswerView) -> Markup {
    let answer = &view.answer;
    html! {
        section.banner.(class(answer.verdict)) {
            (sign(answer.verdict))
            div {
                h1 aria-label={ (title(answer)) ". " (lines::what(answer)) } { (answer.verdict) }
                p.meaning { (answer.meaning) }
            }
            div.which {
                p {
                    @if let Some(number) = &answer.hose.origin.own.number { b.number { (number) } " " }
                    span.what { (lines::what(answer)) }
                }
                p.old { (view.old) }
                p.looked { (view.looked) }
                p { span.code { (answer.code) } }
            }
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
                        Some(set) => a href={ "/set/" (percent_encode(set.as_str())) } { (answer.place.words) },
                        None => (answer.place.words),
                    }
                }
                dt { (l::AGE) } dd { (view.age) }
                dt { (l::LOOKED_OVER) }
                @for (at, line) in view.inspections.iter().enumerate() {
                    dd {
                        (line)
                        @if let Some(look) = answer.inspections.get(at) {
                            (photographs(answer.code, look))
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
    let most = if all { usize::MAX } else { LINES };
    let (shown, whole) = timeline::history(history, most, Some(code));
    html! {
        (shown)
        @if !whole {
            p { a.button href={ "/hose/" (code) "?all=yes" } { (l::MORE) } }
        }
    }
}
