//! Taking back what was written: everything that was written together is shown
//! first, which is the second step that the core asks for.

use hosewright_core::hose::Prose;
use hosewright_core::view::form::{Field, Form, care};
use hosewright_core::{HistoryLine, Logbook};
use maud::html;

use super::timeline::timeline;
use crate::frame::Screen;
use crate::labels as l;
use crate::refusal::Refusal;
use crate::response::{Shown, redirect};
use crate::state::{SURE, State};

/// What would be taken back, and the reason that is asked for.
pub fn form(state: &State<'_>) -> Shown {
    let (id, lines, back) = state.read(|logbook, _| {
        let id = logbook.find_entry(state.parameter("entry"))?;
        let lines = logbook.act_of(id)?;
        if lines.len() == 1 {
            logbook.check_withdrawable(id, true)?;
        }
        let back = home(logbook, &lines)?;
        Ok((id, lines, back))
    })?;
    let body = html! {
        h1 { (l::TAKE_BACK_TITLE) }
        p.lead { @if lines.len() > 1 { (l::TAKE_BACK_TOGETHER) " " } (l::TAKE_BACK_LEAD) }
        ul.list {
            @for line in &lines {
                li {
                    span {
                        b { (line.entry.on) " " (line.entry.by) } ": " (line.words)
                        @if line.id == id && lines.len() > 1 { " " b { "(" (l::TAKE_BACK_CHOSEN) ")" } }
                    }
                }
            }
        }
        (state.form(format!("/take-back/{id}")).shown(&withdrawal(lines.len() > 1)))
        p { a.button href=(back) { (l::ASKED_NO) } }
    };
    Ok(Screen::new(l::TAKE_BACK_TITLE, body).shown(state))
}

/// The form, on a screen that says already what it does.
fn withdrawal(several: bool) -> Form {
    let mut form = care::withdrawal(several);
    if let Some(group) = form.groups.first_mut() {
        group.fields.push(Field::fixed(SURE, 1));
    }
    form
}

/// Where an entry is seen: at the hose, the set or the fleet that it is about.
fn home(logbook: &Logbook, lines: &[HistoryLine]) -> Result<String, Refusal> {
    let about: Vec<_> = lines.iter().map(|line| line.entry.touched()).collect();
    if let Some(hose) = about.iter().find_map(|whom| whom.hoses.first()) {
        return Ok(format!("/hose/{}", logbook.record(*hose)?.tag()));
    }
    let set = about.iter().find_map(|whom| whom.sets.first());
    Ok(set.map_or_else(|| "/owner/history".to_owned(), |set| format!("/set/{set}")))
}

/// Takes it back.
pub fn write(state: &State<'_>) -> Shown {
    let fields = &state.request.form;
    let why: Prose = fields.needed_prose("why", "a reason")?;
    let alone = fields.ticked(care::ALONE);
    let far = state.at_the_desk().err();
    let back = state.write(|logbook, moment| {
        let id = logbook.find_entry(state.parameter("entry"))?;
        let lines = logbook.act_of(id)?;
        // What holds for the whole fleet is the owner's to take back.
        if let Some(far) = far.filter(|_| lines.iter().any(|l| l.entry.touched().fleet)) {
            return Err(far);
        }
        logbook.withdraw(&[id], alone, &why, moment)?;
        home(logbook, &lines)
    })?;
    Ok(redirect(&format!("{back}?written=yes")))
}

/// What was written about limits, recalls and devices.
pub fn of_fleet(state: &State<'_>) -> Shown {
    let lines = state.read(|logbook, _| Ok(logbook.fleet_history()?))?;
    let body = html! {
        h1 { (l::FLEET_HISTORY_TITLE) }
        @if state.request.query.ticked("written") { p.written role="status" { (l::WRITTEN) } }
        p.lead { (l::FLEET_HISTORY_LEAD) }
        @if lines.is_empty() { p { (l::FLEET_HISTORY_NONE) } }
        (timeline(lines.iter().rev()))
    };
    Ok(Screen::new(l::FLEET_HISTORY_TITLE, body).shown(state))
}
