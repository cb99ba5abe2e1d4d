//! People who work here, on the counter page: who says yes to what, PINs, badges, and who
//! left.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::fs;

use hosewright_tests::desk::Desk;
use hosewright_tests::page::{Page, plain};

/// A desk where Mo may release and change the list, and 7 does the everyday work; a hose
/// that 7 holds; and the page, on which 7 writes.
fn desk() -> (Desk, Page, String) {
    let desk = Desk::new();
    desk.done("staff add Mo --may release,staff");
    desk.done("--by Mo staff add 7");
    let hose = desk.hose();
    assert_eq!(desk.run_args(["hold", &hose, "--why", "it looks odd"]).code, 0);
    let mut page = Page::of(&desk, &[]);
    page.headers.push("Cookie: hosewright_by=7".to_owned());
    (desk, page, hose)
}

/// The code of somebody's badge.
fn badge(desk: &Desk, name: &str) -> String {
    let people = desk.json("staff list");
    let named = people.as_array().unwrap().iter().find(|person| person["name"] == name);
    named.unwrap()["person"].as_str().unwrap().to_owned()
}

#[test]
fn what_is_for_others_is_done_by_whoever_says_so() {
    let (desk, page, hose) = desk();
    let release = format!("/hose/{hose}/release");
    let asked = page.post(&release, &[("why", "it was the light")]);
    assert_eq!(asked.status, 409);
    let text = asked.text();
    let said = plain(&text);
    assert!(said.contains("7 may not release holds and quarantines; Mo may."), "{said}");
    assert!(text.contains("name=\"as_person\" value=\"Mo\""), "{text}");
    assert!(text.contains("name=\"why\" value=\"it was the light\""), "{text}");
    // Mo has no PIN here, and says yes by name.
    page.done(&release, &[("why", "it was the light"), ("as_person", "Mo")]);
    let history = desk.run(&format!("history {hose}")).out;
    assert!(history.contains("released: it was the light"), "{history}");
    let last = desk.export().lines().last().unwrap().to_owned();
    assert!(last.contains("\"by\":\"Mo\"") && last.contains("\"kind\":\"released\""), "{last}");
}

#[test]
fn a_pin_is_asked_for_and_is_on_no_page() {
    let (desk, page, hose) = desk();
    let mo = badge(&desk, "Mo");
    let staff = format!("/owner/staff/{mo}");
    // Mo's PIN is Mo's to choose.
    let refused = page.post(&format!("{staff}/pin"), &[("new_pin", "4821")]);
    assert!(plain(&refused.text()).contains("7 may not change the staff list"));
    page.done(&format!("{staff}/pin"), &[("new_pin", "4821"), ("as_person", "Mo")]);
    let release = format!("/hose/{hose}/release");
    let before = desk.export();
    let as_mo = [("why", "the light"), ("as_person", "Mo")];
    for (pin, words) in [
        (None, "To release holds and quarantines, give Mo's PIN."),
        (Some("0000"), "That is not the right PIN; nothing was written."),
        (Some("48 21"), "That is not the right PIN; nothing was written."),
    ] {
        let fields: Vec<_> = as_mo.into_iter().chain(pin.map(|pin| ("pin", pin))).collect();
        let refused = page.post(&release, &fields);
        assert_eq!(refused.status, 409, "{pin:?}");
        let text = refused.text();
        assert!(plain(&text).contains(words), "{pin:?}: {}", plain(&text));
        assert!(text.contains("type=\"password\"") && !text.contains("0000"), "{text}");
    }
    assert_eq!(desk.export(), before);
    page.done(&release, &[as_mo[0], as_mo[1], ("pin", "4821")]);
    // The owner is told of the wrong ones, until someone who may has seen it.
    let told = plain(&page.shown("/owner/staff"));
    assert!(told.contains("Mo : 2 wrong PINs since"), "{told}");
    let seen = [("as_person", "Mo"), ("pin", "4821")];
    page.done("/owner/staff/seen", &seen);
    assert!(!plain(&page.shown("/owner/staff")).contains("wrong PIN"));
    // Nothing of it leaves this computer.
    desk.done("bundle --out all.hwbundle");
    let bundle = fs::read(desk.path("all.hwbundle")).unwrap();
    let unpacked = desk.export();
    assert!(!unpacked.contains("argon2") && !unpacked.contains("4821"));
    assert!(!String::from_utf8_lossy(&bundle).contains("argon2"));
}

#[test]
fn a_badge_and_a_tap_change_who_writes() {
    let (desk, page, _) = desk();
    let mo = badge(&desk, "Mo");
    let badge = hosewright_core::tag::TagText::Badge(mo.parse().unwrap()).text();
    let scanned = page.get(&format!("/scan?text={badge}"));
    assert_eq!((scanned.status, scanned.header("location")), (303, "/"));
    assert!(scanned.header("set-cookie").starts_with("hosewright_by=Mo;"), "{scanned:?}");
    // One tap in the foot of every page, and back to it.
    let foot = page.shown("/hoses");
    assert!(
        foot.contains("<button type=\"submit\" name=\"by\" value=\"Mo\">Mo</button>"),
        "{foot}"
    );
    let tapped = page.post("/who", &[("by", "Mo"), ("back", "/hoses")]);
    assert_eq!(tapped.header("location"), "/hoses");
    for elsewhere in ["//example.org", "https://example.org/", "/nothing"] {
        let tapped = page.post("/who", &[("by", "Mo"), ("back", elsewhere)]);
        assert_eq!(tapped.header("location"), "/", "{elsewhere}");
    }
    // It is no hose's tag, and no set's.
    for path in [format!("/hose/{badge}"), format!("/set/Heron/out?scanned={badge}")] {
        assert!(!page.get(&path).text().contains("Something here is broken"), "{path}");
    }
    // Of somebody who left it opens nothing.
    desk.done("--by Mo staff left Mo");
    let scanned = page.get(&format!("/scan?text={badge}"));
    assert_eq!(scanned.status, 409);
    assert!(plain(&scanned.text()).contains("Mo no longer works here"));
}

#[test]
fn a_person_is_put_on_the_list_changed_and_ended() {
    let (desk, mut page, hose) = desk();
    page.headers = vec!["Cookie: hosewright_by=Mo".to_owned()];
    let to = page.done("/owner/staff", &[("name", "JB"), ("may", "retire"), ("may", "limits")]);
    let shown = page.shown(&to);
    assert!(shown.contains("value=\"JB\""), "{shown}");
    let refused = page.post("/owner/staff", &[("name", "jb")]);
    assert_eq!(refused.status, 409);
    assert!(plain(&refused.text()).contains("“jb” works here already"));
    for fields in [&[("name", "")][..], &[("name", "8"), ("may", "everything")]] {
        assert_eq!(page.post("/owner/staff", fields).status, 400, "{fields:?}");
    }
    page.done(&to, &[("name", "Jo"), ("may", "retire")]);
    let listed = plain(&page.shown("/owner/staff"));
    assert!(listed.contains("Jo Everyday work, and may retire hoses."), "{listed}");
    let left = page.done(&format!("{to}/left"), &[]);
    let said = plain(&page.shown(&left));
    assert!(said.contains("No device is known that they carry."), "{said}");
    assert!(plain(&page.shown("/owner/staff")).contains("No longer here"));
    assert_eq!(page.post(&format!("{to}/left"), &[]).status, 404);
    assert_eq!(page.get("/owner/staff/nobody").status, 404);
    assert_eq!(desk.run("--by Jo staff list").code, 0, "to look needs no name");
    let refused = desk.run_args(["--by", "Jo", "hold", &hose, "--why", "odd"]);
    assert_eq!(refused.code, 2);
    assert!(refused.err.contains("Jo no longer works here"), "{}", refused.err);
}
