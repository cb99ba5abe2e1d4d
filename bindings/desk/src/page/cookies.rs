//! What browsers remember for the page.

use axum::http::HeaderMap;
use axum::http::header::COOKIE;
use cookie::time::Duration;
use cookie::{Cookie, SameSite};
use hosewright_page::{Fields, Remember};

/// The cookie that names a session.
pub const SESSION: &str = "hosewright_session";
/// The cookie that says who writes.
pub const BY: &str = "hosewright_by";
/// The cookie of a browser that looks at the demonstration.
pub const DEMO: &str = "hosewright_demo";

/// What a browser remembers.
pub fn read(headers: &HeaderMap) -> Fields {
    let sent = headers.get_all(COOKIE).iter().filter_map(|value| value.to_str().ok());
    let pairs = sent.flat_map(Cookie::split_parse_encoded).flatten();
    let pairs = pairs.map(|cookie| (cookie.name().to_owned(), cookie.value().to_owned()));
    Fields::of(pairs.take(50).collect())
}

/// The header that leaves something in the browser: kept from scripts, and not
/// sent along from other sites. An empty text takes it away.
pub fn line(remember: &Remember) -> String {
    let (name, text) = match remember {
        Remember::Name(by) => (BY, by.as_str()),
        Remember::Demo(true) => (DEMO, "yes"),
        Remember::Demo(false) => (DEMO, ""),
        Remember::Session(key) => (SESSION, key.as_deref().unwrap_or_default()),
    };
    let cookie = Cookie::build((name, text)).path("/").http_only(true);
    let mut cookie = cookie.same_site(SameSite::Strict).build();
    if text.is_empty() {
        cookie.set_max_age(Duration::ZERO);
    }
    cookie.encoded().to_string()
}
