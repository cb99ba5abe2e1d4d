//! A damaged store, as a person meets it.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::fs;

use hosewright_tests::desk::Desk;
use hosewright_tests::kills::{of_each_kind, points, stopped};
use serde_json::Value;

fn saved(desk: &Desk, into: &str) -> Value {
    desk.json(&format!("check --salvage {into}"))
}

#[test]
fn a_damaged_store_says_what_helps_and_gives_up_what_can_be_read() {
    let desk = Desk::new();
    let hose = desk.hose();
    for _ in 0..60 {
        desk.done(&format!("inspect {hose} --kind quick --note {}", "n".repeat(80)));
    }
    let before = desk.export();
    // The last three pages, where the newest entries are.
    let mut bytes = fs::read(desk.store()).unwrap();
    let last = bytes.len() - 3 * 4096;
    bytes[last..].fill(0x5a);
    fs::write(desk.store(), &bytes).unwrap();

    let said = desk.run("check");
    assert!(said.code != 0, "{}", said.out);
    let hurt = desk.run(&format!("inspect {hose} --kind quick"));
    assert_eq!(hurt.code, 2, "{}", hurt.out);
    assert!(hurt.err.contains("damaged") && hurt.err.contains("--salvage"), "{}", hurt.err);

    let report = saved(&desk, "new.hosewright");
    let rescued = report["saved"].as_u64().unwrap();
    assert!(rescued > 0 && rescued < 61, "{report}");
    assert!(!report["lost"].as_array().unwrap().is_empty(), "{report}");
    assert_eq!(fs::read(desk.store()).unwrap(), bytes);
    let said = desk.run("check --salvage new.hosewright");
    assert_eq!(said.code, 2);
    assert!(said.err.contains("there already"), "{}", said.err);

    fs::rename(desk.path("new.hosewright"), desk.store()).unwrap();
    assert_eq!(desk.run("check").code, 0);
    assert_eq!(desk.json("check")["entries"], rescued);
    let now = desk.export();
    assert!(now.lines().all(|line| before.contains(line)));
    desk.done(&format!("inspect {hose} --kind quick"));
    // What was lost comes back from anyone who has it.
    fs::write(desk.path("before.jsonl"), before).unwrap();
    desk.done("import before.jsonl");
    assert_eq!(desk.json("check")["entries"], 62);
    assert_eq!(desk.json("check")["gaps"], serde_json::json!([]));
}

#[test]
fn a_sound_store_is_salvaged_whole() {
    let desk = Desk::new();
    let hose = desk.hose();
    desk.done(&format!("clean {hose}"));
    let said = desk.run("check --salvage new.hosewright");
    assert_eq!(said.code, 0, "{}{}", said.out, said.err);
    assert!(said.out.contains("Nothing is known to be lost"), "{}", said.out);
    let before = desk.export();
    fs::rename(desk.path("new.hosewright"), desk.store()).unwrap();
    assert_eq!(desk.export(), before);
}

#[test]
fn what_is_no_store_is_not_salvaged() {
    let desk = Desk::new();
    fs::write(desk.store(), "a shopping list ".repeat(600)).unwrap();
    let said = desk.run("check --salvage new.hosewright");
    assert_eq!(said.code, 2, "{}", said.out);
    assert!(said.err.contains("no entry"), "{}", said.err);
    assert!(!desk.path("new.hosewright").exists());
    fs::remove_file(desk.store()).unwrap();
    assert_eq!(desk.run("check --salvage new.hosewright").code, 2);
    assert!(!desk.store().exists(), "salvage made a store");
}

/// Killed at any point, it has saved all that there is or nothing, and harmed nothing.
#[test]
#[cfg_attr(not(debug_assertions), ignore = "a release build announces no points")]
fn a_salvage_that_is_killed_saved_all_or_nothing() {
    let desk = Desk::new();
    let hose = desk.hose();
    for _ in 0..3 {
        desk.done(&format!("clean {hose}"));
    }
    let before = desk.export();
    let salvage = |into: &str| desk.command(["check", "--salvage", into]);
    let points = points(salvage("all"));
    let mut saved = 0;
    for nth in of_each_kind(&points) {
        let into = format!("new-{nth}");
        let ended = stopped(salvage(&into), &nth.to_string()).killed();
        assert!(!ended.well, "{nth} of {points:?}");
        if desk.path(&into).exists() {
            saved += 1;
            desk.done(&format!("check --store {into}"));
            let said = desk.run(&format!("export --store {into}"));
            assert_eq!(said.out, before, "{ended:?}");
        }
    }
    assert!(saved > 0 && saved < points.len(), "{saved} of {points:?}");
    assert_eq!(desk.export(), before);
    assert_eq!(desk.run("check").code, 0);
}
