//! Who comes, and under which name: the pass phrase, and who writes.

use hosewright_core::hose::Label;
use hosewright_core::words::staff::PIN;
use http::StatusCode;
use maud::html;

use crate::form::{save, token};
use crate::frame::{Screen, visitor};
use crate::labels as l;
use crate::response::{Remember, Response, Shown, redirect};
use crate::state::State;
use hosewright_core::view::form::Field;

/// Asks for the pass phrase.
pub fn login(state: &State<'_>) -> Shown {
    if !state.request.person.signs_in {
        return Ok(redirect("/"));
    }
    Ok(asked(state, ""))
}

fn asked(state: &State<'_>, wrong: &str) -> Response {
    let body = html! {
        h1 { (l::NAME) }
        p { (l::LOGIN_LEAD) }
        @if !wrong.is_empty() { p.refusal role="alert" { (wrong) } }
        form action="/login" method="post" {
            (token(&state.request.person.token))
            p.field {
                label for="pass" { (l::LOGIN_TITLE) }
                input #pass type="password" name="pass" required autofocus
                    autocomplete="current-password";
            }
            p { button.main type="submit" { (l::LOGIN_GO) } }
        }
        h2 { (l::LOGIN_PIN) }
        form action="/login" method="post" {
            (token(&state.request.person.token))
            p.field {
                label for="name" { (l::LOGIN_NAME) }
                input #name type="text" name="name" required autocomplete="username";
            }
            p.field {
                label for="pin" { (PIN) }
                input #pin type="password" name="pin" inputmode="numeric" required
                    autocomplete="current-password";
            }
            p { button type="submit" { (l::LOGIN_PIN_GO) } }
        }
    };
    visitor(l::LOGIN_TITLE, &body)
}

/// Opens a session for the right pass phrase.
pub fn sign_in(state: &State<'_>) -> Shown {
    if !state.request.person.signs_in {
        return Ok(redirect("/"));
    }
    let fields = &state.request.form;
    let (session, wrong) = match fields.given("pin") {
        None => (state.host.sign_in(fields.get("pass"))?, l::LOGIN_WRONG),
        Some(pin) => {
            let name = fields.needed_label("name", "a name")?;
            (state.host.sign_in_by_pin(&name, pin, &state.request.moment)?, l::LOGIN_PIN_WRONG)
        }
    };
    match session {
        Some(key) => Ok(redirect("/").remember(Remember::Session(Some(key)))),
        None => Ok(Response { status: StatusCode::FORBIDDEN, ..asked(state, wrong) }),
    }
}

/// Ends the session.
pub fn sign_out(state: &State<'_>) -> Shown {
    state.host.sign_out();
    Ok(redirect("/").remember(Remember::Session(None)))
}

/// Asks who writes.
pub fn who(state: &State<'_>) -> Shown {
    let by = state.request.moment.by.to_string();
    let by = if by == l::NOBODY { String::new() } else { by };
    let back = state.request.query.get("back");
    let body = html! {
        h1 { (l::WHO_TITLE) }
        p { (l::WHO_LEAD) }
        @let form = state.form("/who");
        (form.drawn(html! {
            @if (state.is_screen)(back) { input type="hidden" name="back" value=(back); }
            (form.field(&Field::text("by", l::WHO_NAME).value(&by).needed()))
            (save(l::WHO_GO))
        }))
    };
    Ok(Screen::new(l::WHO_TITLE, body).shown(state))
}

/// Remembers who writes from this browser.
pub fn set_who(state: &State<'_>) -> Shown {
    let by: Label = state.request.form.needed_label("by", "a name")?;
    let back = state.request.form.get("back");
    let back = if (state.is_screen)(back) { back } else { "/" };
    Ok(redirect(back).remember(Remember::Name(by)))
}
