//! Sets that are packed: what is new since, and the one click with which they go out.

use hosewright_core::rental::{PackedView, told_hirer};
use hosewright_core::view::form::rental;
use hosewright_core::words::{self, packing as say};
use maud::{Markup, html};

use crate::labels as l;
use crate::state::State;

/// A packed set, with the way out if nothing is new, or what is new.
pub fn card(state: &State<'_>, packed: &PackedView) -> Markup {
    let at = |what: &str| format!("/set/{}/{what}", packed.id);
    html! {
        section.card.packed {
            h2 { (l::SET) " " (packed.set) }
            p { b { (packed.words) } }
            @if packed.news.is_empty() { (goes(state, packed, &at("go"))) }
            @else {
                p.result.hold { b { (say::NEW_SINCE) ":" } }
                ul.list { @for new in &packed.news { li { (new) } } }
                p { (say::SCAN_AGAIN) }
                p { a.button.main href=(at("out")) { (say::AS_USUAL) } }
            }
            (state.form(at("unpack")).drawn(html! { p { button type="submit" { (say::UNPACK) } } }))
        }
    }
}

/// Nothing is new: what was said when it was packed, and the button.
fn goes(state: &State<'_>, packed: &PackedView, at: &str) -> Markup {
    let check = &packed.check;
    let form = rental::hand_out_packed(check.ready, check.can_be_lifted());
    html! {
        @for stop in &check.stops {
            ul.reasons { li.hold { div { p.why { (stop.words) } p.todo { (stop.todo) } } } }
        }
        @if check.ready { (told(words::rental::TELL, &told_hirer(&check.watch))) }
        (state.form(at).on_card(&form))
    }
}

/// What the hirer is told.
pub fn told(title: &str, told: &[String]) -> Markup {
    html! {
        @if !told.is_empty() {
            section.told {
                h2 { (title) }
                ul { @for words in told { li { (words) } } }
            }
        }
    }
}
