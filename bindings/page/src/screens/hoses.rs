//! Every hose, a page at a time; what is typed narrows the list.

use hosewright_core::answer::Answer;
use hosewright_core::index::{Filter, Sort};
use hosewright_core::inspection::Verdict;
use hosewright_core::{Found, HoseList, Page, words};
use maud::{Markup, html};

use crate::frame::Screen;
use crate::labels as l;
use crate::parts::{class, narrowing, numbered, sign};
use crate::refusal::Refusal;
use crate::response::Shown;
use crate::sheet::{Cell, Sheet};
use crate::state::State;

/// How many are on a page.
const HOSES: u64 = 30;

/// A page of the list, or all of it as a file. What is typed looks for hoses.
pub fn list(state: &State<'_>) -> Shown {
    if state.request.query.get("as") == FILE {
        return csv(state);
    }
    let typed = state.request.query.get("begins");
    let verdict: Option<Verdict> = state.request.query.parsed("verdict")?;
    let from: u64 = state.request.query.get("from").parse().unwrap_or(0);
    let filter = Filter { verdict, ..Filter::default() };
    let (list, counts) = state.read(|logbook, moment| {
        let list = if typed.is_empty() {
            logbook.list(&filter, Sort::Number, &Page { from, most: HOSES }, moment)?
        } else {
            let hits = logbook.look_for(typed, usize::try_from(HOSES).unwrap_or(30), moment)?;
            let rows: Vec<Answer> = hits.into_iter().map(|hit| hit.answer).collect();
            HoseList { total: u64::try_from(rows.len()).unwrap_or(0), from: 0, rows }
        };
        Ok((list, logbook.counts(moment)?))
    })?;
    let body = html! {
        h1 { (l::HOSES_TITLE) }
        (by_verdict(state, &counts, verdict))
        (narrowing("/hoses", l::FIND, typed))
        div #results aria-live="polite" { (rows(&list.rows)) (further(state, &list)) }
        p.under {
            a.button href="/register" { (l::REGISTER_TITLE) }
            a.button href={ "/hoses?as=" (FILE) } { (l::CSV) }
        }
    };
    Ok(Screen::new(l::HOSES_TITLE, body).shown(state))
}

/// How many hoses there are of each verdict, each a way to them.
fn by_verdict(state: &State<'_>, counts: &[(Verdict, u64)], shown: Option<Verdict>) -> Markup {
    let all: u64 = counts.iter().map(|(_, hoses)| hoses).sum();
    html! {
        nav.tabs aria-label=(l::VERDICT) {
            a.button href="/hoses" aria-current=[shown.is_none().then_some("true")] { (l::HOSES_ALL) " " (all) }
            @for (verdict, hoses) in counts {
                a.button href=(state.request.with("verdict", verdict.word())) aria-current=[(shown == Some(*verdict)).then_some("true")] {
                    (verdict) " " (hoses)
                }
            }
        }
    }
}

/// A way to the rows after these.
fn further(state: &State<'_>, list: &HoseList) -> Markup {
    let to = list.from + u64::try_from(list.rows.len()).unwrap_or(0);
    html! {
        @if to < list.total {
            p.under {
                span { (l::PAGE_OF) " " (list.from + 1) "–" (to) " " (l::OUT_OF) " " (list.total) }
                a.button rel="next" href=(state.request.with("from", &to.to_string())) { (l::MORE) }
            }
        }
    }
}

/// Hoses with their verdicts, a row each.
pub fn rows(answers: &[Answer]) -> Markup {
    html! {
        @if answers.is_empty() { p { (l::HOSES_NONE) } }
        ul.hoses {
            @for answer in answers {
                li class=(class(answer.verdict)) {
                    (sign(answer.verdict))
                    div {
                        p { (numbered(answer.hose.origin.own.number.as_ref(), answer.code)) " " b { (answer.verdict) } }
                        p { (words::hose_briefly(answer.hose.specification.as_ref())) }
                        p { (answer.place.words) }
                    }
                }
            }
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
                Cell::text(
                    answer
                        .hose
                        .origin
                        .own
                        .number
                        .as_ref()
                        .map(ToString::to_string)
                        .unwrap_or_default(),
                ),
                Cell::Text(answer.hose.words),
                Cell::Text(answer.place.words),
                Cell::Lines(why),
            ])
        };
        logbook.hoses()?.into_iter().map(row).collect::<Result<Vec<_>, Refusal>>()
    })?;
    let head = vec![l::VERDICT, l::CODE, l::OWN_NUMBER, l::HOSE, l::WHERE, l::WHY];
    Sheet::new(FILE, head, rows).csv()
}
