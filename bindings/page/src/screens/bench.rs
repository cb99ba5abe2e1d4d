//! The bench's tables: threads, spanners, keys, torque and O-rings.

use hosewright_core::view::bench::{Tool, ToolAnswer};
use hosewright_core::words::{bench as say, sentence};
use maud::{Markup, html};

use crate::form::plain;
use crate::frame::Screen;
use crate::labels as l;
use crate::parts::cautions;
use crate::refusal::Refusal;
use crate::response::Shown;
use crate::state::State;

/// The tables.
pub fn doors(state: &State<'_>) -> Shown {
    let body = html! {
        h1 { (say::BENCH) }
        p.lead { (say::BENCH_LEAD) }
        ul.doors {
            @for tool in Tool::ALL {
                @let [name, what] = tool.words();
                li { a href=(at(*tool)) { b { (name) } span { (what) } } }
            }
        }
    };
    Ok(Screen::new(say::BENCH, body).shown(state))
}

/// The address of a table.
pub fn at(tool: Tool) -> String {
    format!("/bench/{tool}")
}

/// A table: what is asked, and what it answers.
pub fn table(state: &State<'_>) -> Shown {
    let tool: Tool = state.parameter("tool").parse().map_err(|_| Refusal::NoPage)?;
    let (form, answer) = tool.asked(&state.request.query.filled());
    let fields = form.groups.iter().flat_map(|group| &group.fields);
    let body = html! {
        h1 { (form.title) }
        @for words in &form.lead { p { (words) } }
        @if let Some(problem) = &form.problem { p.refusal role="alert" { (sentence(problem)) } }
        @if let Some(answer) = &answer { (answered(answer)) }
        form action=(at(tool)) method="get" {
            @for field in fields { (plain(field)) }
            p { button.main type="submit" { (form.submit) } }
        }
        p.under { a.button href="/bench" { (l::BENCH_OTHERS) } }
    };
    Ok(Screen::new(&form.title, body).shown(state))
}

fn answered(answer: &ToolAnswer) -> Markup {
    html! {
        section.card role="status" {
            @if !answer.words.is_empty() { p { b { (sentence(&answer.words)) } } }
            @if !answer.rows.is_empty() {
                ul.list {
                    @for [name, fit, words] in &answer.rows {
                        li { b { (name) } " " (fit) ": " span { (words) } }
                    }
                }
            }
        }
        (cautions(answer.cautions))
    }
}
