//! Bytes are promises: what was written once is read for ever. The files under
//! `core/src/journal/golden` are added to and never rebuilt.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use hosewright_core::Logbook;
use hosewright_core::device::FolderKeyring;
use hosewright_core::event::Event;
use hosewright_core::file::InMemory;
use hosewright_core::journal::{
    SCHEMA_VERSION, StoreError, canonical_json, entry_of_line, line_of_entry,
};
use hosewright_tests::desk::Desk;
use hosewright_tests::kills::{points, stopped, tried};
use hosewright_tests::peers::root;
use rand_chacha::ChaCha20Rng;
use rand_chacha::rand_core::SeedableRng;
use rusqlite::Connection;

/// Entries of every kind, with their bundles and their answers. A kind that
/// comes gets an exemplar of its own. Lines and bundles are promises; what is
/// answered about them follows the rules of today, and is rebuilt with them:
/// each difference is looked at then.
const EXEMPLARS: &[&str] = &[
    "exemplar-1",
    "exemplar-2",
    "exemplar-3",
    "exemplar-4-findings",
    "exemplar-4-fleet",
    "exemplar-4-rental",
    "exemplar-5-exchange",
    "exemplar-5-lists",
    "exemplar-5-packing",
    "exemplar-5-staff",
    "exemplar-6-succession",
];

fn golden(name: &str) -> PathBuf {
    root().join("core/src/journal/golden").join(name)
}

fn text(name: &str) -> String {
    fs::read_to_string(golden(name)).expect(name)
}

/// A store as a program of that format left it.
fn restored(schema: i64, to: &Path) {
    let store = Connection::open(to).unwrap();
    store.pragma_update(None, "journal_mode", "WAL").unwrap();
    store.execute_batch(&text(&format!("schema-{schema}.sql"))).unwrap();
    let version: i64 = store.query_row("PRAGMA user_version", [], |row| row.get(0)).unwrap();
    assert_eq!(version, schema);
}

/// The codes of the hoses, and what is said of each.
fn answers(desk: &Desk) -> String {
    let list = desk.json("list");
    let mut all = String::new();
    for hose in list.as_array().unwrap() {
        let mut answer = desk.json(&format!("answer {}", hose["code"].as_str().unwrap()));
        // How fresh the record is depends on the devices, which a rewrite renames.
        answer.as_object_mut().unwrap().remove("record");
        all.push_str(&answer.to_string());
        all.push('\n');
    }
    all
}

#[test]
fn stores_of_every_format_open_and_answer_alike() {
    for schema in 1..=SCHEMA_VERSION {
        let desk = Desk::new();
        restored(schema, &desk.store());
        let check = desk.json("check");
        assert_eq!(check["problems"], serde_json::json!([]), "format {schema}");
        assert!(check["entries"].as_u64().unwrap() > 15, "format {schema}: {check}");
        let before = answers(&desk);
        assert!(before.lines().count() > 2);
        desk.done("check --rebuild");
        assert_eq!(answers(&desk), before, "format {schema}");
        let store = Connection::open(desk.store()).unwrap();
        let now: i64 = store.query_row("PRAGMA user_version", [], |row| row.get(0)).unwrap();
        assert_eq!(now, SCHEMA_VERSION);
    }
}

/// Programs before keys signed nothing: what they wrote is kept, shown, and not
/// believed until someone admits it.
#[test]
fn what_was_written_before_keys_is_kept_and_not_believed() {
    let mut before_keys = 0;
    // Stores of later formats have entries without keys that someone judged.
    for schema in 1..4 {
        let desk = Desk::new();
        restored(schema, &desk.store());
        let lines = desk.export();
        let unsigned = |id: &str| id.len() == 32;
        let devices = desk.json("device list");
        for device in devices.as_array().unwrap() {
            let id = device["device"].as_str().unwrap();
            if !unsigned(id) {
                continue;
            }
            before_keys += 1;
            let wrote = lines.lines().filter(|line| line.contains(id)).count();
            let listed = desk.json(&format!("device entries {id}"));
            assert_eq!(listed.as_array().unwrap().len(), wrote, "format {schema}");
            assert!(listed.as_array().unwrap().iter().all(|line| line["believed"] == false));
            assert!(desk.json("check")["set_aside"].as_u64().unwrap() >= wrote as u64);
            desk.done(&format!("device admit-entries {id}"));
            let left = desk.json(&format!("device entries {id}"));
            assert_eq!(left, serde_json::json!([]), "format {schema}");
        }
        assert_eq!(desk.run("check").code, 0, "format {schema}");
    }
    assert!(before_keys > 0, "no store of a program before keys");
}

/// Killed at any kind of point, a migration has happened whole or not at all.
#[test]
#[cfg_attr(not(debug_assertions), ignore = "a release build announces no points")]
fn a_migration_that_is_killed_is_whole_or_never_was() {
    let old = Desk::new();
    restored(1, &old.store());
    let entries = {
        let desk = Desk::new();
        fs::copy(old.store(), desk.store()).unwrap();
        desk.json("check")["entries"].clone()
    };
    let points = {
        let desk = Desk::new();
        fs::copy(old.store(), desk.store()).unwrap();
        points(desk.command(["list"]))
    };
    let (mut before, mut after) = (0, 0);
    for nth in tried(&points) {
        let desk = Desk::new();
        fs::copy(old.store(), desk.store()).unwrap();
        let ended = stopped(desk.command(["list"]), &nth.to_string()).killed();
        let store = Connection::open(desk.store()).unwrap();
        let version: i64 = store.query_row("PRAGMA user_version", [], |row| row.get(0)).unwrap();
        let forked = "SELECT count(*) FROM pragma_table_info('device') WHERE name = 'forked'";
        let new: i64 = store.query_row(forked, [], |row| row.get(0)).unwrap();
        drop(store);
        assert_eq!((version == SCHEMA_VERSION, new == 1), (new == 1, version > 1), "{ended:?}");
        *(if version == 1 { &mut before } else { &mut after }) += 1;
        let check = desk.json("check");
        assert_eq!((&check["entries"], &check["problems"]), (&entries, &serde_json::json!([])));
        assert!(!ended.well, "{nth} of {points:?}");
    }
    assert!(before > 20 && after > 5, "{before} before, {after} after");
}

/// The parser names every kind that it knows when it is asked for another.
fn known_kinds() -> BTreeSet<String> {
    let other = serde_json::json!({ "kind": "no such kind", "body": {} });
    let said = serde_json::from_value::<Event>(other).unwrap_err().to_string();
    let (_, known) = said.split_once("expected one of").unwrap();
    known.split('`').skip(1).step_by(2).map(str::to_owned).collect()
}

#[test]
fn an_entry_of_every_kind_is_read_and_printed_as_it_was_written() {
    let lines: String = EXEMPLARS.iter().map(|name| text(&format!("{name}.jsonl"))).collect();
    let mut kinds = BTreeSet::new();
    for line in lines.lines() {
        let entry = entry_of_line(line).unwrap();
        assert_eq!(line_of_entry(&entry), line);
        let event = entry.event().unwrap_or_else(|| panic!("{line}"));
        let (kind, version, mut body) = event.to_parts();
        // Which entries were written together is beside what they say.
        let written: serde_json::Value = serde_json::from_str(&entry.body).unwrap();
        if let Some(act) = written.get("act") {
            body.as_object_mut().unwrap().insert("act".to_owned(), act.clone());
        }
        assert_eq!(canonical_json(&body).as_deref(), Some(entry.body.as_str()), "{line}");
        assert_eq!((kind.as_str(), version), (entry.kind.as_str(), entry.version));
        kinds.insert(if version == 1 { kind } else { format!("{kind}@{version}") });
    }
    assert_eq!(kinds, known_kinds(), "a kind has no exemplar");
}

#[test]
fn an_exemplar_bundle_brings_what_its_lines_bring() {
    for name in EXEMPLARS {
        let (one, other) = (Desk::new(), Desk::new());
        let bundle = golden(&format!("{name}.hwbundle"));
        let merged = one.json(&format!("merge {}", bundle.display()));
        assert_eq!(merged["merge"]["refused"], 0, "{merged}");
        assert_eq!(merged["merge"]["unread"], 0, "{merged}");
        let lines = format!("{name}.jsonl");
        other.done(&format!("import {}", golden(&lines).display()));
        assert_eq!(answers(&one), answers(&other));
        assert_eq!(answers(&one), text(&format!("{name}-answers.jsonl")));
        // Signatures that a later one covers are not looked at, and not kept.
        let unsigned = |lines: String| -> Vec<String> {
            let entry = |line: &str| {
                line.split(",\"sig\"").next().unwrap().trim_end_matches('}').to_owned()
            };
            lines.lines().map(entry).collect()
        };
        assert_eq!(unsigned(one.export()), unsigned(text(&lines)));
    }
}

/// A phone's browser has an older store too: it is opened by its name alone, and brought up to
/// date with all that it holds.
#[test]
fn an_older_store_is_brought_up_to_date_where_only_sqlite_sees_it() {
    for schema in 1..SCHEMA_VERSION {
        let folder = tempfile::tempdir().unwrap();
        let [kept, own] = ["kept", "own"].map(|name| folder.path().join(name));
        for place in [&kept, &own] {
            restored(schema, place);
            let store = Connection::open(place).unwrap();
            store.pragma_update(None, "journal_mode", "DELETE").unwrap();
        }
        let keys = || Box::new(FolderKeyring::new(folder.path().join("keys")));
        let chance = || Box::new(ChaCha20Rng::seed_from_u64(1));
        let usual = Logbook::open(&own, chance(), keys()).unwrap().hoses().unwrap();
        let first = Logbook::open_kept(&kept, chance(), keys()).unwrap();
        assert_eq!(first.hoses().unwrap(), usual, "format {schema}");
        drop(first);
        let again = Logbook::open_kept(&kept, chance(), keys()).unwrap();
        assert_eq!(again.hoses().unwrap(), usual);
        let mode: String = Connection::open(&kept)
            .unwrap()
            .query_row("PRAGMA journal_mode", [], |row| row.get(0))
            .unwrap();
        assert_eq!(mode, "delete", "no log that others would share");
    }
}

/// What is no store of ours is left alone, where only SQLite sees it too.
#[test]
fn another_programs_store_is_not_begun_in() {
    let folder = tempfile::tempdir().unwrap();
    let place = folder.path().join("other");
    let other = Connection::open(&place).unwrap();
    other.execute_batch("CREATE TABLE mine (text TEXT); INSERT INTO mine VALUES ('x')").unwrap();
    drop(other);
    let before = fs::read(&place).unwrap();
    let keys = Box::new(FolderKeyring::new(folder.path().join("keys")));
    let opened = Logbook::open_kept(&place, Box::new(ChaCha20Rng::seed_from_u64(1)), keys);
    assert!(matches!(opened, Err(StoreError::NotOurs(_))));
    assert_eq!(fs::read(&place).unwrap(), before);
}

/// A store that can't be opened is read from its bytes alone into another.
#[test]
fn a_damaged_store_is_saved_from_its_bytes() {
    let folder = tempfile::tempdir().unwrap();
    let place = folder.path().join("damaged");
    restored(SCHEMA_VERSION - 1, &place);
    let store = Connection::open(&place).unwrap();
    store.pragma_update(None, "journal_mode", "DELETE").unwrap();
    let entries: u64 = store.query_row("SELECT count(*) FROM entry", [], |row| row.get(0)).unwrap();
    drop(store);
    let mut bytes = fs::read(&place).unwrap();
    bytes[..100].fill(0);
    let keys = FolderKeyring::new(folder.path().join("keys"));
    let into = folder.path().join("saved");
    let damaged = InMemory::new("damaged", bytes);
    let (report, rest) = Logbook::salvage_kept(&damaged, &into, &keys, |_, _| ()).unwrap();
    assert_eq!(report.saved + report.unproven, entries, "{report:?}");
    assert_eq!(rest.lines().count() as u64, report.unproven);
    let keys = Box::new(keys);
    let saved = Logbook::open_kept(&into, Box::new(ChaCha20Rng::seed_from_u64(1)), keys).unwrap();
    assert!(!saved.hoses().unwrap().is_empty());
}
