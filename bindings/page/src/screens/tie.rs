//! A tag that was printed blank is tied on a hose on record: the tag is scanned first,
//! then the hose is chosen.

use hosewright_core::answer::Answer;
use hosewright_core::tag::Code;
use hosewright_core::words;
use maud::{Markup, html};

use crate::fields::percent_encode;
use crate::frame::{Scan, Screen};
use crate::labels as l;
use crate::parts::numbered;
use crate::refusal::Refusal;
use crate::response::Shown;
use crate::state::State;

/// How many hoses are offered.
const OFFERED: usize = 20;

/// The way there from a tag that is on no record.
pub fn offered(tag: Code) -> Markup {
    html! { p.under { a.button href={ "/tie/" (tag) } { (l::TIE) } } }
}

/// Which hose gets the tag.
pub fn choose(state: &State<'_>) -> Shown {
    let tag: Code = state.parameter("code").parse().map_err(Refusal::bad)?;
    let text = state.request.query.get("text");
    let found = match text.is_empty() {
        true => Vec::new(),
        false => state.read(|logbook, moment| {
            // A scan names its hose; what is typed may mean several.
            if let Ok(found) = logbook.find_typed(text) {
                return Ok(vec![logbook.answer_alone(found, moment)?]);
            }
            let hits = logbook.look_for(text, OFFERED, moment)?;
            Ok(hits.into_iter().map(|hit| hit.answer).collect())
        })?,
    };
    let body = html! {
        h1 { (l::TIE_TITLE) }
        p { span.code { (tag) } }
        @if text.is_empty() { p.lead { (l::TIE_LEAD) } }
        @else if found.is_empty() { p { (l::TIE_NONE) } }
        ul.list { @for answer in &found { li { (row(state, tag, answer)) } } }
    };
    let to = format!("/tie/{}", percent_encode(&tag.to_string()));
    Ok(Screen::new(l::TIE_TITLE, body).scan(Scan::into(to, "text", l::TIE_SCAN)).shown(state))
}

fn row(state: &State<'_>, tag: Code, answer: &Answer) -> Markup {
    let number = answer.hose.origin.own.number.as_ref();
    let what = words::hose_briefly(answer.hose.specification.as_ref());
    let named = number.map_or_else(|| answer.code.to_string(), ToString::to_string);
    let form = state.form(format!("/hose/{}/retag", answer.code));
    html! {
        p { (numbered(number, answer.code)) }
        p { (what) ", " (answer.place.words) }
        (form.drawn(html! {
            input type="hidden" name="tag" value=(tag);
            button type="submit" { (l::TIE_GO) span.spoken { ": " (named) ", " (what) } }
        }))
    }
}
