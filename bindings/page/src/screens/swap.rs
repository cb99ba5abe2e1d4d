//! The guided swap: which hose goes on, then the core's steps, one at a time.

use hosewright_core::fit::replacement::Replacement;
use hosewright_core::swap::{Asks, Step, open_still};
use hosewright_core::tag::Code;
use hosewright_core::{Found, Logbook, SwapView, words};
use maud::{Markup, html};

use super::bench;
use super::forms::{self, card};
use crate::frame::{Scan, Screen};
use crate::labels as l;
use crate::parts::cautions;
use crate::refusal::Refusal;
use crate::response::{Shown, redirect};
use crate::state::State;
use hosewright_core::view::bench::Tool;
use hosewright_core::view::form::{ANSWER, About, Filled, Form};

/// How many hoses that fit are shown at first: the most alike.
const NEAREST: usize = 12;

/// Which hose takes its place: those in stock that fit, or one that is scanned.
pub fn choose(state: &State<'_>) -> Shown {
    let all = state.request.query.ticked("all");
    let scanned = state.request.query.given("text");
    let (answer, new, found) = state.read(|logbook, moment| {
        let old = logbook.find_typed(state.parameter("code"))?;
        let answer = logbook.answer_found(Found { tag: None, ..old }, moment)?;
        let new = scanned.map(|text| logbook.find_typed(text)).transpose()?;
        let found = if all {
            logbook.replacement(old.hose, moment)?
        } else {
            logbook.nearest_replacements(old.hose, NEAREST, moment)?
        };
        Ok((answer, new, found))
    })?;
    if let Some(new) = new {
        return Ok(redirect(&format!("/swap/{}/{}", answer.code, new.tag.unwrap_or(new.hose))));
    }
    let body = html! {
        (forms::head(Some(&About::of(&answer)), l::SWAP_TITLE))
        h2 { (l::SWAP_CHOOSE) }
        (fitting(answer.code, &found))
        @if !all {
            p { a.button href={ "/hose/" (answer.code) "/swap?all=yes" } { (l::SWAP_ALL) } }
        }
    };
    let scan = Scan::into(format!("/hose/{}/swap", answer.code), "text", l::SCAN_NEW_HOSE);
    Ok(Screen::new(format!("{} · {}", l::SWAP_TITLE, answer.code), body).scan(scan).shown(state))
}

fn fitting(old: Code, found: &Replacement<Code>) -> Markup {
    html! {
        @if found.fitting.is_empty() {
            p { (l::SWAP_NONE) }
            p { b { (l::SWAP_ORDER) } ": " (found.order.words) }
        } @else {
            h3 { (l::SWAP_FITS) }
            ul.list {
                @for fit in &found.fitting {
                    li {
                        a.button.code href={ "/swap/" (old) "/" (fit.code) } { (words::by_number(fit.number.as_ref(), fit.code)) }
                        span { (fit.words) }
                    }
                }
            }
        }
        (cautions(found.cautions))
        @if !found.not.is_empty() {
            h3 { (l::SWAP_NOT) }
            ul.list { @for not in &found.not { li { (named(not.code, &words::by_number(not.number.as_ref(), not.code))) " " span { (not.words) } } } }
        }
    }
}

/// The two hoses of the path.
fn pair(state: &State<'_>, logbook: &Logbook) -> Result<(Code, Code), Refusal> {
    let hose = |name| logbook.find_typed(state.parameter(name)).map(|found| found.hose);
    Ok((hose("old")?, hose("new")?))
}

/// The step that comes next, and all of them.
pub fn show(state: &State<'_>) -> Shown {
    // What was scanned into the box at the top leads back here.
    let mut filled = Filled::default();
    filled.set(ANSWER, state.request.query.get("text"));
    let (view, form) = state
        .read(|logbook, moment| Ok(logbook.swap_form(pair(state, logbook)?, &filled, moment)?))?;
    let body = page(state, &view, form.as_ref());
    Ok(Screen::new(l::SWAP_TITLE, body).scan(scan(&view)).shown(state))
}

/// Where a step asks for a tag, the box at the top takes it.
fn scan(view: &SwapView) -> Scan {
    match view.next.as_ref().and_then(|next| Step::named(next.step)).map(|step| step.asks) {
        Some(Asks::OldTag | Asks::NewTag) => Scan::into(at(view), "text", words::swap::SCAN),
        _ => Scan::answer(),
    }
}

fn at(view: &SwapView) -> String {
    format!("/swap/{}/{}", view.old, view.new)
}

fn page(state: &State<'_>, view: &SwapView, form: Option<&Form>) -> Markup {
    let again = state.request.query.ticked("again");
    html! {
        h1 { (l::SWAP_TITLE) }
        p.about {
            @let [old, new] = &view.names;
            (named(view.old, old)) " " (l::SWAP_OFF) ", " (named(view.new, new)) " " (l::SWAP_ON_WORD) ": "
            b { (view.seat) }
        }
        @match (&view.next, form) {
            (Some(next), Some(form)) => {
                section.card.step {
                    @if let Some(words) = view.step_of() { p { b { (words) } } }
                    @if again { p.refusal role="alert" { (open_still(next.step)) } }
                    h2 { (form.title) }
                    @if let Some(tool) = Tool::of_step(next.step) {
                        p { a.button href=(bench::at(tool)) { (tool.words()[1]) } }
                    }
                    (state.form(at(view)).shown(form))
                    @if view.giving_up.is_some() {
                        p { a.button href={ (at(view)) "/another" } { (words::swap::ANOTHER) } }
                    }
                    @if view.can_go_back {
                        (state.form(format!("{}/back", at(view))).drawn(html! {
                            button type="submit" { (words::swap::BACK) }
                        }))
                    }
                }
            }
            _ => p.written role="status" { (l::SWAP_FINISHED) },
        }
        section.card {
            h2 { (l::SWAP_STEPS) }
            ol.steps {
                @for step in &view.steps {
                    li.done[step.answer.is_some()] {
                        (step.todo)
                        @if let Some(said) = &step.answer { " " b { (said) } }
                    }
                }
            }
        }
        (cautions(view.cautions))
        @if let Some(form) = view.give_up_form() {
            (card(state, "give-up", &form, &format!("{}/give-up", at(view))))
        }
    }
}

fn named(code: Code, name: &str) -> Markup {
    html! { a.code href={ "/hose/" (code) } { (name) } }
}

/// Which hose goes on instead: those in stock that fit, or one that is scanned.
pub fn another(state: &State<'_>) -> Shown {
    let scanned = state.request.query.given("text");
    let (view, found, hit) = state.read(|logbook, moment| {
        let pair = pair(state, logbook)?;
        let hit = scanned.map(|text| logbook.find_typed(text)).transpose()?;
        let view = logbook.swap(pair.0, pair.1, None, moment)?;
        Ok((view, logbook.swap_others(pair, NEAREST, moment)?, hit))
    })?;
    let to = format!("{}/another", at(&view));
    let hit = hit.map(|found| found.tag.unwrap_or(found.hose));
    let take = |code: Code, name: &str| {
        state.form(&to).drawn(html! {
            input type="hidden" name="hose" value=(code);
            button type="submit" { (name) }
        })
    };
    let body = html! {
        h1 { (words::swap::ANOTHER) }
        p.about { (words::swap::off_and_on(&view.names, &view.seat)) }
        p { (words::swap::ANOTHER_LEAD) }
        @if let Some(code) = hit { section.card { (take(code, &code.to_string())) } }
        @if found.fitting.is_empty() { p { (words::swap::NO_OTHER) } }
        @else {
            h2 { (l::SWAP_FITS) }
            ul.list {
                @for fit in &found.fitting {
                    li { (take(fit.code, &words::by_number(fit.number.as_ref(), fit.code))) span { (fit.words) } }
                }
            }
        }
        (cautions(found.cautions))
        p.under { a.button href=(at(&view)) { (l::SWAP_TITLE) } }
    };
    let scan = Scan::into(to.clone(), "text", words::swap::SCAN_ANOTHER);
    Ok(Screen::new(words::swap::ANOTHER, body).scan(scan).shown(state))
}

/// Goes on with that hose.
pub fn exchange(state: &State<'_>) -> Shown {
    let typed = state.request.form.get("hose");
    let view = state.write(|logbook, moment| {
        let (pair, other) = (pair(state, logbook)?, logbook.find_typed(typed)?.hose);
        Ok::<_, Refusal>(logbook.swap_exchange(pair, other, moment)?)
    })?;
    Ok(redirect(&at(&view)))
}

/// Takes the last answer back.
pub fn back(state: &State<'_>) -> Shown {
    let view =
        state.write(|logbook, moment| Ok(logbook.swap_back(pair(state, logbook)?, moment)?))?;
    Ok(redirect(&at(&view)))
}

/// Answers the step that comes next.
pub fn step(state: &State<'_>) -> Shown {
    let fields = &state.request.form;
    let step = fields.get("step");
    let view = state.write(|logbook, moment| {
        Ok(logbook.submit_swap_step(pair(state, logbook)?, &fields.filled(), moment)?)
    })?;
    let again = view.next.as_ref().is_some_and(|next| next.step == step);
    match view.next {
        None => Ok(redirect(&format!("/hose/{}?written=yes", view.new))),
        Some(_) if again => Ok(redirect(&format!("{}?again=yes", at(&view)))),
        Some(_) => Ok(redirect(&at(&view))),
    }
}

/// Gives the swap up.
pub fn give_up(state: &State<'_>) -> Shown {
    let why = state.request.form.needed_label("why", "a reason")?.into();
    let old = state.write(|logbook, moment| {
        let pair = pair(state, logbook)?;
        logbook.swap_give_up(pair, &why, moment)?;
        Ok::<_, Refusal>(logbook.record(pair.0)?.tag())
    })?;
    Ok(redirect(&format!("/hose/{old}?written=yes")))
}
