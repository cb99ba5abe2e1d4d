//! What looks like a slip is asked about before it is written, and what is not for
//! everybody is for somebody who may: the questions, and the same form once more with
//! the answer. No screen has to know.

use hosewright_core::device::SealError;
use hosewright_core::hose::Label;
use hosewright_core::staff::PinError;
use hosewright_core::view::form::owner;
use hosewright_core::view::form::staff::{AS, PIN, who_says_yes};
use hosewright_core::words::sentence;
use hosewright_core::words::slips::{ALL_THE_SAME, YES};
use hosewright_core::{LogbookError, StaffError};
use maud::{Markup, html};

use crate::form::save;
use crate::frame::{self, Scan, Screen};
use crate::labels as l;
use crate::refusal::Refusal;
use crate::response::Response;
use crate::state::{OWNER_PASS, SURE, State};

/// The questions to a form, if it was refused with some; `back` leads to it.
pub fn asked(state: &State<'_>, back: &str, refusal: &Refusal) -> Option<Response> {
    match refusal {
        Refusal::Core(LogbookError::AskFirst(questions)) => Some(slips(state, back, questions)),
        Refusal::Core(LogbookError::Staff(error)) => somebody(state, back, (error, refusal)),
        Refusal::Core(LogbookError::OwnerSealed) => Some(owner_pass(state, back, refusal)),
        Refusal::Core(LogbookError::Seal(SealError::Wrong)) => {
            Some(owner_pass(state, back, refusal))
        }
        _ => None,
    }
    .map(|screen| frame::with_status(state.request, refusal.status(), &screen))
}

fn slips(state: &State<'_>, back: &str, questions: &[String]) -> Screen {
    let body = html! {
        h1 { (l::ASKED_TITLE) }
        section.refused role="alert" {
            @for question in questions { p.refusal { (question) } }
            p { (l::PLAN_NOTHING) " " b { (ALL_THE_SAME) } }
        }
        (state.form(&state.request.path).drawn(html! {
            (same(state, &[SURE]))
            input type="hidden" name=(SURE) value="1";
            (save(YES))
        }))
        p { a.button href=(back) { (l::ASKED_NO) } }
    };
    Screen::new(l::ASKED_TITLE, body)
}

/// The owner's key does it, once its pass phrase is given.
fn owner_pass(state: &State<'_>, back: &str, refusal: &Refusal) -> Screen {
    let form = owner::pass_phrase(OWNER_PASS);
    let drawn = state.form(&state.request.path);
    let body = html! {
        h1 { (form.title) }
        section.refused role="alert" { p.refusal { (sentence(&refusal.to_string())) } }
        (drawn.drawn(html! {
            (same(state, &[]))
            @for field in form.fields() { (drawn.field(field)) }
            (save(&form.submit))
        }))
        p { a.button href=(back) { (l::ASKED_NO) } }
    };
    let scan = Scan { elsewhere: true, ..Scan::answer() };
    Screen::new(form.title, body).scan(scan)
}

/// Who may do it says so, with their PIN if they have one here.
fn somebody(
    state: &State<'_>,
    back: &str,
    (error, refusal): (&StaffError, &Refusal),
) -> Option<Screen> {
    let writer = state.request.form.label(AS, "a name").ok().flatten();
    let writer = writer.unwrap_or_else(|| state.request.moment.by.clone());
    let who: Vec<Label> = match error {
        StaffError::NotYours { who, .. } => who.clone(),
        StaffError::PinNeeded { name, .. } => vec![name.clone()],
        StaffError::Pin(PinError::Wrong | PinError::Wait { .. }) => vec![writer.clone()],
        _ => return None,
    };
    let form = who_says_yes(&who, &writer);
    let drawn = state.form(&state.request.path);
    let body = html! {
        h1 { (form.title) }
        section.refused role="alert" { p.refusal { (sentence(&refusal.to_string())) } }
        (drawn.drawn(html! {
            (same(state, &[AS, PIN]))
            @for field in form.fields() { (drawn.field(field)) }
            (save(&form.submit))
        }))
        p { a.button href=(back) { (l::ASKED_NO) } }
    };
    // One types the PIN, and scans nothing.
    let scan = Scan { elsewhere: true, ..Scan::answer() };
    Some(Screen::new(form.title, body).scan(scan))
}

/// What was typed, once more, but for what is asked now. A PIN and a pass phrase are on no page.
fn same(state: &State<'_>, but: &[&str]) -> Markup {
    let typed = state.request.form.pairs().iter();
    let same = typed.filter(|(name, _)| {
        let name = name.as_str();
        !["token", PIN, OWNER_PASS].contains(&name) && !but.contains(&name)
    });
    html! { @for (name, text) in same { input type="hidden" name=(name) value=(text); } }
}
