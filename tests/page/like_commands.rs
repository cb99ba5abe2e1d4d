//! The counter page does what the command line does: the same record, the same
//! answers, no matter which of them wrote.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::fs;

use hosewright_tests::desk::{Desk, TODAY};
use hosewright_tests::page::{Page, escaped, plain};

const HOSE: &[(&str, &str)] = &[
    ("service", "second-stage"),
    ("construction", "braided"),
    ("length", "22in"),
    ("end_a", "usual"),
    ("end_b", "usual"),
    ("made", "2024-03"),
    ("maker", "Kelpline"),
    ("lot", "B17"),
];

/// The code that an address of a hose ends in.
fn code_of(to: &str) -> String {
    let code = to.trim_start_matches("/hose/");
    code.split('?').next().unwrap_or_default().to_owned()
}

pub(super) fn register(page: &Page) -> String {
    code_of(&page.done("/register", HOSE))
}

/// A set with a hose in LP1 that nothing is known against.
pub(super) fn good_set(desk: &Desk, page: &Page, name: &str) -> String {
    page.done("/sets/new", &[("name", name), ("use", "rental"), ("hp", "1"), ("lp", "4")]);
    let code = register(page);
    let at = |what: &str| format!("/hose/{code}/{what}");
    page.done(&at("fit"), &[("set", name), ("port", "LP1")]);
    let clear = ["run", "end-a", "end-b", "seal-a", "seal-b"].map(|place| format!("clear-{place}"));
    let mut fields: Vec<(&str, &str)> = clear.iter().map(|name| (name.as_str(), "yes")).collect();
    fields.push(("kind", "full"));
    page.done(&at("inspect"), &fields);
    let test = [("kind", "leak-test"), ("result", "passed"), ("pressure", "200 bar")];
    page.done(&at("inspect"), &test);
    assert_eq!(desk.json(&format!("answer {code}"))["verdict"], "ready");
    code
}

#[test]
fn an_empty_record_greets_with_two_ways_in_and_the_demonstration_stays_apart() {
    let desk = Desk::new();
    let mut page = Page::of(&desk, &[]);
    let before = desk.export();
    let greeting = plain(&page.shown("/"));
    assert!(greeting.contains("Look around first, or start with your own hoses."), "{greeting}");
    let opened = page.post("/demo", &[]);
    assert_eq!(opened.status, 303);
    let cookie = opened.header("set-cookie").split(';').next().unwrap_or_default().to_owned();
    page.headers.push(format!("Cookie: {cookie}"));
    let start = page.shown("/");
    assert!(plain(&start).contains("Demonstration: an invented dive centre."));
    let code = start.split("href=\"/hose/").nth(1).unwrap().split('"').next().unwrap().to_owned();
    page.done(&format!("/hose/{code}/clean"), &[]);
    assert_eq!(desk.export(), before, "the demonstration wrote in the shop's own record");
    page.headers.clear();
    assert_eq!(page.get(&format!("/hose/{code}")).status, 404);
}

#[test]
fn what_the_page_writes_the_command_line_reads() {
    let desk = Desk::new();
    let page = Page::of(&desk, &[]);
    let code = good_set(&desk, &page, "R1");
    let answer = desk.json(&format!("answer {code}"));
    let shown = plain(&page.shown(&format!("/hose/{code}")));
    for words in
        ["Nothing is known against diving this hose.", "set R1, port LP1", "passed at 200 bar"]
    {
        assert!(shown.contains(words), "{words}: {shown}");
    }
    assert!(shown.contains(answer["hose"]["words"].as_str().unwrap()), "{shown}");
    // Every sentence of the answer is on the page, word by word.
    let seen = [("kind", "quick"), ("finding", "run:cut:cover"), ("count:run:strands", "2")];
    page.done(&format!("/hose/{code}/inspect"), &seen);
    let answer = desk.json(&format!("answer {code}"));
    assert_eq!(answer["verdict"], "watch");
    let shown = plain(&page.shown(&format!("/hose/{code}")));
    for reason in answer["reasons"].as_array().unwrap() {
        for part in ["words", "todo"] {
            let said = reason[part].as_str().unwrap();
            assert!(shown.contains(said), "{said}: {shown}");
        }
    }
    assert!(shown.contains(answer["caution"].as_str().unwrap()));
    // Who wrote, and when, is on the record as on the page.
    assert!(desk.run(&format!("history {code}")).out.contains("tester"));
    assert!(shown.contains(TODAY));
}

#[test]
fn care_and_a_new_tag() {
    let desk = Desk::new();
    let page = Page::of(&desk, &[]);
    let code = good_set(&desk, &page, "R1");
    let at = |what: &str| format!("/hose/{code}/{what}");
    let verdict = |code: &str| desk.json(&format!("answer {code}"))["verdict"].clone();
    page.done(&at("inspect"), &[("kind", "quick"), ("finding", "run:salt")]);
    assert_eq!(verdict(&code), "watch");
    page.done(&at("clean"), &[]);
    assert_eq!(verdict(&code), "ready");
    page.done(&at("inspect"), &[("kind", "quick"), ("finding", "seal-b:seal-damaged")]);
    assert_eq!(verdict(&code), "hold");
    page.done(&at("reseal"), &[("end", "b"), ("seal", "")]);
    page.done(
        &at("inspect"),
        &[("kind", "leak-test"), ("result", "passed"), ("pressure", "200 bar")],
    );
    assert_eq!(verdict(&code), "ready");
    let new = code_of(&page.sure(&at("retag"), &[("tag", "")]));
    assert_ne!(new, code);
    let old = plain(&page.shown(&format!("/hose/{code}")));
    assert!(old.contains(&format!("the hose's own tag is {new}")), "{old}");
    page.sure(&format!("/hose/{new}/retire"), &[("why", "five years")]);
    assert_eq!(verdict(&new), "retire");
}

#[test]
fn what_is_written_down_can_be_put_right_and_a_barcode_bound() {
    let desk = Desk::new();
    let page = Page::of(&desk, &[]);
    let undated: Vec<(&str, &str)> =
        HOSE.iter().filter(|(name, _)| *name != "made").copied().collect();
    let code = code_of(&page.done("/register", &undated));
    let at = |what: &str| format!("/hose/{code}/{what}");
    let answer = page.shown(&format!("/hose/{code}"));
    assert!(answer.contains("Neither its made nor its bought date is known"));
    let form = page.shown(&at("describe"));
    assert!(form.contains("value=\"22in\"") && form.contains("value=\"Kelpline\""), "{form}");
    // What was not known is filled in with a reason only.
    let unsaid = page.post(&at("describe"), HOSE);
    assert_eq!(unsaid.status, 400, "{}", plain(&unsaid.text()));
    assert!(plain(&unsaid.text()).contains("read off the hose"), "{}", plain(&unsaid.text()));
    page.done(&at("describe"), &[HOSE, &[("why", "read off the hose")]].concat());
    assert_eq!(desk.json(&format!("answer {code}"))["hose"]["made"], "2024-03");
    page.done(&at("bind"), &[("barcode", "4006381333931")]);
    let scanned = page.get("/scan?text=4006381333931");
    assert_eq!(scanned.header("location"), format!("/hose/{code}"));
    assert_eq!(page.post(&at("bind"), &[("barcode", "4006381333931")]).status, 409);
}

#[test]
fn a_scan_leads_to_the_answer_however_it_is_made() {
    let desk = Desk::new();
    let page = Page::of(&desk, &[]);
    let code = register(&page);
    let leads = |text: &str| {
        let reply = page.get(&format!("/scan?text={}", escaped(text)));
        (reply.status, reply.header("location").to_owned())
    };
    let wanted = (303, format!("/hose/{code}"));
    let compact = code.replace('-', "").to_lowercase();
    assert_eq!(leads(&code), wanted);
    assert_eq!(leads(&compact), wanted);
    assert_eq!(leads(compact.get(..5).unwrap()), wanted);
    // What a hand-held reader types is the whole text of the tag.
    desk.done(&format!("tag {code} --out tag.png"));
    let read = desk.json("read tag.png");
    let text = read["texts"][0].as_str().unwrap().to_owned();
    assert!(text.starts_with("HW1:"), "{text}");
    assert_eq!(leads(&text), wanted);
    let photo = fs::read(desk.path("tag.png")).unwrap();
    let reply = page.photo(&[("to", "/scan"), ("field", "text")], &photo);
    assert_eq!(
        (reply.status, reply.header("location")),
        (303, format!("/scan?text={}", escaped(&text)).as_str())
    );
    // A slip is noticed, and the hose one slip away is offered.
    let other = if compact.starts_with('z') { "y" } else { "z" };
    let slipped = format!("{other}{}", compact.get(1..).unwrap());
    let said = page.get(&format!("/scan?text={slipped}"));
    assert_eq!(said.status, 400);
    assert!(said.text().contains(&format!("href=\"/hose/{code}\"")), "{}", plain(&said.text()));
    // A tag without a record here is answered from itself, and never ready.
    let other = Desk::new();
    let elsewhere = Page::of(&other, &[]);
    let answered = plain(&elsewhere.shown(&format!("/scan?text={}", escaped(&text))));
    assert!(answered.contains("This device has no record of the hose"), "{answered}");
    assert!(answered.contains("Not known here") && answered.contains("hold"), "{answered}");
}

#[test]
fn a_swap_step_by_step_as_the_core_asks_for_it() {
    let desk = Desk::new();
    let page = Page::of(&desk, &[]);
    let old = good_set(&desk, &page, "R1");
    let new = register(&page);
    let fields =
        ["run", "end-a", "end-b", "seal-a", "seal-b"].map(|place| format!("clear-{place}"));
    let mut fields: Vec<(&str, &str)> = fields.iter().map(|name| (name.as_str(), "yes")).collect();
    fields.push(("kind", "full"));
    page.done(&format!("/hose/{new}/inspect"), &fields);
    let offered = page.shown(&format!("/hose/{old}/swap"));
    assert!(offered.contains(&format!("/swap/{old}/{new}")), "{}", plain(&offered));
    let at = format!("/swap/{old}/{new}");
    let answers: &[(&str, &[(&str, &str)])] = &[
        ("depressurised", &[("answer", "done")]),
        ("laid-out", &[("answer", "done")]),
        ("old-tag", &[("answer", &old)]),
        ("held", &[("answer", "done")]),
        ("spanner", &[("answer", "done")]),
        ("off", &[("answer", "done")]),
        ("far-end-off", &[("answer", "done")]),
        ("seals", &[("answer", "good")]),
        ("new-tag", &[("answer", &new)]),
        ("started", &[("answer", "done")]),
        ("tightened", &[("answer", "torque"), ("torque", "5 N·m")]),
        ("far-end-on", &[("answer", "done")]),
        ("leak-test", &[("answer", "result"), ("result", "failed"), ("pressure", "200 bar")]),
        ("leak-test", &[("answer", "result"), ("result", "passed"), ("pressure", "200 bar")]),
        ("function-check", &[("answer", "done")]),
        ("old-goes", &[("answer", "retire"), ("why", "worn")]),
    ];
    for (step, answer) in answers {
        let fields = [&[("step", *step)], *answer].concat();
        page.done(&at, &fields);
    }
    assert_eq!(desk.json(&format!("answer {new}"))["verdict"], "ready");
    assert_eq!(desk.json(&format!("answer {old}"))["verdict"], "retire");
    assert_eq!(desk.json(&format!("answer {new}"))["place"]["port"], "LP1");
}

#[test]
fn who_writes_is_kept_in_the_browser() {
    let desk = Desk::new();
    let mut page = Page::of(&desk, &[]);
    let code = register(&page);
    let set = page.post("/who", &[("by", "Ruth at the bench")]);
    let cookie = set.header("set-cookie").split(';').next().unwrap_or_default().to_owned();
    page.headers.push(format!("Cookie: {cookie}"));
    page.done(&format!("/hose/{code}/clean"), &[]);
    assert!(desk.run(&format!("history {code}")).out.contains("Ruth at the bench"));
}

#[test]
fn many_write_at_once_and_nothing_is_lost() {
    let desk = Desk::new();
    let page = Page::of(&desk, &[]);
    let code = register(&page);
    let before = desk.export().lines().count();
    let at = format!("/hose/{code}/clean");
    // Each waits five seconds for the other. On a busy machine that can be too short:
    // anyone who is told that the record is in use has written nothing, and asks again.
    let in_use = |words: &str| words.contains("is in use by another program");
    let at_the_page = || {
        loop {
            let reply = page.post(&at, &[]);
            if !in_use(&reply.text()) {
                assert_eq!(reply.status, 303, "{}", plain(&reply.text()));
                break;
            }
        }
    };
    let beside_it = || {
        loop {
            let said = desk.run(&format!("clean {code}"));
            if !in_use(&said.err) {
                assert_eq!(said.code, 0, "{}", said.err);
                break;
            }
        }
    };
    std::thread::scope(|scope| {
        for _ in 0..8 {
            scope.spawn(|| (0..5).for_each(|_| at_the_page()));
        }
        // Someone at the command line writes beside them.
        scope.spawn(|| (0..5).for_each(|_| beside_it()));
    });
    assert_eq!(desk.export().lines().count() - before, 45);
    assert_eq!(desk.run("check").code, 0);
}
