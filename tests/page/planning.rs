//! What an owner plans on the counter page: limits that say what they would change, a recall
//! ticked off by scans, a list set by set, and an order as a message.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use hosewright_tests::desk::Desk;
use hosewright_tests::page::{Page, plain};

#[test]
fn limits_say_what_they_would_change_and_write_nothing() {
    let desk = Desk::new();
    desk.done("set new R1 --use rental --ports LP:3/8-24=4 --on 2020-01-01");
    let hose = desk.hose();
    desk.done(&format!("fit {hose} --set R1 --port LP1 --on 2024-07-01"));
    desk.done(&format!("inspect {hose} --kind leak-test --passed --pressure 200bar"));
    desk.done(&format!("inspect {hose} --kind full"));
    let page = Page::of(&desk, &[]);
    let shown = page.shown("/owner/limits");
    for words in ["Rubber ages on the shelf too.", "Use tires a hose.", "Braided hoses"] {
        assert!(plain(&shown).contains(words), "{words}: {}", plain(&shown));
    }
    let chosen = page.shown("/owner/limits?construction=braided");
    assert!(chosen.contains("value=\"braided\" checked"), "{chosen}");
    let before = desk.export();
    let asked = |construction: &str| {
        let fields = [
            ("use", ""),
            ("service", ""),
            ("construction", construction),
            ("in_service", "1y"),
            ("answer", "try"),
        ];
        page.done("/owner/limits", &fields)
    };
    let to = asked("braided");
    assert_eq!(to, "/owner/limits/check?construction=braided&in_service=1y");
    let words = plain(&page.shown(&to));
    assert!(words.contains("1 hose would go on hold today."), "{words}");
    assert!(words.contains("Nothing is set yet."), "{words}");
    assert!(words.contains(&hose) && words.contains("set R1, port LP1"), "{words}");
    let csv = page.get(&format!("{to}&as=limits-check")).text();
    assert!(csv.contains(&format!("{hose},ready,hold,")), "{csv}");
    let words = plain(&page.shown(&asked("rubber")));
    assert!(words.contains("No hose would change its verdict today."), "{words}");
    assert_eq!(desk.export(), before, "nothing is written");
    // What is no limit is refused, filled in again, and as a question too.
    let slip = page.post("/owner/limits", &[("in_service", "long"), ("answer", "try")]);
    assert_eq!(slip.status, 400);
    assert!(slip.text().contains("id=\"refused-in_service\""), "{}", slip.text());
    assert_eq!(page.get("/owner/limits/check").status, 400);
    assert_eq!(page.get("/owner/limits/check?dives=many").status, 400);
    // The form on the checked page sets just that.
    let fields = [("construction", "braided"), ("in_service", "1y")];
    assert_eq!(page.done("/owner/limits", &fields), "/owner/limits?written=yes");
    assert_eq!(desk.json(&format!("answer {hose}"))["verdict"], "hold");
}

#[test]
fn each_scan_ticks_its_hose_off_a_recall() {
    let desk = Desk::new();
    desk.done("set new R1 --use rental --ports LP:3/8-24=4");
    let (one, two) = (desk.hose(), desk.hose());
    let other = desk.gauge_hose();
    desk.done(&format!("fit {one} --set R1 --port LP1"));
    let page = Page::of(&desk, &[]);
    page.done("/owner/recall", &[("lot", "B17"), ("maker", "Kelpline"), ("why", "crimps slip")]);
    let at = "/owner/recall?lot=B17&maker=Kelpline";
    let shown = page.shown(at);
    assert!(shown.contains("action=\"/owner/recall/scan\" method=\"post\""), "{shown}");
    let words = plain(&shown);
    assert!(words.contains("0 of 3 found"), "the gauge's maker is not known: {words}");
    let scan = |text: &str| {
        page.post("/owner/recall/scan", &[("lot", "B17"), ("maker", "Kelpline"), ("text", text)])
    };
    let ticked = scan(&one);
    assert_eq!(
        (ticked.status, ticked.header("location")),
        (303, format!("{at}&ticked={one}").as_str())
    );
    let words = plain(&page.shown(ticked.header("location")));
    assert!(words.contains("1 of 3 found"), "{words}");
    assert!(words.contains(&format!("{one} is found and set aside.")), "{words}");
    let set = desk.json("set show R1");
    assert!(set["ports"][0]["hose"].is_null(), "it is out of its port: {set}");
    let before = desk.export();
    for (text, status) in [(one.as_str(), 409), ("nothing", 404), ("", 400)] {
        let refused = scan(text);
        let words = plain(&refused.text());
        assert!(refused.status == status || text.is_empty(), "{text}: {} {words}", refused.status);
        assert!((400..500).contains(&refused.status), "{text}: {}", refused.status);
        assert!(words.contains("1 of 3 found"), "the search goes on: {words}");
    }
    assert_eq!(desk.export(), before);
    // A photo leads to the same screen, where a press ticks it off.
    let photographed = page.shown(&format!("/owner/recall/scan?lot=B17&maker=Kelpline&text={two}"));
    assert!(plain(&photographed).contains("Scanned"), "{}", plain(&photographed));
    assert_eq!(scan(&two).status, 303);
    assert_eq!(scan(&other).status, 303);
    assert!(plain(&page.shown(at)).contains("3 of 3 found"));
}

#[test]
fn a_near_maker_is_asked_about() {
    let desk = Desk::new();
    desk.hose();
    let page = Page::of(&desk, &[]);
    let shown = plain(&page.shown("/owner/recall?maker=Kelplin&model=K2"));
    assert!(shown.contains("Did you mean") && shown.contains("Kelpline?"), "{shown}");
    let fields = [("maker", "Kelplin"), ("model", "K2"), ("why", "crimps slip")];
    let asked = page.post("/owner/recall", &fields);
    let words = plain(&asked.text());
    assert_eq!(asked.status, 409, "{words}");
    assert!(words.contains("Did you mean Kelpline? 1 hose on record is of it"), "{words}");
    assert_eq!(desk.json("recall"), serde_json::json!([]));
    page.sure("/owner/recall", &fields);
}

#[test]
fn what_is_due_is_a_sheet_and_an_order_a_message() {
    let desk = Desk::new();
    for name in ["R10", "R2"] {
        desk.done(&format!("set new {name} --use rental --ports LP:3/8-24=4 --on 2020-01-01"));
        let hose = desk.done(
            "register --service second-stage --construction braided --length 22in --end-a 3/8-24 \
             --end-b 9/16-18 --made 2021-03 --maker Kelpline",
        );
        desk.done(&format!("fit {hose} --set {name} --port LP1 --on 2021-07-01"));
    }
    let page = Page::of(&desk, &[]);
    let words = plain(&page.shown("/owner/due/print"));
    let at = |set: &str| words.find(set).unwrap_or_else(|| panic!("{set}: {words}"));
    assert!(at("Set R2") < at("Set R10"), "{words}");
    assert_eq!(words.matches("A failed hose can kill").count(), 2, "once on paper, and the foot");
    let sheet = desk.run("due --by-set").out;
    assert!(sheet.starts_with("6 things due for 2 hoses up to 2026-09-13. Printed on"), "{sheet}");
    assert!(sheet.find("Set R2") < sheet.find("Set R10"), "{sheet}");
    assert!(sheet.contains("[ ] 2026-07-01 replacement, by its time in service"), "{sheet}");
    let shown = page.shown("/owner/order");
    let message = desk.run("order --message").out;
    let text = shown.split("id=\"order-text\"").nth(1).and_then(|rest| rest.split('>').nth(1));
    let text = text.and_then(|rest| rest.split('<').next()).unwrap();
    assert_eq!(text.trim(), message.trim());
    assert!(message.contains("2 x braided second-stage hose, 22in"), "{message}");
    assert!(
        message.contains("needed by 2026-07-01; to replace 2 at the limit of age"),
        "{message}"
    );
    assert!(shown.contains("href=\"mailto:?subject=Order%20of%20regulator%20hoses&amp;body="));
    assert!(shown.contains("%0D%0A"), "lines of a mail end so");
    let none = Desk::new();
    none.hose();
    assert_eq!(none.run("order --message").out, "Nothing has to be bought.\n");
}

#[test]
fn limits_are_tried_on_the_command_line_too() {
    let desk = Desk::new();
    let hose = desk.hose();
    desk.done(&format!("inspect {hose} --kind full"));
    let before = desk.export();
    let said = desk.run("limits set --from-made 2y --try");
    assert_eq!(said.code, 0, "{}", said.err);
    for words in ["1 hose would go on hold today.", "Nothing is set yet.", "in stock", &hose] {
        assert!(said.out.contains(words), "{words}: {}", said.out);
    }
    let tried = desk.json("limits set --from-made 2y --try");
    assert_eq!((&tried["hoses"], &tried["changed"][0]["after"]), (&1.into(), &"hold".into()));
    for bad in ["limits set --try", "limits set --from-made 51y --try"] {
        assert_eq!(desk.run(bad).code, 2, "{bad}");
    }
    assert_eq!(desk.export(), before);
}
