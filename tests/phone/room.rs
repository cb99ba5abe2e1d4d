//! A phone that is full, on a disk that is: what finds no room is said with its
//! way on, nothing is lost, and with room it goes on.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex};

use hosewright_core::journal::Stop;
use hosewright_mobile::{
    FormOf, Logbook, Moment, Obstacle, Place, ProgressListener, RefusedError, WayOn, obstacle_shown,
};
use hosewright_tests::desk::{Desk, TODAY};
use hosewright_tests::disk::{SmallDisk, may_mount};

fn moment() -> Moment {
    Moment { today: TODAY.to_owned(), by: "phone".to_owned() }
}

const HOSE: [(&str, &str); 3] =
    [("service", "second-stage"), ("construction", "braided"), ("length", "22 in")];

fn new_hose() -> FormOf {
    FormOf::Register { tag: None }
}

fn touch(book: &Logbook, of: &FormOf, field: &str, value: &str) -> Result<(), RefusedError> {
    book.touch_form(of.clone(), field.into(), value.into(), moment()).map(drop)
}

fn describe(book: &Logbook) {
    for (field, value) in HOSE {
        touch(book, &new_hose(), field, value).unwrap();
    }
}

/// The obstacle is the phone's storage, in the core's words, and its first way
/// on makes room.
fn full<T: std::fmt::Debug>(asked: Result<T, RefusedError>) {
    let Err(RefusedError::Store { obstacle: Obstacle::StorageFull, words, .. }) = asked else {
        panic!("{asked:?}");
    };
    let shown = obstacle_shown(Obstacle::StorageFull);
    assert_eq!(words.to_string(), format!("{} {}", shown.words, shown.todo));
    assert_eq!(shown.ways_on[0].way, WayOn::StorageSettings);
}

/// What was told, as it came.
#[derive(Default)]
struct Heard(Mutex<Vec<(u64, u64)>>);

impl ProgressListener for Heard {
    fn told(&self, done: u64, all: u64, _: String) {
        self.0.lock().unwrap().push((done, all));
    }
}

/// A bundle of another device, larger than the room that is left.
fn bundle(other: &Desk, hose: &str) -> String {
    let lines: String = (1..=3_000)
        .map(|seq| {
            format!(
                "{{\"at\":[1780000000000,{seq}],\"body\":{{\"hose\":\"{hose}\"}},\"by\":\"x\",\
                 \"device\":\"000102030405060708090a0b0c0d0e0f\",\"kind\":\"cleaned\",\
                 \"on\":\"2026-06-14\",\"seq\":{seq},\"v\":1}}\n"
            )
        })
        .collect();
    fs::write(other.path("lines.jsonl"), lines).unwrap();
    other.done("import lines.jsonl");
    other.done("bundle --out other.hwbundle");
    other.path("other.hwbundle").to_string_lossy().into_owned()
}

fn names(folder: &Path) -> Vec<String> {
    let files = fs::read_dir(folder).unwrap().flatten();
    let mut names: Vec<String> =
        files.map(|file| file.file_name().to_string_lossy().into_owned()).collect();
    names.sort_unstable();
    names
}

#[test]
fn a_full_phone_says_so_and_loses_nothing() {
    if !may_mount(module_path!(), "a_full_phone_says_so_and_loses_nothing") {
        return;
    }
    let desk = Desk::new();
    let disk = SmallDisk::new(desk.path("disk"), 16);
    let path = |name: &str| disk.place().join(name).to_string_lossy().into_owned();
    let place = || Place { store: path("record"), keys: path("keys") };
    let book = Logbook::open(place()).unwrap();

    // A new hose: what was filled in stays, and it is registered once.
    describe(&book);
    disk.fill(0);
    full(touch(&book, &new_hose(), "maker", "Kelpline"));
    full(book.submit_form(new_hose(), None, moment()));
    assert!(book.form(new_hose(), moment()).unwrap().problem.is_none());
    disk.make_room();
    let hose = book.submit_form(new_hose(), None, moment()).unwrap().answer.unwrap().code;
    assert_eq!(book.history(hose.clone()).unwrap().len(), 1);

    // An inspection: the draft is kept as it was, and filed with room.
    let look = FormOf::Hose { hose: hose.clone(), form: "full-inspection".to_owned() };
    for place in ["run", "end-a", "end-b", "seal-a", "seal-b"] {
        touch(&book, &look, &format!("clear-{place}"), "").unwrap();
    }
    let note = "n".repeat(80);
    touch(&book, &look, "note", &note).unwrap();
    disk.fill(0);
    full(touch(&book, &look, "note", "another"));
    full(book.submit_form(look.clone(), None, moment()));
    let form = book.form(look.clone(), moment()).unwrap();
    let kept =
        form.groups.iter().flat_map(|group| &group.fields).find(|field| field.name == "note");
    assert!(form.problem.is_none() && kept.unwrap().value == note);
    // A full phone still answers.
    assert_eq!(book.answer(hose.clone(), moment()).unwrap().code, hose);
    disk.make_room();
    book.submit_form(look, None, moment()).unwrap();
    assert_eq!(book.history(hose.clone()).unwrap().len(), 2);

    // A merge: none of it, and then all of it.
    let other = Desk::new();
    let file = bundle(&other, &hose);
    disk.fill(300);
    full(book.merge_in(&PathBuf::from(&file), None, &Stop::default()));
    assert_eq!(book.history(hose.clone()).unwrap().len(), 2);
    disk.make_room();
    let heard = Arc::new(Heard::default());
    let merged = book
        .merge_in(
            &PathBuf::from(&file),
            Some(Arc::clone(&heard) as Arc<dyn ProgressListener>),
            &Stop::default(),
        )
        .unwrap();
    assert_eq!(merged.new, 3_000);
    let told = heard.0.lock().unwrap();
    assert!(told.is_sorted() && told.last() == Some(&(3_000, 3_000)), "{told:?}");

    // A bundle for others is whole or not there.
    let before = names(disk.place());
    disk.fill(0);
    let refused = book.bundle_out(path("phone.hwbundle"));
    assert!(
        matches!(&refused, Err(RefusedError::File { words }) if words.contains("no room left")),
        "{refused:?}"
    );
    disk.make_room();
    assert_eq!(names(disk.place()), before);
    book.bundle_out(path("phone.hwbundle")).unwrap();

    // A phone that is started while it is full answers, and writes with room.
    drop(book);
    disk.fill(0);
    let book = Logbook::open(place()).unwrap();
    assert_eq!(book.answer(hose.clone(), moment()).unwrap().code, hose);
    let clean = FormOf::Hose { hose: hose.clone(), form: "clean".to_owned() };
    full(book.submit_form(clean.clone(), None, moment()));
    disk.make_room();
    book.submit_form(clean, None, moment()).unwrap();
    drop(book);
    let book = Logbook::open(place()).unwrap();
    assert_eq!(book.history(hose).unwrap().len(), 3_003);
}
