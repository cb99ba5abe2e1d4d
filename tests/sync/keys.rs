//! The owner's key: replaced, and under a pass phrase, where devices meet a counter.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::fs;
use std::io::Write;
use std::process::Stdio;

use hosewright_tests::desk::{Desk, Said, said};
use hosewright_tests::network::{at, counter, symbol};
use hosewright_tests::page::plain;

use crate::desks::{agree, met};

/// The words that a command prints: 24 on a line.
fn words(said: &str) -> String {
    let line = said.lines().find(|line| line.split_whitespace().count() == 24);
    line.unwrap_or_else(|| panic!("{said}")).to_owned()
}

fn told(desk: &Desk, line: &str, typed: &str) -> Said {
    let mut command = desk.command(line.split_whitespace());
    let command = command.stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped());
    let mut child = command.spawn().unwrap();
    child.stdin.take().unwrap().write_all(typed.as_bytes()).unwrap();
    said(child.wait_with_output())
}

#[test]
fn a_replaced_key_is_followed_and_a_fleet_joins_another() {
    let (shop, boat, branch) = (Desk::new(), Desk::new(), Desk::new());
    let old = words(&shop.run("device found").out);
    let (page, door) = counter(&shop);
    met(&boat, &at(&symbol(&page), &door));
    let refused = told(&shop, "device replace-key", "these are no words");
    assert_eq!(refused.code, 2, "{}", refused.out);
    let early = told(&shop, "device replace-key --since 2099-01-01", &old);
    assert!(early.code == 2 && early.err.contains("is after today"), "{}", early.err);
    let replaced = told(&shop, "device replace-key --since 2026-06-01", &old);
    assert_eq!(replaced.code, 0, "{}", replaced.err);
    // What the owner's own device wrote down counts.
    assert!(replaced.out.contains("had granted nothing since 2026-06-01"), "{}", replaced.out);
    assert_ne!(words(&replaced.out), old);
    let fleet = |desk: &Desk| desk.json("device show")["fleet"].as_str().unwrap().to_owned();
    assert_ne!(fleet(&boat), fleet(&shop));
    // Who knows the old key alone hears of the new one where it meets the counter.
    boat.hose();
    assert_eq!(boat.run("exchange").code, 0);
    assert_eq!(fleet(&boat), fleet(&shop));
    agree(&shop, &boat);
    let brought = told(&boat, "device recover", &old);
    assert!(brought.code == 2 && brought.err.contains("was replaced"), "{}", brought.err);

    // Another centre becomes part of this one, with what it wrote.
    branch.done("device found");
    let hose = branch.hose();
    branch.done("bundle --out theirs.hwbundle");
    shop.done(&format!("merge {}", branch.path("theirs.hwbundle").display()));
    assert_eq!(shop.run(&format!("answer {hose}")).code, 1, "not believed yet");
    let theirs = fleet(&branch);
    let taken = shop.run(&format!("device take-in {theirs}"));
    assert!(taken.out.contains("1 device of fleet"), "{}{}", taken.out, taken.err);
    assert_eq!(
        shop.run(&format!("answer {hose}")).code,
        branch.run(&format!("answer {hose}")).code
    );
    let early = branch.run(&format!("device follow {}", fleet(&shop)));
    assert!(early.code == 2 && early.err.contains("has not taken this one in"), "{}", early.err);
    shop.done("bundle --out ours.hwbundle");
    branch.done(&format!("merge {}", shop.path("ours.hwbundle").display()));
    branch.done(&format!("device follow {}", fleet(&shop)));
    assert_eq!(fleet(&branch), fleet(&shop));
    // It is a member: the counter needs no symbol for it, nor does it for the counter.
    met(&branch, &format!("https://{door}"));
    agree(&shop, &branch);
    for desk in [&shop, &boat, &branch] {
        desk.done("check");
    }
}

#[test]
fn a_key_under_a_pass_phrase_admits_nobody_without_it() {
    const PASS: &str = "sea horse under harbour wall";
    let (shop, boat, other) = (Desk::new(), Desk::new(), Desk::new());
    shop.done("device found");
    let keys = || -> Vec<String> {
        let files = fs::read_dir(shop.path("keys")).unwrap().flatten();
        files.map(|file| file.file_name().to_string_lossy().into_owned()).collect()
    };
    let fleet = shop.json("device show")["fleet"].as_str().unwrap().to_owned();
    assert!(keys().contains(&format!("{fleet}.key")));
    let short = told(&shop, "device seal", "short\n");
    assert!(short.code == 2 && short.err.contains("12 to 200 characters"), "{}", short.err);
    assert_eq!(told(&shop, "device seal", &format!("{PASS}\n")).code, 0);
    assert!(
        keys().contains(&format!("{fleet}.sealed")) && !keys().contains(&format!("{fleet}.key"))
    );
    assert!(shop.run("device show").out.contains("under a pass phrase"));
    let number = boat.json("device show")["device"].as_str().unwrap().to_owned();
    let admit = format!("device admit {number}");
    let refused = told(&shop, &admit, "");
    assert!(
        refused.code == 2 && refused.err.contains("rests under a pass phrase"),
        "{}",
        refused.err
    );
    let refused = told(&shop, &admit, "sea horse under harbour walls\n");
    assert!(refused.code == 2 && refused.err.contains("not the pass phrase"), "{}", refused.err);
    assert_eq!(shop.json("device list").as_array().unwrap().len(), 1, "nobody was admitted");
    assert_eq!(told(&shop, &admit, &format!("{PASS}\n")).code, 0);
    assert_eq!(
        told(&shop, "device words", &format!("{PASS}\n")).out.split_whitespace().count(),
        24
    );

    // The page asks for it, keeps what was typed, and shows it nowhere.
    let (page, door) = counter(&shop);
    let number = other.json("device show")["device"].as_str().unwrap().to_owned();
    let fields = [("device", number.as_str()), ("role", "bench"), ("name", "bench laptop")];
    let asked = page.post("/owner/devices", &fields);
    let text = asked.text();
    assert_eq!(asked.status, 409, "{}", plain(&text));
    assert!(text.contains("name=\"owner_pass\"") && text.contains("bench laptop"), "{text}");
    let wrong =
        page.post("/owner/devices", &[&fields[..], &[("owner_pass", "wrong words here")]].concat());
    assert!(wrong.status >= 400 && !wrong.text().contains("wrong words here"), "{}", wrong.status);
    page.done("/owner/devices", &[&fields[..], &[("owner_pass", PASS)]].concat());

    // A symbol that admits a device has it before the device comes.
    let late = Desk::new();
    let fields = [("role", "bench"), ("name", "late")];
    assert_eq!(page.post("/owner/meet/network/let-in", &fields).status, 409);
    let to =
        page.done("/owner/meet/network/let-in", &[&fields[..], &[("owner_pass", PASS)]].concat());
    let shown = page.shown(&to);
    assert!(!shown.contains(PASS));
    let text = shown.split("<textarea").nth(1).unwrap().split('>').nth(1).unwrap();
    met(&late, &at(text.split('<').next().unwrap(), &door));
    assert!(
        late.run("device show").out.contains("writes about hoses"),
        "{}",
        late.run("device show").out
    );
}
