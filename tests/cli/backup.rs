//! A backup, and the record that comes back from it, whole: the program as it is typed.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::fs;
use std::io::Write;
use std::process::{Command, Stdio};

use hosewright_tests::desk::{Desk, Said, binary, said};
use serde_json::Value;

/// Runs a command that reads the owner's words.
fn with_words(desk: &Desk, line: &str, words: &str) -> Said {
    let mut command = desk.command(line.split_whitespace());
    command.stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped());
    let mut child = command.spawn().unwrap();
    child.stdin.take().unwrap().write_all(words.as_bytes()).unwrap();
    said(child.wait_with_output())
}

/// A shop with a hose of each kind of trouble, sets, limits and an owner.
fn shop() -> (Desk, String) {
    let desk = Desk::new();
    let hoses = [desk.hose(), desk.hose(), desk.hose(), desk.gauge_hose()];
    let [fitted, held, retired, gauge] = &hoses;
    desk.done("set new R3 --use rental --ports HP:7/16-20=1,LP:3/8-24=2");
    desk.done(&format!("fit {fitted} --set R3 --port LP1"));
    desk.done(&format!("fit {gauge} --set R3 --port HP1"));
    desk.done(&format!("inspect {fitted} --kind full --finding run:cut:cover"));
    desk.done(&format!("hold {held} --why doubt"));
    assert_eq!(desk.run(&format!("retire {retired} --why worn --yes")).code, 0);
    desk.done("limits set --use rental --dives 300");
    let words = desk.json("device found")["words"].as_str().unwrap().to_owned();
    (desk, words)
}

/// The answers of a record, but for which devices it has entries of.
fn answers(desk: &Desk) -> Vec<Value> {
    let list = desk.json("list");
    let mut all = vec![list.clone(), desk.json("set list")];
    for hose in list.as_array().unwrap() {
        let mut answer = desk.json(&format!("answer {}", hose["code"].as_str().unwrap()));
        answer.as_object_mut().unwrap().remove("record");
        all.push(answer);
    }
    all
}

#[test]
fn the_record_of_a_new_computer_answers_as_the_lost_one_did() {
    let (lost, words) = shop();
    lost.done("backup --out backup.hwbundle");
    let before = answers(&lost);
    let device = lost.json("device show")["device"].as_str().unwrap().to_owned();
    let new = Desk::new();
    fs::copy(lost.path("backup.hwbundle"), new.path("backup.hwbundle")).unwrap();
    let back = with_words(&new, "restore backup.hwbundle --name counter --dismiss", &words);
    assert_eq!(back.code, 0, "{}{}", back.out, back.err);
    assert!(back.out.contains("is dismissed"), "{}", back.out);
    assert!(back.out.contains(&device[..12]), "{}", back.out);
    // One of them alone may be a word of the answer.
    let two = words.split(' ').take(2).collect::<Vec<_>>().join(" ");
    assert!(!back.out.contains(&two), "{}", back.out);
    assert_eq!(answers(&new), before);
    assert_eq!(new.run("check").code, 0);
    let own = new.json("device show");
    assert_ne!(own["device"].as_str().unwrap(), device);
    assert_eq!((&own["role"], &own["holds_owner_key"]), (&"owner".into(), &false.into()));
    // It writes on; what the lost one writes later clears nothing.
    let hose = before[0][0]["code"].as_str().unwrap().to_owned();
    new.done(&format!("clean {hose}"));
    let held = new.json("list --verdict hold").as_array().unwrap().clone();
    for hose in &held {
        let hose = hose["code"].as_str().unwrap();
        let _ = lost.run(&format!("release {hose} --why fine"));
    }
    lost.done("bundle --out later.hwbundle");
    fs::copy(lost.path("later.hwbundle"), new.path("later.hwbundle")).unwrap();
    let merged = new.run("merge later.hwbundle");
    assert!(merged.out.contains("adds only"), "{}", merged.out);
    assert_eq!(new.json("list --verdict hold").as_array().unwrap().len(), held.len());
}

#[test]
fn a_backup_is_remembered_here_alone_and_asked_for_after_a_week() {
    let (desk, _) = shop();
    let today = |day: &str| {
        let mut command = Command::new(binary());
        command.env("HOSEWRIGHT_STORE", desk.store()).env("HOSEWRIGHT_KEYS", desk.path("keys"));
        let said = said(command.args(["--today", day, "today", "--json"]).output());
        let today: Value = serde_json::from_str(&said.out).unwrap();
        today["backup"].clone()
    };
    assert_eq!(today("2026-06-15")["remind"], true);
    desk.done("backup --out backup.hwbundle");
    assert_eq!(desk.run("backup --out backup.hwbundle").code, 2, "it is there already");
    assert_eq!(today("2026-06-15")["last"], "2026-06-15");
    assert_eq!(today("2026-06-30")["remind"], false, "nothing was recorded since");
    desk.hose();
    assert_eq!(today("2026-06-22")["remind"], false, "seven days");
    assert_eq!(today("2026-06-23")["remind"], true, "eight days");
    assert!(desk.run("today").out.contains("Last backup on this device: today."));
    // It goes nowhere with the record.
    let other = Desk::new();
    fs::copy(desk.path("backup.hwbundle"), other.path("backup.hwbundle")).unwrap();
    other.done("merge backup.hwbundle");
    assert!(other.json("today")["backup"]["last"].is_null());
    assert_eq!(desk.run("check").code, 0);
    assert_eq!(desk.run("check --rebuild").code, 0);
}

#[test]
fn a_restore_that_is_refused_changes_nothing() {
    let (lost, words) = shop();
    lost.done("backup --out backup.hwbundle");
    let new = Desk::new();
    fs::copy(lost.path("backup.hwbundle"), new.path("backup.hwbundle")).unwrap();
    for typed in ["", "one two three", &words.replacen(' ', " zzz ", 1)] {
        let said = with_words(&new, "restore backup.hwbundle", typed);
        assert_eq!((said.code, said.out.as_str()), (2, ""), "{typed}: {}", said.err);
        assert!(!said.err.contains("zzz"), "{}", said.err);
    }
    fs::write(new.path("not.hwbundle"), "PK").unwrap();
    assert_eq!(with_words(&new, "restore not.hwbundle", &words).code, 2);
    assert_eq!(new.json("list").as_array().unwrap().len(), 0);
    // A record that has something is never mixed with another so.
    let said = with_words(&lost, "restore backup.hwbundle", &words);
    assert_eq!(said.code, 2, "{}", said.out);
    assert!(said.err.contains("already has entries"), "{}", said.err);
}
