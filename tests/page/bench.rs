//! The bench on the counter page: a whole set inspected at once, the tables, and swaps.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use hosewright_tests::desk::Desk;
use hosewright_tests::page::{Page, plain};

/// A rental set with two second-stage hoses and a gauge hose, none looked over yet.
fn set(desk: &Desk) -> [String; 3] {
    desk.done("set new R1 --use rental --ports HP:7/16-20=1,LP:3/8-24=2");
    let hoses = [desk.hose(), desk.hose(), desk.gauge_hose()];
    for (hose, port) in hoses.iter().zip(["LP1", "LP2", "HP1"]) {
        desk.done(&format!("fit {hose} --set R1 --port {port}"));
    }
    hoses
}

fn verdict(desk: &Desk, hose: &str) -> String {
    desk.json(&format!("answer {hose}"))["verdict"].as_str().unwrap_or_default().to_owned()
}

/// Every checkpoint of some hoses ticked, as the form of their set has them.
fn ticked(page: &Page, at: &str) -> Vec<(String, String)> {
    let form = page.shown(at);
    let names = form.split("name=\"").skip(1).filter_map(|rest| rest.split('"').next());
    let clear = names.filter(|name| name.contains("|clear-"));
    clear.map(|name| (name.to_owned(), "yes".to_owned())).collect()
}

#[test]
fn a_set_is_inspected_and_leak_tested_with_one_save() {
    let desk = Desk::new();
    let [one, two, gauge] = set(&desk);
    let page = Page::of(&desk, &[]);
    let nothing = plain(&page.shown("/set/R1/inspect"));
    assert!(nothing.contains("0 of 3") && nothing.contains(&format!("HP1: {gauge}")), "{nothing}");
    let stranger = desk.hose();
    let at = format!("/set/R1/inspect?scanned={one}&scanned={gauge}&scanned={stranger}");
    let some = plain(&page.shown(&at));
    assert!(some.contains("2 of 3") && some.contains("it is not in set R1"), "{some}");
    assert!(some.contains(&format!("LP2: {two}")), "{some}");
    let scanned = [("scanned".to_owned(), one.clone()), ("scanned".to_owned(), gauge.clone())];
    let post = |fields: &[(String, String)], more: &[(&str, &str)]| {
        let fields = scanned.iter().chain(fields).map(|(n, v)| (n.as_str(), v.as_str()));
        let fields: Vec<(&str, &str)> = fields.chain(more.iter().copied()).collect();
        page.post("/set/R1/inspect", &fields)
    };
    let all = ticked(&page, &at);
    let passed = [("test", "passed"), ("test-pressure", "200 bar")];
    let before = desk.export();
    for (fields, more, said) in [
        (&all[1..], &passed[..], format!("LP1: {one}")),
        (&all[..], &[], "say what the leak test came to".to_owned()),
        (&all[..], &[("test", "failed")], "tick the hoses that leaked".to_owned()),
        (
            &all[..],
            &[("test", "passed"), ("leaked", &one)],
            "tick the hoses that leaked".to_owned(),
        ),
        (&all[..], &[("test", "passed"), ("test-pressure", "20 bar")], format!("HP1: {gauge}")),
    ] {
        let refused = post(fields, more);
        let words = plain(&refused.text());
        let said = said.to_lowercase();
        assert_eq!(
            (refused.status, words.to_lowercase().contains(&said)),
            (400, true),
            "{said}: {words}"
        );
        assert_eq!(desk.export(), before, "{said}");
    }
    let saved = post(&all, &passed);
    assert_eq!(saved.status, 303, "{}", plain(&saved.text()));
    let verdicts = [&one, &two, &gauge].map(|hose| verdict(&desk, hose));
    assert_eq!(verdicts, ["ready", "hold", "ready"]);
    assert_eq!(desk.export().lines().count(), before.lines().count() + 4);
}

#[test]
fn a_hose_of_a_set_that_leaked_is_held_and_the_others_pass() {
    let desk = Desk::new();
    let [one, two, _] = set(&desk);
    let page = Page::of(&desk, &[]);
    let at = format!("/set/R1/inspect?scanned={one}&scanned={two}");
    let all = ticked(&page, &at);
    let fields = all.iter().map(|(n, v)| (n.as_str(), v.as_str()));
    let finding = format!("{two}|finding");
    let mut fields: Vec<(&str, &str)> = fields.collect();
    fields.extend([("scanned", one.as_str()), ("scanned", two.as_str())]);
    fields.extend([("test", "failed"), ("leaked", two.as_str()), ("test-pressure", "200 bar")]);
    fields.push((&finding, "run:cut:cover"));
    let run = format!("{two}|clear-run");
    fields.retain(|(name, _)| *name != run);
    let saved = page.post("/set/R1/inspect", &fields);
    assert_eq!(saved.status, 303, "{}", plain(&saved.text()));
    assert_eq!((verdict(&desk, &one), verdict(&desk, &two)), ("ready".into(), "hold".into()));
    let answer = desk.json(&format!("answer {two}"));
    assert!(answer.to_string().contains("cut in the cover"), "{answer}");
}

#[test]
fn the_tables_answer_and_say_what_they_can_not_read() {
    let desk = Desk::new();
    let page = Page::of(&desk, &[]);
    let nut = plain(&page.shown("/bench/spanner?nut=15.9mm"));
    assert!(nut.contains("16 mm"), "{nut}");
    let wide = plain(&page.shown("/bench/spanner?nut=wide"));
    assert!(wide.contains("“wide”"), "{wide}");
    assert_eq!(page.get("/bench/hammer").status, 404);
}

#[test]
fn a_step_of_a_swap_leads_to_its_table_and_back() {
    let desk = Desk::new();
    let [old, ..] = set(&desk);
    let new = desk.hose();
    desk.done(&format!("inspect {new} --kind full"));
    let page = Page::of(&desk, &[]);
    let at = format!("/swap/{old}/{new}");
    for (step, answer) in [("depressurised", "done"), ("laid-out", "done")] {
        page.done(&at, &[("step", step), ("answer", answer)]);
    }
    assert!(page.shown(&at).contains(&format!("{at}/back")));
    page.done(&format!("{at}/back"), &[]);
    assert!(plain(&page.shown(&at)).contains("Step 2 of"));
    page.done(&at, &[("step", "laid-out"), ("answer", "done")]);
    page.done(&at, &[("step", "old-tag"), ("answer", &old)]);
    page.done(&at, &[("step", "held"), ("answer", "done")]);
    assert!(page.shown(&at).contains("href=\"/bench/spanner\""));
    page.done(&at, &[("step", "spanner"), ("answer", "size"), ("size", "16 mm")]);
    assert!(desk.export().contains("\"answer\":\"16 mm\""));
    // What moved something is not taken back.
    assert_eq!(page.post(&format!("{at}/back"), &[]).status, 409);
    // The history tells the swap in one line that opens.
    let history = page.shown(&format!("/hose/{old}"));
    assert!(history.contains("<summary>swap: "), "{}", plain(&history));
}

/// A wrong new hose is exchanged: what was done stays, and the new one is asked about anew.
/// A hose that was resealed in stock can be the other one.
#[test]
fn a_wrong_hose_in_a_swap_is_exchanged_without_beginning_again() {
    let desk = Desk::new();
    let [old, ..] = set(&desk);
    let (wrong, right, elsewhere) = (desk.hose(), desk.hose(), desk.gauge_hose());
    for hose in [&wrong, &right] {
        desk.done(&format!("inspect {hose} --kind full"));
    }
    desk.done(&format!("reseal {right} --end a"));
    let page = Page::of(&desk, &[]);
    let at = format!("/swap/{old}/{wrong}");
    let before = ["depressurised", "laid-out", "old-tag", "held", "spanner", "off", "far-end-off"];
    let step = |at: &str, step: &str, answer: &str| {
        page.done(at, &[("step", step), ("answer", answer)]);
    };
    assert!(!page.shown(&at).contains("/another\""), "it is not begun");
    for name in before {
        step(&at, name, if name == "old-tag" { &old } else { "done" });
    }
    step(&at, "seals", "good");
    step(&at, "new-tag", &wrong);
    step(&at, "started", "does-not-go-in");
    assert!(page.shown(&at).contains(&format!("{at}/another")));
    let choice = page.shown(&format!("{at}/another"));
    assert!(choice.contains(&format!("value=\"{right}\"")), "{}", plain(&choice));
    assert!(!choice.contains(&format!("value=\"{wrong}\"")), "{}", plain(&choice));
    for bad in [wrong.as_str(), old.as_str(), elsewhere.as_str(), "nothing"] {
        let said = page.post(&format!("{at}/another"), &[("hose", bad)]);
        assert!((400..500).contains(&said.status), "{bad}: {}", said.status);
    }
    let on = page.done(&format!("{at}/another"), &[("hose", &right)]);
    assert_eq!(on, format!("/swap/{old}/{right}"));
    let shown = plain(&page.shown(&on));
    assert!(
        shown.contains("Step 9 of") && shown.contains("began with another new hose"),
        "{shown}"
    );
    step(&on, "new-tag", &right);
    for name in ["started", "tightened", "far-end-on"] {
        step(&on, name, "done");
    }
    let test = [
        ("step", "leak-test"),
        ("answer", "result"),
        ("result", "passed"),
        ("pressure", "200 bar"),
    ];
    page.done(&on, &test);
    step(&on, "function-check", "done");
    step(&on, "old-goes", "stock");
    let answer = desk.json(&format!("answer {right}"));
    assert_eq!(answer["verdict"], "ready", "{answer}");
    assert!(
        desk.json(&format!("answer {wrong}"))["place"]["words"]
            .as_str()
            .unwrap()
            .contains("in stock")
    );
    let history = plain(&page.shown(&format!("/hose/{old}")));
    assert!(history.contains(&format!("{right} on instead of {wrong}")), "{history}");
}

/// What was found and done since it came in is on the sheet that goes home with it; what
/// was before is not.
#[test]
fn a_customers_hose_has_a_sheet_to_take_home() {
    let desk = Desk::new();
    let page = Page::of(&desk, &[]);
    let own = desk.hose();
    assert_eq!(page.get(&format!("/hose/{own}/job")).status, 409);
    let code = desk.run("register --service second-stage --construction rubber --length 75cm --end-a 3/8-24 --end-b 9/16-18 --made 2024-03 --ticket T-9");
    let code = code.out.trim().to_owned();
    desk.done(&format!("inspect {code} --kind full --finding run:scuff"));
    desk.done(&format!("home {code}"));
    // A customer's ticket is a number as a hirer's is.
    let person = page.post(&format!("/hose/{code}/come-in"), &[("ticket", "Anna")]);
    assert_eq!(person.status, 400);
    assert!(plain(&person.text()).contains("A ticket is a number"), "{}", plain(&person.text()));
    page.done(&format!("/hose/{code}/come-in"), &[("ticket", "T-15")]);
    let empty = plain(&page.shown(&format!("/hose/{code}/job")));
    assert!(empty.contains("Ticket T-15") && empty.contains("Nothing is on record"), "{empty}");
    desk.done(&format!("reseal {code} --end a --seal 011"));
    let sheet = plain(&page.shown(&format!("/hose/{code}/job")));
    assert!(sheet.contains("new O-rings") || sheet.contains("O-ring"), "{sheet}");
    assert!(!sheet.contains("came in"), "{sheet}");
    assert!(page.shown(&format!("/hose/{code}")).contains(&format!("/hose/{code}/job")));
    desk.done("set new T --use personal --ports LP:3/8-24=2 --ticket T-15");
    let without = plain(&page.shown("/set/T/job"));
    assert!(without.contains("No customer's hose is in this set"), "{without}");
    assert!(!without.contains("Nothing is on record"), "{without}");
    desk.done(&format!("fit {code} --set T --port LP1"));
    assert!(plain(&page.shown("/set/T/job")).contains("Ticket T-15"));
}
