//! What people see in their units, and that nothing that is written depends on them.

use rand_chacha::ChaCha20Rng;
use rand_core::SeedableRng;

use super::{Found, Logbook, Page};
use crate::event::Registration;
use crate::hose::{Construction, Origin, Service};
use crate::index::{Filter, Sort};
use crate::inspection::{Form, InspectionKind};
use crate::journal::Moment;
use crate::measure::Units;
use crate::story::{code, day, hose, keys, label};
use crate::view::list::HoseLine;

fn good<T, E: std::fmt::Display>(result: Result<T, E>) -> T {
    result.unwrap_or_else(|e| unreachable!("{e}"))
}

fn now() -> Moment {
    let today = day("2026-06-15");
    Moment { today, time: today.and_time(chrono::NaiveTime::MIN).and_utc(), by: label("Tern") }
}

/// A record with a hose of 75 cm that was looked over, all written in these units.
fn book(folder: &std::path::Path, units: Units) -> Logbook {
    let random = Box::new(ChaCha20Rng::seed_from_u64(7));
    let mut book = good(Logbook::open(&folder.join("record"), random, keys(folder)));
    book.set_units(units);
    let specification = hose(Service::SecondStage, Construction::Rubber);
    let new = Registration {
        specification: specification.clone(),
        origin: Origin::default(),
        tag: Some(code(1)),
    };
    good(book.register(new, None, &now()));
    let mut form = Form::new(InspectionKind::Full, &specification);
    form.clear_rest();
    good(book.inspect(code(1), good(form.finish()), None, &now()));
    book
}

fn exported(book: &Logbook) -> String {
    let mut out = Vec::new();
    good(book.export(&mut out, |_, _| ()));
    String::from_utf8_lossy(&out).into_owned()
}

#[test]
fn answers_and_lists_are_in_the_units_that_were_chosen_with_what_was_written() {
    let folder = good(tempfile::tempdir());
    let book = book(folder.path(), Units::Us);
    let found = || Found { hose: code(1), tag: None };
    let answer = good(book.answer_found(found(), &now()));
    assert!(answer.hose.words.contains("29.5 in (75 cm as written)"), "{}", answer.hose.words);
    let json = good(serde_json::to_string(&answer.hose.specification));
    assert!(json.contains("\"75 cm\""), "{json}");
    let alone = good(book.answer_alone(found(), &now()));
    assert!(alone.hose.words.contains("29.5 in"), "{}", alone.hose.words);
    let page = Page { from: 0, most: 10 };
    let list = good(book.list(&Filter::default(), Sort::Number, &page, &now()));
    let lines: Vec<String> = list.rows.iter().map(|row| HoseLine::of(row).what).collect();
    assert_eq!(lines, ["second-stage, 29.5 in (75 cm as written)"]);
}

#[test]
fn nothing_that_is_written_depends_on_them() {
    for units in Units::ALL {
        let folder = good(tempfile::tempdir());
        let book = book(folder.path(), units);
        let lines = exported(&book);
        assert!(lines.contains("\"75 cm\""), "{units}: {lines}");
        assert!(!lines.contains("as written"), "{units}: {lines}");
        // What is edited begins as it was written.
        let record = good(book.record(code(1)));
        let length = record.specification.map(|hose| hose.length().to_string());
        assert_eq!(length.as_deref(), Some("75 cm"), "{units}");
    }
}
