//! The demonstration: it makes the same every time, and its fleet shows
//! everything that an answer can say.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

#[path = "../../bindings/desk/src/demo/mod.rs"]
mod demo;

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use demo::{DemoError, Made};
use hosewright_core::Logbook;
use hosewright_core::hose::Label;
use hosewright_core::inspection::Verdict;
use hosewright_core::journal::Moment;
use hosewright_core::spreadsheet::read_sheet;
use rand_chacha::ChaCha20Rng;
use rand_chacha::rand_core::SeedableRng;
use tempfile::tempdir;

fn run(dir: &Path) -> (Made, String) {
    let mut told = Vec::new();
    let made = demo::run(dir, |answer| answer.verdict.to_string(), &mut told).unwrap();
    (made, String::from_utf8(told).unwrap())
}

fn open(dir: &Path) -> Logbook {
    let random = ChaCha20Rng::seed_from_u64(99);
    Logbook::open(&dir.join("fleet.hosewright"), Box::new(random)).unwrap()
}

fn moment() -> Moment {
    let today = "2026-06-15".parse().unwrap();
    let time = "2026-06-15T18:30:00Z".parse().unwrap();
    Moment { today, time, by: Label::new("a name", "tester").unwrap() }
}

/// One demonstration for all that is asked of it, since each takes seconds.
#[test]
fn it_makes_a_fleet_that_shows_every_verdict_and_the_same_one_again() {
    let around = tempdir().unwrap();
    let (one, two) = (around.path().join(demo::FOLDER), around.path().join("another"));
    let (made, told) = run(&one);
    let (again, _) = run(&two);
    assert_eq!(made, again);
    same_files(&one, &two);
    about_forty_hoses_and_every_verdict(&made);
    every_reason_of_a_single_device(&one);
    the_record_is_sound(&one);
    what_is_printed_next_is_possible(&one, &told);
    an_earlier_one_is_remade(&one, &two);
}

fn same_files(one: &Path, two: &Path) {
    let export = |dir: &Path| {
        let mut lines = Vec::new();
        open(dir).export(&mut lines, |_, _| ()).unwrap();
        lines
    };
    assert!(export(one) == export(two), "the exports differ");
    for name in ["tags.pdf", "photo.png", "old-list.csv"] {
        let read = |dir: &Path| fs::read(dir.join(name)).unwrap();
        assert!(read(one) == read(two), "{name} differs");
    }
}

fn about_forty_hoses_and_every_verdict(made: &Made) {
    let hoses: usize = made.verdicts.iter().map(|(_, count)| count).sum();
    assert!((38..=46).contains(&hoses), "{hoses} hoses");
    let verdicts: Vec<Verdict> = made.verdicts.iter().map(|(verdict, _)| *verdict).collect();
    assert_eq!(verdicts, Verdict::ALL);
    assert!(made.verdicts.iter().all(|(_, count)| *count > 1), "{:?}", made.verdicts);
    assert_eq!(made.answer.verdict, Verdict::Watch);
    let grown = made.answer.reasons.iter().any(|reason| reason.code == "finding-strands");
    assert!(grown, "{:?}", made.answer.reasons);
}

/// Every reason that one device with an honest clock can give stands somewhere
/// in the fleet; that of a tag without a record needs another store.
fn every_reason_of_a_single_device(dir: &Path) {
    let logbook = open(dir);
    let mut seen = BTreeSet::new();
    for hose in logbook.hoses().unwrap() {
        let answer = logbook.answer(&hose.to_string(), &moment()).unwrap();
        seen.extend(answer.reasons.into_iter().map(|reason| reason.code));
    }
    let expected = [
        "age-over",
        "age-near",
        "age-unknown",
        "stored-long",
        "dives-near",
        "inspection-never",
        "inspection-over",
        "inspection-near",
        "leak-test-due",
        "recalled",
        "retired",
        "tag-old",
        "finding-strands",
        "finding-cut",
        "finding-seal-missing",
        "finding-verdigris",
    ];
    let missing: Vec<_> = expected.iter().filter(|code| !seen.contains(**code)).collect();
    assert!(missing.is_empty(), "missing {missing:?} of {seen:?}");
}

fn the_record_is_sound(dir: &Path) {
    let report = open(dir).check(|_, _| ()).unwrap();
    assert!(report.sound(), "{:?}", report.problems);
    assert_eq!((report.sets, report.devices, report.unread), (10, 1, 0));
    assert!(report.entries > 500, "{} entries", report.entries);
}

/// The commands that it prints, as far as the core carries them out.
fn what_is_printed_next_is_possible(dir: &Path, told: &str) {
    let mut logbook = open(dir);
    let is_code = |word: &&str| word.len() == 16 && word.matches('-').count() == 3;
    let codes: BTreeSet<&str> = told
        .lines()
        .filter(|line| line.contains("hosewright --store"))
        .filter_map(|line| line.split_whitespace().find(is_code))
        .collect();
    assert_eq!(codes.len(), 2, "{told}");
    for code in codes {
        assert_eq!(logbook.answer(code, &moment()).unwrap().verdict, Verdict::Hold, "{code}");
    }
    let list = fs::read(dir.join("old-list.csv")).unwrap();
    let sheet = read_sheet(&list, moment().today).unwrap();
    let whole = logbook.import_sheet(&sheet, false, &moment()).unwrap();
    assert_eq!((whole.taken.len(), whole.refused.len(), whole.repeated.len()), (0, 1, 1));
    let partial = logbook.import_sheet(&sheet, true, &moment()).unwrap();
    assert_eq!(partial.taken.len(), 6);
}

/// What was tried out in an earlier demonstration is gone with it; a file of
/// the person's own stays.
fn an_earlier_one_is_remade(tried: &Path, fresh: &Path) {
    fs::write(tried.join("mine.txt"), "mine").unwrap();
    run(tried);
    same_files(tried, fresh);
    assert_eq!(fs::read_to_string(tried.join("mine.txt")).unwrap(), "mine");
}

#[test]
fn a_folder_of_something_else_is_left_alone() {
    let dir = tempdir().unwrap();
    fs::write(dir.path().join("fleet.hosewright"), "mine").unwrap();
    let refused = demo::run(dir.path(), |_| String::new(), &mut Vec::new());
    assert!(matches!(refused, Err(DemoError::Occupied(_))), "{refused:?}");
    assert_eq!(fs::read_dir(dir.path()).unwrap().count(), 1);
    assert_eq!(fs::read_to_string(dir.path().join("fleet.hosewright")).unwrap(), "mine");
}
