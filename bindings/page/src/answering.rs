//! Answers a request: finds its screen, and draws what was refused.

use http::StatusCode;

use crate::again::Again;
use crate::frame;
use crate::host::Host;
use crate::refusal::Refusal;
use crate::request::Request;
use crate::response::{Body, Response};
use crate::routes::{self, Found, Takes};
use crate::second_step;
use crate::state::State;

/// Answers a request to a row of the table. It may block as long as its host does.
pub fn answer(found: &Found, request: &Request, host: &dyn Host) -> Response {
    let state = state(request, &found.parameters, host);
    (found.route.handler)(&state).unwrap_or_else(|refusal| {
        form_refused(found, &state, &refusal).unwrap_or_else(|| frame::refused(request, &refusal))
    })
}

fn state<'r>(
    request: &'r Request,
    parameters: &'r [(&'static str, String)],
    host: &'r dyn Host,
) -> State<'r> {
    State { request, host, parameters, is_screen: routes::is_screen }
}

/// What a form that was refused comes to: questions, or the form once more.
fn form_refused(found: &Found, state: &State<'_>, refusal: &Refusal) -> Option<Response> {
    if matches!(found.route.takes, Takes::Nothing | Takes::Frame) {
        return None;
    }
    let form = found.route.form_at(&state.request.path);
    let asked = second_step::asked(state, form.as_deref().unwrap_or("/"), refusal);
    asked.or_else(|| shown_again(state, form?, refusal))
}

/// The form that was refused, with what was typed in it; `None` where there is
/// none to be shown.
fn shown_again(sent: &State<'_>, path: String, refusal: &Refusal) -> Option<Response> {
    if !refusal.status().is_client_error() {
        return None;
    }
    let request = sent.request.again(path);
    let found = routes::find(&request.method, &request.path).ok()?;
    let again = state(&request, &found.parameters, sent.host);
    let Response { status: StatusCode::OK, body: Body::Bytes(page), .. } =
        (found.route.handler)(&again).ok()?
    else {
        return None;
    };
    let typed = &sent.request.form;
    let filled = Again { action: &sent.request.path, typed, refusal };
    let filled = filled.filled(std::str::from_utf8(&page).ok()?)?;
    Some(frame::with_page(refusal.status(), filled))
}
