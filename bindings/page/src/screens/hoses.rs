//! Every hose, a page at a time; what is typed narrows the list.

use hosewright_core::Found;
use hosewright_core::answer::Answer;
use hosewright_core::tag::Code;
use hosewright_core::words;
use maud::{Markup, html};

use crate::fields::query;
use crate::frame::Screen;
use crate::labels as l;
use crate::parts::{class, link, narrowing, sign};
use crate::refusal::Refusal;
use crate::response::Shown;
use crate::sheet::{Cell, Sheet};
use crate::state::State;

/// How many are on a page.
const HOSES: u32 = 30;

/// A page of the list, or all of it as a file.
pub fn list(state: &State<'_>) -> Shown {
    if state.request.query.get("as") == FILE {
        return csv(state);
    }
    let begins = state.request.query.get("begins");
    let after: Option<Code> = state.request.query.parsed("after").unwrap_or(None);
    let answers = state.read(|logbook, moment| {
        let prefix = Code::prefix(begins);
        if prefix.is_none() && !begins.is_empty() {
            // A whole code, or something that no code begins with.
            let found = logbook.find_typed(begins).ok();
            return found
                .map(|found| Ok(logbook.answer_alone(found, moment)?))
                .into_iter()
                .collect();
        }
        let page = logbook.hose_page(after, prefix, HOSES)?;
        let answer = |hose| Ok(logbook.answer_alone(Found { hose, tag: None }, moment)?);
        page.into_iter().map(answer).collect::<Result<Vec<Answer>, Refusal>>()
    })?;
    let body = html! {
        h1 { (l::HOSES_TITLE) }
        (narrowing("/hoses", begins))
        div #results aria-live="polite" { (rows(&answers, begins)) }
        p.under {
            a.button href="/register" { (l::REGISTER_TITLE) }
            a.button href={ "/hoses?as=" (FILE) } { (l::CSV) }
        }
    };
    Ok(Screen::new(l::HOSES_TITLE, body).shown(state))
}

fn rows(answers: &[Answer], begins: &str) -> Markup {
    let last = answers.last().filter(|_| answers.len() == HOSES as usize);
    html! {
        @if answers.is_empty() { p { (l::HOSES_NONE) } }
        ul.hoses {
            @for answer in answers {
                li class=(class(answer.verdict)) {
                    (sign(answer.verdict))
                    div {
                        p { @if let Some(number) = &answer.hose.origin.own.number { (number) " " } (link(answer.code)) " " b { (answer.verdict) } }
                        p { (words::hose_briefly(answer.hose.specification.as_ref())) }
                        p { (answer.place.words) }
                    }
                }
            }
        }
        @if let Some(last) = last {
            @let code = last.code.to_string();
            p.under { a.button rel="next" href={ "/hoses?" (query([("begins", begins), ("after", &code)])) } { (l::MORE) } }
        }
    }
}

/// The name of the file of all hoses.
const FILE: &str = "hoses";

fn csv(state: &State<'_>) -> Shown {
    let rows = state.read(|logbook, moment| {
        let row = |hose| {
            let answer = logbook.answer_alone(Found { hose, tag: None }, moment)?;
            let why = answer.reasons.iter().map(|reason| reason.words.clone()).collect();
            Ok(vec![
                Cell::Verdict(answer.verdict),
                Cell::Hose(answer.code),
                Cell::Text(answer.hose.words),
                Cell::Text(answer.place.words),
                Cell::Lines(why),
            ])
        };
        logbook.hoses()?.into_iter().map(row).collect::<Result<Vec<_>, Refusal>>()
    })?;
    let head = vec![l::VERDICT, l::CODE, l::HOSE, l::WHERE, l::WHY];
    Sheet::new(FILE, head, rows).csv()
}
