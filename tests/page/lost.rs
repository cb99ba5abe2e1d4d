//! What an owner shows, and what is done when something is lost, on the counter page.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::collections::BTreeSet;
use std::fs;

use hosewright_tests::desk::Desk;
use hosewright_tests::page::{Page, plain};

/// A counter with an owner, a phone that wrote, and the owner's words.
fn fleet() -> (Desk, String, String) {
    let desk = Desk::new();
    desk.hose();
    let found = desk.json("device found");
    let [fleet, words] = ["fleet", "words"].map(|name| found[name].as_str().unwrap().to_owned());
    let phone = Desk::new();
    phone.done(&format!("device join {fleet}"));
    let device = phone.json("device show")["device"].as_str().unwrap().to_owned();
    let admit = ["device", "admit", &device, "--role", "bench", "--name", "boat phone"];
    assert_eq!(desk.run_args(admit).code, 0);
    desk.done("bundle --out counter.hwbundle");
    fs::copy(desk.path("counter.hwbundle"), phone.path("counter.hwbundle")).unwrap();
    phone.done("merge counter.hwbundle");
    phone.gauge_hose();
    phone.done("bundle --out phone.hwbundle");
    fs::copy(phone.path("phone.hwbundle"), desk.path("phone.hwbundle")).unwrap();
    desk.done("merge phone.hwbundle");
    (desk, device, words)
}

fn role(desk: &Desk, device: &str) -> String {
    let devices = desk.json("device list");
    let all = devices.as_array().unwrap().iter();
    let found = all.filter(|row| row["device"] == device).map(|row| row["role"].to_string());
    found.collect()
}

/// Takes the owner's key off a computer.
fn forget_owner(desk: &Desk) {
    let fleet = desk.json("device show")["fleet"].as_str().unwrap().to_owned();
    fs::remove_file(desk.path("keys").join(format!("{fleet}.key"))).unwrap();
}

#[test]
fn a_case_file_is_two_downloads() {
    let desk = Desk::new();
    let hose = desk.hose();
    desk.done("set new R3 --use rental --ports LP:3/8-24=2");
    desk.done(&format!("fit {hose} --set R3 --port LP1"));
    let page = Page::of(&desk, &[]);
    for of in [format!("/hose/{hose}"), "/set/R3".to_owned()] {
        assert!(page.shown(&of).contains(&format!("href=\"{of}/case\"")), "{of}");
        let shown = page.shown(&format!("{of}/case"));
        assert!(plain(&shown).contains("The number of the list is on the case file too"));
        let pdf = page.get(&format!("{of}/case/case.pdf"));
        assert_eq!(pdf.header("content-type"), "application/pdf");
        assert!(pdf.bytes.starts_with(b"%PDF-"));
        let entries = page.get(&format!("{of}/case/entries.jsonl"));
        fs::write(desk.path("entries.jsonl"), &entries.bytes).unwrap();
        assert_eq!(desk.run("verify entries.jsonl").code, 0, "{of}");
    }
    for missing in ["/hose/ZZZZZ/case", "/set/R9/case", "/set/R9/case/case.pdf"] {
        assert!((400..500).contains(&page.get(missing).status), "{missing}");
    }
}

#[test]
fn a_phone_is_dismissed_with_words_that_nobody_sees_again() {
    let (desk, device, words) = fleet();
    forget_owner(&desk);
    let page = Page::of(&desk, &[]);
    for at in ["/lost/phone", "/lost/laptop", "/left"] {
        let shown = page.shown(at);
        assert!(shown.contains("type=\"password\""), "{at}");
        assert!(shown.contains("boat phone"), "{at}: {shown}");
    }
    let slip = words.replacen(' ', " hozes ", 1);
    let mut heads = BTreeSet::new();
    for typed in [slip.as_str(), "", &words[..words.len() / 2]] {
        let refused = page.post("/lost/phone", &[("device", &device), ("words", typed)]);
        assert_eq!(refused.status, 400, "{typed}");
        let text = refused.text();
        assert!(!text.contains("hozes"), "{text}");
        // None of the words is on the page, in an address or in a cookie.
        let field = text.split("name=\"words\"").nth(1).unwrap();
        let field = field.split('>').next().unwrap();
        assert!(field.contains("value=\"\"") && field.contains("autocomplete=\"off\""), "{field}");
        assert!(text.contains(&format!("value=\"{device}\"")), "the device stays chosen");
        // What is typed changes nothing in the answer's head. (The words are drawn by chance, and
        // some of them, as "same" or "frame", are in every head.)
        let head = refused
            .head
            .iter()
            .filter(|line| !line.starts_with("date:") && !line.starts_with("content-length:"));
        heads.insert(head.cloned().collect::<Vec<_>>());
    }
    assert_eq!(heads.len(), 1, "{heads:?}");
    assert_eq!(role(&desk, &device), "\"bench\"");
    let to = page.done("/lost/phone", &[("device", &device), ("words", &words)]);
    assert_eq!(to, format!("/lost/phone?done={device}"));
    assert_eq!(role(&desk, &device), "\"dismissed\"");
    let shown = plain(&page.shown(&to));
    assert!(shown.contains("up to its number 1 stands: 1 entry here"), "{shown}");
    // The words were used, and the key is not here.
    assert_eq!(desk.json("device show")["holds_owner_key"], false);
    assert!(plain(&page.shown("/lost/phone")).contains("No other device that may write"));
}

#[test]
fn what_can_not_be_dismissed_is_said() {
    let desk = Desk::new();
    desk.hose();
    let page = Page::of(&desk, &[]);
    let shown = page.shown("/left");
    assert!(plain(&shown).contains("This record has no owner"), "{shown}");
    let own = desk.json("device show")["device"].as_str().unwrap().to_owned();
    for device in [own.as_str(), "nobody", ""] {
        let refused = page.post("/left", &[("device", device), ("words", "")]);
        assert!((400..500).contains(&refused.status), "{device}: {}", refused.status);
    }
}

#[test]
fn a_backup_is_one_press_and_brings_the_record_back() {
    let (desk, _, words) = fleet();
    let page = Page::of(&desk, &[]);
    let shown = page.shown("/");
    assert!(shown.contains("action=\"/backup\""), "{shown}");
    assert!(plain(&shown).contains("No backup has been made on this device."));
    let backup = page.post("/backup", &[]);
    assert_eq!(backup.status, 200);
    assert!(backup.header("content-disposition").contains("backup-2026-06-15.hwbundle"));
    assert!(plain(&page.shown("/")).contains("Last backup on this device: today."));
    let before = desk.json("list");

    let new = Desk::new();
    let fresh = Page::of(&new, &[]);
    assert!(fresh.shown("/").contains("href=\"/restore\""));
    let refused =
        fresh.file("/restore", &[("words", "hozes"), ("name", "till")], "file", &backup.bytes);
    assert_eq!(refused.status, 400);
    let text = refused.text();
    assert!(!text.contains("hozes") && text.contains("value=\"till\""), "{text}");
    let fields = [("words", words.as_str()), ("name", "till"), ("dismiss", "yes")];
    let done = fresh.file("/restore", &fields, "file", &backup.bytes);
    let text = plain(&done.text());
    assert_eq!(done.status, 200, "{text}");
    for said in ["The record is back", "(till) of it", "is dismissed", "(boat phone): complete"] {
        assert!(text.contains(said), "no “{said}” in {text}");
    }
    // One of them alone may be a word of the answer.
    let two = words.split(' ').take(2).collect::<Vec<_>>().join(" ");
    assert!(!text.contains(&two), "{}", text);
    let rows = |list: &serde_json::Value| {
        let all = list.as_array().unwrap().iter();
        all.map(|row| (row["code"].clone(), row["verdict"].clone())).collect::<Vec<_>>()
    };
    assert_eq!(rows(&new.json("list")), rows(&before));
}
