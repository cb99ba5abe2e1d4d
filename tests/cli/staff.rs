//! People who work here, on the command line: PINs on standard input, badges, and who left.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::io::Write;
use std::process::Stdio;

use hosewright_core::tag::read_picture;
use hosewright_tests::desk::{Desk, Said, said};

/// Runs a command with something on standard input.
fn typed(desk: &Desk, line: &str, input: &str) -> Said {
    let mut child = desk
        .command(line.split_whitespace())
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    child.stdin.take().unwrap().write_all(input.as_bytes()).unwrap();
    said(child.wait_with_output())
}

#[test]
fn a_pin_is_chosen_and_asked_for() {
    let desk = Desk::new();
    let hose = desk.hose();
    desk.done("staff add Mo --may release,staff");
    for bad in ["123\n", "abcd\n", "\n"] {
        let refused = typed(&desk, "--by Mo staff pin Mo", bad);
        assert_eq!(refused.code, 2, "{bad}");
        assert!(refused.err.contains("a PIN has 4 to 12 digits"), "{}", refused.err);
    }
    assert_eq!(typed(&desk, "--by Mo staff pin Mo", "4821\n").code, 0);
    let _ = desk.run(&format!("hold {hose} --why odd"));
    let release = format!("--by Mo release {hose} --why fine");
    let before = desk.export();
    for (input, words) in [("", "give Mo's PIN"), ("0000\n", "not the right PIN")] {
        let refused = typed(&desk, &release, input);
        assert_eq!(refused.code, 2, "{input}");
        assert!(refused.err.contains(words), "{}", refused.err);
    }
    assert_eq!(desk.export(), before);
    let others = typed(&desk, &format!("--by Lee release {hose} --why fine"), "4821\n");
    assert_eq!(others.code, 2);
    assert!(others.err.contains("Lee may not release holds and quarantines; Mo may"));
    assert!(typed(&desk, &release, "4821\n").code < 2);
    let listed = desk.run("staff list").out;
    assert!(listed.contains("Mo: 1 wrong PIN since"), "{listed}");
    let today = desk.run("today").out;
    assert!(today.contains("Wrong PINs (1)"), "{today}");
    assert!(typed(&desk, "--by Mo staff pin Mo --remove", "4821\n").code == 0);
    assert!(!desk.run("today").out.contains("Wrong PINs"));
}

#[test]
fn a_badge_is_drawn_and_read() {
    let desk = Desk::new();
    desk.done("staff add 7");
    desk.done("staff badge 7 --out badge.png");
    let read = read_picture(&std::fs::read(desk.path("badge.png")).unwrap()).unwrap();
    let code = desk.json("staff list")[0]["person"].as_str().unwrap().replace('-', "");
    assert_eq!(read.len(), 1);
    assert!(read[0].text.starts_with(&format!("HW1:{code}.")), "{}", read[0].text);
    for bad in ["staff badge 7 --out badge.txt", "staff badge 8 --out other.png"] {
        assert_eq!(desk.run(bad).code, 2, "{bad}");
    }
    assert_eq!(desk.run("staff badge 7 --out badge.png").code, 2, "it is there already");
    // It is no hose's tag.
    let scanned = desk.run("scan badge.png");
    assert_eq!(scanned.code, 2);
    assert!(scanned.err.contains("a person's badge"), "{}", scanned.err);
}

#[test]
fn what_is_said_of_a_person_is_said_again_and_checked() {
    let desk = Desk::new();
    desk.done("staff add 7 --may retire");
    desk.done("staff change 7 --may release,limits");
    desk.done("staff change 7 --name Seven");
    assert_eq!(desk.json("staff list")[0]["may"], serde_json::json!(["release", "limits"]));
    desk.done("staff change seven --may none");
    assert!(desk.json("staff list")[0].get("may").is_none());
    for bad in ["staff add 8 --may everything", "staff add 8 --carries ffff", "staff left 8"] {
        assert_eq!(desk.run(bad).code, 2, "{bad}");
    }
    assert_eq!(desk.run("staff add seven").code, 2, "the name is taken");
    let left = desk.run("staff left Seven").out;
    assert!(left.contains("Seven: No longer works here."), "{left}");
}
