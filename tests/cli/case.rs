//! The case file on the command line, and its entries checked by another.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::fs;

use hosewright_tests::desk::Desk;

/// A set of two hoses that went out and came back.
fn centre() -> (Desk, [String; 2]) {
    let desk = Desk::new();
    let hoses = [desk.hose(), desk.hose()];
    desk.done("set new R3 --use rental --ports LP:3/8-24=2");
    for (hose, port) in hoses.iter().zip(["LP1", "LP2"]) {
        desk.done(&format!("fit {hose} --set R3 --port {port}"));
        desk.done(&format!("inspect {hose} --kind full"));
        desk.done(&format!("inspect {hose} --kind leak-test --pressure 200bar --passed"));
    }
    let [a, b] = &hoses;
    desk.done(&format!("rental out R3 --ticket 4711 {a} {b}"));
    desk.done(&format!("rental in R3 --dives 4 --nothing-found {a} {b}"));
    (desk, hoses)
}

#[test]
fn a_file_of_entries_is_checked_without_the_record() {
    let (desk, [hose, _]) = centre();
    let made = desk.json(&format!("case {hose} --out case.pdf --entries case.jsonl"));
    assert!(made["pages"].as_u64().unwrap() >= 1);
    // It came back together with another hose: that one's entry proves its own.
    let elsewhere = Desk::new();
    fs::copy(desk.path("case.jsonl"), elsewhere.path("case.jsonl")).unwrap();
    let said = elsewhere.json("verify case.jsonl");
    assert_eq!(said["holds"], true, "{said}");
    assert_eq!((&said["number"], &said["entries"]), (&made["number"], &made["entries"]));
    assert!(said["beside"].as_u64().unwrap() >= 1, "{said}");
    assert!(!elsewhere.store().exists());
    let words = elsewhere.run("verify case.jsonl");
    assert_eq!(words.code, 0);
    assert!(words.out.contains("All of it holds"), "{}", words.out);
    // The set's file has both hoses, and no more than the record.
    let set = desk.json("case --set R3 --entries set.jsonl");
    assert!(set["entries"].as_u64() > made["entries"].as_u64(), "{set}");
    assert_eq!(desk.run("verify set.jsonl").code, 0);
}

#[test]
fn what_does_not_hold_is_named_line_by_line() {
    let (desk, [hose, _]) = centre();
    desk.done(&format!("case {hose} --entries case.jsonl"));
    let whole = fs::read_to_string(desk.path("case.jsonl")).unwrap();
    let lines: Vec<&str> = whole.lines().collect();
    let count = lines.len();
    let changed = whole.replacen("4711", "4712", 1);
    let at = lines.iter().position(|line| line.contains("4711")).unwrap() + 1;
    let cut: String = lines.iter().skip(1).map(|line| format!("{line}\n")).collect();
    for (text, words) in [
        (changed, format!("Line {at}: entry ")),
        (cut, "is listed and is not in the file".to_owned()),
        (lines[..count - 1].join("\n"), format!("Line {}: it does not end with", count - 1)),
        (String::new(), "It does not end with".to_owned()),
        (format!("{whole}nonsense\n"), format!("Line {count}: it is not an entry")),
    ] {
        fs::write(desk.path("other.jsonl"), text).unwrap();
        let said = desk.run("verify other.jsonl");
        assert_eq!(said.code, 1, "{words}: {}{}", said.out, said.err);
        assert!(said.out.contains(&words), "{words}: {}", said.out);
        assert!(said.out.contains("Not all of it holds"), "{}", said.out);
    }
    assert_eq!(desk.run("verify no-such-file.jsonl").code, 2);
}

#[test]
fn nothing_is_written_over_or_half_written() {
    let (desk, [hose, _]) = centre();
    fs::write(desk.path("case.jsonl"), "mine").unwrap();
    let said = desk.run(&format!("case {hose} --out case.pdf --entries case.jsonl"));
    assert_eq!(said.code, 2, "{}{}", said.out, said.err);
    assert!(!desk.path("case.pdf").exists());
    assert_eq!(fs::read_to_string(desk.path("case.jsonl")).unwrap(), "mine");
    for line in ["case", "case --set R9 --out a.pdf", "case ZZZZZ --out a.pdf"] {
        assert_eq!(desk.run(line).code, 2, "{line}");
    }
    assert_eq!(desk.run(&format!("case {hose}")).code, 2, "neither file was asked for");
}
