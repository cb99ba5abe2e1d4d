//! Every hose of a set inspected and leak-tested by one command.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use hosewright_tests::desk::Desk;
use serde_json::Value;

/// A rental set with two low-pressure hoses and a gauge hose.
fn set(desk: &Desk) -> [String; 3] {
    desk.done("set new Heron --use rental --ports HP:7/16-20=1,LP:3/8-24=3");
    let hoses = [desk.hose(), desk.hose(), desk.gauge_hose()];
    for (hose, port) in hoses.iter().zip(["LP1", "LP2", "HP1"]) {
        desk.done(&format!("fit {hose} --set Heron --port {port}"));
    }
    hoses
}

fn codes(desk: &Desk, hose: &str) -> Vec<String> {
    let answer = desk.json(&format!("answer {hose}"));
    let reasons = answer["reasons"].as_array().unwrap();
    reasons.iter().filter_map(|reason| reason["code"].as_str()).map(str::to_owned).collect()
}

fn lines(desk: &Desk) -> usize {
    desk.export().lines().count()
}

#[test]
fn a_set_is_inspected_with_findings_by_hose_and_one_test() {
    let desk = Desk::new();
    let [a, b, gauge] = set(&desk);
    let all = format!("{a} {b} {gauge}");
    let before = lines(&desk);
    let done = desk.run(&format!(
        "inspect --set Heron {all} --finding {a}:run:scuff --pressure 200bar --method under-water --passed"
    ));
    assert_eq!(done.code, 0, "{}", done.err);
    assert_eq!(lines(&desk), before + 6);
    assert!(done.out.contains("Set Heron, rental use"), "{}", done.out);
    assert_eq!(codes(&desk, &a), ["finding-scuff"]);
    assert_eq!(codes(&desk, &b), [] as [String; 0]);
    assert_eq!(codes(&desk, &gauge), [] as [String; 0]);
    // One that leaked is held, and the others pass.
    let done = desk
        .run(&format!("inspect --set Heron {all} --pressure 200bar --failed --leaked {b} --json"));
    assert_eq!(done.code, 0, "{}", done.err);
    let set: Value = serde_json::from_str(&done.out).unwrap();
    assert_eq!(set["name"], "Heron");
    assert!(codes(&desk, &b).contains(&"leak-test-due".to_owned()), "{:?}", codes(&desk, &b));
    assert_eq!(codes(&desk, &gauge), [] as [String; 0]);
}

#[test]
fn damage_on_record_is_given_again_or_gone_with_a_reason() {
    let desk = Desk::new();
    let [a, b, _] = set(&desk);
    desk.done(&format!("inspect {a} --kind quick --finding run:cut:cover"));
    let asked = desk.run(&format!("inspect --set Heron {a} {b}"));
    assert_eq!(asked.code, 2, "{}", asked.out);
    assert!(asked.err.contains("LP1"), "{}", asked.err);
    let gone = desk.run(&format!("inspect --set Heron {a} {b} --gone {a}:run:cut --why tape"));
    assert_eq!(gone.code, 0, "{}", gone.err);
    assert!(!codes(&desk, &a).contains(&"finding-cut".to_owned()), "{:?}", codes(&desk, &a));
}

#[test]
fn what_is_wrong_is_said_and_writes_nothing() {
    let desk = Desk::new();
    let [a, b, gauge] = set(&desk);
    let stranger = desk.hose();
    let before = desk.export();
    for (line, why) in [
        (format!("--set Heron {a} {stranger}"), "not in set Heron"),
        (format!("--set Heron {a} QQQQQ"), "QQQQQ"),
        (format!("--set Heron {a} --finding {b}:run:scuff"), "were scanned"),
        (format!("--set Heron {a} --finding run:scuff"), "names its hose first"),
        (format!("--set Heron {a} --failed"), "--leaked CODE"),
        (format!("--set Heron {a} --pressure 200bar"), "passed or failed"),
        (format!("--set Heron {a} {gauge} --passed --pressure 149.9bar"), "HP1"),
        (format!("--set Heron {a} --passed"), "pressure"),
        (format!("--set Egret {a}"), "Egret"),
        (format!("--set Heron {a} --kind full"), "--kind"),
        (format!("{a} {b} --kind full"), "--set NAME"),
        (format!("{a} --kind full --finding {a}:run:scuff"), "only with --set"),
        (a.clone(), "--kind"),
    ] {
        let said = desk.run(&format!("inspect {line}"));
        assert_eq!(said.code, 2, "{line}: {}", said.out);
        assert!(said.err.contains(why), "{line}: {}", said.err);
    }
    assert_eq!(desk.export(), before);
    desk.done(&format!("inspect --set Heron {a} {gauge} --passed --pressure 150bar"));
}
