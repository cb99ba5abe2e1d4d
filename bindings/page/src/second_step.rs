//! What looks like a slip is asked about before it is written: the questions, and
//! the same form once more with a yes. No screen has to know.

use hosewright_core::LogbookError;
use hosewright_core::words::slips::ALL_THE_SAME;
use maud::html;

use crate::form::save;
use crate::frame::{self, Screen};
use crate::labels as l;
use crate::refusal::Refusal;
use crate::response::Response;
use crate::state::{SURE, State};

/// The questions to a form, if it was refused with some; `back` leads to it.
pub fn asked(state: &State<'_>, back: &str, refusal: &Refusal) -> Option<Response> {
    let Refusal::Core(LogbookError::AskFirst(questions)) = refusal else { return None };
    let typed = state.request.form.pairs().iter();
    let same = typed.filter(|(name, _)| !["token", SURE].contains(&name.as_str()));
    let body = html! {
        h1 { (l::ASKED_TITLE) }
        section.refused role="alert" {
            @for question in questions { p.refusal { (question) } }
            p { (l::PLAN_NOTHING) " " b { (ALL_THE_SAME) } }
        }
        (state.form(&state.request.path).drawn(html! {
            @for (name, text) in same { input type="hidden" name=(name) value=(text); }
            input type="hidden" name=(SURE) value="1";
            (save(l::ASKED_YES))
        }))
        p { a.button href=(back) { (l::ASKED_NO) } }
    };
    Some(frame::with_status(state.request, refusal.status(), &Screen::new(l::ASKED_TITLE, body)))
}
