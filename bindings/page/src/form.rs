//! A form: where it is sent, what was typed into it, and what is wrong with that.
//! One that was refused is drawn again with what was typed, and with the refusal
//! beside the field that it is about.

use std::cell::Cell;
use std::fmt::Display;

use hosewright_core::hose_picture;
use hosewright_core::view::form::{self as view, Choice, Field, Kind};
use maud::{Markup, PreEscaped, html};

use crate::fields::Fields;
use crate::labels as l;
use crate::parts::{class, photograph, sign};
use crate::refusal::Refusal;
use crate::request::Request;
use hosewright_core::words::sentence;

/// A form that was sent and refused.
pub struct Refused<'r> {
    /// The address that it was sent to.
    pub action: &'r str,
    /// What was typed.
    pub typed: &'r Fields,
    /// Why it was refused.
    pub refusal: &'r Refusal,
    filled: Cell<usize>,
    beside: Cell<bool>,
}

impl<'r> Refused<'r> {
    /// A form that was sent and refused.
    pub const fn new(action: &'r str, typed: &'r Fields, refusal: &'r Refusal) -> Self {
        Self { action, typed, refusal, filled: Cell::new(0), beside: Cell::new(false) }
    }

    /// Whether something that was typed is on the page again.
    pub const fn is_filled(&self) -> bool {
        self.filled.get() > 0
    }

    /// Whether the refusal is beside its field, which is where one goes on.
    pub const fn is_beside(&self) -> bool {
        self.beside.get()
    }
}

/// A form as it is drawn.
pub struct Form<'f> {
    action: String,
    token: &'f str,
    class: Option<&'static str>,
    files: bool,
    refused: Option<&'f Refused<'f>>,
}

impl<'f> Form<'f> {
    /// A form that is sent to an address; filled in again where it was refused.
    pub fn new(
        action: impl Into<String>,
        request: &'f Request,
        refused: Option<&'f Refused<'f>>,
    ) -> Self {
        let action = action.into();
        let refused = refused.filter(|refused| refused.action == action);
        Self { action, token: &request.person.token, class: None, files: false, refused }
    }

    /// The same with a class.
    #[must_use]
    pub const fn class(mut self, class: &'static str) -> Self {
        self.class = Some(class);
        self
    }

    /// The same with files.
    #[must_use]
    pub const fn with_files(mut self) -> Self {
        self.files = true;
        self
    }

    /// The form round its fields.
    pub fn drawn(&self, fields: Markup) -> Markup {
        html! {
            form class=[self.class] action=(self.action) method="post"
                enctype=[self.files.then_some("multipart/form-data")] {
                (token(self.token))
                (fields)
            }
        }
    }

    /// A form of the core's: what it says, its fields and its button, within the
    /// thumb's reach.
    pub fn shown(&self, form: &view::Form) -> Markup {
        let answers = html! {
            @if let Some((usual, others)) = form.answers.split_first() {
                p.thumb { (answer(usual, true)) }
                @if !others.is_empty() {
                    p.others { @for other in others { (answer(other, false)) " " } }
                }
            }
        };
        self.with(form, &if form.answers.is_empty() { save(&form.submit) } else { answers })
    }

    /// The same, one of several on a screen.
    pub fn on_card(&self, form: &view::Form) -> Markup {
        let button = html! {
            @if form.answers.is_empty() { p { button.main type="submit" { (form.submit) } } }
            @else {
                p.others {
                    @for (at, choice) in form.answers.iter().enumerate() { (answer(choice, at == 0)) }
                }
            }
        };
        self.with(form, &button)
    }

    fn with(&self, form: &view::Form, button: &Markup) -> Markup {
        self.drawn(html! {
            @for words in &form.lead { p { (words) } }
            @for group in &form.groups { (self.group(group, form.about.as_ref())) }
            @if !form.submit.is_empty() { (button) }
        })
    }

    fn group(&self, group: &view::Group, about: Option<&view::About>) -> Markup {
        let inside = html! {
            @if let Some((hose, checkpoint)) = &group.picture {
                figure.where { (PreEscaped(hose_picture::svg(hose, *checkpoint))) }
            }
            @for note in &group.notes { p.last { (note) } }
            @if let Some(about) = about {
                @for shown in &group.photographs { (photograph(about.code, shown.name, &shown.words)) }
            }
            @for field in &group.fields { (self.field(field)) }
            @if let Some(more) = &group.more {
                details open[more.groups.iter().flat_map(view::Group::all).any(|field| self.is_filled(field))] {
                    summary { (more.title) }
                    @for group in &more.groups { (self.group(group, about)) }
                }
            }
        };
        html! {
            @if group.title.is_empty() { (inside) }
            @else { fieldset.checkpoint { legend { (group.title) } (inside) } }
        }
    }

    /// Whether something is in a field.
    fn is_filled(&self, field: &Field) -> bool {
        match self.refused {
            Some(refused) => refused.typed.given(&field.name).is_some(),
            None => !field.values.is_empty(),
        }
    }

    /// A field, with what was typed into it.
    pub fn field(&self, field: &Field) -> Markup {
        let mut field = field.clone();
        let again = !matches!(field.kind, Kind::Fixed | Kind::Secret);
        if let Some(refused) = self.refused.filter(|_| again) {
            let optional = matches!(field.kind, Kind::Tick | Kind::Many(_) | Kind::Choice(_));
            if optional || refused.typed.has(&field.name) {
                field.values = refused.typed.all(&field.name);
            }
            if !field.values.is_empty() {
                self.noticed();
            }
        }
        let wrong = self.wrong(&field);
        drawn(&field, &self.id(&field), wrong.as_ref(), self.is_sent_again(&field))
    }

    /// A box to tick.
    pub fn tick(&self, name: &str, label: impl Display, ticked: bool) -> Markup {
        let ticked = if ticked { text("yes") } else { Vec::new() };
        self.field(&Field { values: ticked, ..Field::tick(name, label.to_string()) })
    }

    /// Whether one of several is chosen.
    pub fn is_chosen(&self, name: &str, value: &str, chosen: bool) -> bool {
        let Some(refused) = self.refused else { return chosen };
        let typed = refused.typed.pairs().iter();
        let chosen = typed.filter(|(known, _)| known == name).any(|(_, text)| text == value);
        if chosen {
            self.noticed();
        }
        chosen
    }

    /// Whether a file was sent in this field, and has to be chosen again.
    fn is_sent_again(&self, field: &Field) -> bool {
        let sent = |refused: &Refused<'_>| refused.typed.given(&field.name).is_some();
        field.kind == Kind::Photo && self.refused.is_some_and(sent)
    }

    /// The place of a field on the page, on which several forms may have its name.
    fn id(&self, field: &Field) -> String {
        if field.kind == Kind::Photo {
            return field.name.clone();
        }
        let of = self.action.rsplit('/').next().unwrap_or_default();
        format!("f-{of}-{}", field.name.replace([':', '|'], "-"))
    }

    fn noticed(&self) {
        if let Some(refused) = self.refused {
            refused.filled.set(refused.filled.get() + 1);
        }
    }

    /// What is wrong with a field. The refusal is said beside one field alone, and
    /// the core may know of more.
    fn wrong(&self, field: &Field) -> Option<Wrong> {
        let refused = self.refused?;
        let own = refused.refusal.field() == Some(&field.name) && !refused.beside.replace(true);
        let words = own.then(|| refused.refusal.to_string()).or_else(|| field.wrong.clone())?;
        let id = format!("refused-{}", field.name.replace([':', '|'], "-"));
        Some(Wrong { id, words: sentence(&words), first: own })
    }
}

/// What is wrong with a field, in a place of its own.
struct Wrong {
    id: String,
    words: String,
    /// Whether one goes on there.
    first: bool,
}

fn text(value: &str) -> Vec<String> {
    if value.is_empty() { Vec::new() } else { vec![value.to_owned()] }
}

/// A field as it is drawn if nothing is saved.
pub fn plain(field: &Field) -> Markup {
    let wrong = field.wrong.as_ref().map(|words| Wrong {
        id: format!("refused-{}", field.name),
        words: sentence(words),
        first: true,
    });
    drawn(field, &format!("f-{}", field.name), wrong.as_ref(), false)
}

/// The one drawing of a field.
fn drawn(field: &Field, id: &str, wrong: Option<&Wrong>, again: bool) -> Markup {
    match &field.kind {
        Kind::Fixed => html! { input type="hidden" name=(field.name) value=(field.text_value()); },
        Kind::Text | Kind::Tag | Kind::Barcode => line(field, id, wrong, "text", None),
        Kind::Prose => paragraph(field, id, wrong),
        // Whoever stands beside must not read it, and it is never filled in again.
        Kind::Secret => {
            line(&Field { values: Vec::new(), ..field.clone() }, id, wrong, "password", None)
        }
        // The box at the top of the page takes them.
        Kind::Scans => html! {},
        Kind::Date => line(field, id, wrong, "date", None),
        Kind::Number(most) => line(field, id, wrong, "number", Some(*most)),
        Kind::Tick => pick(
            &field.name,
            &Choice::new("yes", field.label.as_str()),
            !field.values.is_empty(),
            "checkbox",
            false,
        ),
        Kind::Choice(choices) => html! {
            fieldset.choice {
                @if !field.label.is_empty() { legend { (field.label) } }
                @for choice in choices {
                    (pick(&field.name, choice, field.is_chosen(choice), "radio", field.needed))
                }
                (beside(field, id, wrong))
            }
        },
        Kind::Many(choices) => {
            let inside = html! {
                @for choice in choices {
                    (pick(&field.name, choice, field.is_chosen(choice), "checkbox", false))
                }
                (beside(field, id, wrong))
            };
            html! {
                // What has no name of its own is asked by what stands over it.
                @if field.label.is_empty() { (inside) }
                @else { fieldset.choice { legend { (field.label) } (inside) } }
            }
        }
        Kind::Photo => html! {
            p.field {
                label for=(id) { (field.label) }
                input type="file" id=(id) name=(field.name) accept="image/jpeg,image/png"
                    capture="environment" aria-describedby={ (id) "-hint" };
                @if again { span.hint { (l::REFUSED_FILE) } }
                (beside(field, id, wrong))
            }
        },
    }
}

/// Something to choose or tick.
fn pick(name: &str, choice: &Choice, chosen: bool, kind: &str, required: bool) -> Markup {
    let verdict = choice.verdict;
    let look =
        verdict.map_or("pick".to_owned(), |verdict| format!("pick finding {}", class(verdict)));
    html! {
        label class=(look) {
            input type=(kind) name=(name) value=(choice.value) required[required] checked[chosen];
            @if let Some(verdict) = verdict { (sign(verdict)) }
            span { (choice.label) @if let Some(verdict) = verdict { span.spoken { ", " (verdict) } } }
        }
    }
}

/// A field of one line.
fn line(field: &Field, id: &str, wrong: Option<&Wrong>, kind: &str, most: Option<u32>) -> Markup {
    let hint = field.hint.as_ref().map(|_| format!("{id}-hint"));
    let about: Vec<String> = wrong.map(|wrong| wrong.id.clone()).into_iter().chain(hint).collect();
    html! {
        p.field {
            label for=(id) { (field.label) }
            input type=(kind) id=(id) name=(field.name) value=(field.text_value())
                autocomplete="off" min=[most.map(|_| 0)] max=[most]
                inputmode=[most.map(|_| "numeric")] required[field.needed]
                aria-describedby=[(!about.is_empty()).then(|| about.join(" "))]
                aria-invalid=[wrong.map(|_| "true")] autofocus[wrong.map_or(field.goes_on, |wrong| wrong.first)];
            (beside(field, id, wrong))
        }
    }
}

/// A field for a text as long as a paragraph.
fn paragraph(field: &Field, id: &str, wrong: Option<&Wrong>) -> Markup {
    let hint = field.hint.as_ref().map(|_| format!("{id}-hint"));
    let about: Vec<String> = wrong.map(|wrong| wrong.id.clone()).into_iter().chain(hint).collect();
    html! {
        p.field {
            label for=(id) { (field.label) }
            textarea id=(id) name=(field.name) rows="2" required[field.needed]
                aria-describedby=[(!about.is_empty()).then(|| about.join(" "))]
                aria-invalid=[wrong.map(|_| "true")] autofocus[wrong.map_or(field.goes_on, |wrong| wrong.first)] {
                (field.text_value())
            }
            (beside(field, id, wrong))
        }
    }
}

/// What is wrong with a field, and how it is written.
fn beside(field: &Field, id: &str, wrong: Option<&Wrong>) -> Markup {
    html! {
        @if let Some(wrong) = wrong { span.wrong id=(wrong.id) { (wrong.words) } }
        @if let Some(hint) = &field.hint { span.hint id={ (id) "-hint" } { (hint) } }
    }
}

/// One of the buttons with which a form can be submitted.
fn answer(Choice { value, label, .. }: &Choice, main: bool) -> Markup {
    html! { button.main[main] type="submit" name=(view::ANSWER) value=(value) { (label) } }
}

/// The token that shows that a form comes from a page of this host.
pub fn token(token: &str) -> Markup {
    html! { input type="hidden" name="token" value=(token); }
}

/// The button that saves a form.
pub fn save(label: &str) -> Markup {
    html! { p.thumb { button.main type="submit" { (label) } } }
}

#[cfg(test)]
mod tests;
