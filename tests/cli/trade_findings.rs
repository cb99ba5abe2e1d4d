//! What a hose shows and what ends it, through the binary: damage stays, bubbles
//! come from somewhere, couplings are repaired, and a swap ends with a test.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use hosewright_tests::desk::Desk;
use hosewright_tests::page::Page;
use serde_json::{Value, json};

pub(super) const TESTED: &str = "--kind leak-test --passed --pressure 200bar";

fn answer(desk: &Desk, hose: &str) -> Value {
    desk.json(&format!("answer {hose}"))
}

pub(super) fn told(desk: &Desk, hose: &str) -> (String, Vec<String>) {
    let answer = answer(desk, hose);
    let all = answer["reasons"].as_array().unwrap();
    let codes = all.iter().map(|reason| reason["code"].as_str().unwrap().to_owned()).collect();
    (answer["verdict"].as_str().unwrap().to_owned(), codes)
}

pub(super) fn stands(desk: &Desk, hose: &str, verdict: &str, codes: &[&str]) {
    let (now, all) = told(desk, hose);
    assert_eq!((now.as_str(), all), (verdict, codes.iter().map(ToString::to_string).collect()));
}

/// A command that must be refused, and why; nothing changes.
fn refused(desk: &Desk, words: &[&str], why: &str) {
    let before = desk.export();
    let said = desk.run_args(words);
    assert_eq!(said.code, 2, "{words:?}: {}", said.out);
    assert!(said.err.contains(why), "{words:?}: no “{why}” in {}", said.err);
    assert_eq!(desk.export(), before, "{words:?} changed something");
}

fn refused_line(desk: &Desk, line: &str, why: &str) {
    refused(desk, &line.split_whitespace().collect::<Vec<_>>(), why);
}

/// A hose in a port of a set, that nothing is known against.
pub(super) fn fitted(desk: &Desk, hose: &str, port: &str) {
    let _ = desk.run("set new Heron --use personal --ports HP:7/16-20=1,LP:3/8-24=3");
    desk.done(&format!("fit {hose} --set Heron --port {port}"));
    desk.done(&format!("inspect {hose} --kind full"));
    desk.done(&format!("inspect {hose} {TESTED}"));
    stands(desk, hose, "ready", &[]);
}

/// A braided hose that was made a month ago.
fn fresh(desk: &Desk) -> String {
    desk.done(
        "register --service second-stage --construction braided --length 22in --end-a 3/8-24 \
         --end-b 9/16-18 --made 2026-05",
    )
}

pub(super) fn inflator(desk: &Desk) -> String {
    desk.done(
        "register --service inflator --construction rubber --length 60cm --end-a 3/8-24 \
         --end-b quick-disconnect --made 2024-03",
    )
}

/// Open cuts, cracks, kinks, strands and rounded nuts want an answer of a full
/// inspection: the same, worse, or not there, with why.
#[test]
fn damage_stays_until_somebody_answers_for_it() {
    for (seen, damage) in [
        ("run:cut:cover", "run:cut"),
        ("run:crack:fine", "run:crack"),
        ("run:kink:springs-back", "run:kink"),
        ("run:strands:2", "run:strands"),
        ("end-b:nut-rounded", "end-b:nut-rounded"),
    ] {
        let desk = Desk::new();
        let hose = fresh(&desk);
        let code = format!("finding-{}", damage.split(':').nth(1).unwrap());
        desk.done(&format!("inspect {hose} --kind full"));
        desk.done(&format!("inspect {hose} --kind quick --finding {seen}"));
        stands(&desk, &hose, "watch", &[&code]);
        let full = format!("inspect {hose} --kind full");
        refused_line(&desk, &full, seen);
        refused_line(&desk, &format!("{full} --gone {damage}"), "needs a reason");
        refused_line(&desk, &format!("{full} --finding {seen} --why tape"), "needs a reason");
        refused_line(&desk, &format!("{full} --gone end-a:kink --why tape"), "no end-a:kink");
        let both = format!("{full} --finding {seen} --gone {damage} --why tape");
        refused_line(&desk, &both, "choose one");
        let quick = format!("inspect {hose} --kind quick --gone {damage} --why tape");
        refused_line(&desk, &quick, "only a full inspection");
        refused_line(&desk, &format!("{full} --gone run:salt --why tape"), "does not stay");
        desk.done(&format!("{full} --finding {seen}"));
        stands(&desk, &hose, "watch", &[&code]);
        desk.done(&format!("{full} --gone {damage} --why tape"));
        stands(&desk, &hose, "ready", &[]);
        let last = answer(&desk, &hose);
        let looks = last["inspections"].as_array().unwrap();
        let look = looks.iter().find(|look| look["kind"] == "full").unwrap();
        assert_eq!((&look["gone"], &look["why"]), (&json!([damage]), &json!("tape")));
        let history = desk.run(&format!("history {hose}")).out;
        let history = history.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(history.contains("no longer there") && history.contains("(tape)"), "{history}");
        assert_eq!(desk.run("check").code, 0);
    }
}

#[test]
fn what_retires_wants_no_answer() {
    let desk = Desk::new();
    let hose = fresh(&desk);
    desk.done(&format!("inspect {hose} --kind full --finding run:cut:deep --finding run:scuff"));
    desk.done(&format!("inspect {hose} --kind full"));
    stands(&desk, &hose, "retire", &["finding-cut"]);
    refused_line(
        &desk,
        &format!("inspect {hose} --kind full --gone run:cut --why x"),
        "no run:cut",
    );
}

/// A full inspection that was written apart ends nothing that its device did not
/// know.
#[test]
fn what_another_device_saw_stays() {
    let (here, there) = (Desk::new(), Desk::new());
    let hose = fresh(&here);
    let meet = |from: &Desk, to: &Desk| {
        from.done("bundle --out own.hwbundle --force");
        let _ = to.json(&format!("merge {}", from.path("own.hwbundle").display()));
    };
    meet(&here, &there);
    there.done(&format!("inspect {hose} --kind quick --finding run:cut:cover"));
    here.done(&format!("inspect {hose} --kind full"));
    meet(&there, &here);
    stands(&here, &hose, "watch", &["finding-cut"]);
    refused_line(&here, &format!("inspect {hose} --kind full"), "run:cut:cover");
}

/// Fewer broken strands than last time are asked about, if someone can answer.
#[test]
fn fewer_strands_are_asked_about() {
    let desk = Desk::new();
    let page = Page::of(&desk, &[]);
    let hose = fresh(&desk);
    desk.done(&format!("inspect {hose} --kind full --finding run:strands:3"));
    let before = desk.export();
    let clear = ["end-a", "end-b", "seal-a", "seal-b"].map(|place| format!("clear-{place}"));
    let mut fields: Vec<(&str, &str)> = clear.iter().map(|name| (name.as_str(), "yes")).collect();
    fields.extend([("kind", "full"), ("open:run:strands", "otherwise")]);
    fields.push(("count:run:strands", "2"));
    let asked = page.post(&format!("/hose/{hose}/inspect"), &fields).text();
    assert!(asked.contains("strands do not grow back"), "{asked}");
    assert_eq!(desk.export(), before);
    fields.push(("sure", "yes"));
    let _ = page.post(&format!("/hose/{hose}/inspect"), &fields);
    stands(&desk, &hose, "watch", &["finding-strands"]);
    assert!(desk.export().contains("run:strands:2"));
}

/// Bubbles at an end: nobody said from where, the joint, the sleeve.
#[test]
fn bubbles_are_put_right_once_it_is_said_where_they_come_from() {
    let desk = Desk::new();
    let hose = desk.hose();
    fitted(&desk, &hose, "LP1");
    desk.done(&format!("inspect {hose} --kind quick --finding end-b:bubbles"));
    stands(&desk, &hose, "hold", &["finding-bubbles"]);
    desk.done(&format!("reseal {hose} --end b"));
    desk.done(&format!("inspect {hose} {TESTED}"));
    stands(&desk, &hose, "hold", &["finding-bubbles"]);
    let full = format!("inspect {hose} --kind full");
    refused_line(&desk, &full, "end-b:bubbles:joint");
    refused_line(&desk, &format!("{full} --finding end-b:bubbles"), "end-b:bubbles:sleeve");
    desk.done(&format!("{full} --finding end-b:bubbles:joint"));
    stands(&desk, &hose, "hold", &["finding-bubbles"]);
    desk.done(&format!("reseal {hose} --end b"));
    desk.done(&format!("inspect {hose} {TESTED}"));
    stands(&desk, &hose, "ready", &[]);
    desk.done(&format!("inspect {hose} --kind quick --finding end-a:bubbles:sleeve"));
    stands(&desk, &hose, "retire", &["finding-bubbles"]);
}

#[test]
fn a_hose_that_is_hard_to_breathe_through_is_retired() {
    let desk = Desk::new();
    let hose = fresh(&desk);
    desk.done(&format!("inspect {hose} --kind full --finding end-b:flow-poor"));
    desk.done(&format!("inspect {hose} --kind full"));
    stands(&desk, &hose, "retire", &["finding-flow-poor"]);
    let elsewhere = format!("inspect {hose} --kind quick --finding end-a:flow-poor");
    refused_line(&desk, &elsewhere, "end-b");
}

/// The coupling of an inflator hose: a new one, then a passed leak test.
#[test]
fn a_coupling_that_leaks_or_sticks_is_repaired_and_tested() {
    for finding in ["coupling-leaks", "coupling-sticks"] {
        let desk = Desk::new();
        let hose = inflator(&desk);
        fitted(&desk, &hose, "LP1");
        let code = format!("finding-{finding}");
        desk.done(&format!("inspect {hose} --kind quick --finding end-b:{finding}"));
        stands(&desk, &hose, "hold", &[&code]);
        desk.done(&format!("inspect {hose} {TESTED}"));
        desk.done(&format!("inspect {hose} --kind full"));
        stands(&desk, &hose, "hold", &[&code]);
        desk.done(&format!("reseal {hose} --coupling"));
        stands(&desk, &hose, "hold", &[&code, "leak-test-due"]);
        desk.done(&format!("inspect {hose} {TESTED} --method soapy-water"));
        stands(&desk, &hose, "ready", &[]);
        let other = desk.hose();
        refused_line(&desk, &format!("reseal {other} --coupling"), "not an inflator hose");
        let seen = format!("inspect {other} --kind quick --finding end-b:{finding}");
        refused_line(&desk, &seen, "only inflator hoses");
        refused_line(&desk, &format!("reseal {hose} --coupling --end b"), "cannot be used with");
    }
}

/// A leak test says how it was done.
#[test]
fn a_leak_test_says_how_it_was_done() {
    let desk = Desk::new();
    let hose = desk.hose();
    fitted(&desk, &hose, "LP1");
    for (method, words) in [("soapy-water", "with soapy water"), ("under-water", "under water")] {
        desk.done(&format!("inspect {hose} {TESTED} --method {method}"));
        let last = answer(&desk, &hose);
        let looks = last["inspections"].as_array().unwrap();
        let look = looks.iter().find(|look| look["kind"] == "leak-test").unwrap();
        assert_eq!(look["method"], method);
        let history = desk.run(&format!("history {hose}")).out;
        let history = history.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(history.contains(&format!("passed at 200bar, {words}")), "{history}");
    }
    refused_line(&desk, &format!("inspect {hose} {TESTED} --method by-ear"), "by-ear");
    let full = format!("inspect {hose} --kind full --method soapy-water");
    refused_line(&desk, &full, "only a leak test");
    refused_line(&desk, &format!("inspect {hose} --kind leak-test --passed"), "needs the pressure");
}

/// A thread that does not go in is on record, and what was corrected counts.
#[test]
fn what_does_not_go_in_is_measured_and_corrected_or_given_up() {
    let desk = Desk::new();
    let (old, new) = (desk.hose(), desk.hose());
    fitted(&desk, &old, "LP1");
    desk.done(&format!("inspect {new} --kind full"));
    let step = |name: &str, answer: &str| {
        let step = format!("{name}={answer}");
        desk.run_args(["swap", &old, &new, "--step", &step])
    };
    let begun = step("depressurised", "done").out;
    assert!(begun.contains("The spanner was not on"), "{begun}");
    let next = || desk.json(&format!("swap {old} {new}"))["next"]["step"].clone();
    while next() != "started" {
        let name = next().as_str().unwrap().to_owned();
        let answer = match name.as_str() {
            "old-tag" => &old,
            "new-tag" => &new,
            "seals" => "good",
            _ => "done",
        };
        assert_eq!(step(&name, answer).code, 0, "{name}");
    }
    let said = step("started", "it doesn't go in");
    assert_eq!(said.code, 0, "{}", said.err);
    let words = said.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.contains("Do not force it") && words.contains("give this swap up"), "{words}");
    assert_eq!(next(), "started");
    let on_record = || desk.export().matches("\"step\":\"does-not-go-in\"").count();
    assert_eq!((step("started", "no").code, on_record()), (0, 1));
    desk.done(&format!("describe {new} --end-a 1/2-20 --why measured"));
    let stopped = step("started", "done");
    assert_eq!(stopped.code, 2, "{}", stopped.out);
    assert!(stopped.err.contains("1/2-20 will not go into a 3/8-24 port"), "{}", stopped.err);
    let up = desk.run(&format!("swap {old} {new} --give-up wrong-hose"));
    assert_eq!(up.code, 0, "{}", up.err);
    let words = up.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.contains("a leak test is due for whatever is in set Heron, port LP1"), "{words}");
    desk.done(&format!("fit {old} --set Heron --port LP1"));
    assert!(told(&desk, &old).1.contains(&"leak-test-due".to_owned()));
}
