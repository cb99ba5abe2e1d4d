//! The guided swap through the binary: each step another process, some of them
//! killed, and continued.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use hosewright_tests::desk::{self, Desk};
use hosewright_tests::kills::stopped;
use serde_json::Value;

struct Bench {
    desk: Desk,
    old: String,
    new: String,
}

/// A fitted hose, and one in stock that fits its place.
fn bench() -> Bench {
    let desk = Desk::new();
    let (old, new) = (desk.hose(), desk.hose());
    desk.done("set new Heron --use rental --ports HP:7/16-20=1,LP:3/8-24=2,LP:1/2-20=1");
    desk.done(&format!("fit {old} --set Heron --port LP1"));
    for hose in [&old, &new] {
        desk.done(&format!("inspect {hose} --kind full"));
    }
    Bench { desk, old, new }
}

fn codes(answer: &Value) -> Vec<&str> {
    let reasons = answer["reasons"].as_array().unwrap();
    reasons.iter().filter_map(|reason| reason["code"].as_str()).collect()
}

impl Bench {
    fn step(&self, name: &str, answer: &str) -> desk::Said {
        let step = format!("{name}={answer}");
        self.desk.run_args(["swap", &self.old, &self.new, "--step", &step])
    }

    fn next(&self) -> String {
        let view = self.desk.json(&format!("swap {} {}", self.old, self.new));
        view["next"]["step"].as_str().unwrap_or_default().to_owned()
    }

    fn answer_of(&self, step: &str) -> String {
        match step {
            "old-tag" => self.old.clone(),
            "new-tag" => self.new.clone(),
            "seals" => "good".to_owned(),
            "tightened" => "5 N·m".to_owned(),
            "leak-test" => "passed at 200 bar".to_owned(),
            "old-goes" => "retire: braid frayed".to_owned(),
            _ => "done".to_owned(),
        }
    }

    fn lines(&self, word: &str) -> usize {
        self.desk.export().lines().filter(|line| line.contains(word)).count()
    }
}

/// At every step the process is killed at another point and the step said again:
/// nothing is lost, and nothing is there twice.
#[test]
#[cfg_attr(not(debug_assertions), ignore = "a release build announces no points")]
fn a_swap_goes_on_after_every_step() {
    let bench = bench();
    // Before anything is written, in the middle of it, before it is on record, and once
    // it is, in turn.
    let mut points = ["BEGIN IMMEDIATE:1", "INSERT:1", "COMMIT:1", "COMMIT done:1"].iter().cycle();
    let mut taken = Vec::new();
    while let Some(step) = Some(bench.next()).filter(|step| !step.is_empty()) {
        let answer = bench.answer_of(&step);
        let said = format!("{step}={answer}");
        let command = bench.desk.command(["swap", &bench.old, &bench.new, "--step", &said]);
        let killed = stopped(command, points.next().unwrap()).killed();
        assert!(!killed.well, "{said}: {killed:?}");
        if step == "old-goes" {
            // If the kill came after it was on record it is finished already.
            if bench.desk.json(&format!("answer {}", bench.old))["verdict"] != "retire" {
                assert_eq!(bench.step(&step, &answer).code, 0);
            }
            taken.push(step);
            break;
        }
        let again = bench.step(&step, &answer);
        assert_eq!(again.code, 0, "{said}: {}", again.err);
        let half = bench.desk.json(&format!("answer {}", bench.new));
        assert!(codes(&half).contains(&"swap-open"), "{step}: {half}");
        let half = bench.desk.json(&format!("answer {}", bench.old));
        assert!(codes(&half).contains(&"swap-open"), "{step}: {half}");
        taken.push(step);
    }
    assert_eq!(taken.len(), 15, "{taken:?}");
    for step in &taken {
        assert_eq!(bench.lines(&format!("\"step\":\"{step}\"")), 1, "{step}");
    }
    for (kind, times) in
        [("removed", 1), ("\"fitted\"", 2), ("retired", 1), ("leak-test\",\"test", 1)]
    {
        assert_eq!(bench.lines(kind), times, "{kind}");
    }
    let new = bench.desk.json(&format!("answer {}", bench.new));
    assert_eq!(
        (new["verdict"].as_str(), new["place"]["port"].as_str()),
        (Some("ready"), Some("LP1"))
    );
    let old = bench.desk.json(&format!("answer {}", bench.old));
    assert_eq!(old["verdict"], "retire");
    assert_eq!(bench.desk.run("check").code, 0);
}

#[test]
fn it_cannot_finish_without_a_passed_leak_test() {
    let bench = bench();
    while bench.next() != "leak-test" {
        let step = bench.next();
        assert_eq!(bench.step(&step, &bench.answer_of(&step)).code, 0, "{step}");
    }
    let refused = bench.step("old-goes", "stock");
    assert_eq!(refused.code, 2);
    assert!(refused.err.contains("the next step is leak-test"), "{}", refused.err);
    assert_eq!(bench.step("leak-test", "failed").code, 0);
    assert_eq!(bench.next(), "leak-test");
    let new = bench.desk.json(&format!("answer {}", bench.new));
    assert!(codes(&new).contains(&"leak-test-due"));
    let unread = bench.step("leak-test", "passed");
    assert_eq!(unread.code, 2, "{}", unread.out);
    assert_eq!(bench.step("leak-test", "passed at 40 bar").code, 2);
    assert_eq!(bench.step("leak-test", "passed at 200 bar").code, 0);
    let untried = bench.step("old-goes", "stock");
    assert!(untried.err.contains("the next step is function-check"), "{}", untried.err);
    assert_eq!(bench.step("function-check", "done").code, 0);
    assert_eq!(bench.step("old-goes", "stock").code, 0);
    let old = bench.desk.json(&format!("answer {}", bench.old));
    assert_eq!(old["place"]["words"], "in stock");
}

#[test]
fn what_cannot_be_swapped_is_refused_and_changes_nothing() {
    let bench = bench();
    let gauge = bench.desk.gauge_hose();
    let other_thread = bench.desk.done(
        "register --service second-stage --construction rubber --length 75cm --end-a 1/2-20 \
         --end-b 9/16-18 --made 2024-03",
    );
    let own = bench.desk.done(
        "register --service second-stage --construction rubber --length 75cm --end-a 3/8-24 \
         --end-b proprietary:Otter --made 2024-03",
    );
    for hose in [&gauge, &other_thread, &own] {
        bench.desk.done(&format!("inspect {hose} --kind full"));
    }
    let uninspected = bench.desk.hose();
    let retired = bench.desk.hose();
    bench.desk.done(&format!("retire {retired} --why frayed --yes"));
    let before = bench.desk.export();
    let refused = |line: String, why: &str| {
        let said = bench.desk.run(&line);
        assert_eq!(said.code, 2, "{line}\n{}", said.out);
        assert!(said.err.contains(why), "{line}: {}", said.err);
        assert_eq!(bench.desk.export(), before, "{line}");
    };
    let old = &bench.old;
    refused(format!("swap {old} {old}"), "both the old and the new");
    refused(format!("swap {old} {gauge}"), "never mix the two");
    refused(format!("swap {old} {other_thread}"), "1/2-20 will not go into a 3/8-24 port");
    refused(format!("swap {old} {own}"), "the maker's own “Otter”");
    refused(format!("swap {old} {uninspected}"), "No full inspection");
    refused(format!("swap {old} {retired}"), "was retired");
    refused(format!("swap {} {old}", bench.new), "remove it from there first");
    refused(format!("swap {old} {} --step started=done", bench.new), "next step is depressurised");
    refused(format!("swap {old} {} --step depressurised=perhaps", bench.new), "answer done");
    refused(format!("swap {old} {} --step depressurised", bench.new), "NAME=ANSWER");
    refused(format!("swap {old} {} --port LP3", bench.new), "does not screw into a 1/2-20 port");
}

#[test]
fn the_hose_in_the_hand_must_be_the_one_of_the_swap() {
    let bench = bench();
    for step in ["depressurised", "laid-out"] {
        assert_eq!(bench.step(step, "done").code, 0);
    }
    let other = bench.step("old-tag", &bench.new);
    assert_eq!(other.code, 2);
    assert!(other.err.contains("scan that one"), "{}", other.err);
    // One hose is in one swap at a time, until that is given up.
    let third = bench.desk.hose();
    bench.desk.done(&format!("inspect {third} --kind full"));
    let busy = bench.desk.run(&format!("swap {} {third}", bench.old));
    assert_eq!(busy.code, 2);
    assert!(busy.err.contains("give it up"), "{}", busy.err);
    bench.desk.done(&format!("swap {} {} --give-up interrupted", bench.old, bench.new));
    let old = bench.desk.json(&format!("answer {}", bench.old));
    assert!(!codes(&old).contains(&"swap-open"));
    assert_eq!(bench.desk.run(&format!("swap {} {third}", bench.old)).code, 0);
}

#[test]
fn too_much_torque_is_refused_with_what_it_does() {
    let bench = bench();
    while bench.next() != "tightened" {
        let step = bench.next();
        assert_eq!(bench.step(&step, &bench.answer_of(&step)).code, 0, "{step}");
    }
    let said = bench.step("tightened", "40 N·m");
    assert_eq!(said.code, 2);
    assert!(said.err.contains("too tight"), "{}", said.err);
    assert_eq!(bench.step("tightened", "44 lbf·in").code, 0);
}

/// Left on one device and taken up on another.
#[test]
fn a_swap_is_taken_up_on_another_device() {
    let here = bench();
    for step in ["depressurised", "laid-out"] {
        assert_eq!(here.step(step, "done").code, 0);
    }
    let file = here.desk.path("record.jsonl");
    std::fs::write(&file, here.desk.export()).unwrap();
    let there = Bench { desk: Desk::new(), old: here.old.clone(), new: here.new.clone() };
    assert_eq!(there.desk.run_args(["import".as_ref(), file.as_os_str()]).code, 0);
    assert_eq!(there.next(), "old-tag");
    assert_eq!(there.step("old-tag", &there.old).code, 0);
    assert_eq!(there.next(), "held");
}

/// The size that was said once is said again: of the hose whose nut it was, or of
/// another in the same port.
#[test]
fn the_spanners_size_is_said_at_the_next_swap() {
    let bench = bench();
    let third = bench.desk.hose();
    bench.desk.done(&format!("inspect {third} --kind full"));
    let before = |old: &str, new: &str| {
        let pair = format!("swap {old} {new}");
        for step in ["depressurised", "laid-out"] {
            bench.desk.done(&format!("{pair} --step {step}=done"));
        }
        bench.desk.done(&format!("{pair} --step old-tag={old}"));
        bench.desk.done(&format!("{pair} --step held=done"));
        bench.desk.json(&pair)["remembered"].as_str().unwrap_or_default().to_owned()
    };
    assert_eq!(before(&bench.old, &bench.new), "");
    let wide = bench.step("spanner", "wide");
    assert_eq!((wide.code, wide.err.contains("wide")), (2, true), "{}", wide.err);
    assert_eq!(bench.step("spanner", "16 mm").code, 0);
    while let Some(step) = Some(bench.next()).filter(|step| !step.is_empty()) {
        let answer = if step == "old-goes" { "stock".to_owned() } else { bench.answer_of(&step) };
        assert_eq!(bench.step(&step, &answer).code, 0, "{step}");
        if step == "old-goes" {
            break;
        }
    }
    let said = before(&bench.new, &third);
    assert!(said.contains("the nut in this port took a spanner of 16 mm"), "{said}");
    let given_up = bench.desk.run_args(["swap", &bench.new, &third, "--give-up", "no time"]);
    assert_eq!(given_up.code, 0, "{}", given_up.err);
    bench.desk.done(&format!("fit {} --set Heron --port LP2", bench.old));
    let said = before(&bench.old, &third);
    assert!(said.contains("its nut took a spanner of 16 mm"), "{said}");
}

/// A tick is taken back; what moved a hose is not, and nothing is left of it on the
/// hoses.
#[test]
fn one_goes_back_a_step_but_not_past_one_that_moved_a_hose() {
    let bench = bench();
    let back = || bench.desk.run_args(["swap", &bench.old, &bench.new, "--back"]);
    let nothing = back();
    assert_eq!((nothing.code, nothing.err.contains("no step to go back to")), (2, true));
    assert_eq!(bench.step("depressurised", "done").code, 0);
    assert_eq!(back().code, 2, "the first step is the swap's beginning");
    assert_eq!(bench.step("laid-out", "done").code, 0);
    assert_eq!((back().code, bench.next().as_str()), (0, "laid-out"));
    let answer = bench.desk.json(&format!("answer {}", bench.old));
    assert!(!codes(&answer).contains(&"corrected"), "{answer}");
    let mut taken = Vec::new();
    while bench.next() != "off" {
        let step = bench.next();
        assert_eq!(bench.step(&step, &bench.answer_of(&step)).code, 0);
        taken.push(step);
    }
    let spanner = back();
    assert_eq!((spanner.code, taken.pop().as_deref()), (2, Some("spanner")), "{}", spanner.err);
    assert_eq!(bench.step("off", "done").code, 0);
    let moved = back();
    assert_eq!(
        (moved.code, moved.err.contains("loosened or moved a hose")),
        (2, true),
        "{}",
        moved.err
    );
}

/// A hose that must be retired is not offered to stock.
#[test]
fn a_hose_that_must_retire_is_not_offered_to_stock() {
    let bench = bench();
    bench.desk.done(&format!("inspect {} --kind full --finding run:bulge", bench.old));
    while bench.next() != "old-goes" {
        let step = bench.next();
        let said = bench.step(&step, &bench.answer_of(&step));
        assert_eq!(said.code, 0, "{step}: {}", said.err);
    }
    let view = bench.desk.json(&format!("swap {} {}", bench.old, bench.new));
    assert_eq!(view["retires"], true);
    assert_eq!(view["next"]["answers"], "retire: WHY");
}

/// Another new hose goes on from where the swap is; what is about the first is asked again.
#[test]
fn another_new_hose_is_taken_without_beginning_again() {
    let bench = bench();
    let right = bench.desk.hose();
    bench.desk.done(&format!("inspect {right} --kind full"));
    let exchange =
        |to: &str| bench.desk.run(&format!("swap {} {} --another {to}", bench.old, bench.new));
    assert_eq!(exchange(&right).code, 2, "it is not begun");
    while bench.next() != "tightened" {
        let step = bench.next();
        assert_eq!(bench.step(&step, &bench.answer_of(&step)).code, 0, "{step}");
    }
    let before = bench.desk.export();
    for bad in [bench.old.as_str(), bench.new.as_str(), "QQQQQ"] {
        assert_eq!(exchange(bad).code, 2, "{bad}");
    }
    assert_eq!(bench.desk.export(), before);
    let said = exchange(&right);
    assert_eq!(said.code, 0, "{}", said.err);
    assert!(said.out.contains("Next: new-tag"), "{}", said.out);
    assert!(said.out.contains("began with another new hose"), "{}", said.out);
    let open = bench.desk.json(&format!("answer {}", bench.new));
    assert!(!codes(&open).contains(&"swap-open"), "{open}");
    let open = bench.desk.json(&format!("answer {right}"));
    assert!(codes(&open).contains(&"swap-open"), "{open}");
}
