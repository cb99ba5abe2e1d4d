//! The case file as others read it: its words by poppler's text, its photos and its pages.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::fmt::Write;
use std::fs;

use hosewright_tests::desk::{Desk, TODAY};
use hosewright_tests::page::Page;
use hosewright_tests::peers::run;

/// The words of a PDF with single spaces between them.
fn words(desk: &Desk, name: &str) -> String {
    let path = desk.path(name);
    let text = run("pdftotext", &["-layout", path.to_str().unwrap(), "-"], "");
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn pages(text: &str) -> usize {
    text.matches("Page ").count()
}

#[test]
fn a_case_file_tells_all_that_happened() {
    let desk = Desk::new();
    let hose = desk.hose();
    desk.done(&format!("describe {hose} --number LP-17"));
    desk.done("set new R3 --use rental --ports LP:3/8-24=2");
    desk.done(&format!("fit {hose} --set R3 --port LP1"));
    let picture = image::RgbImage::from_pixel(320, 240, image::Rgb([120, 150, 90]));
    picture.save(desk.path("cut.png")).unwrap();
    desk.done(&format!("inspect {hose} --kind full --finding run:scuff --photo run=cut.png"));
    desk.done(&format!("inspect {hose} --kind leak-test --pressure 200bar --passed"));
    desk.done("limits set --use rental --dives 300");
    desk.done(&format!("rental out R3 --ticket 4711 {hose}"));
    desk.done(&format!("rental in R3 --dives 4 --nothing-found {hose}"));
    desk.done("limits set --use rental --dives 200");
    let history = desk.json(&format!("history {hose}"));
    let back = history.as_array().unwrap().iter();
    let mut back = back.filter(|line| line["kind"] == "returned").map(|line| &line["entry"]);
    let back = back.next_back().and_then(|id| id.as_str()).unwrap().to_owned();
    let why = ["withdraw", &back, "--why", "the wrong ticket", "--yes"];
    assert_eq!(desk.run_args(why).code, 0);
    assert_ne!(desk.run_args(["hold", &hose, "--why", "breathed wet, Жук"]).code, 2);
    desk.done(&format!("case {hose} --out case.pdf --entries case.jsonl"));
    let text = words(&desk, "case.pdf");
    let number = desk.json("verify case.jsonl")["number"].as_str().unwrap().to_owned();
    for said in [
        "Case file: Hose LP-17",
        &hose,
        &format!("Made by tester on {TODAY}"),
        &format!("number of the list: {number}"),
        "This answer reports records; it does not test the hose.",
        // What the desk was shown, with the limits of then: not those of today.
        "The desk was shown:",
        &format!("LP-17, {hose}: ready: On the run: scuffed"),
        "Limits then: Rental use: in service, from the first fitting: 5 years",
        "dives: 300 dives (set by the owner for rental hoses)",
        "dives: 200 dives (set by the owner for rental hoses)",
        &format!("Withdrawn on {TODAY} by tester: the wrong ticket"),
        // A letter that the print lacks is told by its number.
        "Put on hold: breathed wet, <U+0416><U+0443><U+043A>.",
        "Deals with entry",
        "Dealt with in entry",
        "all hold",
        "Limits that the owner set",
    ] {
        assert!(text.contains(said), "no “{said}” in {text}");
    }
    let then = text.split("Limits then").nth(1).unwrap();
    assert!(then.split("Withdrawn").next().unwrap().contains("300 dives"), "{then}");
    let path = desk.path("case.pdf");
    let images = run("pdfimages", &["-list", path.to_str().unwrap()], "");
    assert!(images.lines().any(|line| line.contains("jpeg") && line.contains("320")), "{images}");
    let count = pages(&text);
    assert!(text.contains(&format!("Page 1 of {count}")), "{count}: {text}");
}

#[test]
fn a_set_tells_of_its_hoses_too() {
    let desk = Desk::new();
    let [first, second] = [desk.hose(), desk.hose()];
    desk.done("set new R3 --use rental --ports LP:3/8-24=2");
    desk.done(&format!("fit {first} --set R3 --port LP1"));
    desk.done(&format!("fit {second} --set R3 --port LP2"));
    desk.done(&format!("hold {second} --why doubt"));
    desk.done("case --set R3 --out case.pdf");
    let text = words(&desk, "case.pdf");
    for said in ["Case file: Set R3", "(!) HOLD", &first, &second, "Put on hold: doubt"] {
        assert!(text.contains(said), "no “{said}” in {text}");
    }
    // An entry about both is told once.
    let fitted = text.matches("Fitted to set R3").count();
    assert_eq!(fitted, 2);
}

/// Two thousand entries on many pages: none is lost, none is told twice, and no more
/// memory is needed than a page that shows the hose takes.
#[test]
fn two_thousand_entries_are_told_on_their_pages() {
    let desk = Desk::new();
    let hose = desk.hose();
    let mut lines = String::new();
    for seq in 1..=2000_u64 {
        let at = 1_767_225_600_000 + seq;
        writeln!(
            lines,
            r#"{{"at":[{at},0],"body":{{"hose":"{hose}"}},"by":"bench {seq}","device":"000102030405060708090a0b0c0d0e0f","kind":"cleaned","on":"2026-01-02","seq":{seq},"v":1}}"#
        )
        .unwrap();
    }
    fs::write(desk.path("many.jsonl"), lines).unwrap();
    desk.done("import many.jsonl");
    desk.done(&format!("case {hose} --out case.pdf --entries case.jsonl"));
    let text = words(&desk, "case.pdf");
    let told = (1..=2000).filter(|seq| text.contains(&format!("by bench {seq},"))).count();
    assert_eq!(told, 2000);
    // They were never signed, and that is said.
    assert!(text.contains("these do not hold: 1, 2, 3"), "{:.2000}", text);
    let said = desk.run("verify case.jsonl");
    assert_eq!(said.code, 1);
    assert!(said.out.contains("is signed by nobody"));
    let page = Page::of(&desk, &[]);
    assert_eq!(page.get(&format!("/hose/{hose}")).status, 200);
    let before = page.most_memory();
    for _ in 0..3 {
        assert_eq!(page.get(&format!("/hose/{hose}/case/case.pdf")).status, 200);
        assert_eq!(page.get(&format!("/hose/{hose}/case/entries.jsonl")).status, 200);
    }
    if let (Some(before), Some(after)) = (before, page.most_memory()) {
        assert!(after < before + 64 * 1024, "from {before} kB to {after} kB");
    }
}
