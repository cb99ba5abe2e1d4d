//! Who may ask, before anything is done; and what every response carries.
//!
//! A browser lets any site send requests here. So the name it asked for must be
//! ours (DNS rebinding), a request that changes something must come from one of
//! our pages (its origin, and the token that only such a page knows), and other
//! devices need a session.

use std::sync::Arc;

use axum::http::Method;
use axum::http::header::{self, HOST, HeaderName, HeaderValue, ORIGIN};
use axum::http::request::Parts;
use axum::http::uri::Authority;
use axum::response::Response;
use hosewright_page::{ROUTES, Refusal};

use super::connections::Shows;
use super::shared::Shared;
use super::visit::Visit;
use crate::moment;

/// Nothing from elsewhere, no script that is in a page, no frame round ours.
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

/// Whether a request may come in at all.
pub fn admitted(
    shared: &Arc<Shared>,
    Parts { method, uri, headers, extensions, .. }: &Parts,
) -> Result<(), Refusal> {
    let text = |name: &HeaderName| headers.get(name).and_then(|value| value.to_str().ok());
    // A whole address counts instead of the header (RFC 9112, 3.2.2).
    let host = uri.authority().map(Authority::as_str).or_else(|| text(&HOST));
    let encrypted = extensions.get::<Shows>().is_some();
    let host = host.filter(|host| encrypted || shared.answers_to(host)).ok_or(Refusal::Host)?;
    if matches!(*method, Method::GET | Method::HEAD) {
        return Ok(());
    }
    let own = format!("{}://{host}", if encrypted { "https" } else { "http" });
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

/// Whether it comes with a session, if one is needed.
pub fn signed_in(visit: &Visit) -> Result<(), Refusal> {
    let open = ROUTES.iter().any(|route| route.open && route.is_at(&visit.request.path));
    if open || has_session(visit) { Ok(()) } else { Err(Refusal::SignIn) }
}

/// Whether who asks may see the page: there is a session, or none is needed.
pub fn has_session(visit: &Visit) -> bool {
    let Some(door) = visit.shared.door() else { return visit.here };
    let free = visit.here && !door.asks_here;
    free || door.lan.knows(&visit.session, moment::since_start())
}

/// What every response carries.
pub fn secured(mut response: Response) -> Response {
    for (name, value) in HEADERS {
        response.headers_mut().insert(*name, HeaderValue::from_static(value));
    }
    // What a record says today must not come from a cache tomorrow; but who goes
    // back to a form finds it as it was filled in, which `no-store` would not let.
    let caching = response.headers_mut().entry(header::CACHE_CONTROL);
    caching.or_insert(HeaderValue::from_static("private, no-cache"));
    response
}
