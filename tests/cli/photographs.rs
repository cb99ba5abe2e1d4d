//! Photos that are kept with what an inspection found, through the real binary.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::fs;
use std::path::Path;

use hosewright_tests::desk::Desk;
use image::{ImageFormat, Rgb, RgbImage};
use rusqlite::Connection;
use serde_json::{Value, json};

/// A picture of 2000 × 1500 pixels, blue with a red stripe.
fn picture(path: &Path, format: ImageFormat) {
    let stripe = |x: u32| if (900..1100).contains(&x) { [200, 20, 20] } else { [30, 60, 160] };
    let picture = RgbImage::from_fn(2000, 1500, |x, _| Rgb(stripe(x)));
    picture.save_with_format(path, format).unwrap();
}

/// A desk with a hose whose cut was photographed.
fn photographed() -> (Desk, String, String) {
    let desk = Desk::new();
    let hose = desk.hose();
    picture(&desk.path("cut.png"), ImageFormat::Png);
    desk.done(&format!(
        "inspect {hose} --kind full --finding run:cut:cover --finding end-a:salt --photo \
         run=cut.png"
    ));
    let answer = desk.json(&format!("answer {hose}"));
    let findings = &answer["inspections"][0]["findings"];
    let of = |seen: &str| {
        let all = findings.as_array().unwrap();
        all.iter().find(|f| f["seen"] == seen).unwrap()["photograph"].clone()
    };
    assert_eq!(of("end-a:salt"), Value::Null);
    let name = of("run:cut:cover").as_str().unwrap().to_owned();
    (desk, hose, name)
}

/// What is written out is a JPEG file of at most 64 KiB, which shows what was
/// photographed; read with the image crate.
fn check_file(path: &Path) {
    let bytes = fs::read(path).unwrap();
    assert!(bytes.len() <= 64 * 1024, "{}", bytes.len());
    let read = image::load_from_memory_with_format(&bytes, ImageFormat::Jpeg).unwrap().to_rgb8();
    assert_eq!(read.dimensions(), (1280, 960));
    let (blue, red) = (read.get_pixel(100, 480).0, read.get_pixel(640, 480).0);
    assert!(blue[2] > 140 && blue[0] < 60 && red[0] > 180 && red[2] < 50, "{blue:?} {red:?}");
}

#[test]
fn a_photo_is_kept_shown_and_written_out() {
    let (desk, hose, name) = photographed();
    let photos = desk.json(&format!("photos {hose} --out shown"));
    assert_eq!(photos[0]["name"], json!(name));
    assert_eq!(photos[0]["place"], "run");
    assert_eq!(photos[0]["words"], "photo: on the run");
    let on = photos[0]["on"].as_str().unwrap();
    let file = desk.path(&format!("shown/{on}-run-{name}.jpg"));
    check_file(&file);
    assert_eq!(photos[0]["bytes"], json!(fs::metadata(&file).unwrap().len()));
    let again = desk.run(&format!("photos {hose} --out shown"));
    assert_eq!(again.code, 2, "{}", again.out);
    assert!(again.err.contains("--force"), "{}", again.err);
    desk.done(&format!("photos {hose} --out shown --force"));
    let history = desk.json(&format!("history {hose}"));
    let words: Vec<&str> =
        history.as_array().unwrap().iter().filter_map(|line| line["words"].as_str()).collect();
    assert_eq!(words.last(), Some(&"photo: on the run"));
    // A later look has no photo of its own, though it is on the same day.
    desk.done(&format!("inspect {hose} --kind full --finding run:scuff --gone run:cut --why tape"));
    let answer = desk.json(&format!("answer {hose}"));
    assert_eq!(answer["inspections"][0]["findings"][0]["photograph"], Value::Null);
    assert_eq!(desk.json(&format!("photos {hose}")).as_array().unwrap().len(), 1);
}

#[test]
fn a_photo_goes_wherever_the_record_goes() {
    let (desk, hose, name) = photographed();
    desk.done("bundle --out all.hwbundle");
    fs::write(desk.path("all.jsonl"), desk.export()).unwrap();
    for way in ["merge", "import"] {
        let other = Desk::new();
        let file = if way == "merge" { "all.hwbundle" } else { "all.jsonl" };
        other.done(&format!("{way} {}", desk.path(file).display()));
        let photos = other.json(&format!("photos {hose} --out shown"));
        assert_eq!(photos[0]["name"], json!(name), "{way}");
        let on = photos[0]["on"].as_str().unwrap();
        check_file(&other.path(&format!("shown/{on}-run-{name}.jpg")));
        assert_eq!(other.json("check")["problems"], json!([]));
    }
    let saved = desk.json("check --salvage saved.hosewright");
    assert_eq!(saved["saved"], desk.json("check")["entries"], "{saved}");
}

#[test]
fn what_cannot_be_kept_is_refused_and_changes_nothing() {
    let desk = Desk::new();
    let hose = desk.hose();
    picture(&desk.path("cut.jpg"), ImageFormat::Jpeg);
    fs::write(desk.path("words.jpg"), "no picture").unwrap();
    fs::write(desk.path("empty.jpg"), "").unwrap();
    let before = desk.export();
    for (rest, said) in [
        ("--finding run:scuff --photo run=cut.jpg --photo run=cut.jpg", "two photos of run"),
        ("--finding run:scuff --photo run=words.jpg", "words.jpg: this is not a PNG or JPEG"),
        ("--finding run:scuff --photo run=empty.jpg", "empty.jpg: the file is empty"),
        ("--finding run:scuff --photo run=none.jpg", "none.jpg"),
        ("--finding run:scuff --photo cut.jpg", "is not PLACE=FILE"),
        ("--finding run:scuff --photo tail=cut.jpg", "tail"),
        ("--finding run:bubbles:occasional --kind full --photo run=", "is not PLACE=FILE"),
    ] {
        let kind = if rest.contains("--kind") { "" } else { "--kind quick" };
        let refused = desk.run(&format!("inspect {hose} {kind} {rest}"));
        assert_eq!(refused.code, 2, "{rest}: {}", refused.out);
        assert!(refused.err.contains(said), "{rest}: {}", refused.err);
    }
    assert_eq!(desk.export(), before);
    // How a hose looked without a finding is worth keeping too.
    desk.done(&format!("inspect {hose} --kind quick --photo run=cut.jpg"));
    assert_eq!(desk.json(&format!("photos {hose}"))[0]["place"], "run");
    let none = desk.run(&format!("photos {hose} --force"));
    assert_eq!(none.code, 2, "{}", none.out);
}

/// A photo of someone else's that is none is kept and not shown, and the hose
/// is no better than `watch`; a program that has learnt to read it says so.
#[test]
fn what_an_earlier_program_could_not_read_is_read_by_a_later_one() {
    let (desk, hose, _) = photographed();
    let verdict = || desk.json(&format!("answer {hose}"))["verdict"].clone();
    desk.done(&format!("clean {hose}"));
    let reasons = || {
        let answer = desk.json(&format!("answer {hose}"));
        let all = answer["reasons"].as_array().unwrap();
        all.iter().map(|r| r["code"].as_str().unwrap().to_owned()).collect::<Vec<_>>()
    };
    let before = (verdict(), reasons());
    assert!(!before.1.contains(&"not-all-read".to_owned()));
    // As the program before this kind left its store.
    let store = Connection::open(desk.store()).unwrap();
    let changed = store
        .execute(
            "UPDATE hose SET record = json_remove(json_set(record, '$.unread', 1), \
             '$.seen[0].photographs')",
            [],
        )
        .unwrap();
    assert_eq!(changed, 1);
    drop(store);
    assert_eq!((verdict(), reasons()), before);
    let lines = desk.export();
    let line = lines.lines().find(|line| line.contains("\"photographed\"")).unwrap();
    let mut broken: Value = serde_json::from_str(line).unwrap();
    broken["body"]["photograph"] = json!("AAAA");
    broken["device"] = json!("0123456789abcdef0123456789abcdef");
    broken["seq"] = json!(1);
    for key in ["prev", "sig"] {
        broken.as_object_mut().unwrap().remove(key);
    }
    fs::write(desk.path("broken.jsonl"), format!("{broken}\n")).unwrap();
    desk.done("import broken.jsonl");
    // Nobody answers for who wrote it: until it is admitted that is what is said.
    assert!(reasons().contains(&"not-believed".to_owned()), "{:?}", reasons());
    desk.done("device admit-entries 0123456789abcdef");
    assert!(reasons().contains(&"not-all-read".to_owned()), "{:?}", reasons());
    assert_eq!(desk.json(&format!("photos {hose}")).as_array().unwrap().len(), 1);
}
