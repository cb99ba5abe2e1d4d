//! The form of a hand-out as a phone draws it.

use hosewright_core::rental::{HandOutCheck, Slip, StopKind, told_hirer};
use hosewright_core::set_view::Checked;
use hosewright_core::view::form::{Choice, Field, Form, Kind, rental};
use hosewright_core::words::{self, inspection as say, labels};

use super::saved::FormSaved;
use super::shown::{FoldShown, FormShown, GroupShown, Line, lists, shown_of};
use crate::Words;

/// The field of a hand-out with what was scanned and is not of the set.
pub(super) const FOREIGN: &str = "foreign";

/// The form of a hand-out, with what was scanned so far.
pub(super) fn hand_out(check: &HandOutCheck, form: &Form) -> FormShown {
    let title = format!("{}: {}", say::HAND_OUT, labels::set(&check.set));
    let scanned = check.found.len() + check.foreign.len();
    let foreign = check.foreign.iter().map(|foreign| {
        let code = foreign.hose.as_ref().map(|hose| hose.code.to_string());
        let code = code.unwrap_or_else(|| foreign.scanned.clone());
        Choice::new(&foreign.scanned, format!("{code}: {}", foreign.words))
    });
    let foreign: Vec<Choice> = foreign.collect();
    let counted = foreign.iter().map(|choice| choice.value.clone()).collect();
    let kind = Kind::Many(foreign);
    let foreign = Field { values: counted, ..Field::new(FOREIGN, labels::FOREIGN, kind) };
    let foreign = foreign.hint(say::UNTICK_SCANNED);
    let scan = Field::new(rental::SCANNED, say::SCAN_SET, Kind::Scans);
    let mut fields = vec![scan];
    fields.extend((!check.foreign.is_empty()).then_some(foreign));
    // Whose phone it is overrides what stops it.
    let said = shown_of(form.fields().filter(|field| field.name != rental::NAME));
    let over = !check.ready && !said.is_empty() && scanned > 0;
    let fold = over.then(|| FoldShown { title: form.title.as_str().into(), fields: said.clone() });
    let mut group = GroupShown { fold, ..GroupShown::untitled(shown_of(&fields)) };
    if check.ready {
        group.fields.extend(said);
    }
    // Before anything is scanned, it is known that everything is missing.
    let stops = check.stops.iter().filter(|stop| scanned > 0 && stop.kind != StopKind::Missing);
    let lead = form.lead.iter().filter(|_| scanned > 0).cloned();
    FormShown {
        title: title.into(),
        lead: Words::all([check.stands()].into_iter().chain(told(&check.watch)).chain(lead)),
        groups: vec![group],
        lines: stops.map(|stop| Line::of(&stop.words, &stop.todo)).collect(),
        lists: lists([(labels::MISSING, &check.missing), (labels::FOUND, &check.found)]),
        submit: if check.ready || over { form.submit.as_str().into() } else { Words::default() },
        ..FormShown::of(form)
    }
}

/// A set went out.
pub(super) fn handed_out(slip: &Slip) -> FormSaved {
    let notes = told(&slip.hoses).chain(slip.cautions.iter().map(ToString::to_string));
    FormSaved { notes: Words::all(notes), ..FormSaved::said(slip.words.as_str()) }
}

/// What the hirer is told of some hoses.
fn told(hoses: &[Checked]) -> impl Iterator<Item = String> {
    told_hirer(hoses).into_iter().map(|told| format!("{}: {told}", words::rental::TELL))
}
