//! Two hoses of one tag: which of them is in the hand, its new tag, and a full
//! inspection of it.

use hosewright_core::event::{EntryId, Event};
use hosewright_core::inspection::InspectionKind;
use hosewright_core::{Found, LogbookError};
use maud::{Markup, html};

use super::{inspect, looking};
use crate::form::{Field, save};
use crate::frame::Screen;
use crate::labels as l;
use crate::response::{Shown, redirect_saved};
use crate::state::State;

/// What stands before the names of the findings: this form takes no photos.
const OF: &str = "identified|";

/// The registrations to choose from; then the form of the one that was chosen.
pub fn form(state: &State<'_>) -> Shown {
    let chosen = state.request.query.given("registration").map(ToOwned::to_owned);
    let (answer, registrations, chosen, known) = state.read(|logbook, moment| {
        let found = logbook.find_typed(state.parameter("code"))?;
        let answer = logbook.answer_found(Found { tag: None, ..found }, moment)?;
        let record = logbook.record(found.hose)?;
        let mut lines = logbook.history(found.hose)?;
        lines.retain(|line| record.registrations.contains(&line.id));
        let chosen = chosen.map(|typed| logbook.find_entry(&typed)).transpose()?;
        let known = logbook.wants_answers(found.hose, None, moment)?;
        Ok((answer, lines, chosen, known))
    })?;
    let at = format!("/hose/{}/identify", answer.code);
    let shown = registrations.iter().find(|line| Some(line.id) == chosen);
    let described = shown.and_then(|line| match &line.event {
        Some(Event::Registered { specification, .. }) => Some(specification),
        _ => None,
    });
    let choice: Markup = html! {
        p.lead { (l::IDENTIFY_LEAD) }
        ul.list {
            @for line in &registrations {
                li {
                    span { b { (line.entry.on) " " (line.entry.by) } ": " (line.words) }
                    a.button href={ (at) "?registration=" (line.id) } { (l::IDENTIFY_THIS) }
                }
            }
        }
    };
    let body = html! {
        (inspect::head(&answer, l::IDENTIFY))
        @if registrations.len() < 2 { p { (l::IDENTIFY_NONE) } }
        @else if let (Some(line), Some(hose)) = (shown, described) {
            p { (line.words) }
            @let form = state.form(&at).class("looking");
            (form.drawn(html! {
                input type="hidden" name="registration" value=(line.id);
                input type="hidden" name="kind" value=(InspectionKind::Full);
                p { (l::FULL_LEAD) }
                (looking::answering(&form, hose, InspectionKind::Full, None, OF, &known))
                (looking::why_gone(&form, &known, OF))
                (form.field(&Field::new("tag", l::RETAG_CODE).hint(l::RETAG_EMPTY)))
                (save(l::IDENTIFY_GO))
            }))
        }
        @else { (choice) }
        p { a.button href={ "/hose/" (answer.code) } { (l::CANCEL) } }
    };
    Ok(Screen::new(format!("{} · {}", l::IDENTIFY, answer.code), body).shown(state))
}

/// Gives the hose in the hand its new tag.
pub fn write(state: &State<'_>) -> Shown {
    let fields = &state.request.form;
    let tag = fields.parsed("tag")?;
    let hose = state.write(|logbook, moment| {
        let hose = logbook.find_whole(state.parameter("code"))?.hose;
        let registration: EntryId = logbook.find_entry(fields.get("registration"))?;
        let lines = logbook.history(hose)?;
        let line = lines.into_iter().find(|line| line.id == registration);
        let Some(Event::Registered { specification, .. }) = line.and_then(|line| line.event) else {
            return Err(LogbookError::NotARegistration(logbook.record(hose)?.tag()).into());
        };
        let known = logbook.wants_answers(hose, None, moment)?;
        let look = inspect::look(fields, &specification, OF, known)?;
        Ok(logbook.identify(hose, registration, look, tag, None, moment)?)
    })?;
    Ok(redirect_saved(hose))
}
