//! Verdicts and hoses as they are drawn on every screen.

use hosewright_core::answer::Reason;
use hosewright_core::hose::Label;
use hosewright_core::inspection::Verdict;
use hosewright_core::photograph::PhotographName;
use hosewright_core::set_view::Checked;
use hosewright_core::tag::Code;
use maud::{Markup, PreEscaped, Render, html};

use crate::labels as l;

/// The shape of a verdict: square, triangle, disc, ring with a bar, after
/// ISO 3864-1, in its colours and with its contrast colour inside. The drawing
/// is for the eye alone: the word is beside it.
pub fn sign(verdict: Verdict) -> Markup {
    let inside = match verdict {
        Verdict::Ready => {
            r##"<rect x="4" y="4" width="92" height="92" rx="6" fill="#237F52"/><path d="M24 52 L43 71 L77 31" fill="none" stroke="#fff" stroke-width="12"/>"##
        }
        Verdict::Watch => {
            r##"<path d="M50 6 L97 91 Q98 95 94 95 L6 95 Q2 95 3 91 Z" fill="#1B1B1B"/><path d="M50 16 L89 88 L11 88 Z" fill="#F9A900"/><rect x="45" y="40" width="10" height="26" fill="#1B1B1B"/><rect x="45" y="71" width="10" height="10" fill="#1B1B1B"/>"##
        }
        Verdict::Hold => {
            r##"<circle cx="50" cy="50" r="47" fill="#fff"/><circle cx="50" cy="50" r="45" fill="#005387"/><rect x="43" y="20" width="14" height="38" fill="#fff"/><rect x="43" y="66" width="14" height="14" fill="#fff"/>"##
        }
        Verdict::Retire => {
            r##"<circle cx="50" cy="50" r="47" fill="#fff"/><circle cx="50" cy="50" r="39" fill="#fff" stroke="#9B2423" stroke-width="13"/><path d="M23 23 L77 77" stroke="#9B2423" stroke-width="13"/>"##
        }
    };
    let drawn = format!(
        r#"<svg class="sign" viewBox="0 0 100 100" aria-hidden="true" focusable="false">{inside}</svg>"#
    );
    PreEscaped(drawn)
}

/// A verdict in a line: its shape and its word.
pub fn verdict(verdict: Verdict) -> Markup {
    html! { span.verdict { (sign(verdict)) b { (verdict) } } }
}

/// The class of a verdict's colours.
pub const fn class(verdict: Verdict) -> &'static str {
    verdict.word()
}

/// Why, each with what to do.
pub fn reasons(reasons: &[Reason]) -> Markup {
    html! {
        ul.reasons {
            @for reason in reasons {
                li class=(class(reason.verdict)) {
                    (sign(reason.verdict))
                    div {
                        p.why { span.spoken { (reason.verdict) ": " } (reason.words) }
                        p.todo { (reason.todo) }
                    }
                }
            }
        }
    }
}

/// A photograph, small, leading to itself.
pub fn photograph(hose: Code, name: PhotographName, words: &str) -> Markup {
    let at = format!("/hose/{hose}/photo/{name}");
    html! { a.photograph href=(at) { img src=(at) alt=(words) loading="lazy"; } }
}

/// A code that leads to its hose.
pub fn link(code: Code) -> Markup {
    html! { a.code href={ "/hose/" (code) } { (code) } }
}

/// A hose by its own number, if it has one, and its code.
pub fn numbered(number: Option<&Label>, code: Code) -> Markup {
    html! { @if let Some(number) = number { b.number { (number) } " " } (link(code)) }
}

/// A hose in a list: its status, which it is and why.
pub fn checked(hose: &Checked) -> Markup {
    let (why, todo) = hose.worst_reasons();
    html! {
        li.checked.(class(hose.verdict)) {
            (sign(hose.verdict))
            div {
                p {
                    @if let Some(port) = hose.port { b.port { (port) } " " }
                    (numbered(hose.number.as_ref(), hose.code)) " " b { (hose.verdict) }
                }
                p { (hose.words) }
                @if !why.is_empty() { p.why { (why) } }
                @if !todo.is_empty() { p.todo { (todo) } }
            }
        }
    }
}

/// A field that narrows the list under it, while one types where scripts run.
pub fn narrowing(action: &str, label: &str, begins: &str) -> Markup {
    html! {
        form.filter action=(action) method="get" {
            label for="begins" { (label) }
            div.row {
                input #begins type="search" name="begins" value=(begins) autocomplete="off"
                    spellcheck="false" data-live="results";
                button type="submit" { (l::FILTER) }
            }
        }
    }
}

/// Cautions that go with a work.
pub fn cautions(cautions: &[impl Render]) -> Markup {
    html! { ul.cautions { @for caution in cautions { li { (caution) } } } }
}
