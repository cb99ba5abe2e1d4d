//! Records of several devices that meet: the real binary, files and a folder.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::fs;
use std::process::Stdio;
use std::thread::sleep;
use std::time::Duration;

use hosewright_tests::desk::Desk;
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
    assert_eq!(desk.run("exchange nowhere").code, 2);
    assert_eq!(desk.export(), before);
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
    assert_eq!(merged(&centre, &back)["set_aside"], json!({ "dismissed": 1 }));
    let list = centre.run("device list").out;
    assert!(list.contains("dismissed") && list.contains("(boat)"), "{list}");
    assert_eq!(centre.json("check")["set_aside"], 1);
}

/// Killed in the middle, a merge or an exchange has happened whole or not at all.
#[test]
fn a_meeting_that_is_killed_is_whole_or_never_was() {
    const KILLS: usize = 60;
    const ENTRIES: u64 = 120;
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
    let folder = tempfile::tempdir().unwrap();
    let shared = folder.path().to_str().unwrap();
    from.done(&format!("exchange {shared}"));
    let file = at(&from, "all.hwbundle");
    from.done(&format!("bundle --out {file}"));
    let begun = std::time::Instant::now();
    Desk::new().done(&format!("merge {file}"));
    let whole = u64::try_from(begun.elapsed().as_micros()).unwrap();
    let mut random = ChaCha20Rng::seed_from_u64(909);
    let mut cut = 0;
    for kill in 0..KILLS {
        let desk = Desk::new();
        let line = if kill % 2 == 0 { ["merge", &file] } else { ["exchange", shared] };
        let mut child =
            desk.command(line).stdout(Stdio::null()).stderr(Stdio::null()).spawn().unwrap();
        sleep(Duration::from_micros(random.random_range(0..whole)));
        let _ = child.kill();
        cut += usize::from(!child.wait().unwrap().success());
        // Killed early, it has not begun a store yet.
        let begun = desk.store().exists();
        let entries = if begun { desk.json("check")["entries"].as_u64().unwrap() } else { 0 };
        assert!(entries == 0 || entries == ENTRIES, "{entries}");
        assert_eq!(desk.run(&format!("merge {file}")).code, 0);
        assert_eq!(desk.json("check")["entries"], ENTRIES);
    }
    // A harness whose kills all come too late would prove nothing.
    assert!(cut * 4 > KILLS, "only {cut} of {KILLS} kills came in time");
}
