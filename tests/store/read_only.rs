//! A record that can only be read is answered; one that is not there is said to
//! be missing, and never begun by asking.

#![cfg(unix)]
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::fs;
use std::os::unix::fs::PermissionsExt;
use std::path::{Path, PathBuf};
use std::process::Command;

use hosewright_core::journal::SCHEMA_VERSION;
use hosewright_tests::desk::{Desk, Said, said};
use hosewright_tests::disk::{SmallDisk, may_mount};
use hosewright_tests::peers::root;
use rusqlite::Connection;

/// A fleet to be asked about, its files for others, and the hoses in it.
struct Fleet {
    desk: Desk,
    fitted: String,
    spare: String,
}

impl Fleet {
    fn new() -> Self {
        let desk = Desk::new();
        let (fitted, spare) = (desk.hose(), desk.hose());
        desk.done("set new Own --use rental --ports LP:3/8-24=2");
        desk.done(&format!("fit {fitted} --set Own --port LP1"));
        desk.done(&format!("inspect {fitted} --kind full --finding run:cut:cover"));
        desk.done(&format!("inspect {spare} --kind full"));
        desk.done("bundle --out own.hwbundle");
        desk.done("export --out own.jsonl");
        desk.done(&format!("tag {spare} --out tag.png"));
        Self { desk, fitted, spare }
    }

    /// Lines that only ask, each with whether it says the same every time.
    fn questions(&self) -> Vec<String> {
        let (fitted, spare) = (&self.fitted, &self.spare);
        let mut lines: Vec<String> = [
            "list",
            "today",
            "due",
            "due --by-set",
            "order",
            "order --message",
            "limits set --in-service 1y --try",
            "ages",
            "survival",
            "recall",
            "recall --lot B17",
            "set show Own",
            "set list",
            "rental list",
            "limits",
            "check",
            "export",
            "device list",
            "scan tag.png",
            "bundle --out out.hwbundle --force",
            "film --out film.png --force",
            "tags --all --out out.pdf --force",
            "case --set Own --out case.pdf --entries case.jsonl --force",
        ]
        .map(str::to_owned)
        .into();
        for of_hose in ["answer", "scan", "history", "photos", "replace", "seals"] {
            lines.push(format!("{of_hose} {fitted}"));
        }
        lines.push(format!("rental check Own {fitted}"));
        lines.push(format!("swap {fitted} {spare}"));
        lines.push(format!("tag {fitted} --out out.svg --force"));
        lines
    }

    /// Lines that write.
    fn orders(&self) -> Vec<String> {
        let (fitted, spare) = (&self.fitted, &self.spare);
        let mut lines: Vec<String> = [
            "register --service gauge --construction rubber --length 80cm --end-a 7/16-20 \
             --end-b 7/16-20",
            "set new Other --use personal --ports LP:3/8-24=2",
            "import own.jsonl",
            "merge own.hwbundle",
            "exchange .",
            "device found",
            "recall --lot B17 --why crimps --start",
            "limits set --use rental --dives 300",
            "check --rebuild",
            "desk --port 0",
        ]
        .map(str::to_owned)
        .into();
        for of_hose in ["clean", "inspect --kind quick", "reseal --end a", "retire --why worn"] {
            let (command, rest) = of_hose.split_once(' ').unwrap_or((of_hose, ""));
            lines.push(format!("{command} {spare} {rest}"));
        }
        lines.push(format!("remove {fitted}"));
        lines.push(format!("fit {spare} --set Own --port LP2"));
        lines.push(format!("swap {fitted} {spare} --step depressurised=done"));
        lines.push(format!("bind {spare} 4006381333931"));
        lines
    }
}

fn run(desk: &Desk, store: &Path, line: &str) -> Said {
    let mut command = desk.command(line.split_whitespace());
    said(command.env("HOSEWRIGHT_STORE", store).output())
}

/// Everything in a folder with its bytes.
fn files(folder: &Path) -> Vec<(PathBuf, Vec<u8>)> {
    let files = fs::read_dir(folder).unwrap().flatten().map(|file| file.path());
    let mut files: Vec<_> = files.filter(|path| path.is_file()).collect();
    files.sort();
    files.into_iter().map(|path| (path.clone(), fs::read(path).unwrap())).collect()
}

/// Makes a store read-only and asks everything before and after; what writes is
/// refused, and nothing in the store's folder changes.
fn asked_alike(fleet: &Fleet, store: &Path, make_read_only: impl FnOnce()) {
    let ask = || -> Vec<(String, i32, String)> {
        let questions = fleet.questions().into_iter();
        let said = questions.map(|line| (run(&fleet.desk, store, &line), line));
        said.map(|(said, line)| (line, said.code, said.out + &said.err)).collect()
    };
    let before = ask();
    for (line, code, text) in &before {
        assert!(*code < 2, "{line}: {text}");
    }
    make_read_only();
    let folder = store.parent().unwrap();
    let there = files(folder);
    for (before, after) in before.iter().zip(ask()) {
        assert_eq!(*before, after);
    }
    let blank = run(&fleet.desk, store, "tags --blank 2 --out out.pdf --force");
    assert_eq!(blank.code, 0, "{}", blank.err);
    for line in fleet.orders() {
        let said = run(&fleet.desk, store, &line);
        assert_eq!((said.code, said.out.as_str()), (2, ""), "{line}: {}", said.err);
        assert!(said.err.contains("is read-only"), "{line}: {}", said.err);
        assert!(said.err.contains(&*store.to_string_lossy()), "{line}: {}", said.err);
    }
    assert_eq!(files(folder), there);
}

#[test]
fn a_store_without_permission_to_write_is_answered() {
    let fleet = Fleet::new();
    fs::create_dir(fleet.desk.path("apart")).unwrap();
    let store = fleet.desk.path("apart/fleet.hosewright");
    fs::copy(fleet.desk.store(), &store).unwrap();
    asked_alike(&fleet, &store, || {
        fs::set_permissions(&store, fs::Permissions::from_mode(0o444)).unwrap();
    });
}

#[test]
fn a_store_on_a_read_only_disk_is_answered() {
    if !may_mount(module_path!(), "a_store_on_a_read_only_disk_is_answered") {
        return;
    }
    let fleet = Fleet::new();
    let disk = SmallDisk::new(fleet.desk.path("disk"), 16);
    let store = disk.place().join("fleet.hosewright");
    fs::copy(fleet.desk.store(), &store).unwrap();
    asked_alike(&fleet, &store, || disk.make_read_only());
}

/// The file may be written and nothing be put beside it.
#[test]
fn a_store_in_a_folder_that_cannot_be_written_is_answered() {
    if !may_mount(module_path!(), "a_store_in_a_folder_that_cannot_be_written_is_answered") {
        return;
    }
    let fleet = Fleet::new();
    let disk = SmallDisk::new(fleet.desk.path("disk"), 16);
    let store = disk.place().join("fleet.hosewright");
    fs::copy(fleet.desk.store(), &store).unwrap();
    asked_alike(&fleet, &store, || {
        disk.make_read_only();
        let mut bind = Command::new("mount");
        bind.arg("--bind").arg(fleet.desk.store()).arg(&store);
        assert!(bind.status().unwrap().success());
        fs::OpenOptions::new().append(true).open(&store).expect("the file can be written");
    });
    assert!(Command::new("umount").arg(&store).status().unwrap().success());
}

/// A copy that was made while the record was in use: its newest entries stand in
/// the log, and without them a retired hose would read better than it is.
#[test]
fn what_stands_in_the_log_of_a_copy_is_answered_or_said_to_be_out_of_reach() {
    if !may_mount(
        module_path!(),
        "what_stands_in_the_log_of_a_copy_is_answered_or_said_to_be_out_of_reach",
    ) {
        return;
    }
    let fleet = Fleet::new();
    let held = Connection::open(fleet.desk.store()).unwrap();
    held.query_row("SELECT count(*) FROM entry", [], |row| row.get::<_, i64>(0)).unwrap();
    let _ = fleet.desk.run(&format!("retire {} --why worn --yes", fleet.spare));
    let answer = format!("answer {}", fleet.spare);
    let wanted = fleet.desk.run(&answer);
    assert!(wanted.out.contains("R E T I R E"), "{}", wanted.out);
    for with_index in [true, false] {
        let name = format!("disk-{with_index}");
        let disk = SmallDisk::new(fleet.desk.path(&name), 16);
        let store = disk.place().join("store.hosewright");
        for ending in ["", "-wal", "-shm"] {
            if with_index || ending != "-shm" {
                let from = fleet.desk.path(&format!("store.hosewright{ending}"));
                fs::copy(from, disk.place().join(format!("store.hosewright{ending}"))).unwrap();
            }
        }
        disk.make_read_only();
        let there = files(disk.place());
        let after = run(&fleet.desk, &store, &answer);
        assert_eq!((after.code, &after.out), (wanted.code, &wanted.out), "{}", after.err);
        assert_eq!(run(&fleet.desk, &store, "check").code, 0);
        let refused = run(&fleet.desk, &store, &format!("clean {}", fleet.fitted));
        assert_eq!(refused.code, 2, "{}", refused.out);
        assert!(refused.err.contains("is read-only"), "{}", refused.err);
        assert_eq!(files(disk.place()), there);
        if !with_index {
            // Nowhere to bring it in: rather no answer than half of one.
            let mut command = fleet.desk.command(answer.split_whitespace());
            command.env("HOSEWRIGHT_STORE", &store).env("TMPDIR", "/nowhere");
            let said = said(command.output());
            assert_eq!((said.code, said.out.as_str()), (2, ""), "{}", said.err);
            assert!(said.err.contains("in a log beside it"), "{}", said.err);
        }
    }
}

#[test]
fn a_store_of_an_older_format_is_answered_where_it_can_only_be_read() {
    for schema in 1..=SCHEMA_VERSION {
        let desk = Desk::new();
        fs::create_dir(desk.path("apart")).unwrap();
        let store = desk.path("apart/old.hosewright");
        let old = Connection::open(&store).unwrap();
        old.pragma_update(None, "journal_mode", "WAL").unwrap();
        let golden = format!("core/src/journal/golden/schema-{schema}.sql");
        old.execute_batch(&fs::read_to_string(root().join(golden)).unwrap()).unwrap();
        drop(old);
        fs::copy(&store, desk.store()).unwrap();
        fs::set_permissions(&store, fs::Permissions::from_mode(0o444)).unwrap();
        let there = files(&desk.path("apart"));
        let mut questions = vec!["list --json".to_owned(), "export".to_owned()];
        let list = desk.json("list");
        assert!(list.as_array().unwrap().len() > 2, "{list}");
        for hose in list.as_array().unwrap() {
            questions.push(format!("answer {} --json", hose["code"].as_str().unwrap()));
        }
        for line in questions {
            let (there, here) = (run(&desk, &store, &line), desk.run(&line));
            assert_eq!((there.code, there.out), (here.code, here.out), "{schema}: {}", there.err);
        }
        assert_eq!(run(&desk, &store, "check").code, 0);
        assert_eq!(files(&desk.path("apart")), there, "format {schema}");
    }
}

#[test]
fn what_is_saved_of_a_store_may_lie_on_a_read_only_disk() {
    if !may_mount(module_path!(), "what_is_saved_of_a_store_may_lie_on_a_read_only_disk") {
        return;
    }
    let fleet = Fleet::new();
    let disk = SmallDisk::new(fleet.desk.path("disk"), 16);
    let store = disk.place().join("fleet.hosewright");
    fs::copy(fleet.desk.store(), &store).unwrap();
    disk.make_read_only();
    let saved = run(&fleet.desk, &store, "check --salvage saved.hosewright");
    assert_eq!(saved.code, 0, "{}", saved.err);
}

#[test]
fn asking_a_store_that_was_named_and_is_not_there_is_an_error() {
    let fleet = Fleet::new();
    fs::remove_file(fleet.desk.store()).unwrap();
    let there = files(&fleet.desk.path(""));
    for line in fleet.questions().into_iter().chain(["check --rebuild".to_owned()]) {
        for (store, line) in [
            (fleet.desk.store(), line.clone()),
            (fleet.desk.store(), format!("{line} --store {}", fleet.desk.store().display())),
            (fleet.desk.path("no-folder/missing"), line.clone()),
        ] {
            let said = run(&fleet.desk, &store, &line);
            assert_eq!((said.code, said.out.as_str()), (2, ""), "{line}: {}", said.err);
            assert!(said.err.contains("there is no store at"), "{line}: {}", said.err);
            assert_eq!(files(&fleet.desk.path("")), there, "{line}");
        }
        assert!(!fleet.desk.path("no-folder").exists(), "{line}");
    }
}

#[test]
fn whatever_writes_begins_a_store() {
    let fleet = Fleet::new();
    let register = "register --service gauge --construction rubber --length 80cm --end-a 7/16-20 \
                    --end-b 7/16-20";
    let set = "set new Own --use rental --ports LP:3/8-24=2";
    let blank = "tags --blank 2 --out blank.pdf --force";
    let lines = [register, set, blank, "import own.jsonl", "merge own.hwbundle", "device show"];
    for (at, line) in lines.into_iter().enumerate() {
        let store = fleet.desk.path(&format!("new-{at}/fleet.hosewright"));
        let said = run(&fleet.desk, &store, line);
        assert_eq!(said.code, 0, "{line}: {}", said.err);
        assert!(store.exists(), "{line}");
        assert_eq!(run(&fleet.desk, &store, "check").code, 0, "{line}");
    }
}

/// A machine on which nobody named a store and there is none.
#[test]
fn a_first_scan_answers_from_the_tag_and_makes_nothing() {
    let fleet = Fleet::new();
    let photo = fleet.desk.path("tag.png");
    let text = fleet.desk.json(&format!("read {}", photo.display()))["texts"][0].clone();
    let text = text.as_str().unwrap();
    assert!(text.starts_with("HW1:"), "{text}");
    let home = Desk::new();
    let at_home = |line: &str| {
        let mut command = home.command(line.split_whitespace());
        for name in ["HOSEWRIGHT_STORE", "XDG_DATA_HOME", "XDG_CONFIG_HOME", "HOSEWRIGHT_KEYS"] {
            command.env_remove(name);
        }
        said(command.env("HOME", home.path("")).output())
    };
    for line in
        [format!("scan {}", photo.display()), format!("scan {text}"), format!("answer {text}")]
    {
        let said = at_home(&format!("{line} --json"));
        assert!(said.code < 2, "{line}: {}", said.err);
        let answer: serde_json::Value = serde_json::from_str(&said.out).unwrap();
        assert_eq!(answer["code"], *fleet.spare, "{answer}");
        let reasons = answer["reasons"].as_array().unwrap();
        assert!(reasons.iter().any(|reason| reason["code"] == "tag-only"), "{answer}");
        assert_eq!(fs::read_dir(home.path("")).unwrap().count(), 0, "{line}");
    }
    for (line, words) in [
        (format!("scan {}", fleet.spare), "no hose on record"),
        ("list".to_owned(), "there is no store at"),
        ("check".to_owned(), "there is no store at"),
        ("export".to_owned(), "there is no store at"),
    ] {
        let said = at_home(&line);
        assert_eq!((said.code, said.out.as_str()), (2, ""), "{line}: {}", said.err);
        assert!(said.err.contains(words), "{line}: {}", said.err);
        assert_eq!(fs::read_dir(home.path("")).unwrap().count(), 0, "{line}");
    }
    // A name is a name, in whichever way it was given.
    let named = at_home(&format!("scan {text} --store missing"));
    assert_eq!(named.code, 2, "{}", named.out);
    assert!(named.err.contains("there is no store at"), "{}", named.err);
}
