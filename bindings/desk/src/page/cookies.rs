//! What browsers remember for the page.

use axum::http::HeaderMap;
use axum::http::header::COOKIE;
use hosewright_page::{Fields, Remember, percent_encode};

/// The cookie that names a session.
pub const SESSION: &str = "hosewright_session";
/// The cookie that says who writes.
pub const BY: &str = "hosewright_by";
/// The cookie of a browser that looks at the demonstration.
pub const DEMO: &str = "hosewright_demo";

/// What a browser remembers.
pub fn read(headers: &HeaderMap) -> Fields {
    let sent = headers.get_all(COOKIE).iter().filter_map(|value| value.to_str().ok());
    let pairs = sent.flat_map(|line| line.split(';')).filter_map(|pair| {
        let (name, text) = pair.trim().split_once('=')?;
        // The value is escaped as in a path, which is read as in a form.
        let read = form_urlencoded::parse(text.as_bytes()).next();
        Some((name.to_owned(), read.map(|(text, _)| text.into_owned()).unwrap_or_default()))
    });
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
    let ends = if text.is_empty() { "; Max-Age=0" } else { "" };
    format!("{name}={}; Path=/; HttpOnly; SameSite=Strict{ends}", percent_encode(text))
}
