//! Looking a hose over: the core's form, and last time's findings beside it.

use hosewright_core::Found;
use hosewright_core::answer::{Answer, LastLook};
use hosewright_core::hose::{Label, Specification};
use hosewright_core::inspection::{
    self, Checkpoint, InspectionKind, Known, LEAK_TEST_LEAD, LeakTest, Look, TestMethod,
};
use maud::{Markup, html};

use super::looking;
use crate::fields::Fields;
use crate::form::{Field, Form, save};
use crate::frame::Screen;
use crate::labels as l;
use crate::parts::sign;
use crate::refusal::Refusal;
use crate::response::Shown;
use crate::state::State;

const fn title(kind: InspectionKind) -> &'static str {
    match kind {
        InspectionKind::Full => l::FULL,
        InspectionKind::Quick => l::QUICK,
        InspectionKind::LeakTest => l::LEAK,
    }
}

/// The form for a kind of inspection.
pub fn form(state: &State<'_>) -> Shown {
    let kind = state.request.query.parsed("kind")?.unwrap_or(InspectionKind::Quick);
    let (hose, answer, known) = state.read(|logbook, moment| {
        let found = logbook.find_typed(state.parameter("code"))?;
        let answer = logbook.answer_found(Found { tag: None, ..found }, moment)?;
        let known = match kind {
            InspectionKind::Full => logbook.wants_answers(found.hose, None, moment)?,
            _ => Vec::new(),
        };
        Ok((logbook.specification(found.hose)?, answer, known))
    })?;
    let body = html! {
        (head(&answer, title(kind)))
        @let form = state.form(format!("/hose/{}/inspect", answer.code)).class("looking").with_files();
        (form.drawn(html! {
            input type="hidden" name="kind" value=(kind);
            @match kind {
                InspectionKind::Full => p { (l::FULL_LEAD) },
                InspectionKind::Quick => p { (l::QUICK_LEAD) },
                InspectionKind::LeakTest => {
                    p { (LEAK_TEST_LEAD) }
                    (form.choice("result", l::RESULT, "", &[("passed", l::PASSED), ("failed", l::FAILED)]))
                    (form.field(&Field::new("pressure", l::PRESSURE).hint(l::PRESSURE_HINT)))
                    (method(&form))
                }
            }
            (looking::answering(&form, &hose, kind, last(&answer).map(|last| (answer.code, last)), "", &known))
            (looking::why_gone(&form, &known, ""))
            (form.field(&Field::new("note", l::NOTE).hint(l::NOTE_HINT)))
            (form.day())
            (save(l::SAVE))
        }))
        p { a.button href={ "/hose/" (answer.code) } { (l::CANCEL) } }
    };
    Ok(Screen::new(format!("{} · {}", title(kind), answer.code), body).shown(state))
}

/// How a leak test was done, where somebody says so.
pub fn method(form: &Form<'_>) -> Markup {
    html! {
        fieldset.choice {
            legend { (l::METHOD) }
            @for method in TestMethod::ALL {
                @let value = method.to_string();
                label.pick {
                    input type="radio" name="method" value=(value)
                        checked[form.is_chosen("method", &value, false)];
                    span { (method.in_words()) }
                }
            }
        }
    }
}

/// Which hose a form is about, and how it stands.
pub fn head(answer: &Answer, title: &str) -> Markup {
    html! {
        h1 { (title) }
        p.about {
            (sign(answer.verdict)) " " a.code href={ "/hose/" (answer.code) } { (answer.code) } " "
            b { (answer.verdict) } " " (answer.hose.words)
        }
    }
}

/// The last time that somebody looked the whole hose over.
fn last(answer: &Answer) -> Option<&LastLook> {
    let looks = answer.inspections.iter().filter(|look| look.kind != InspectionKind::LeakTest);
    looks.max_by_key(|look| (look.on, look.kind == InspectionKind::Full))
}

/// Writes an inspection down.
pub fn write(state: &State<'_>) -> Shown {
    let fields = &state.request.form;
    let photographs = looking::photos(state)?;
    let on = fields.on()?;
    state.save_hose(|logbook, hose, moment| {
        let known = logbook.wants_answers(hose, on, moment)?;
        let look = look(fields, &logbook.specification(hose)?, "", known)?;
        Ok(logbook.inspect_with(hose, look, photographs, on, moment)?)
    })
}

/// What was found; `of` stands before the names of the findings.
pub fn look(
    fields: &Fields,
    hose: &Specification,
    of: &str,
    known: Vec<Known>,
) -> Result<Look, Refusal> {
    let kind: InspectionKind = fields.needed("kind", "the kind of inspection")?;
    let mut form = inspection::Form::new(kind, hose).with_known(known.clone());
    for checkpoint in Checkpoint::of(hose) {
        if fields.ticked(&looking::clear(checkpoint)) {
            form.clear(checkpoint);
        }
    }
    let found = looking::seen(fields, of)?;
    for seen in &found {
        form.found(*seen)?;
    }
    if kind == InspectionKind::Full {
        looking::answer(&mut form, &known, &found, (fields, of))?;
    }
    let (pressure, method) = (fields.parsed("pressure")?, fields.parsed("method")?);
    match fields.get("result") {
        "passed" => form.tested(LeakTest::new(true, pressure).done(method)),
        "failed" => form.tested(LeakTest::new(false, pressure).done(method)),
        _ => {}
    }
    let note: Option<Label> = fields.label("note", "a note")?;
    if let Some(note) = note {
        form.note(note);
    }
    Ok(form.finish()?)
}
