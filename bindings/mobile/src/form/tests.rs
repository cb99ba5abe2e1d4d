//! Forms as a phone fills them in: tap by tap, through stops and starts.

#![allow(clippy::unwrap_used, reason = "a test")]

use hosewright_core::view::form::hose;

use super::*;
use crate::{Goes, Place, Verdict};

const NEW: FormOf = FormOf::Register { tag: None };

fn moment() -> Moment {
    Moment { today: "2026-06-15".into(), by: "phone".into() }
}

fn book(folder: &tempfile::TempDir) -> std::sync::Arc<Logbook> {
    let path = |name: &str| folder.path().join(name).to_string_lossy().into_owned();
    Logbook::open(Place { store: path("record"), keys: path("keys") }).unwrap()
}

fn touch(book: &Logbook, of: &FormOf, taps: &[(&str, &str)]) {
    for (field, value) in taps {
        book.touch_form(of.clone(), (*field).into(), (*value).into(), moment()).unwrap();
    }
}

fn registered(book: &Logbook, taps: &[(&str, &str)]) -> String {
    touch(book, &NEW, taps);
    book.submit_form(NEW, None, moment()).unwrap().answer.unwrap().code
}

const GAUGE: [(&str, &str); 3] =
    [("service", "gauge"), ("construction", "rubber"), ("length", "80 cm")];

/// A phone may stop between the entry and the forgetting of its draft: the same
/// form is then recorded no second time.
#[test]
fn a_hose_is_registered_once_however_the_phone_stops() {
    let folder = tempfile::tempdir().unwrap();
    let book = book(&folder);
    let first = registered(&book, &GAUGE);
    let mut draft = Draft { filled: hose::empty(), registering: first.parse().ok() };
    for (field, value) in GAUGE {
        draft.filled.set(field, value);
    }
    book.drafts.keep(&name(Task::Of(Action::Register { tag: None })), &Some(&draft)).unwrap();
    let again = book.submit_form(NEW, None, moment()).unwrap().answer.unwrap().code;
    assert_eq!(again, first);
    assert_eq!(book.core().hose_page(None, None, 9).unwrap().len(), 1);
    // And the next form is a new one.
    assert!(book.form(NEW, moment()).unwrap().problem.is_some());
}

/// Damage on record is answered for, and a coupling is put right as a seal is.
#[test]
fn open_damage_is_answered_for_on_a_phone() {
    let folder = tempfile::tempdir().unwrap();
    let book = book(&folder);
    let code = registered(
        &book,
        &[
            ("service", "inflator"),
            ("construction", "rubber"),
            ("length", "60 cm"),
            ("made", "2025-06"),
        ],
    );
    let of = |form: &str| FormOf::Hose { hose: code.clone(), form: form.to_owned() };
    let (full, quick) = (of("full-inspection"), of("quick-look"));
    let submit = |of: &FormOf| {
        book.submit_form(of.clone(), None, moment()).map(|saved| saved.answer.unwrap())
    };
    let all: Vec<String> =
        ["run", "end-a", "end-b", "seal-a", "seal-b"].map(|at| format!("clear-{at}")).into();
    let clear: Vec<(&str, &str)> = all.iter().map(|at| (at.as_str(), "")).collect();
    touch(&book, &full, &clear);
    submit(&full).unwrap();
    touch(&book, &quick, &[("finding", "run:cut:cover")]);
    assert_eq!(submit(&quick).unwrap().verdict, Verdict::Watch);
    let form = book.form(full.clone(), moment()).unwrap();
    let fields: Vec<&FieldShown> = form.groups.iter().flat_map(|group| &group.fields).collect();
    let open = fields.iter().find(|field| field.name == "open:run:cut").unwrap();
    assert!(open.label.contains("How is it now?"));
    assert!(open.choices.iter().any(|choice| choice.value == "gone"));
    touch(&book, &full, &clear);
    assert!(submit(&full).is_err());
    touch(&book, &full, &[("open:run:cut", "gone")]);
    assert!(submit(&full).is_err(), "why?");
    touch(&book, &full, &[("gone-why", "it was tape")]);
    assert_eq!(submit(&full).unwrap().verdict, Verdict::Ready);
    touch(&book, &quick, &[("finding", "end-b:coupling-sticks")]);
    let held = submit(&quick).unwrap();
    let of = of("coupling");
    assert_eq!(held.next.goes, Goes::Form { of: of.clone() });
    assert_eq!(submit(&of).unwrap().verdict, Verdict::Hold, "until it is tested");
}

/// A tap chooses or takes back, and a checkpoint is clear or has findings.
#[test]
fn the_last_tap_is_true() {
    let folder = tempfile::tempdir().unwrap();
    let book = book(&folder);
    let hose = registered(&book, &GAUGE);
    let of = FormOf::Hose { hose, form: "full-inspection".to_owned() };
    let chosen = || {
        let form = book.form(of.clone(), moment()).unwrap();
        let run = form.groups.into_iter().find(|group| group.title.contains("both hands")).unwrap();
        let value =
            |name: &str| run.fields.iter().find(|field| field.name == name).cloned().unwrap();
        let found = value("finding").choices.into_iter().filter(|choice| choice.chosen);
        (value("clear-run").value, found.map(|choice| choice.value).collect::<Vec<_>>())
    };
    let found = |texts: &[&str]| texts.iter().map(ToString::to_string).collect::<Vec<_>>();
    for (field, value, clear, seen) in [
        ("clear-run", "", "yes", &[][..]),
        ("finding", "run:scuff", "", &["run:scuff"]),
        ("finding", "run:cut:cover", "", &["run:scuff", "run:cut:cover"]),
        ("finding", "run:scuff", "", &["run:cut:cover"]),
        ("clear-run", "", "yes", &[]),
        ("clear-run", "", "", &[]),
    ] {
        touch(&book, &of, &[(field, value)]);
        let (is_clear, mut is_seen) = chosen();
        is_seen.sort_by_key(|text| seen.iter().position(|wanted| wanted == text));
        assert_eq!((is_clear.as_str(), is_seen), (clear, found(seen)), "{field} {value}");
    }
    let odd = book.touch_form(of, "finding".into(), "run:weep".into(), moment());
    assert!(matches!(odd, Err(RefusedError::Field { .. })), "{odd:?}");
}
