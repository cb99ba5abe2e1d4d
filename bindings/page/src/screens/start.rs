//! The start: scan; and for an empty record two ways in.

use hosewright_core::answer::Answer;
use hosewright_core::inspection::Verdict;
use hosewright_core::journal::Moment;
use hosewright_core::view::Today;
use hosewright_core::words::{backup, bench};
use hosewright_core::{Found, Logbook};
use maud::{Markup, html};

use super::today;
use crate::frame::Screen;
use crate::labels as l;
use crate::parts::{link, sign};
use crate::refusal::Refusal;
use crate::response::{Remember, Shown, redirect};
use crate::state::State;

/// The start.
pub fn show(state: &State<'_>) -> Shown {
    let empty = state.read(|logbook, _| Ok(logbook.hose_page(None, None, 1)?.is_empty()))?;
    let body = if empty {
        welcome(state)
    } else {
        let of_demo = if state.request.demo { state.read(one_of_each)? } else { Vec::new() };
        let today = state.read(|logbook, moment| Ok(logbook.today(moment)?))?;
        day(state, &of_demo, &today)
    };
    Ok(Screen::new(l::START_TITLE, body).shown(state))
}

fn welcome(state: &State<'_>) -> Markup {
    html! {
        h1 { (l::EMPTY_TITLE) }
        p.lead { (l::EMPTY_LEAD) }
        div.ways {
            section {
                h2 { (l::EMPTY_DEMO) }
                p { (l::EMPTY_DEMO_LEAD) }
                @let form = state.form("/demo");
                (form.drawn(html! {
                    button.main type="submit" { (l::EMPTY_DEMO_GO) }
                }))
            }
            section {
                h2 { (l::EMPTY_FIRST) }
                p { (l::EMPTY_FIRST_LEAD) }
                p { a.button.main href="/register" { (l::EMPTY_FIRST_GO) } }
                p { a.button href="/owner/record" { (l::EMPTY_LIST_GO) } }
            }
            section {
                h2 { (backup::RESTORE) }
                p { (backup::RESTORE_LEAD) }
                p { a.button.main href="/restore" { (backup::RESTORE_WAY) } }
            }
        }
    }
}

/// The day at the counter.
fn day(state: &State<'_>, of_demo: &[Answer], today: &Today) -> Markup {
    html! {
        h1 { (l::TODAY_TITLE) }
        @if !of_demo.is_empty() {
            section {
                h2 { (l::TRY_THESE) }
                p { (l::TRY_LEAD) }
                ul.tries {
                    @for answer in of_demo {
                        li {
                            (sign(answer.verdict))
                            div { p { b { (answer.verdict) } } p { (link(answer.code)) } }
                        }
                    }
                }
            }
        }
        (today::drawn(today))
        p.under {
            a.button href="/register" { (l::REGISTER_TITLE) }
            a.button href="/bench" { (bench::BENCH) }
        }
        @if let Some(sharing) = &today.sharing { (super::meet::closing(sharing)) }
        (super::backup::drawn(state, &today.backup))
        (super::lost::ways())
    }
}

/// The first hose of each verdict, best first. The demonstration is small.
fn one_of_each(logbook: &Logbook, moment: &Moment) -> Result<Vec<Answer>, Refusal> {
    let mut found: Vec<Answer> = Vec::new();
    for hose in logbook.hose_page(None, None, 200)? {
        let answer = logbook.answer_alone(Found { hose, tag: None }, moment)?;
        if found.iter().all(|known| known.verdict != answer.verdict) {
            found.push(answer);
        }
        if found.len() == Verdict::ALL.len() {
            break;
        }
    }
    found.sort_by_key(|answer| answer.verdict);
    Ok(found)
}

/// Opens the demonstration for this browser; it is made when it is first asked for.
pub fn open_demo(state: &State<'_>) -> Shown {
    state.host.make_demo()?;
    Ok(redirect("/").remember(Remember::Demo(true)))
}

/// Goes back to the shop's own record.
pub fn leave_demo(_: &State<'_>) -> Shown {
    Ok(redirect("/").remember(Remember::Demo(false)))
}
