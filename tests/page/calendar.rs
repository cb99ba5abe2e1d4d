//! The calendar of what is due at its secret address: read without a session, changed and
//! switched off at once, and in nothing that leaves this desk.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::fs;
use std::io::Write;
use std::path::Path;
use std::process::Stdio;

use hosewright_tests::desk::{Desk, said};
use hosewright_tests::page::{Page, plain};

/// The addresses that the page shows, as paths.
fn addresses(page: &Page) -> Vec<String> {
    let shown = page.shown("/owner/calendar");
    let text = shown.split("<textarea").skip(1).filter_map(|part| part.split('>').nth(1));
    let text = text.filter_map(|part| part.split('<').next());
    text.filter_map(|address| Some(format!("/{}", address.splitn(4, '/').nth(3)?))).collect()
}

fn new_address(page: &Page) -> String {
    assert_eq!(page.done("/owner/calendar/new", &[]), "/owner/calendar?written=yes");
    let all = addresses(page);
    assert!(!all.is_empty() && all.iter().all(|one| *one == all[0]), "{all:?}");
    all[0].clone()
}

/// Whether any file under a folder holds a text.
fn holds(folder: &Path, text: &str) -> Vec<String> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).unwrap().flatten() {
        let path = entry.path();
        if path.is_dir() {
            found.extend(holds(&path, text));
        } else if fs::read(&path).unwrap().windows(text.len()).any(|w| w == text.as_bytes()) {
            found.push(path.file_name().unwrap().to_string_lossy().into_owned());
        }
    }
    found
}

#[test]
fn the_address_is_made_changed_and_switched_off() {
    let desk = Desk::new();
    let hose = desk.hose();
    let page = Page::of(&desk, &[]);
    assert!(plain(&page.shown("/owner/calendar")).contains("The calendar is off"));
    assert_eq!(page.get("/calendar/anything.ics").status, 404);
    let first = new_address(&page);
    let name = first.strip_prefix("/calendar/").unwrap().strip_suffix(".ics").unwrap();
    assert!(name.len() == 32 && name.chars().all(|c| c.is_ascii_alphanumeric()), "{first}");
    let feed = page.get(&first);
    assert_eq!(feed.status, 200);
    assert_eq!(feed.header("content-type"), "text/calendar; charset=utf-8");
    let text = feed.text();
    assert!(text.starts_with("BEGIN:VCALENDAR\r\n") && text.ends_with("END:VCALENDAR\r\n"));
    assert!(text.contains(&format!("SUMMARY:{hose}: full inspection\r\n")), "{text}");
    for secret in ["Kelpline", "B17", "braided", "tester"] {
        assert!(!text.contains(secret), "{secret}");
    }
    let second = new_address(&page);
    assert_ne!(first, second);
    assert_eq!((page.get(&first).status, page.get(&second).status), (404, 200));
    page.done("/owner/calendar/off", &[]);
    assert_eq!(page.get(&second).status, 404);
    assert!(addresses(&page).is_empty());
    // The same as a file, with how far ahead.
    let file = page.get("/owner/due/calendar.ics?within=90d");
    assert!(file.header("content-disposition").starts_with("attachment"));
    assert_eq!(page.get("/owner/due/calendar.ics?within=soon").status, 400);
}

#[test]
fn other_devices_read_it_without_the_pass_phrase_and_nothing_else() {
    let desk = Desk::new();
    desk.hose();
    let mut child = desk
        .command(["desk", "--pass-phrase"])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    child.stdin.take().unwrap().write_all(b"sea horse under harbour wall\n").unwrap();
    assert_eq!(said(child.wait_with_output()).code, 0);
    let mut owner = Page::of(&desk, &["--lan"]);
    owner.sign_in("sea horse under harbour wall");
    let address = new_address(&owner);
    owner.headers.clear();
    assert_eq!(owner.get("/owner/due").status, 303, "there is no session any more");
    assert_eq!(owner.get(&address).status, 200);
    // A wrong address, and one that cannot be read, say nothing of the desk.
    for wrong in ["/calendar/aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa.ics", "/calendar/%FF.ics"] {
        let refused = owner.get(wrong);
        let text = refused.text();
        assert!([400, 404].contains(&refused.status), "{wrong}: {}", refused.status);
        assert!(!text.contains("tester") && !text.contains("name=\"token\""), "{text}");
    }
    for way in ["/calendar", "/calendar/", "/calendar/x/y", "/owner/calendar"] {
        assert_eq!(owner.get(way).status, 303, "{way}");
    }
    let posted = owner.ask("POST", &address, &[], b"");
    assert!([401, 403, 405].contains(&posted.status), "{}", posted.status);
}

#[test]
fn the_address_travels_in_nothing() {
    let desk = Desk::new();
    desk.hose();
    let page = Page::of(&desk, &[]);
    let address = new_address(&page);
    let secret = address.split('/').nth(2).unwrap().strip_suffix(".ics").unwrap();
    fs::create_dir_all(desk.path("out/folder")).unwrap();
    for (at, name) in [
        ("/owner/record/export.jsonl", "export.jsonl"),
        ("/owner/record/bundle.hwbundle", "bundle.hwbundle"),
    ] {
        fs::write(desk.path("out").join(name), page.get(at).bytes).unwrap();
    }
    desk.done("exchange out/folder");
    // A bundle is packed: what it brings is looked for in the record that takes it in.
    let other = Desk::new();
    other.done(&format!("merge {}", desk.path("out/bundle.hwbundle").display()));
    other.done("check");
    assert_eq!(holds(&other.path(""), secret), Vec::<String>::new());
    drop(page);
    desk.done("check");
    assert_eq!(holds(&desk.path(""), secret), ["page-calendar"], "only among the keys");
}
