//! Reasons and notes as long as a paragraph, on the counter page.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use hosewright_tests::desk::Desk;
use hosewright_tests::page::{Page, plain};
use serde_json::Value;

#[test]
fn a_reason_may_be_a_paragraph_and_is_read_whole() {
    let desk = Desk::new();
    let page = Page::of(&desk, &[]);
    let hose = desk.hose();
    let hold = format!("/hose/{hose}/hold");
    let form = page.shown(&hold);
    assert!(form.contains("<textarea") && form.contains("name=\"why\""), "{form}");
    let why =
        format!("It breathed wet on the second dive, {}then it stopped.", "wetter and ".repeat(30));
    let typed = why.replace(", ", ",\r\n");
    page.done(&hold, &[("why", &typed)]);
    for shown in [page.shown(&format!("/hose/{hose}")), desk.run(&format!("history {hose}")).out] {
        let said = plain(&shown).split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(said.contains(&why) && !said.contains("stopped.."), "{said}");
    }
    // What an earlier program reads is a label, and says that there is more.
    let last: Value = serde_json::from_str(desk.export().lines().last().unwrap()).unwrap();
    let short = last["body"]["why"].as_str().unwrap();
    assert!(short.chars().count() <= 80 && short.ends_with(" …"), "{short}");
    assert_eq!(last["body"]["why_whole"], why.as_str());
    // At the border, and over it: what was typed is still there.
    let most = "x".repeat(1_000);
    page.done(&format!("/hose/{hose}/release"), &[("why", &most)]);
    let refused = page.post(&hold, &[("why", &format!("{most}x"))]);
    assert_eq!(refused.status, 400);
    let text = refused.text();
    assert!(plain(&text).contains("1 to 1000 printable characters"), "{}", plain(&text));
    assert!(text.contains(&format!("{most}x")), "what was typed is gone");
}
