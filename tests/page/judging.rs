//! Recalls, strangers' entries and missing ones, judged on the counter page.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use super::doubt::{brought, good, reasons, verdict};
use hosewright_tests::desk::Desk;
use hosewright_tests::page::{Page, plain};
use std::fs;

#[test]
fn a_recall_is_ended_and_a_hose_checked_off() {
    let desk = Desk::new();
    let code = good(&desk);
    let page = Page::of(&desk, &[]);
    page.done("/owner/recall", &[("lot", "B17"), ("why", "crimps slip")]);
    let shown = page.shown("/owner/recall?lot=B17");
    assert!(shown.contains("/owner/recall/end") && shown.contains("/owner/recall/check-off"));
    assert_eq!(page.post("/owner/recall/end", &[("lot", "B17")]).status, 400);
    let why = ("why", "crimped later, says the maker");
    page.done("/owner/recall/check-off", &[("lot", "B17"), ("code", &code), why]);
    assert_eq!(verdict(&desk, &code), "ready");
    page.done("/owner/recall/end", &[("lot", "B17"), ("why", "the maker ended it")]);
    assert_eq!(page.post("/owner/recall/end", &[("lot", "B17"), why]).status, 409);
}

#[test]
fn what_a_stranger_wrote_is_listed_and_dismissed() {
    let (desk, stranger) = (Desk::new(), Desk::new());
    let code = good(&desk);
    brought(&desk, &stranger, "record");
    desk.done("device found");
    stranger.done(&format!("inspect {code} --kind quick --finding run:bulge"));
    brought(&stranger, &desk, "back");
    assert_eq!(reasons(&desk, &code), ["not-believed"]);
    let page = Page::of(&desk, &[]);
    let answer = page.shown(&format!("/hose/{code}"));
    assert!(plain(&answer).contains("[not believed]"), "{}", plain(&answer));
    assert!(answer.contains("class=\"button main\" href=\"/hose/") && answer.contains("kind=full"));
    let devices = page.shown("/owner/devices");
    let id = devices.split("/owner/devices/entries?device=").nth(1).unwrap();
    let id = id.split('"').next().unwrap();
    let listed = page.shown(&format!("/owner/devices/entries?device={id}"));
    assert!(plain(&listed).contains("a lump, blister"), "{}", plain(&listed));
    assert!(!listed.contains("/take-back/"), "what is not believed is dismissed");
    // What signs is admitted by its key, and nothing of it is missing.
    assert!(!listed.contains("/owner/devices/admit") && !listed.contains("/owner/devices/lost"));
    assert_eq!(page.post("/owner/devices/admit", &[("device", id)]).status, 409);
    assert_eq!(page.post("/owner/devices/lost", &[("device", id), ("why", "gone")]).status, 409);
    let dismiss = "/owner/devices/dismiss";
    assert_eq!(page.post(dismiss, &[("device", id)]).status, 400);
    page.done(dismiss, &[("device", id), ("why", "a stranger's telephone")]);
    // A lump that was seen is looked for before it is forgotten.
    assert_eq!(reasons(&desk, &code), ["corrected"]);
    desk.done(&format!("inspect {code} --kind full"));
    assert_eq!(verdict(&desk, &code), "ready");
}

#[test]
fn unsigned_entries_are_admitted_and_missing_ones_declared_lost() {
    let desk = Desk::new();
    let code = good(&desk);
    let device = "000102030405060708090a0b0c0d0e0f";
    let lines: String = [1, 3]
        .map(|seq| {
            format!(
                "{{\"at\":[1780000000000,{seq}],\"body\":{{\"hose\":\"{code}\"}},\"by\":\"x\",\
                 \"device\":\"{device}\",\"kind\":\"cleaned\",\"on\":\"2026-06-14\",\
                 \"seq\":{seq},\"v\":1}}\n"
            )
        })
        .concat();
    fs::write(desk.path("lines.jsonl"), lines).unwrap();
    desk.done("import lines.jsonl");
    let page = Page::of(&desk, &[]);
    let at = format!("/owner/devices/entries?device={device}");
    let listed = page.shown(&at);
    assert!(listed.contains("/owner/devices/admit") && listed.contains("/owner/devices/lost"));
    assert!(plain(&listed).contains("[not believed]"), "{}", plain(&listed));
    page.done("/owner/devices/admit", &[("device", device)]);
    let shown = plain(&page.shown(&at));
    assert!(shown.contains("Every entry of this device is believed."), "{shown}");
    let lost = [("device", device), ("why", "that computer is gone")];
    page.done("/owner/devices/lost", &lost);
    assert!(!reasons(&desk, &code).contains(&"record-gap".to_owned()));
}
