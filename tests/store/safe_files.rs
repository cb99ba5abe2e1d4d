//! No option destroys what can't be had again: a store, a key, a device, a pipe.

#![cfg(unix)]
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::fs::{self, File};
use std::os::unix::fs::{FileTypeExt, symlink};
use std::os::unix::net::UnixListener;
use std::path::Path;
use std::process::Command;

use hosewright_tests::desk::{Desk, said};
use rusqlite::Connection;

/// Every command that writes a file, with the ending that it wants.
fn writers(hose: &str) -> Vec<(String, &'static str)> {
    vec![
        ("export --out".to_owned(), ""),
        ("bundle --out".to_owned(), ""),
        ("film --out".to_owned(), ".png"),
        ("backup --out".to_owned(), ""),
        (format!("tag {hose} --out"), ".svg"),
        (format!("tag {hose} --out"), ".png"),
        (format!("tag {hose} --wrap 12mm --size 14mm --out"), ".pdf"),
        ("tags --all --out".to_owned(), ".pdf"),
        ("tags --blank 3 --out".to_owned(), ".pdf"),
        ("set show Own --svg".to_owned(), ".svg"),
        ("due --calendar --out".to_owned(), ".ics"),
        (format!("case {hose} --out"), ".pdf"),
        (format!("case {hose} --entries"), ""),
    ]
}

fn fleet() -> (Desk, String) {
    let desk = Desk::new();
    let hose = desk.hose();
    desk.done("set new Own --use personal --ports LP:3/8-24=2");
    (desk, hose)
}

/// What lies in the folder, but for the keys.
fn names(desk: &Desk) -> Vec<String> {
    let files = fs::read_dir(desk.path("")).unwrap().flatten();
    let mut names: Vec<String> =
        files.map(|file| file.file_name().to_string_lossy().into_owned()).collect();
    names.sort();
    names
}

fn refused(desk: &Desk, line: &str, words: &str) {
    let before = names(desk);
    let said = desk.run(line);
    assert_eq!((said.code, said.out.as_str()), (2, ""), "{line}: {}", said.err);
    assert!(said.err.contains(words), "{line}: {}", said.err);
    assert_eq!(names(desk), before, "{line}");
}

#[test]
fn force_replaces_no_store_under_any_name() {
    let (desk, hose) = fleet();
    let other = Desk::new();
    other.gauge_hose();
    let store = fs::read(desk.store()).unwrap();
    let theirs = fs::read(other.store()).unwrap();
    for (line, ending) in writers(&hose) {
        let at = |name: &str| format!("{name}{ending}");
        fs::copy(other.store(), desk.path(&at("theirs"))).unwrap();
        let _ = fs::remove_file(desk.path(&at("link")));
        let _ = fs::remove_file(desk.path(&at("link-of-link")));
        let _ = fs::remove_file(desk.path(&at("hard")));
        symlink("store.hosewright", desk.path(&at("link"))).unwrap();
        symlink(at("link"), desk.path(&at("link-of-link"))).unwrap();
        fs::hard_link(desk.store(), desk.path(&at("hard"))).unwrap();
        for name in ["theirs", "link", "link-of-link", "hard"] {
            refused(&desk, &format!("{line} {} --force", at(name)), "is a Hosewright store");
        }
        if ending.is_empty() {
            refused(&desk, &format!("{line} store.hosewright --force"), "is a Hosewright store");
            refused(&desk, &format!("{line} ./keys/../link --force"), "is a Hosewright store");
        }
        assert_eq!(fs::read(desk.path(&at("theirs"))).unwrap(), theirs, "{line}");
        assert!(fs::symlink_metadata(desk.path(&at("link"))).unwrap().is_symlink(), "{line}");
    }
    assert_eq!(fs::read(desk.store()).unwrap(), store);
    assert_eq!(desk.run("check").code, 0);
}

#[test]
fn force_replaces_nothing_that_belongs_to_a_store() {
    let (desk, hose) = fleet();
    // Held open, so that the log stays beside the store.
    let held = Connection::open(desk.store()).unwrap();
    held.query_row("SELECT count(*) FROM entry", [], |row| row.get::<_, i64>(0)).unwrap();
    desk.done(&format!("clean {hose}"));
    let log = fs::read(desk.path("store.hosewright-wal")).unwrap();
    assert!(!log.is_empty());
    fs::hard_link(desk.path("store.hosewright-wal"), desk.path("log")).unwrap();
    symlink("store.hosewright-shm", desk.path("index")).unwrap();
    for name in ["store.hosewright-wal", "store.hosewright-shm", "log", "index"] {
        refused(&desk, &format!("export --out {name} --force"), "part of one");
    }
    assert_eq!(fs::read(desk.path("store.hosewright-wal")).unwrap(), log);
    drop(held);
    desk.done("check");
    assert!(!desk.path("store.hosewright-wal").exists());
    // Nor is it put where SQLite would take it for its own.
    refused(&desk, "export --out store.hosewright-journal", "part of one");
    assert_eq!(desk.json("check")["entries"], 3);
}

#[test]
fn force_replaces_no_damaged_store() {
    let (desk, _) = fleet();
    let other = Desk::new();
    other.hose();
    let whole = fs::read(other.store()).unwrap();
    fs::write(desk.path("cut"), &whole[..whole.len() / 2]).unwrap();
    let mut spoilt = whole.clone();
    spoilt[..16].fill(0);
    fs::write(desk.path("spoilt"), &spoilt).unwrap();
    for name in ["cut", "spoilt"] {
        refused(&desk, &format!("export --out {name} --force"), "is a Hosewright store");
    }
    assert_eq!(fs::read(desk.path("spoilt")).unwrap(), spoilt);
}

#[test]
fn force_replaces_no_device_pipe_socket_or_folder() {
    let (desk, hose) = fleet();
    for (line, ending) in writers(&hose) {
        let path = |name: &str| desk.path(&format!("{name}{ending}"));
        for name in ["pipe", "null", "socket", "to-pipe", "folder"] {
            let _ = fs::remove_file(path(name));
        }
        let made = Command::new("mkfifo").arg(path("pipe")).status().unwrap();
        assert!(made.success());
        symlink("/dev/null", path("null")).unwrap();
        symlink(path("pipe"), path("to-pipe")).unwrap();
        let _socket = UnixListener::bind(path("socket")).unwrap();
        for name in ["pipe", "null", "socket", "to-pipe"] {
            let words = "which is never written over";
            refused(&desk, &format!("{line} {name}{ending} --force"), words);
            refused(&desk, &format!("{line} {name}{ending}"), words);
        }
        fs::create_dir_all(path("folder")).unwrap();
        refused(&desk, &format!("{line} folder{ending} --force"), "is a folder");
        assert!(fs::symlink_metadata(path("pipe")).unwrap().file_type().is_fifo(), "{line}");
        assert!(fs::symlink_metadata(path("socket")).unwrap().file_type().is_socket(), "{line}");
        assert!(fs::symlink_metadata(path("null")).unwrap().is_symlink(), "{line}");
    }
}

/// Standard output may go to the end of a file: that file must not be replaced.
#[cfg(target_os = "linux")]
#[test]
fn what_standard_output_is_added_to_is_not_replaced() {
    let (desk, _) = fleet();
    // As /dev/stdout, which a failing test that is run by root would replace.
    symlink("/proc/self/fd/1", desk.path("stdout")).unwrap();
    for name in ["stdout", "/dev/fd/1", "/proc/self/fd/1"] {
        fs::write(desk.path("kept"), "of last week\n").unwrap();
        let kept = File::options().append(true).open(desk.path("kept")).unwrap();
        let mut command = desk.command(["export", "--out", name, "--force"]);
        let said = said(command.stdout(kept).output());
        assert_eq!(said.code, 2, "{name}: {}", said.err);
        assert!(said.err.contains("is never written over"), "{name}: {}", said.err);
        assert_eq!(fs::read_to_string(desk.path("kept")).unwrap(), "of last week\n", "{name}");
    }
}

#[test]
fn force_replaces_no_key() {
    let (desk, _) = fleet();
    let keys = || -> Vec<(String, Vec<u8>)> {
        let keys = fs::read_dir(desk.path("keys")).unwrap().flatten();
        let bytes = |path: &Path| fs::read(path).unwrap();
        keys.map(|key| (key.path().to_string_lossy().into_owned(), bytes(&key.path()))).collect()
    };
    let before = keys();
    symlink(&before[0].0, desk.path("link")).unwrap();
    for name in [before[0].0.as_str(), "link"] {
        refused(&desk, &format!("export --out {name} --force"), "among this account's keys");
    }
    assert_eq!(keys(), before);
}

#[test]
fn force_writes_over_a_file_and_keeps_the_link_to_it() {
    let (desk, hose) = fleet();
    for (line, ending) in writers(&hose) {
        let at = |name: &str| format!("{name}{ending}");
        let _ = fs::remove_file(desk.path(&at("link")));
        fs::write(desk.path(&at("file")), "old").unwrap();
        symlink(at("file"), desk.path(&at("link"))).unwrap();
        refused(&desk, &format!("{line} {}", at("link")), "is there already");
        let before = names(&desk);
        desk.done(&format!("{line} {} --force", at("link")));
        assert!(fs::symlink_metadata(desk.path(&at("link"))).unwrap().is_symlink(), "{line}");
        assert_ne!(fs::read(desk.path(&at("file"))).unwrap(), b"old", "{line}");
        assert_eq!(names(&desk), before, "{line}");
    }
}

/// What a device leaves for others goes by the same rule.
#[test]
fn what_is_left_for_others_replaces_no_store_and_no_pipe() {
    let (desk, _) = fleet();
    fs::create_dir(desk.path("meet")).unwrap();
    desk.done("exchange meet");
    let own = fs::read_dir(desk.path("meet")).unwrap().flatten().next().unwrap().path();
    fs::copy(desk.store(), &own).unwrap();
    let store = fs::read(&own).unwrap();
    let said = desk.run("exchange meet");
    assert_eq!(said.code, 2, "{}", said.out);
    assert!(said.err.contains("is a Hosewright store"), "{}", said.err);
    assert_eq!(fs::read(&own).unwrap(), store);
    fs::remove_file(&own).unwrap();
    symlink("/dev/null", &own).unwrap();
    let said = desk.run("exchange meet");
    assert_eq!(said.code, 2, "{}", said.out);
    assert!(fs::symlink_metadata(&own).unwrap().is_symlink());
}
