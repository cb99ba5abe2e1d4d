//! What looks like a slip is asked about before it is written: the questions, and
//! the same form once more with a yes. No screen has to know.

use axum::response::Response;
use hosewright_core::LogbookError;
use hosewright_core::words::slips::ALL_THE_SAME;
use maud::html;

use super::ask::Ask;
use super::frame::{self, Screen};
use super::labels as l;
use super::parts::{save, token};
use super::refusal::Refusal;
use super::routes::Route;

/// The field that says yes.
pub const SURE: &str = "sure";

/// The questions to a form of ours, where it was refused with some.
pub fn asked(ask: &Ask, row: &Route, refusal: &Refusal) -> Option<Response> {
    let Refusal::Core(LogbookError::AskFirst(questions)) = refusal else { return None };
    let typed = ask.typed()?.pairs().iter();
    let same = typed.filter(|(name, _)| !["token", SURE].contains(&name.as_str()));
    let body = html! {
        h1 { (l::ASKED_TITLE) }
        section.refused role="alert" {
            @for question in questions { p.refusal { (question) } }
            p { (l::PLAN_NOTHING) " " b { (ALL_THE_SAME) } }
        }
        form action=(ask.path) method="post" {
            (token(&ask.token))
            @for (name, text) in same { input type="hidden" name=(name) value=(text); }
            input type="hidden" name=(SURE) value="1";
            (save(l::ASKED_YES))
        }
        p { a.button href=(row.form_at(&ask.path).unwrap_or_else(|| "/".to_owned())) { (l::ASKED_NO) } }
    };
    Some(frame::with_status(ask, refusal.status(), &Screen::new(l::ASKED_TITLE, body)))
}
