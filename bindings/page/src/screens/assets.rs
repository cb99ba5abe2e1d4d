//! The style and the script, which are in the program itself.

use http::header::CACHE_CONTROL;

use crate::response::{Response, Shown};
use crate::state::State;

/// The later file refines the earlier one.
const STYLE: &str = concat!(
    include_str!("../assets/style.css"),
    include_str!("../assets/sight.css"),
    include_str!("../assets/meeting.css"),
    include_str!("../assets/print.css")
);
const SCRIPT: &str = include_str!("../assets/page.js");
const LENS: &str = include_str!("../assets/lens.js");
const SIGHT: &str = include_str!("../assets/sight.js");
const MEETING: &str = include_str!("../assets/meeting.js");
const ICON: &str = include_str!("../assets/icon.svg");

fn asset(content_type: &str, text: &str) -> Shown {
    // Asked for again each time: a new program comes with a new style.
    Ok(Response::new(content_type, text).header(CACHE_CONTROL, "no-cache"))
}

/// The style.
pub fn style(_: &State<'_>) -> Shown {
    asset("text/css; charset=utf-8", STYLE)
}

/// The script.
pub fn script(_: &State<'_>) -> Shown {
    asset("text/javascript; charset=utf-8", SCRIPT)
}

/// The camera, for the other scripts.
pub fn lens(_: &State<'_>) -> Shown {
    asset("text/javascript; charset=utf-8", LENS)
}

/// Films, shown and watched.
pub fn sight(_: &State<'_>) -> Shown {
    asset("text/javascript; charset=utf-8", SIGHT)
}

/// A meeting that goes on.
pub fn meeting(_: &State<'_>) -> Shown {
    asset("text/javascript; charset=utf-8", MEETING)
}

/// The sign in the browser's tab.
pub fn icon(_: &State<'_>) -> Shown {
    asset("image/svg+xml", ICON)
}
