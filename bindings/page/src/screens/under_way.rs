//! A meeting that goes on: how far it is, the button that stops it, and what came of it.

use hosewright_core::words::{counters as say, sentence, sight};
use maud::{Markup, html};

use super::{bringing, folder, network, show as show_film};
use crate::form::Refused;
use crate::frame::Screen;
use crate::labels as l;
use crate::meeting::{HERE, Meeting, Met, Said, Standing};
use crate::refusal::Refusal;
use crate::response::{Shown, redirect};
use crate::state::State;

/// The way to it, among the ways to meet.
pub fn way(state: &State<'_>) -> Markup {
    let here = network::at_the_door(state).is_ok();
    let meeting = here.then(|| state.host.meeting()).flatten();
    let standing = meeting.map(|meeting| meeting.standing());
    let way = |title: &str, goes_on: bool, words: &str| {
        html! {
            section.card #under-way {
                h2 { (title) }
                p.under { a.button.main[goes_on] href=(HERE) { (words) } }
            }
        }
    };
    match standing.map(|standing| standing.end) {
        None | Some(Some(Ok(Met::Asks(_)))) => html! {},
        Some(None) => way(say::UNDER_WAY, true, say::HOW_FAR),
        Some(Some(_)) => way(say::LAST, false, say::WHAT_CAME),
    }
}

/// How far it is, or what came of it.
pub fn show(state: &State<'_>) -> Shown {
    network::at_the_door(state)?;
    let Some(meeting) = state.host.meeting() else { return Ok(redirect("/owner/meet")) };
    let standing = meeting.standing();
    let (title, body) = match &standing.end {
        None => (say::UNDER_WAY, going(state, &meeting, &standing)),
        Some(Ok(Met::Asks(screen))) => return Ok(redirect(screen)),
        Some(Ok(Met::Done)) => {
            let rest = meeting.shows.as_ref();
            let rest =
                rest.map(|key| show_film::button(state, &[("since", key)], sight::SHOW_REST, true));
            (meeting.title, html! { (came(&standing.said)) @if let Some(rest) = rest { (rest) } })
        }
        Some(Err(refusal)) => ended(state, &meeting, &standing, refusal),
    };
    let goes_on = standing.end.is_none();
    let done = matches!(standing.end, Some(Ok(_)));
    let phase = standing.far.map_or("begins", |far| far.phase());
    let body = html! {
        h1 #meeting-title tabindex="-1" { (title) }
        p.spoken #meeting-says role="status" {}
        div #meeting data-goes-on=[goes_on.then_some(HERE)] data-phase=(phase) { (body) }
        p.under { a.button.main[done] href="/owner/meet" { (l::MEET_TITLE) } }
    };
    Ok(Screen::new(title, body).shown(state))
}

/// How far it is. What changes while it goes on is in a place of its own, so that nobody loses
/// the button that stops it.
fn going(state: &State<'_>, meeting: &Meeting, standing: &Standing) -> Markup {
    let stops = meeting.stop().is_stopped();
    let words = standing.far.map_or_else(|| say::BEGINS.to_owned(), say::how_far);
    html! {
        @if state.request.query.given("busy").is_some() {
            p.note role="status" { (sentence(say::ONE_AT_A_TIME)) }
        }
        section.card {
            div #meeting-far {
                p.far { (words) }
                @if let Some((done, all)) = standing.far.and_then(|far| far.share()) {
                    progress max=(all) value=(done.min(all)) aria-label=(say::UNDER_WAY) {}
                }
                @for said in &standing.said { (part(said)) }
            }
            @if stops { p { (say::STOPPING) } }
            @else { p { (say::UNDER_WAY_LEAD) } }
            noscript { p.under { a.button href=(HERE) { (say::HOW_FAR) } } }
            @if !stops {
                (state.form(format!("{HERE}/stop")).drawn(html! {
                    p.under { button.main.stops type="submit" { (say::STOP) } }
                }))
            }
        }
    }
}

/// What came of it, a card for each part.
fn came(said: &[Said]) -> Markup {
    html! { @for said in said { section.card { (part(said)) } } }
}

fn part(said: &Said) -> Markup {
    html! {
        @if !said.of.is_empty() { h2 { (said.of) } }
        @match &said.came {
            Ok(lines) => ul.list { @for line in lines { li { (line) } } },
            Err(why) => p.refusal { (why) },
        }
    }
}

/// Why it ended before its end, what came before that, and the form that began it, filled in.
fn ended(
    state: &State<'_>,
    meeting: &Meeting,
    standing: &Standing,
    refusal: &Refusal,
) -> (&'static str, Markup) {
    let stopped = refusal.is_stopped();
    let refused = Refused::new(meeting.form, &meeting.typed, refusal);
    let again = State { refused: Some(&refused), ..*state };
    let body = html! {
        p.refusal[!stopped].result[stopped] { (sentence(&refusal.to_string())) }
        @if !standing.said.is_empty() {
            h2 { (say::CAME_BEFORE) }
            (came(&standing.said))
        }
        @match meeting.form {
            network::CALL => (network::call(&again)),
            bringing::RECORD => p.under { a.button.main href=(bringing::RECORD) { (l::RECORD_BACK) } },
            _ => (folder::form(&again)),
        }
    };
    (if stopped { say::STOPPED } else { say::NOT_MET }, body)
}

/// Stops it.
pub fn stop(state: &State<'_>) -> Shown {
    network::at_the_door(state)?;
    state.host.stop_meeting();
    Ok(redirect(HERE))
}
