//! Doubt never reads as ready, and every mistake can be taken back: each thing
//! that was once seen to go wrong, through the binary.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use hosewright_tests::desk::Desk;
use serde_json::{Value, json};

pub(super) const FULL: &str = "--kind full";
pub(super) const TESTED: &str = "--kind leak-test --passed --pressure 200bar";

pub(super) fn answer(desk: &Desk, hose: &str) -> Value {
    desk.json(&format!("answer {hose}"))
}

pub(super) fn verdict(desk: &Desk, hose: &str) -> String {
    answer(desk, hose)["verdict"].as_str().unwrap().to_owned()
}

/// The codes of an answer's reasons.
pub(super) fn reasons(desk: &Desk, hose: &str) -> Vec<String> {
    let answer = answer(desk, hose);
    let all = answer["reasons"].as_array().unwrap();
    all.iter().map(|reason| reason["code"].as_str().unwrap().to_owned()).collect()
}

/// The verdict and the words of one reason; nothing if it does not stand.
pub(super) fn reason(desk: &Desk, hose: &str, code: &str) -> Option<(String, String)> {
    let answer = answer(desk, hose);
    let all = answer["reasons"].as_array().unwrap();
    let found = all.iter().find(|reason| reason["code"] == code)?;
    let text = |field: &str| found[field].as_str().unwrap().to_owned();
    Some((text("verdict"), text("words")))
}

pub(super) fn held_by(desk: &Desk, hose: &str, code: &str) {
    let found = reason(desk, hose, code);
    assert_eq!(found.map(|(verdict, _)| verdict).as_deref(), Some("hold"), "{code}: {}", {
        answer(desk, hose)["reasons"].clone()
    });
}

/// A command that must be refused, and why.
pub(super) fn refused(desk: &Desk, line: &str, why: &str) {
    let before = desk.export();
    let said = desk.run(line);
    assert_eq!(said.code, 2, "{line}: {}", said.out);
    assert!(said.err.contains(why), "{line}: no “{why}” in {}", said.err);
    assert_eq!(desk.export(), before, "{line} changed something");
}

/// Brings all that one knows to the other.
pub(super) fn met(from: &Desk, to: &Desk) {
    from.done("bundle --out own.hwbundle --force");
    let merged = to.json(&format!("merge {}", from.path("own.hwbundle").display()));
    assert_eq!(merged["merge"]["refused"], 0, "{merged}");
}

pub(super) fn meet(one: &Desk, other: &Desk) {
    met(one, other);
    met(other, one);
}

pub(super) fn device(desk: &Desk) -> String {
    desk.json("device show")["device"].as_str().unwrap().to_owned()
}

/// The name of the newest entry of a kind about a hose.
pub(super) fn entry(desk: &Desk, hose: &str, kind: &str) -> String {
    let history = desk.json(&format!("history {hose}"));
    let of_kind = history.as_array().unwrap().iter().filter(|line| line["kind"] == kind);
    let newest = of_kind.max_by_key(|line| line["seq"].as_u64()).expect(kind);
    newest["entry"].as_str().unwrap().to_owned()
}

/// A hose in LP1 of a set of its own, that nothing is known against.
pub(super) fn ready(desk: &Desk, set: &str, used: &str) -> String {
    desk.done(&format!("set new {set} --use {used} --ports HP:7/16-20=1,LP:3/8-24=3"));
    let hose = desk.hose();
    into(desk, &hose, set, "LP1");
    hose
}

/// Fits a hose and looks it over.
fn into(desk: &Desk, hose: &str, set: &str, port: &str) {
    desk.done(&format!("fit {hose} --set {set} --port {port}"));
    desk.done(&format!("inspect {hose} {FULL}"));
    desk.done(&format!("inspect {hose} {TESTED}"));
    assert_eq!(verdict(desk, hose), "ready");
}

/// 1. A hose that is described otherwise in its port no longer fits there.
#[test]
fn a_hose_described_otherwise_in_its_port_is_a_misfit() {
    for why in ["", "--why measured"] {
        let desk = Desk::new();
        let hose = ready(&desk, "Heron", "personal");
        let gauge = "--service gauge --construction rubber --end-a 7/16-20 --end-b 7/16-20";
        desk.done(&format!("describe {hose} {gauge} {why}"));
        held_by(&desk, &hose, "misfit");
        assert_eq!(desk.json("set show Heron")["worst"], "hold");
        let other = ready(&desk, "Egret", "personal");
        desk.done(&format!("describe {other} --end-a 1/2-20 {why}"));
        held_by(&desk, &other, "misfit");
        let (_, words) = reason(&desk, &other, "misfit").unwrap();
        assert!(words.contains("1/2-20 will not go into a 3/8-24 port"), "{words}");
        desk.done(&format!("remove {other}"));
        assert_eq!(reason(&desk, &other, "misfit"), None);
    }
}

/// 2. Sets of one name that two devices made are two.
#[test]
fn two_devices_make_a_set_of_one_name() {
    let (here, there) = (Desk::new(), Desk::new());
    let hose = ready(&here, "R3", "rental");
    let other = ready(&there, "r3", "personal");
    let day = "--today 2027-02-01";
    let over = |desk: &Desk| desk.json(&format!("answer {hose} {day}"))["verdict"].clone();
    assert_eq!(over(&here), "hold", "a rental's inspection is overdue after six months");
    met(&there, &here);
    assert_eq!(over(&here), "hold");
    for (hose, used) in [(&hose, "rental"), (&other, "personal")] {
        let answer = answer(&here, hose);
        assert_eq!((&answer["verdict"], &answer["hose"]["use"]), (&json!("ready"), &json!(used)));
    }
    let list = here.json("set list");
    let ids: Vec<&str> =
        list.as_array().unwrap().iter().map(|set| set["id"].as_str().unwrap()).collect();
    assert_eq!(ids.len(), 2, "{list}");
    let shown = here.run("set list").out;
    for id in &ids {
        assert!(shown.contains(id), "{shown}");
        for line in ["set show R3", &format!("fit {hose} --set R3 --port LP2"), "rental check r3"] {
            refused(&here, line, id);
        }
    }
    // One is renamed by its code, and the name is of one set again.
    let personal = list.as_array().unwrap().iter().find(|set| set["use"] == "personal").unwrap();
    here.done(&format!("set change {} --name Own", personal["id"].as_str().unwrap()));
    assert_eq!(here.json("set show R3")["use"], "rental");
    assert_eq!(here.json("set show Own")["ports"][1]["hose"]["code"], *other);
    met(&here, &there);
    assert_eq!(there.json("set show own")["use"], "personal");
}

/// 2. Or someone says that the two are one: then it has what both had.
#[test]
fn two_sets_of_one_name_are_said_to_be_one() {
    let (here, there) = (Desk::new(), Desk::new());
    let hose = ready(&here, "R3", "rental");
    there.done("set new R3 --use rental --ports HP:7/16-20=1,LP:3/8-24=3");
    there.done("hold --set R3 --why flooded");
    met(&there, &here);
    assert_eq!(verdict(&here, &hose), "ready");
    let list = here.json("set list");
    let ids: Vec<&str> =
        list.as_array().unwrap().iter().map(|set| set["id"].as_str().unwrap()).collect();
    here.done(&format!("set join {} {} --why twice", ids[0], ids[1]));
    assert_eq!(here.json("set list").as_array().unwrap().len(), 1);
    held_by(&here, &hose, "held");
}

/// 3. One tag on two hoses: none inherits what the other went through.
#[test]
fn one_blank_tag_on_two_hoses() {
    let (here, there) = (Desk::new(), Desk::new());
    let tag = here.json("tags --blank 1 --out blank.pdf")["codes"][0].as_str().unwrap().to_owned();
    let register = "register --service second-stage --construction rubber --length 75cm \
                    --end-a 3/8-24 --end-b 9/16-18 --made 2024-03";
    for desk in [&here, &there] {
        desk.done(&format!("{register} --tag {tag}"));
    }
    here.done(&format!("inspect {tag} {FULL}"));
    meet(&here, &there);
    for desk in [&here, &there] {
        held_by(desk, &tag, "identity-contested");
    }
    here.done(&format!("inspect {tag} {FULL}"));
    held_by(&here, &tag, "identity-contested");
    refused(&here, &format!("retag {tag} --yes"), "two hoses");
    let history = here.json(&format!("history {tag}"));
    let registered: Vec<&str> = history
        .as_array()
        .unwrap()
        .iter()
        .filter(|line| line["kind"] == "registered")
        .map(|line| line["entry"].as_str().unwrap())
        .collect();
    assert_eq!(registered.len(), 2, "{history}");
    let new = here.done(&format!("retag {tag} --of {} --yes", registered[0]));
    assert_eq!(reason(&here, &new, "identity-contested"), None, "{:?}", reasons(&here, &new));
    assert_eq!(reason(&here, &new, "inspection-never"), None, "a full inspection goes with it");
    assert_eq!(verdict(&here, &tag), "hold", "{:?}", reasons(&here, &tag));
    let second = here.done(&format!("retag {tag} --of {} --yes", registered[1]));
    assert!(second != new && second != tag);
    assert_eq!(reason(&here, &second, "identity-contested"), None);
    assert_eq!(verdict(&here, &tag), "hold", "{:?}", reasons(&here, &tag));
    meet(&here, &there);
    for hose in [&tag, &new, &second] {
        assert_eq!(reasons(&there, hose), reasons(&here, hose));
    }
    assert_eq!(here.run("check").code, 0);
}

/// 4. What a device says that is not believed is said, and shown.
#[test]
fn a_bulge_that_a_stranger_saw_is_shown() {
    let (centre, stranger) = (Desk::new(), Desk::new());
    let hose = ready(&centre, "Heron", "personal");
    met(&centre, &stranger);
    centre.done("device found");
    stranger.done(&format!("inspect {hose} --kind quick --finding run:bulge"));
    met(&stranger, &centre);
    let (verdict, words) = reason(&centre, &hose, "not-believed").unwrap();
    assert_eq!(verdict, "hold", "it would retire");
    assert!(words.contains("a lump, blister or soft spot"), "{words}");
    let history = centre.json(&format!("history {hose}"));
    let last = history.as_array().unwrap().iter().find(|line| line["believed"] == false).unwrap();
    assert!(last["words"].as_str().unwrap().contains("[not believed]"), "{last}");
    assert!(centre.run(&format!("history {hose}")).out.contains("[not believed]"));
    // Admitted from the start it retires; dismissed after it was listed it is gone.
    let copy = Desk::new();
    met(&centre, &copy);
    let number = device(&stranger);
    let listed = centre.run(&format!("device entries {}", &number[..12]));
    let listed = listed.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(listed.contains("a lump, blister or soft spot"), "{listed}");
    centre.done(&format!("device dismiss-entries {number} --why mistaken"));
    assert_eq!(reason(&centre, &hose, "not-believed"), None);
    assert_eq!(reason(&centre, &hose, "corrected").unwrap().0, "hold");
    centre.done(&format!("inspect {hose} {FULL}"));
    assert_eq!(self::verdict(&centre, &hose), "ready");
}

/// A rental set of two hoses that nothing is known against.
pub(super) fn rental(desk: &Desk) -> [String; 2] {
    let one = ready(desk, "Heron", "rental");
    let two = desk.hose();
    into(desk, &two, "Heron", "LP2");
    [one, two]
}

/// 10. A leak test at hardly any pressure, or at none, is none.
#[test]
fn a_leak_test_needs_its_pressure() {
    let desk = Desk::new();
    desk.done("set new Heron --use personal --ports HP:7/16-20=1,LP:3/8-24=1");
    let (low, high) = (desk.hose(), desk.gauge_hose());
    desk.done(&format!("fit {low} --set Heron --port LP1"));
    desk.done(&format!("fit {high} --set Heron --port HP1"));
    for (hose, least, little) in [(&low, "50 bar", "49bar"), (&high, "150 bar", "149bar")] {
        let test = format!("inspect {hose} --kind leak-test --passed");
        refused(&desk, &test, least);
        refused(&desk, &format!("{test} --pressure 1bar"), least);
        refused(&desk, &format!("{test} --pressure {little}"), least);
        held_by(&desk, hose, "leak-test-due");
        desk.done(&format!("{test} --pressure {}", least.replace(' ', "")));
        assert_eq!(reason(&desk, hose, "leak-test-due"), None);
    }
}

/// 11. What was found keeps its verdict, however the hose is described after it.
#[test]
fn a_finding_is_not_softened_by_a_description() {
    for why in ["", "--why measured"] {
        let desk = Desk::new();
        let hose = desk.done(
            "register --service second-stage --construction rubber --length 75cm --end-a 3/8-24 \
             --end-b 9/16-18 --made 2024-03",
        );
        desk.done(&format!("inspect {hose} {FULL} --finding run:bubbles"));
        assert_eq!(verdict(&desk, &hose), "retire");
        let gauge = "--service gauge --end-a 7/16-20 --end-b 7/16-20";
        desk.done(&format!("describe {hose} {gauge} {why}"));
        // With a reason the finding is one that such a hose may have; someone looks.
        let left = if why.is_empty() { "retire" } else { "hold" };
        assert_eq!(verdict(&desk, &hose), left, "{:?}", reasons(&desk, &hose));
        assert_eq!(reason(&desk, &hose, "corrected").is_some(), !why.is_empty());
    }
}

/// 14. Two hand-outs while apart are both known, and a return counts once.
#[test]
fn two_hand_outs_apart_and_two_returns() {
    let (here, there) = (Desk::new(), Desk::new());
    let [one, two] = rental(&here);
    met(&here, &there);
    for (desk, ticket) in [(&here, "4711"), (&there, "4712")] {
        desk.done(&format!("rental out Heron --ticket {ticket} {one} {two}"));
    }
    meet(&here, &there);
    for desk in [&here, &there] {
        let (verdict, words) = reason(desk, &one, "rented-twice").unwrap();
        assert_eq!(verdict, "watch");
        assert!(words.contains("4711") && words.contains("4712"), "{words}");
    }
    // Both take it back while apart.
    for desk in [&here, &there] {
        desk.done(&format!("rental in Heron --nothing-found --dives 4 {one} {two}"));
        assert_eq!(reason(desk, &one, "rented-twice"), None);
    }
    meet(&here, &there);
    for desk in [&here, &there] {
        assert_eq!(answer(desk, &one)["dives"], 4);
        assert_eq!(verdict(desk, &one), "ready");
        assert_eq!(desk.json("rental list"), json!([]));
    }
}

/// 17. A swap that is given up after the spanner was on leaves a loosened hose.
#[test]
fn a_swap_given_up_after_the_spanner_leaves_a_leak_test_due() {
    for (last, due) in [("old-tag", false), ("spanner", true)] {
        let desk = Desk::new();
        let old = ready(&desk, "Heron", "personal");
        let new = desk.hose();
        desk.done(&format!("inspect {new} {FULL}"));
        for step in ["depressurised", "laid-out", "old-tag", "held", "spanner"] {
            let answer = if step == "old-tag" { old.as_str() } else { "done" };
            desk.done(&format!("swap {old} {new} --step {step}={answer}"));
            if step == last {
                break;
            }
        }
        held_by(&desk, &old, "swap-open");
        desk.done(&format!("swap {old} {new} --give-up interrupted"));
        assert_eq!(reason(&desk, &old, "swap-open"), None);
        assert_eq!(reason(&desk, &old, "leak-test-due").is_some(), due, "{last}");
        desk.done(&format!("inspect {old} {TESTED}"));
        assert_eq!(verdict(&desk, &old), "ready");
    }
}
