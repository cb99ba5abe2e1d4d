//! What is not believed, not known or missing, through the binary.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use super::doubt::{
    FULL, TESTED, answer, device, entry, held_by, met, ready, reason, reasons, refused, rental,
    verdict,
};
use hosewright_tests::desk::Desk;
use rusqlite::Connection;
use serde_json::{Value, json};
use std::fs;

/// 5. What is of the future ends nothing yet.
#[test]
fn entries_of_the_future_end_nothing() {
    let (here, ahead) = (Desk::new(), Desk::new());
    let old = here.hose();
    here.done(&format!("inspect {old} {FULL}"));
    here.done(&format!("describe {old} --made 2014-03 --why stamped"));
    let lot = here.hose();
    here.done("recall --lot B17 --start --why slips");
    held_by(&here, &old, "age-over");
    held_by(&here, &lot, "recalled");
    met(&here, &ahead);
    let then = "--today 2027-06-15";
    for line in [
        format!("describe {old} --made 2026-03 --why guessed"),
        format!("describe {lot} --lot B18 --why guessed"),
        "limits set --from-made 40y --in-service 40y".to_owned(),
        "recall end --lot B17 --why over".to_owned(),
        format!("inspect {lot} {FULL}"),
    ] {
        ahead.done(&format!("{line} {then}"));
    }
    met(&ahead, &here);
    held_by(&here, &old, "age-over");
    held_by(&here, &lot, "recalled");
    held_by(&here, &lot, "inspection-never");
    let later = here.json(&format!("answer {lot} --today 2027-06-17"));
    let codes: Vec<&str> =
        later["reasons"].as_array().unwrap().iter().filter_map(|r| r["code"].as_str()).collect();
    assert!(!codes.contains(&"recalled") && !codes.contains(&"inspection-never"), "{codes:?}");
}

/// 6. What was changed in the file is not believed, then or after a rebuild.
#[test]
fn bytes_that_were_changed_in_the_file_are_not_believed() {
    let desk = Desk::new();
    let hose = desk.hose();
    desk.done(&format!("inspect {hose} --kind quick"));
    let before = reasons(&desk, &hose);
    assert!(before.contains(&"inspection-never".to_owned()));
    let store = Connection::open(desk.store()).unwrap();
    let sql = "UPDATE entry SET body = replace(body, '\"quick\"', '\"full\"')";
    assert!(store.execute(sql, []).unwrap() > 0);
    drop(store);
    let said = desk.run("check");
    assert_eq!(said.code, 1, "{}", said.out);
    assert!(said.out.contains("was changed after it was written"), "{}", said.out);
    let _ = desk.run("check --rebuild");
    held_by(&desk, &hose, "inspection-never");
    assert_eq!(desk.run("check").code, 1, "it goes on being said");
    let history = desk.json(&format!("history {hose}"));
    assert_eq!(history.as_array().unwrap().last().unwrap()["believed"], false, "{history}");
}

/// 7. Of a hose that nobody here knows nothing is claimed.
#[test]
fn a_hose_that_nobody_here_knows() {
    let (here, there) = (Desk::new(), Desk::new());
    let hose = there.hose();
    here.hose();
    there.done(&format!("tag {hose} --out tag.png"));
    let text = there.json("read tag.png")["texts"][0].as_str().unwrap().to_owned();
    let answer = here.json(&format!("scan {text}"));
    assert_eq!((&answer["verdict"], &answer["dives"]), (&json!("hold"), &Value::Null));
    assert_eq!(answer["place"]["words"], "not known here");
    assert_eq!(answer["meaning"], "Not known here: ask before you dive it.");
    let said = here.run(&format!("scan {text}"));
    assert_eq!(said.code, 1);
    for claim in ["in stock", "0 dives", "may be dived", "No full inspection"] {
        assert!(!said.out.contains(claim), "{}", said.out);
    }
}

/// 12. Entries that are known to be missing may be about any hose.
#[test]
fn a_gap_in_the_record_is_said() {
    let (here, there) = (Desk::new(), Desk::new());
    let hose = ready(&here, "Heron", "personal");
    met(&here, &there);
    let of = |name: &str| there.path(name).display().to_string();
    there.done(&format!("clean {hose}"));
    there.done("bundle --out one.hwbundle");
    there.done(&format!("inspect {hose} --kind quick --finding run:bulge"));
    there.done("bundle --out two.hwbundle");
    there.done(&format!("clean {hose}"));
    there.done("bundle --out three.hwbundle --since two.hwbundle");
    here.done(&format!("merge {}", of("one.hwbundle")));
    assert_eq!(verdict(&here, &hose), "ready");
    here.done(&format!("merge {}", of("three.hwbundle")));
    assert_eq!(reason(&here, &hose, "record-gap").unwrap().0, "watch");
    let check = here.json("check");
    assert_eq!(check["gaps"], json!([device(&there)]));
    let lost = Desk::new();
    met(&here, &lost);
    assert_eq!(reason(&lost, &hose, "record-gap").unwrap().0, "watch");
    let number = device(&there);
    lost.done(&format!("device lost {number} --why drowned"));
    assert_eq!(reason(&lost, &hose, "record-gap"), None);
    refused(&lost, &format!("device lost {number} --why drowned"), "missing");
    // Or what is missing comes.
    here.done(&format!("merge {}", of("two.hwbundle")));
    assert_eq!(reason(&here, &hose, "record-gap"), None);
    assert_eq!(verdict(&here, &hose), "retire");
}

/// 13. Entries of the time before keys are kept, shown and not believed.
#[test]
fn unsigned_entries_are_not_believed_until_they_are_admitted() {
    let desk = Desk::new();
    let hose = desk.hose();
    let id = "000102030405060708090a0b0c0d0e0f";
    let line = |seq: u32, look: &str| {
        format!(
            "{{\"at\":[1780000000000,{seq}],\"body\":{{\"hose\":\"{hose}\",{look}}},\
             \"by\":\"x\",\"device\":\"{id}\",\"kind\":\"inspected\",\"on\":\"2026-06-14\",\
             \"seq\":{seq},\"v\":1}}\n"
        )
    };
    let full = line(1, "\"kind\":\"full\"");
    let quick = line(2, "\"findings\":[\"run:bulge\"],\"kind\":\"quick\"");
    fs::write(desk.path("old.jsonl"), full + &quick).unwrap();
    desk.done("import old.jsonl");
    held_by(&desk, &hose, "inspection-never");
    held_by(&desk, &hose, "not-believed");
    let listed = desk.json(&format!("device entries {}", &id[..8]));
    let said: Vec<&str> =
        listed.as_array().unwrap().iter().filter_map(|line| line["words"].as_str()).collect();
    assert_eq!(said.len(), 2, "{listed}");
    assert!(said[1].contains("a lump, blister or soft spot"), "{said:?}");
    let own = device(&desk);
    refused(&desk, &format!("device admit-entries {own}"), "admitted by its key");
    desk.done(&format!("device admit-entries {}", &id[..8]));
    assert_eq!(reason(&desk, &hose, "finding-bulge").unwrap().0, "retire");
    assert_eq!(reason(&desk, &hose, "inspection-never"), None);
    assert_eq!(reason(&desk, &hose, "not-believed"), None);
    assert_eq!(desk.run("check").code, 0);
}

/// 15. A clock that was years ahead is put right: what was written then is taken
///     back, and all goes on.
#[test]
fn a_clock_that_was_years_ahead_is_put_right() {
    let desk = Desk::new();
    let [one, two] = rental(&desk);
    let then = "--today 2036-06-15";
    desk.done(&format!("remove {two} {then}"));
    desk.done(&format!("inspect {one} {FULL} {then}"));
    desk.done(&format!("rental out Heron --ticket 1 {one} --override --why pool {then}"));
    assert_eq!(reason(&desk, &one, "clock-odd").unwrap().0, "watch");
    let ahead = [(&one, "handed-out"), (&one, "inspected"), (&two, "removed")];
    let ahead = ahead.map(|(hose, kind)| entry(&desk, hose, kind)[..16].to_owned());
    let together = format!("withdraw {} --why clock", ahead.join(" "));
    refused(&desk, &together, "--yes");
    // Taken back alone, each would leave the clock ahead.
    refused(&desk, &format!("withdraw {} --why clock --yes", ahead[0]), &ahead[1]);
    desk.done(&format!("{together} --yes"));
    for hose in [&one, &two] {
        assert_eq!(reason(&desk, hose, "clock-odd"), None, "{:?}", reasons(&desk, hose));
        assert_ne!(verdict(&desk, hose), "retire");
        desk.done(&format!("inspect {hose} {FULL}"));
        assert_eq!(verdict(&desk, hose), "ready", "{:?}", reasons(&desk, hose));
    }
    desk.done(&format!("remove {two}"));
    desk.done(&format!("fit {two} --set Heron --port LP3"));
    desk.done(&format!("inspect {two} {TESTED}"));
    desk.done(&format!("rental out Heron --ticket 2 {one} {two}"));
    desk.done(&format!("rental in Heron --nothing-found --dives 2 {one} {two}"));
    assert_eq!(answer(&desk, &one)["dives"], 2);
    let history = desk.json(&format!("history {two}"));
    let lines = history.as_array().unwrap();
    assert!(lines.iter().all(|line| line["believed"] == true), "{history}");
    assert!(lines.iter().any(|line| line["withdrawn"] == true), "{history}");
    // Others believe it too.
    let other = Desk::new();
    met(&desk, &other);
    for hose in [&one, &two] {
        assert_eq!(reasons(&other, hose), reasons(&desk, hose));
    }
    // A withdrawal can be withdrawn.
    let back = entry(&desk, &two, "withdrawn");
    desk.done(&format!("withdraw {back} --why mistaken --yes"));
    assert_eq!(reason(&desk, &two, "clock-odd").unwrap().0, "watch");
}
