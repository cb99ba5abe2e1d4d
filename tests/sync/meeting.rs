//! Records of several devices that meet: the real binary, files and a folder.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::collections::BTreeSet;
use std::fs;

use hosewright_tests::desk::Desk;
use hosewright_tests::kills::{Ended, Stopped, of_each_kind, points, stopped, turns};
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha20Rng;
use serde_json::{Value, json};

/// What a merge with `--json` says of the first file.
fn merged(desk: &Desk, file: &str) -> Value {
    desk.json(&format!("merge {file}"))["merge"].clone()
}

fn reasons(desk: &Desk, hose: &str) -> Value {
    desk.json(&format!("answer {hose}"))["reasons"].clone()
}

fn at(desk: &Desk, name: &str) -> String {
    desk.path(name).to_str().unwrap().to_owned()
}

#[test]
fn a_bundle_brings_the_record_and_a_second_one_nothing() {
    let (counter, boat) = (Desk::new(), Desk::new());
    let hose = counter.hose();
    counter.done(&format!("inspect {hose} --kind full"));
    let file = at(&counter, "counter.hwbundle");
    counter.done(&format!("bundle --out {file}"));
    assert_eq!(merged(&boat, &file)["new"], 2);
    assert_eq!(merged(&boat, &file)["new"], 0);
    assert_eq!(reasons(&boat, &hose), reasons(&counter, &hose));

    // What the boat writes goes back alone.
    boat.done(&format!("inspect {hose} --kind quick --finding run:bulge"));
    let back = at(&boat, "boat.hwbundle");
    assert_eq!(
        boat.done(&format!("bundle --out {back} --since {file}")).split(' ').next(),
        Some("1")
    );
    assert_eq!(merged(&counter, &back)["new"], 1);
    assert_eq!(reasons(&boat, &hose), reasons(&counter, &hose));
    assert_eq!(counter.run(&format!("answer {hose}")).code, 1);
}

#[test]
fn devices_meet_in_a_folder() {
    let desks = [Desk::new(), Desk::new(), Desk::new()];
    let folder = tempfile::tempdir().unwrap();
    let shared = folder.path().to_str().unwrap();
    let hoses: Vec<String> = desks.iter().map(Desk::hose).collect();
    for _ in 0..2 {
        for desk in &desks {
            assert_eq!(desk.run(&format!("exchange {shared}")).code, 0);
        }
    }
    for desk in &desks {
        for hose in &hoses {
            assert_eq!(reasons(desk, hose), reasons(&desks[0], hose));
        }
        assert_eq!(desk.json("check")["entries"], 3);
    }
    // A file that is copied in part brings what is whole, and is no end of it.
    let file = fs::read_dir(folder.path()).unwrap().flatten().next().unwrap().path();
    let whole = fs::read(&file).unwrap();
    fs::write(&file, &whole[..whole.len() / 2]).unwrap();
    let late = Desk::new();
    assert_eq!(late.run(&format!("exchange {shared}")).code, 1);
    assert_eq!(late.json("check")["entries"], 3);
    fs::write(&file, &whole).unwrap();
    assert_eq!(late.run(&format!("exchange {shared}")).code, 0);
}

#[test]
fn files_that_are_no_bundles_are_refused_and_change_nothing() {
    let desk = Desk::new();
    desk.hose();
    desk.done("bundle --out own.hwbundle");
    let before = desk.export();
    fs::write(desk.path("later"), b"Hosewright bundle 2\nwhatever").unwrap();
    fs::write(desk.path("empty"), b"").unwrap();
    fs::write(desk.path("text"), b"a shopping list, rather long, and no bundle").unwrap();
    for (file, said) in [
        ("later", "update this program"),
        ("empty", "not a Hosewright bundle"),
        ("text", "not a Hosewright bundle"),
        ("missing", "missing"),
        ("store.hosewright", "not a Hosewright bundle"),
    ] {
        let refused = desk.run(&format!("merge {file}"));
        assert_eq!(refused.code, 2, "{file}: {}", refused.err);
        assert!(refused.err.contains(said), "{file}: {}", refused.err);
    }
    // What is no folder, and a stick that is not plugged in.
    for folder in ["text", "nowhere/hoses", "nowhere --list"] {
        assert_eq!(desk.run(&format!("exchange {folder}")).code, 2, "{folder}");
    }
    assert!(!desk.path("nowhere").exists());
    assert_eq!(desk.export(), before);
}

#[test]
fn the_folder_of_a_fresh_stick_is_made() {
    let (desk, other) = (Desk::new(), Desk::new());
    desk.hose();
    let shared = at(&desk, "stick");
    let said = desk.run(&format!("exchange {shared}"));
    assert_eq!((said.code, said.out.contains("Made the folder")), (0, true), "{}", said.out);
    let said = desk.run(&format!("exchange {shared}"));
    assert_eq!((said.code, said.out.contains("Made the folder")), (0, false), "{}", said.out);
    other.done(&format!("exchange {shared}"));
    assert_eq!(other.json("list"), desk.json("list"));
}

#[test]
fn an_owner_says_who_is_believed() {
    let (centre, phone) = (Desk::new(), Desk::new());
    let hose = centre.hose();
    let founded = centre.json("device found");
    assert_eq!(founded["words"].as_str().unwrap().split(' ').count(), 24);
    let fleet = founded["fleet"].as_str().unwrap();
    let file = at(&centre, "centre.hwbundle");
    centre.done(&format!("bundle --out {file}"));
    let told = phone.run(&format!("merge {file}"));
    assert!(told.out.contains(&format!("device join {fleet}")), "{}", told.out);
    phone.done(&format!("device join {fleet}"));
    let refused = phone.run(&format!("clean {hose}"));
    assert_eq!(refused.code, 2, "{}", refused.out);
    assert!(refused.err.contains("device admit"), "{}", refused.err);

    let own = phone.json("device show");
    let id = own["device"].as_str().unwrap();
    assert_eq!(own["role"], Value::Null);
    centre.done(&format!("device admit {id} --role bench --name boat"));
    centre.done(&format!("bundle --out {file} --force"));
    merged(&phone, &file);
    phone.done(&format!("clean {hose}"));
    assert_eq!(phone.run("limits set --dives 10").code, 2);
    let back = at(&phone, "phone.hwbundle");
    phone.done(&format!("bundle --out {back}"));
    assert_eq!(merged(&centre, &back)["set_aside"], json!({}));

    centre.done(&format!("device dismiss {}", &id[..8]));
    phone.done(&format!("clean {hose}"));
    phone.done(&format!("bundle --out {back} --force"));
    // It was admitted once: what it writes goes on adding, and ends nothing.
    assert_eq!(merged(&centre, &back)["set_aside"], json!({ "rights-taken": 1 }));
    let list = centre.run("device list").out;
    assert!(list.contains("dismissed") && list.contains("(boat)"), "{list}");
    assert_eq!(centre.json("check")["set_aside"], 1);
}

/// Killed at any point, a merge or an exchange has happened whole or not at all, and
/// what it leaves for others is whole.
fn is_whole_or_never_was(line: [&str; 2]) {
    const ENTRIES: u64 = 120;
    /// Besides those at the points.
    const RANDOM_KILLS: usize = 10;
    let from = Desk::new();
    let hose = from.hose();
    let lines: String = (1..ENTRIES)
        .map(|seq| {
            format!(
                "{{\"at\":[1780000000000,{seq}],\"body\":{{\"hose\":\"{hose}\"}},\"by\":\"x\",\
                 \"device\":\"000102030405060708090a0b0c0d0e0f\",\"kind\":\"cleaned\",\
                 \"on\":\"2026-06-14\",\"seq\":{seq},\"v\":1}}\n"
            )
        })
        .collect();
    fs::write(from.path("lines.jsonl"), lines).unwrap();
    from.done("import lines.jsonl");
    from.done("bundle --out from.hwbundle");
    // A device with an empty record, and a folder in which the other has left its own.
    let beside = || {
        let desk = Desk::new();
        desk.done("device show");
        fs::create_dir(desk.path("shared")).unwrap();
        fs::copy(from.path("from.hwbundle"), desk.path("shared/from.hwbundle")).unwrap();
        desk
    };
    let kill = |nth: usize, how: &mut dyn FnMut(Stopped) -> Ended| {
        let desk = beside();
        let ended = how(stopped(desk.command(line), &nth.to_string()));
        let entries = desk.json("check")["entries"].as_u64().unwrap();
        assert!(entries == 0 || entries == ENTRIES, "{entries}, {ended:?}");
        assert!(entries == ENTRIES || !ended.acknowledged(), "{ended:?}");
        let third = Desk::new();
        let met = third.run(&format!("exchange {}", at(&desk, "shared")));
        assert_eq!(met.code, 0, "{ended:?}: {}{}", met.out, met.err);
        assert_eq!(desk.run(&line.join(" ")).code, 0, "{ended:?}");
        assert_eq!(desk.json("check")["entries"], ENTRIES, "{ended:?}");
        (!ended.well, entries)
    };
    let mut random = ChaCha20Rng::seed_from_u64(909);
    let points = points(beside().command(line));
    let mut seen = BTreeSet::new();
    for nth in of_each_kind(&points) {
        let (landed, entries) = kill(nth, &mut Stopped::killed);
        assert!(landed, "{nth} of {points:?}");
        seen.insert(entries);
    }
    assert_eq!(seen, BTreeSet::from([0, ENTRIES]), "{points:?}");
    // And between the points, until enough kills have come in time.
    let (mut landed, mut tries) = (0, 0);
    while landed < RANDOM_KILLS {
        assert!(tries < 400, "only {landed} of {tries} kills came in time");
        let (nth, turns) = (random.random_range(1..=points.len()), turns(&mut random));
        let mut let_go = |stopped: Stopped| stopped.let_go_and_killed(turns);
        landed += usize::from(kill(nth, &mut let_go).0);
        tries += 1;
    }
}

#[test]
#[cfg_attr(not(debug_assertions), ignore = "a release build announces no points")]
fn a_merge_that_is_killed_is_whole_or_never_was() {
    is_whole_or_never_was(["merge", "shared/from.hwbundle"]);
}

#[test]
#[cfg_attr(not(debug_assertions), ignore = "a release build announces no points")]
fn an_exchange_that_is_killed_is_whole_or_never_was() {
    is_whole_or_never_was(["exchange", "shared"]);
}
