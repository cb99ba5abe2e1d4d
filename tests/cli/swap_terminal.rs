//! The guided swap as a person has it: the real binary in a terminal, a
//! question a step, left and continued.

#![cfg(unix)]
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use hosewright_tests::desk::Desk;
use hosewright_tests::terminal::talk;
use serde_json::{Value, json};

const INTERRUPT: &str = "\u{3}";
const END_OF_INPUT: &str = "\u{4}";

/// A fitted hose and one in stock that fits its place, ready to be swapped.
fn bench() -> (Desk, String, String) {
    let desk = Desk::new();
    let (old, new) = (desk.hose(), desk.hose());
    desk.done("set new Heron --use rental --ports HP:7/16-20=1,LP:3/8-24=2");
    desk.done(&format!("fit {old} --set Heron --port LP1"));
    for hose in [&old, &new] {
        desk.done(&format!("inspect {hose} --kind full"));
    }
    (desk, old, new)
}

fn next(desk: &Desk, line: &str) -> Value {
    desk.json(line)["next"]["step"].clone()
}

#[test]
fn a_whole_swap_is_asked_left_and_taken_up_again() {
    let (desk, old, new) = bench();
    let swap = format!("swap {old} {new}");
    let (shown, code) = talk(
        &desk,
        &swap,
        &[
            ("[1 of 15] depressurised", "perhaps\n"),
            ("“perhaps” does not answer step depressurised", ""),
            ("[1 of 15] depressurised", "no\n"),
            ("step depressurised comes first", ""),
            ("[1 of 15] depressurised", "done\n"),
            ("[2 of 15] laid-out", "done\n"),
            ("[3 of 15] old-tag", &format!("{new}\n")),
            ("scan that one", ""),
            ("[3 of 15] old-tag", &format!("{old}\n")),
            ("[4 of 15] held", "do"),
            ("do", INTERRUPT),
        ],
    );
    assert_eq!(code, -2, "{shown}");
    assert!(shown.contains(&format!("{old} off, {new} on: set Heron, port LP1")), "{shown}");
    assert_eq!(next(&desk, &swap), "held");
    assert_eq!(desk.export().matches("\"kind\":\"swapped\"").count(), 3);

    // Nothing typed, and no more input, leave it where it is.
    for leaving in ["\n", END_OF_INPUT] {
        let (shown, code) = talk(&desk, &swap, &[("[4 of 15] held", leaving), ("Left here", "")]);
        assert_eq!(code, 0, "{shown}");
        assert_eq!(next(&desk, &swap), "held");
    }

    let (shown, code) = talk(
        &desk,
        &swap,
        &[
            ("[4 of 15] held", "done\n"),
            ("[5 of 15] spanner", "done\n"),
            ("[6 of 15] off", "done\n"),
            ("[7 of 15] far-end-off", "done\n"),
            ("[8 of 15] seals", "fine\n"),
            ("answer good, missing or damaged", ""),
            ("[8 of 15] seals", "good\n"),
            ("[9 of 15] new-tag", &format!("{new}\n")),
            ("[10 of 15] started", "done\n"),
            ("[11 of 15] tightened", "44 N·m\n"),
            ("too tight", ""),
            ("[11 of 15] tightened", "5 N·m\n"),
            ("[12 of 15] far-end-on", "done\n"),
            ("[13 of 15] leak-test", "failed\n"),
            ("It is on record that it leaked.", ""),
            ("[13 of 15] leak-test", "passed at 200 bar\n"),
            ("[14 of 15] function-check", "done\n"),
            ("[15 of 15] old-goes", "retire: braid frayed\n"),
            ("The swap is finished.", ""),
        ],
    );
    assert_eq!(code, 0, "{shown}");
    assert_eq!(shown.matches("Over-tightening").count(), 1, "{shown}");
    // What is typed is behind its question and may run over.
    let asked = shown.lines().map(|line| line.split("): ").next().unwrap_or_default());
    let wide = asked.into_iter().find(|line| line.chars().count() > 80);
    assert_eq!(wide, None, "{shown}");
    let answer = desk.json(&format!("answer {new}"));
    assert_eq!((&answer["verdict"], &answer["place"]["port"]), (&json!("ready"), &json!("LP1")));
    assert_eq!(desk.json(&format!("answer {old}"))["verdict"], "retire");
    assert_eq!(desk.run("check").code, 0);
}
