//! Meeting in a folder at the counter page.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use hosewright_tests::desk::Desk;
use hosewright_tests::page::{Page, plain};
use std::fs;

#[test]
fn two_desks_meet_in_a_folder_on_a_fresh_stick() {
    let (one, other, stick) = (Desk::new(), Desk::new(), tempfile::tempdir().unwrap());
    let code = one.hose();
    other.hose();
    let (page, others) = (Page::of(&one, &[]), Page::of(&other, &[]));
    let folder = stick.path().join("hoses");
    let field = [("folder", folder.to_str().unwrap())];
    let met = plain(&page.met("/owner/meet/folder", &field).text());
    assert!(met.contains("No other device left anything there yet"), "{met}");
    let met = plain(&others.met("/owner/meet/folder", &field).text());
    assert!(met.contains("1 entry new, 0 known already") && met.contains("1 hose is new"), "{met}");
    let met = plain(&page.met("/owner/meet/folder", &field).text());
    assert!(met.contains("1 entry new"), "{met}");
    assert_eq!(other.json(&format!("answer {code}"))["code"], *code);
    // What comes in is said by the hoses that stand otherwise since.
    other.done(&format!("inspect {code} --kind quick --finding run:bulge"));
    let _ = others.met("/owner/meet/folder", &field);
    let met = plain(&page.met("/owner/meet/folder", &field).text());
    assert!(met.contains(&format!("{code} is retire now; it was hold")), "{met}");
    // Both have said what they have.
    let known = plain(&page.shown("/owner/meet"));
    assert!(
        known.contains("on 15 June it had all") || known.contains("today it had all"),
        "{known}"
    );
    assert!(known.contains("Nothing is contested"), "{known}");
    // A file that is there in part brings what is whole in it, or says why not.
    let half = folder.join("half.hwbundle");
    fs::write(&half, b"Hosewright bundle 1\n\0\0\0").unwrap();
    let met = plain(&page.met("/owner/meet/folder", &field).text());
    assert!(met.contains("half.hwbundle"), "{met}");
}

#[test]
fn a_folder_that_cannot_be_is_refused_beside_its_field() {
    let desk = Desk::new();
    desk.hose();
    let page = Page::of(&desk, &[]);
    let file = desk.path("a-file");
    fs::write(&file, "").unwrap();
    let gone = desk.path("not-plugged-in/hoses");
    for (folder, words) in [
        ("", "whole path of the folder"),
        ("hoses", "whole path of the folder"),
        (gone.to_str().unwrap(), "not-plugged-in"),
        (file.to_str().unwrap(), "a-file"),
    ] {
        let refused = page.post("/owner/meet/folder", &[("folder", folder)]);
        assert_eq!(refused.status, 400, "{folder}: {}", plain(&refused.text()));
        assert!(plain(&refused.text()).contains(words), "{folder}: {}", plain(&refused.text()));
        assert!(refused.text().contains("id=\"refused-folder\""), "{folder}");
    }
    assert_eq!(page.get("/owner/meet/folder").status, 303);
    assert_eq!(page.get("/owner/meet/folder?folder=hoses").status, 400);
}

#[test]
fn who_is_not_believed_is_shown_before_and_can_be_left_out() {
    let (desk, stranger, stick) = (Desk::new(), Desk::new(), tempfile::tempdir().unwrap());
    desk.hose();
    desk.done("device found");
    let strange = stranger.hose();
    let folder = stick.path().to_str().unwrap();
    stranger.done(&format!("exchange {folder}"));
    let page = Page::of(&desk, &[]);
    let to = page.met("/owner/meet/folder", &[("folder", folder)]);
    let shown = page.shown(to.header("location"));
    assert!(plain(&shown).contains("Nothing is saved yet"), "{}", plain(&shown));
    let device = shown.split("name=\"without\" value=\"").nth(1).unwrap();
    let device = device.split('"').next().unwrap();
    let left = page.met("/owner/meet/folder/take", &[("folder", folder), ("without", device)]);
    assert!(plain(&left.text()).contains("1 entry left out"), "{}", plain(&left.text()));
    assert_eq!(desk.run(&format!("history {strange}")).code, 2);
}
