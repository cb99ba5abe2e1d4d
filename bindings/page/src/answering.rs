//! Answers a request: finds its screen, and draws what was refused.

use crate::form::Refused;
use crate::frame;
use crate::host::Host;
use crate::refusal::Refusal;
use crate::request::Request;
use crate::response::Response;
use crate::route::Takes;
use crate::routes::{self, Found};
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
    State { request, host, parameters, is_screen: routes::is_screen, refused: None }
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

/// The form that was refused, with what was typed in it; `None` if there is
/// none to be shown.
fn shown_again(sent: &State<'_>, path: String, refusal: &Refusal) -> Option<Response> {
    if !refusal.status().is_client_error() {
        return None;
    }
    let request = sent.request.again(path);
    let found = routes::find(&request.method, &request.path).ok()?;
    let refused = Refused::new(&sent.request.path, &sent.request.form, refusal);
    let mut again = state(&request, &found.parameters, sent.host);
    again.refused = Some(&refused);
    let shown = (found.route.handler)(&again).ok()?;
    (shown.status == refusal.status()).then_some(shown)
}
