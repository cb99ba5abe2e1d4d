//! The map in DEVELOPERS.md holds: imports inside the core run downward.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

/// The rooms from the ground up; those of one line may not use each other.
const FLOORS: &[&[&str]] = &[
    &["text"],
    &["file", "hose", "measure"],
    &["tag", "fit", "inspection", "device"],
    &["photograph", "policy"],
    &["event"],
    &["journal"],
    &["record"],
    &["words"],
    &["answer"],
    &["fleet", "swap", "set_view"],
    &["rental", "set_answer", "set_picture"],
    &["hose_picture"],
    &["spreadsheet", "logbook"],
];

/// Uses that the map names as exceptions, each with its reason.
const EXCEPTIONS: &[(&str, &str)] = &[
    // A hose's length and dates are measures; a period needs nothing of a hose.
    ("hose", "measure"),
    // A sheet becomes registrations, and the door takes sheets in.
    ("spreadsheet", "logbook"),
    ("logbook", "spreadsheet"),
];

fn floor(room: &str) -> Option<usize> {
    FLOORS.iter().position(|rooms| rooms.contains(&room))
}

fn sources(folder: &Path, all: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).expect("a folder").flatten() {
        let path = entry.path();
        if path.is_dir() {
            sources(&path, all);
        } else if path.extension().is_some_and(|e| e == "rs") {
            all.push(path);
        }
    }
}

/// The rooms that a source uses, by its `crate::` paths outside of tests.
fn uses(text: &str) -> Vec<String> {
    let code = text.split("#[cfg(test)]").next().unwrap_or("");
    code.split("crate::")
        .skip(1)
        .map(|rest| rest.chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect())
        .collect()
}

#[test]
fn imports_run_downward() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../core/src");
    let mut all = Vec::new();
    sources(&root, &mut all);
    let mut upward = BTreeMap::new();
    let mut seen = 0;
    for path in all {
        let inside = path.strip_prefix(&root).expect("inside");
        let first = inside.components().next().expect("a name").as_os_str().to_string_lossy();
        let room = first.trim_end_matches(".rs").to_owned();
        let test = inside.to_string_lossy().contains("test") || inside.ends_with("properties.rs");
        let Some(own) = floor(&room).filter(|_| !test) else { continue };
        for used in uses(&fs::read_to_string(&path).expect("a source")) {
            let Some(other) = floor(&used) else { continue };
            seen += 1;
            let allowed =
                used == room || other < own || EXCEPTIONS.contains(&(room.as_str(), used.as_str()));
            if !allowed {
                upward.insert(format!("{} uses {used}", inside.display()), ());
            }
        }
    }
    assert!(seen > 50, "only {seen} uses were found");
    assert!(upward.is_empty(), "{:#?}", upward.keys());
}

/// Every room is on the map.
#[test]
fn every_room_is_on_the_map() {
    let lib = Path::new(env!("CARGO_MANIFEST_DIR")).join("../core/src/lib.rs");
    let text = fs::read_to_string(lib).expect("lib.rs");
    let rooms = text.lines().filter_map(|line| {
        line.trim_start_matches("pub ").strip_prefix("mod ").map(|rest| rest.trim_end_matches(';'))
    });
    let missing: Vec<&str> =
        rooms.filter(|room| *room != "story" && floor(room).is_none()).collect();
    assert!(missing.is_empty(), "not on the map: {missing:?}");
}
