//! Verdicts, hoses and fields as they are drawn on every screen.

use hosewright_core::answer::Reason;
use hosewright_core::inspection::Verdict;
use hosewright_core::set_view::Checked;
use hosewright_core::tag::Code;
use maud::{Markup, PreEscaped, html};

use crate::labels as l;
use crate::request::Request;

/// The shape of a verdict: square, triangle, disc, ring with a bar, after
/// ISO 3864-1, in its colours and with its contrast colour inside. The drawing
/// is for the eye alone: the word stands beside it.
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

/// A code that leads to its hose.
pub fn link(code: Code) -> Markup {
    html! { a.code href={ "/hose/" (code) } { (code) } }
}

/// A hose in a list: how it stands, which it is and why.
pub fn checked(hose: &Checked) -> Markup {
    let (why, todo) = hose.worst_reasons();
    html! {
        li.checked.(class(hose.verdict)) {
            (sign(hose.verdict))
            div {
                p {
                    @if let Some(port) = hose.port { b.port { (port) } " " }
                    (link(hose.code)) " " b { (hose.verdict) }
                }
                p { (hose.words) }
                @if !why.is_empty() { p.why { (why) } }
                @if !todo.is_empty() { p.todo { (todo) } }
            }
        }
    }
}

/// A field of one line with what stands before it and an example.
pub struct Field<'a> {
    /// Its name in the form.
    pub name: &'a str,
    /// What it is for.
    pub label: &'a str,
    /// What is in it.
    pub value: &'a str,
    /// An example; empty for none.
    pub hint: &'a str,
    /// Whether it has to be filled in.
    pub needed: bool,
    /// The form that it stands in, where a page has several of its name.
    pub of: &'a str,
}

impl<'a> Field<'a> {
    /// A field that may stay empty.
    pub const fn new(name: &'a str, label: &'a str) -> Self {
        Self { name, label, value: "", hint: "", needed: false, of: "" }
    }

    /// What is in it.
    pub const fn value(self, value: &'a str) -> Self {
        Self { value, ..self }
    }

    /// An example beside it.
    pub const fn hint(self, hint: &'a str) -> Self {
        Self { hint, ..self }
    }

    /// It has to be filled in.
    pub const fn needed(self) -> Self {
        Self { needed: true, ..self }
    }

    /// It stands in one of several forms.
    pub const fn of(self, of: &'a str) -> Self {
        Self { of, ..self }
    }

    /// As it is drawn.
    pub fn drawn(&self) -> Markup {
        let id = format!("f-{}{}", self.of, self.name);
        let hint = format!("{id}-hint");
        html! {
            p.field {
                label for=(id) { (self.label) }
                input type="text" id=(id) name=(self.name) value=(self.value) autocomplete="off"
                    required[self.needed] aria-describedby=[(!self.hint.is_empty()).then_some(&hint)];
                @if !self.hint.is_empty() { span.hint id=(hint) { (self.hint) } }
            }
        }
    }
}

/// The reason for something, which has to be given. `of` tells the reasons on one
/// page apart.
pub fn reason(of: &str) -> Markup {
    Field::new("why", l::REASON).hint(l::REASON_HINT).needed().of(of).drawn()
}

/// One of several, each a large button: name, then value and label of each.
pub fn choice(name: &str, legend: &str, chosen: &str, choices: &[(&str, &str)]) -> Markup {
    html! {
        fieldset.choice {
            legend { (legend) }
            @for (value, label) in choices {
                label.pick {
                    input type="radio" name=(name) value=(value) required checked[*value == chosen];
                    span { (label) }
                }
            }
        }
    }
}

/// A field that narrows the list under it, while one types where scripts run.
pub fn narrowing(action: &str, begins: &str) -> Markup {
    html! {
        form.filter action=(action) method="get" {
            label for="begins" { (l::BEGINS) }
            div.row {
                input #begins type="search" name="begins" value=(begins) autocomplete="off"
                    spellcheck="false" data-live="results";
                button type="submit" { (l::FILTER) }
            }
        }
    }
}

/// The day on which something happened, where that was not today.
pub fn day() -> Markup {
    html! {
        p.field {
            label for="f-on" { (l::ON_DAY) }
            input type="date" id="f-on" name="on";
        }
    }
}

/// The token that shows that a form comes from a page of this host.
pub fn token(request: &Request) -> Markup {
    html! { input type="hidden" name="token" value=(request.person.token); }
}

/// The button that writes a form down.
pub fn save(label: &str) -> Markup {
    html! { p.thumb { button.main type="submit" { (label) } } }
}

/// Cautions that go with a work.
pub fn cautions(cautions: &[&str]) -> Markup {
    html! { ul.cautions { @for caution in cautions { li { (caution) } } } }
}
