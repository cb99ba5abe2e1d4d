//! The style and the script, which are in the program itself.

use axum::http::header::{CACHE_CONTROL, CONTENT_TYPE};
use axum::response::{IntoResponse, Response};

const STYLE: &str = include_str!("../assets/style.css");
const SCRIPT: &str = include_str!("../assets/page.js");
const ICON: &str = include_str!("../assets/icon.svg");

fn asset(kind: &'static str, text: &'static str) -> Response {
    // Asked for again each time: a new program comes with a new style.
    ([(CONTENT_TYPE, kind), (CACHE_CONTROL, "no-cache")], text).into_response()
}

/// The style.
pub async fn style() -> Response {
    asset("text/css; charset=utf-8", STYLE)
}

/// The script.
pub async fn script() -> Response {
    asset("text/javascript; charset=utf-8", SCRIPT)
}

/// The sign in the browser's tab.
pub async fn icon() -> Response {
    asset("image/svg+xml", ICON)
}
