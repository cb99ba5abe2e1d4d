//! Ports whose kind is not known, devices in ports, oxygen, recalls by what makers
//! name, own numbers, and customers' hoses, through the binary.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use hosewright_tests::desk::Desk;
use serde_json::Value;

/// Looks a fitted hose over and tests it, so that nothing else is known against it.
pub(super) fn made_ready(desk: &Desk, hose: &str) {
    desk.done(&format!("inspect {hose} --kind full"));
    desk.done(&format!("inspect {hose} --kind leak-test --passed --pressure 200bar"));
}

pub(super) fn answer(desk: &Desk, hose: &str) -> Value {
    desk.json(&format!("answer {hose}"))
}

pub(super) fn codes(answer: &Value) -> Vec<&str> {
    let reasons = answer["reasons"].as_array().unwrap();
    reasons.iter().filter_map(|reason| reason["code"].as_str()).collect()
}

/// A command that is refused and changes nothing, with what it says.
pub(super) fn refused(desk: &Desk, line: &[&str]) -> String {
    let before = desk.export();
    let said = desk.run_args(line);
    assert_eq!(said.code, 2, "{line:?}\n{}{}", said.out, said.err);
    assert_eq!(desk.export(), before, "{line:?}");
    said.err
}

pub(super) fn words(line: &str) -> Vec<&str> {
    line.split_whitespace().collect()
}

pub(super) fn done(desk: &Desk, line: &[&str]) {
    let said = desk.run_args(line);
    assert_eq!(said.code, 0, "{line:?}\n{}{}", said.out, said.err);
}

pub(super) const LP: &str = "register --service second-stage --construction rubber --length 75cm --end-a 3/8-24 \
                  --end-b 9/16-18 --made 2025-03";

#[test]
fn a_port_takes_no_hose_before_it_is_known() {
    let desk = Desk::new();
    desk.done("set new Old --use personal --ports HP:3/8-24=1,unknown:3/8-24=2,LP:3/8-24=1");
    let hose = desk.done(LP);
    let fit = format!("fit {hose} --set Old --port P1");
    assert!(refused(&desk, &words(&fit)).contains("a high-pressure port with that thread bursts"));
    let high = format!("fit {hose} --set Old --port HP1");
    assert!(refused(&desk, &words(&high)).contains("never mix the two"));
    let why = refused(&desk, &words("set change Old --port P1=LP"));
    assert!(why.contains("give a reason for changing set Old"), "{why}");
    let why = refused(&desk, &words("set change Old --port LP1=HP --why x"));
    assert!(why.contains("says its kind in its name"), "{why}");
    done(&desk, &["set", "change", "Old", "--port", "P1=LP", "--why", "measured: 9 bar"]);
    desk.done(&fit);
    made_ready(&desk, &hose);
    let told = answer(&desk, &hose);
    assert_eq!(told["verdict"], "ready", "{told}");
    // What turns out otherwise holds it at once, and says why.
    done(&desk, &["set", "change", "Old", "--port", "P1=HP", "--why", "150 bar, measured"]);
    let told = answer(&desk, &hose);
    assert!(codes(&told).contains(&"misfit"), "{told}");
    let set = desk.json("set show Old");
    let ports: Vec<(&str, &str)> = set["ports"]
        .as_array()
        .unwrap()
        .iter()
        .map(|port| (port["name"].as_str().unwrap(), port["kind"].as_str().unwrap_or("-")))
        .collect();
    assert_eq!(ports, [("HP1", "-"), ("P1", "HP"), ("P2", "-"), ("LP1", "-")]);
    for ports in ["unknown:7/16-20=1", "HP:1/2-20=1", "LP:7/16-20=1"] {
        let line = format!("set new New --use personal --ports {ports}");
        assert!(refused(&desk, &words(&line)).contains("no first stage has"), "{ports}");
    }
}

#[test]
fn a_port_can_hold_a_device() {
    let desk = Desk::new();
    desk.done(
        "set new Heron --use rental --ports HP:7/16-20=2,LP:3/8-24=2 --device HP2=transmitter",
    );
    done(&desk, &["set", "change", "Heron", "--device", "LP2=relief valve"]);
    let said = desk.run("set show Heron").out;
    assert!(said.contains("transmitter") && said.contains("relief valve"), "{said}");
    let hose = desk.done(LP);
    let taken = format!("fit {hose} --set Heron --port LP2");
    assert!(refused(&desk, &words(&taken)).contains("LP2 holds relief valve"));
    // It is not among those that take the hose.
    let which = refused(&desk, &words(&format!("fit {hose} --set Heron")));
    assert!(which.contains("LP1 is free and takes it"), "{which}");
    desk.done(&format!("fit {hose} --set Heron --port LP1"));
    let there = refused(&desk, &["set", "change", "Heron", "--device", "LP1=relief valve"]);
    assert!(there.contains("take it off first"), "{there}");
    assert!(refused(&desk, &words("set change Heron --device LP9=x")).contains("no port LP9"));
    done(&desk, &["set", "change", "Heron", "--device", "LP2=none"]);
    desk.done(&format!("remove {hose}"));
    desk.done(&taken);
    desk.done("set show Heron --svg heron.svg");
    let drawn = std::fs::read_to_string(desk.path("heron.svg")).unwrap();
    assert!(drawn.contains("transmitter"));
}

#[test]
fn a_set_for_oxygen_takes_hoses_that_are_clean() {
    let desk = Desk::new();
    desk.done("set new Deco --use personal --ports LP:3/8-24=2 --oxygen");
    let (ordinary, clean) = (desk.done(LP), desk.done(&format!("{LP} --oxygen")));
    let why = refused(&desk, &words(&format!("fit {ordinary} --set Deco --port LP1")));
    assert!(why.contains("cleaned for oxygen"), "{why}");
    desk.done(&format!("fit {clean} --set Deco --port LP1"));
    made_ready(&desk, &clean);
    assert_eq!(answer(&desk, &clean)["verdict"], "ready");
    // What could take its place: clean hoses alone.
    let spare = desk.done(&format!("{LP} --oxygen"));
    desk.done(&format!("inspect {spare} --kind full"));
    let choice = desk.json(&format!("replace {clean}"));
    assert_eq!(choice["fits"], serde_json::json!([spare]), "{choice}");
    let swap = refused(&desk, &words(&format!("swap {clean} {ordinary} --step depressurised=yes")));
    assert!(swap.contains("cleaned for oxygen"), "{swap}");
    // Grease is asked for, and the wrong one ends it.
    let reseal = format!("reseal {clean} --end a");
    assert!(refused(&desk, &words(&reseal)).contains("say which grease"));
    desk.done(&format!("{reseal} --grease oxygen"));
    assert!(!codes(&answer(&desk, &clean)).contains(&"misfit"));
    desk.done(&format!("{reseal} --grease other"));
    assert!(codes(&answer(&desk, &clean)).contains(&"misfit"));
    desk.done(&format!("describe {clean} --oxygen yes"));
    assert!(codes(&answer(&desk, &clean)).contains(&"misfit"));
    done(&desk, &["describe", &clean, "--oxygen", "yes", "--why", "cleaned anew"]);
    let told = answer(&desk, &clean);
    assert!(!codes(&told).contains(&"misfit") && codes(&told).contains(&"corrected"), "{told}");
    let why = refused(&desk, &words("set change Deco --oxygen no"));
    assert!(why.contains("give a reason for changing set Deco"), "{why}");
    done(&desk, &["set", "change", "Deco", "--oxygen", "no", "--why", "air only"]);
    desk.done(&format!("fit {ordinary} --set Deco --port LP2"));
}

#[test]
fn the_counter_page_has_a_form_for_each() {
    use hosewright_tests::page::Page;
    let desk = Desk::new();
    let page = Page::of(&desk, &[]);
    let new = [
        ("name", "T12"),
        ("use", "personal"),
        ("lp", "1"),
        ("unknown", "1"),
        ("devices", "LP1=relief valve"),
        ("oxygen", "yes"),
        ("ticket", "T-12"),
    ];
    page.done("/sets/new", &new);
    let set = page.shown("/set/T12");
    for said in ["relief valve", "kind not known"] {
        assert!(set.contains(said), "{said}");
    }
    let hose = [
        ("service", "second-stage"),
        ("construction", "rubber"),
        ("length", "75cm"),
        ("end_a", "usual"),
        ("end_b", "usual"),
        ("made", "2025-03"),
        ("maker", "Kelpline"),
        ("model", "K2"),
        ("number", "LP-17"),
        ("note", "the long one"),
        ("ticket", "T-12"),
        ("oxygen", "yes"),
    ];
    let to = page.done("/register", &hose);
    let code = to.trim_start_matches("/hose/").split('?').next().unwrap().to_owned();
    let told = answer(&desk, &code);
    assert_eq!(told["hose"]["model"], "K2", "{told}");
    assert_eq!(told["hose"]["oxygen"], true, "{told}");
    let known = [
        ("name", "T12"),
        ("use", "personal"),
        ("lp", "1"),
        ("unknown", "1"),
        ("kind-P1", "LP"),
        ("devices", ""),
        ("oxygen", "yes"),
        ("ticket", "T-12"),
        ("why", "measured"),
    ];
    assert!(page.shown("/set/T12/change").contains("kind-P1"));
    page.done("/set/T12/change", &known);
    page.done(&format!("/hose/{code}/fit"), &[("set", "T12"), ("port", "P1")]);
    assert!(!codes(&answer(&desk, &code)).contains(&"misfit"));
    page.done(&format!("/hose/{code}/reseal"), &[("end", "a"), ("grease", "oxygen")]);
    let unsaid = page.post(&format!("/hose/{code}/reseal"), &[("end", "a")]);
    assert_eq!(unsaid.status, 409);
    let recall = [("maker", "Kelpline"), ("model", "K2"), ("why", "crimps slip")];
    let to = page.done("/owner/recall", &recall);
    assert_eq!(to, "/owner/recall?maker=Kelpline&model=K2");
    assert!(page.shown(&to).contains(&code));
    assert!(page.shown("/owner/recall").contains("model K2 of Kelpline"));
    page.done("/owner/recall/end", &recall);
    page.done("/set/T12/home", &[]);
    assert!(page.shown(&format!("/hose/{code}")).contains("at home with its customer"));
    page.done("/set/T12/come-in", &[("ticket", "T-15")]);
    page.done(&format!("/hose/{code}/remove"), &[]);
    page.done(&format!("/hose/{code}/home"), &[]);
    assert!(page.shown(&format!("/hose/{code}/care")).contains("Back in for service"));
    page.done(&format!("/hose/{code}/come-in"), &[("ticket", "T-16")]);
    let told = answer(&desk, &code);
    assert_eq!(told["hose"]["owner"], serde_json::json!({"ticket": "T-16"}), "{told}");
}
