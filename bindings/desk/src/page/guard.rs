//! Who may ask, before anything is done; and what every response carries.
//!
//! A browser lets any site send requests here. So the name it asked for must be
//! ours (DNS rebinding), a request that changes something must come from a page
//! of ours (its origin, and the token that only such a page knows), and from
//! other devices a session is needed.

use axum::Router;
use axum::body::{Body, to_bytes};
use axum::extract::{MatchedPath, Request, State};
use axum::http::header::{self, HOST, HeaderName, HeaderValue, LOCATION, ORIGIN};
use axum::http::request::Parts;
use axum::http::uri::Authority;
use axum::http::{Method, StatusCode};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};
use std::sync::Arc;
use tower::ServiceExt;

use super::again::Again;
use super::ask::Ask;
use super::refusal::Refusal;
use super::routes::Route;
use super::shared::House;
use super::{frame, routes, second_step};
use crate::moment;

/// Nothing from elsewhere, no script that stands in a page, no frame round ours.
const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; \
    connect-src 'self'; form-action 'self'; frame-ancestors 'none'; base-uri 'none'";

const HEADERS: &[(&str, &str)] = &[
    ("content-security-policy", POLICY),
    ("x-content-type-options", "nosniff"),
    ("x-frame-options", "DENY"),
    // `no-referrer` would make browsers send `Origin: null` with our own forms.
    ("referrer-policy", "same-origin"),
    ("permissions-policy", "camera=(self), microphone=(), geolocation=()"),
    ("cross-origin-opener-policy", "same-origin"),
    ("cross-origin-resource-policy", "same-origin"),
];

/// A refusal on its way to be drawn as a page.
#[derive(Clone)]
struct Told(Arc<Refusal>);

impl IntoResponse for Refusal {
    fn into_response(self) -> Response {
        let mut response = self.status().into_response();
        response.extensions_mut().insert(Told(Arc::new(self)));
        response
    }
}

/// What the guard needs: it asks the screens once more to show a refused form again.
#[derive(Clone)]
pub struct Guard {
    /// What all requests share.
    pub house: House,
    /// The screens.
    pub screens: Router,
}

/// Stands before every screen.
pub async fn stand(State(guard): State<Guard>, request: Request, next: Next) -> Response {
    let Guard { house, screens } = guard;
    let (mut parts, body) = request.into_parts();
    let ask = match admitted(&house, &parts).and_then(|()| Ask::of(&house, &parts)) {
        Ok(ask) => ask,
        Err(refusal) => return dressed(frame::bare(&refusal)),
    };
    if let Err(refusal) = signed_in(&house, &ask) {
        let response = match parts.method {
            Method::GET => (StatusCode::SEE_OTHER, [(LOCATION, "/login")]).into_response(),
            _ => frame::bare(&refusal),
        };
        return dressed(response);
    }
    let row = parts.extensions.get::<MatchedPath>().and_then(|path| routes::posted(path.as_str()));
    parts.extensions.insert(ask.clone());
    let response = next.run(Request::from_parts(parts, body)).await;
    if let (Some(row), Some(Told(refusal))) = (row, response.extensions().get::<Told>()) {
        if let Some(asked) = second_step::asked(&ask, row, refusal) {
            return dressed(asked);
        }
        if let Some(again) = shown_again(&ask, row, refusal, screens).await {
            return dressed(again);
        }
    }
    dressed(drawn(&ask, response))
}

/// The largest page with a form.
const MOST_PAGE: usize = 4 * 1024 * 1024;

/// The form that was refused, with what was typed in it; `None` where there is
/// none to be shown.
async fn shown_again(
    ask: &Ask,
    row: &Route,
    refusal: &Refusal,
    screens: Router,
) -> Option<Response> {
    let typed = ask.typed().filter(|_| refusal.status().is_client_error())?;
    let path = row.form_at(&ask.path)?;
    let mut request = Request::get(&path).body(Body::empty()).ok()?;
    request.extensions_mut().insert(ask.again(path, typed));
    let Ok(response) = screens.oneshot(request).await;
    if response.status() != StatusCode::OK {
        return None;
    }
    let page = to_bytes(response.into_body(), MOST_PAGE).await.ok()?;
    let again = Again { action: &ask.path, typed, refusal };
    let page = again.filled(std::str::from_utf8(&page).ok()?)?;
    Some(frame::marked_as(refusal.status(), page))
}

/// Whether a request may come in at all.
fn admitted(house: &House, Parts { method, uri, headers, .. }: &Parts) -> Result<(), Refusal> {
    let text = |name: &HeaderName| headers.get(name).and_then(|value| value.to_str().ok());
    // A whole address counts instead of the header (RFC 9112, 3.2.2).
    let host = uri.authority().map(Authority::as_str).or_else(|| text(&HOST));
    let host = host.filter(|host| house.answers_to(host)).ok_or(Refusal::Host)?;
    if matches!(*method, Method::GET | Method::HEAD) {
        return Ok(());
    }
    let own = format!("http://{host}");
    let from_us = match text(&ORIGIN) {
        Some(origin) => origin.eq_ignore_ascii_case(&own),
        // Browsers that send none with a form say so here; other programs send
        // neither, and still need the token.
        None => {
            !headers.contains_key(ORIGIN)
                && headers.get("sec-fetch-site").is_none_or(|site| site == "same-origin")
        }
    };
    if from_us { Ok(()) } else { Err(Refusal::Foreign) }
}

fn signed_in(house: &House, ask: &Ask) -> Result<(), Refusal> {
    let Some(lan) = &house.lan else { return Ok(()) };
    let open = routes::ROUTES.iter().any(|route| route.open && route.path == ask.path);
    if open || lan.knows(&ask.session, moment::since_start()) {
        return Ok(());
    }
    Err(Refusal::SignIn)
}

/// Draws a refusal as a page: one of ours, or one of the router's.
fn drawn(ask: &Ask, response: Response) -> Response {
    if let Some(Told(refusal)) = response.extensions().get::<Told>() {
        return frame::refused(ask, refusal);
    }
    if response.extensions().get::<Drawn>().is_some() {
        return response;
    }
    match response.status() {
        StatusCode::NOT_FOUND => frame::refused(ask, &Refusal::NoPage),
        StatusCode::METHOD_NOT_ALLOWED => frame::refused(ask, &Refusal::NoMethod),
        StatusCode::PAYLOAD_TOO_LARGE => frame::refused(ask, &Refusal::TooLarge("16 MB")),
        status if status.is_client_error() => {
            frame::refused(ask, &Refusal::bad("the address or the form cannot be read"))
        }
        _ => response,
    }
}

/// Marks a page that is drawn already, whatever its status.
#[derive(Clone)]
pub struct Drawn;

fn dressed(mut response: Response) -> Response {
    for (name, value) in HEADERS {
        response.headers_mut().insert(*name, HeaderValue::from_static(value));
    }
    // What a record says today must not come from a cache tomorrow; but who goes
    // back to a form finds it as it was filled in, which `no-store` would not let.
    let caching = response.headers_mut().entry(header::CACHE_CONTROL);
    caching.or_insert(HeaderValue::from_static("private, no-cache"));
    response
}
