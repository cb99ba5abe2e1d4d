//! A disk that is full: every command that needs room says so, and loses
//! nothing; with room again it goes on.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::fs;
use std::path::{Path, PathBuf};

use hosewright_tests::desk::{Desk, Said, said};
use hosewright_tests::disk::{SmallDisk, may_mount};

/// A small disk with a store on it, and the command line.
struct Disk {
    // Taken down before its folder goes.
    disk: SmallDisk,
    desk: Desk,
}

impl Disk {
    fn new(megabytes: usize) -> Self {
        let desk = Desk::new();
        Self { disk: SmallDisk::new(desk.path("disk"), megabytes), desk }
    }

    fn store(&self) -> PathBuf {
        self.disk.place().join("store.hosewright")
    }

    fn run(&self, line: &str) -> Said {
        let mut command = self.desk.command(line.split_whitespace());
        said(command.env("HOSEWRIGHT_STORE", self.store()).output())
    }

    fn entries(&self) -> u64 {
        let said = self.run("check --json");
        assert_eq!(said.code, 0, "{}{}", said.out, said.err);
        serde_json::from_str::<serde_json::Value>(&said.out).unwrap()["entries"].as_u64().unwrap()
    }
}

fn refused_for_room(said: &Said) {
    assert_eq!(said.code, 2, "{}{}", said.out, said.err);
    assert!(said.err.contains("room") && said.err.contains("Nothing was changed"), "{}", said.err);
}

/// Lines of another device, as an import takes them.
fn lines(path: &Path, hose: &str, first: u64, many: u64) {
    let text: String = (first..first + many)
        .map(|seq| {
            format!(
                "{{\"at\":[1780000000000,{seq}],\"body\":{{\"hose\":\"{hose}\"}},\"by\":\"x\",\
                 \"device\":\"000102030405060708090a0b0c0d0e0f\",\"kind\":\"cleaned\",\
                 \"on\":\"2026-06-14\",\"seq\":{seq},\"v\":1}}\n"
            )
        })
        .collect();
    fs::write(path, text).unwrap();
}

#[test]
fn what_finds_no_room_is_said_and_goes_on_with_room() {
    if !may_mount(module_path!(), "what_finds_no_room_is_said_and_goes_on_with_room") {
        return;
    }
    let disk = Disk::new(16);
    let hose = disk.run(
        "register --service second-stage --construction braided --length 22in --end-a 3/8-24 \
         --end-b 9/16-18 --made 2024-03",
    );
    assert_eq!(hose.code, 0, "{}", hose.err);
    let hose = hose.out.lines().next().unwrap().to_owned();

    // Appending until there is no room.
    disk.disk.fill(200);
    let mut acknowledged = 1;
    let refused = loop {
        let said = disk.run(&format!("inspect {hose} --kind full --note {}", "n".repeat(80)));
        if said.code != 0 {
            break said;
        }
        acknowledged += 1;
        assert!(acknowledged < 5_000, "the disk is never full");
    };
    refused_for_room(&refused);
    assert!(acknowledged > 1, "there was no room from the start");
    disk.disk.make_room();
    assert_eq!(disk.entries(), acknowledged);
    assert_eq!(disk.run(&format!("clean {hose}")).code, 0);
    acknowledged += 1;

    // Merging and importing what is larger than the disk has room for.
    let other = Desk::new();
    let file = other.path("lines.jsonl");
    lines(&file, &hose, 1, 3_000);
    other.done("import lines.jsonl");
    other.done("bundle --out other.hwbundle");
    let bundle = other.path("other.hwbundle");
    disk.disk.fill(300);
    for line in [format!("merge {}", bundle.display()), format!("import {}", file.display())] {
        refused_for_room(&disk.run(&line));
    }
    disk.disk.make_room();
    assert_eq!(disk.entries(), acknowledged);

    // What is written for others is whole or not there.
    disk.disk.fill(4);
    for line in ["bundle --out disk/own.hwbundle", "exchange disk", "check --salvage disk/new"] {
        let said = disk.run(line);
        assert_eq!(said.code, 2, "{line}: {}{}", said.out, said.err);
    }
    let names = fs::read_dir(disk.disk.place()).unwrap().flatten().map(|file| file.file_name());
    let names: Vec<String> = names.map(|name| name.to_string_lossy().into_owned()).collect();
    let foreign = |name: &&String| !name.starts_with("store.hosewright") && *name != "ballast";
    assert_eq!(names.iter().filter(foreign).collect::<Vec<_>>(), Vec::<&String>::new());
    disk.disk.make_room();
    let merged = disk.run(&format!("merge {}", bundle.display()));
    assert_eq!(merged.code, 0, "{}{}", merged.out, merged.err);
    assert_eq!(disk.entries(), acknowledged + 3_000);
}
