//! A disk that is full: every command that needs room says so, and loses
//! nothing; with room again it goes on.
//!
//! A few megabytes of memory are mounted as a disk, in a namespace of its own
//! where the system allows it, else as root.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use hosewright_tests::desk::{Desk, Said, binary, said};

/// Says that this process runs where it may mount.
const INSIDE: &str = "HOSEWRIGHT_TEST_MAY_MOUNT";

/// Runs a test of this file again where it may mount; whether this is that run.
fn may_mount(test: &str) -> bool {
    if std::env::var_os(INSIDE).is_some() {
        return true;
    }
    let _ = binary();
    let this = std::env::current_exe().unwrap();
    let again = |mut command: Command| {
        command.args(["--exact", test, "--nocapture"]).env(INSIDE, "1");
        command.output().expect("a test runs")
    };
    let mut apart = Command::new("unshare");
    apart.args(["--user", "--map-root-user", "--mount", "--"]).arg(&this);
    let mut asked = Command::new("unshare");
    asked.args(["--user", "--map-root-user", "--mount", "true"]);
    let allowed = asked.output().is_ok_and(|done| done.status.success());
    let done = again(if allowed { apart } else { Command::new(&this) });
    let text = String::from_utf8_lossy(&done.stdout).into_owned();
    assert!(done.status.success(), "{text}{}", String::from_utf8_lossy(&done.stderr));
    assert!(text.contains("1 passed"), "{text}");
    false
}

/// A disk of a few megabytes, with a file on it that can be taken away.
struct Disk {
    place: PathBuf,
    desk: Desk,
}

impl Disk {
    fn new(megabytes: usize) -> Self {
        let desk = Desk::new();
        let place = desk.path("disk");
        fs::create_dir(&place).unwrap();
        let size = format!("size={megabytes}m");
        let mounted =
            Command::new("mount").args(["-t", "tmpfs", "-o", &size, "none"]).arg(&place).status();
        assert!(
            mounted.is_ok_and(|status| status.success()),
            "a disk of memory cannot be mounted here: run as root, or allow user namespaces"
        );
        Self { place, desk }
    }

    /// Fills it but for so many kilobytes.
    fn fill(&self, but: usize) {
        fs::write(self.place.join("ballast"), vec![0; self.free().saturating_sub(but * 1024)])
            .unwrap();
    }

    fn free(&self) -> usize {
        let told = Command::new("df").args(["-B1", "--output=avail"]).arg(&self.place).output();
        let told = String::from_utf8_lossy(&told.unwrap().stdout).into_owned();
        told.lines().nth(1).unwrap().trim().parse().unwrap()
    }

    fn make_room(&self) {
        fs::remove_file(self.place.join("ballast")).unwrap();
    }

    fn store(&self) -> PathBuf {
        self.place.join("store.hosewright")
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

impl Drop for Disk {
    fn drop(&mut self) {
        let _ = Command::new("umount").arg(&self.place).status();
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
    if !may_mount("what_finds_no_room_is_said_and_goes_on_with_room") {
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
    disk.fill(200);
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
    disk.make_room();
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
    disk.fill(300);
    for line in [format!("merge {}", bundle.display()), format!("import {}", file.display())] {
        refused_for_room(&disk.run(&line));
    }
    disk.make_room();
    assert_eq!(disk.entries(), acknowledged);

    // What is written for others is whole or not there.
    disk.fill(4);
    for line in ["bundle --out disk/own.hwbundle", "exchange disk", "check --salvage disk/new"] {
        let said = disk.run(line);
        assert_eq!(said.code, 2, "{line}: {}{}", said.out, said.err);
    }
    let names = fs::read_dir(&disk.place).unwrap().flatten().map(|file| file.file_name());
    let names: Vec<String> = names.map(|name| name.to_string_lossy().into_owned()).collect();
    let foreign = |name: &&String| !name.starts_with("store.hosewright") && *name != "ballast";
    assert_eq!(names.iter().filter(foreign).collect::<Vec<_>>(), Vec::<&String>::new());
    disk.make_room();
    let merged = disk.run(&format!("merge {}", bundle.display()));
    assert_eq!(merged.code, 0, "{}{}", merged.out, merged.err);
    assert_eq!(disk.entries(), acknowledged + 3_000);
}
