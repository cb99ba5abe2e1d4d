//! Where records meet: the ways, and which to take.

use hosewright_core::words::sight;
use maud::html;

use super::show;
use crate::frame::Screen;
use crate::labels as l;
use crate::response::Shown;
use crate::state::State;

/// The ways.
pub fn doors(state: &State<'_>) -> Shown {
    let body = html! {
        h1 { (l::MEET_TITLE) }
        section.card {
            h2 { (sight::TITLE) }
            p { (sight::LEAD) }
            ol.steps { @for step in sight::STEPS { li { (step) } } }
            p.under { a.button.main href="/owner/meet/watch" { (sight::WATCH) } }
            (show::button(state, &[("holds", "yes")], sight::HOLDS, false))
            (show::button(state, &[], sight::SHOW_ALL, false))
            p.hint { (sight::FLICKER) }
        }
        section.card {
            h2 { (l::MEET_FILE) }
            p { (l::MEET_FILE_LEAD) }
            p.under { a.button href="/owner/record" { (l::RECORD_TITLE) } }
        }
    };
    Ok(Screen::new(l::MEET_TITLE, body).shown(state))
}
