//! The demonstration: it makes the same every time, and its fleet shows
//! everything that an answer can say.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;
use std::process::Command;

use hosewright_core::Logbook;
use hosewright_core::device::FolderKeyring;
use hosewright_core::hose::Label;
use hosewright_core::journal::Moment;
use hosewright_tests::desk;
use rand_chacha::ChaCha20Rng;
use rand_chacha::rand_core::SeedableRng;
use serde_json::Value;
use tempfile::tempdir;

fn run(dir: &Path, more: &[&str]) -> desk::Said {
    let mut command = Command::new(desk::binary());
    command.arg("demo").arg(dir).args(more).env("HOSEWRIGHT_KEYS", dir.with_extension("keys"));
    desk::said(command.output())
}

fn made(dir: &Path) -> Value {
    let said = run(dir, &["--json"]);
    assert_eq!(said.code, 0, "{}", said.err);
    serde_json::from_str(&said.out).unwrap()
}

fn open(dir: &Path) -> Logbook {
    let random = ChaCha20Rng::seed_from_u64(99);
    let keys = FolderKeyring::new(dir.with_extension("keys"));
    Logbook::open(&dir.join("fleet.hosewright"), Box::new(random), Box::new(keys)).unwrap()
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
    let (one, two) = (around.path().join("one"), around.path().join("another"));
    let made_one = made(&one);
    about_forty_hoses_and_every_verdict(&made_one);
    every_reason_of_a_single_device(&one);
    the_record_is_sound(&one);
    let told = run(&two, &[]);
    assert_eq!(told.code, 0, "{}", told.err);
    same_files(&one, &two);
    what_it_prints_next_works(&told.out);
    assert_eq!(an_earlier_one_is_remade(&two, &one), made_one);
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

fn about_forty_hoses_and_every_verdict(made: &Value) {
    let verdicts = made["verdicts"].as_object().unwrap();
    let counts: Vec<u64> = verdicts.values().filter_map(Value::as_u64).collect();
    let hoses: u64 = counts.iter().sum();
    assert!((38..=46).contains(&hoses), "{hoses} hoses");
    assert_eq!(counts.len(), 4);
    assert!(counts.iter().all(|count| *count > 1), "{verdicts:?}");
    assert_eq!(made["answer"]["verdict"], "watch");
    let reasons = made["answer"]["reasons"].as_array().unwrap();
    assert!(reasons.iter().any(|reason| reason["code"] == "finding-strands"), "{reasons:?}");
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

/// Every command that it prints is run as it is printed, in the same order.
fn what_it_prints_next_works(told: &str) {
    // The answer names its next command too, further in.
    let further_in = " ".repeat(8);
    let lines: Vec<&str> = told
        .lines()
        .filter(|line| !line.starts_with(&further_in))
        .filter_map(|line| line.trim().strip_prefix("hosewright "))
        .collect();
    assert_eq!(lines.len(), 9, "{told}");
    let codes: Vec<i32> = lines
        .iter()
        .map(|line| {
            let words = line.split_whitespace().map(|word| word.trim_matches('"'));
            let said = desk::said(Command::new(desk::binary()).args(words).output());
            said.code
        })
        .collect();
    // The replaced tag and the missing seal are held (1), until it is put right;
    // the list is refused whole (2), and then taken in part.
    assert_eq!(codes, [0, 1, 0, 0, 1, 0, 0, 2, 0], "{told}");
}

/// What was tried out in an earlier demonstration is gone with it; a file of
/// the person's own stays.
fn an_earlier_one_is_remade(tried: &Path, fresh: &Path) -> Value {
    fs::write(tried.join("mine.txt"), "mine").unwrap();
    let made = made(tried);
    same_files(tried, fresh);
    assert_eq!(fs::read_to_string(tried.join("mine.txt")).unwrap(), "mine");
    made
}

#[test]
fn a_folder_of_something_else_is_left_alone() {
    let dir = tempdir().unwrap();
    fs::write(dir.path().join("fleet.hosewright"), "mine").unwrap();
    let refused = run(dir.path(), &[]);
    assert_eq!(refused.code, 2);
    assert!(refused.err.contains("not an earlier demonstration"), "{}", refused.err);
    assert_eq!(fs::read_dir(dir.path()).unwrap().count(), 1);
    assert_eq!(fs::read_to_string(dir.path().join("fleet.hosewright")).unwrap(), "mine");
}
