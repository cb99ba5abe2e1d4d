//! Handing sets out and taking them back, through the binary.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use hosewright_tests::desk::{Desk, Said};
use serde_json::Value;

struct Rental {
    desk: Desk,
    hoses: Vec<String>,
}

/// A rental set of two low-pressure hoses and a gauge hose, all ready.
fn rental() -> Rental {
    let desk = Desk::new();
    desk.done("set new Heron --use rental --ports HP:7/16-20=1,LP:3/8-24=3");
    let hoses = vec![desk.hose(), desk.hose(), desk.gauge_hose()];
    for (hose, port) in hoses.iter().zip(["LP1", "LP2", "HP1"]) {
        desk.done(&format!("fit {hose} --set Heron --port {port}"));
        desk.done(&format!("inspect {hose} --kind full"));
        desk.done(&format!("inspect {hose} --kind leak-test --passed --pressure 200bar"));
    }
    Rental { desk, hoses }
}

fn codes<'v>(check: &'v Value, list: &str) -> Vec<&'v str> {
    check[list].as_array().unwrap().iter().filter_map(|hose| hose["code"].as_str()).collect()
}

impl Rental {
    fn out(&self, codes: &[&str], more: &str) -> (i32, Value) {
        let line = format!("rental out Heron --ticket 4711 {} {more} --json", codes.join(" "));
        let said = self.desk.run(&line);
        (said.code, serde_json::from_str(&said.out).unwrap_or_default())
    }

    /// What people read, none of it wider than the screen.
    fn read(&self, line: &str) -> Said {
        let said = self.desk.run(line);
        let wide = said.out.lines().find(|line| line.chars().count() > 80);
        assert_eq!(wide, None, "{line}");
        said
    }

    /// Every hose of the set comes back.
    fn back(&self, more: &str) -> String {
        format!("rental in Heron --nothing-found {} {more}", self.hoses.join(" "))
    }

    fn all(&self) -> Vec<&str> {
        self.hoses.iter().map(String::as_str).collect()
    }
}

#[test]
fn a_whole_set_goes_out_in_any_order_and_comes_back() {
    let rental = rental();
    let mut all = rental.all();
    all.reverse();
    let (code, check) = rental.out(&all, "");
    assert_eq!((code, check["handed_out"].as_bool()), (0, Some(true)), "{check}");
    let answer = rental.desk.json(&format!("answer {}", rental.hoses[0]));
    assert_eq!(answer["place"]["words"], "out on ticket 4711; its place is set Heron, port LP1");
    for line in [
        format!("remove {}", rental.hoses[0]),
        format!("fit {} --set Heron --port LP3", rental.hoses[0]),
        format!("retire {} --why frayed --yes", rental.hoses[0]),
    ] {
        let said = rental.desk.run(&line);
        assert_eq!(said.code, 2, "{line}");
        assert!(said.err.contains("4711"), "{line}: {}", said.err);
    }
    let (code, check) = rental.out(&all, "");
    assert_eq!(code, 1);
    assert_eq!(check["already_out"]["ticket"], "4711");
    assert_eq!(rental.desk.json("rental list")[0]["set"], "Heron");
    let back = rental.desk.json(&rental.back("--dives 4"));
    assert_eq!((back["dives"].as_u64(), back["quarantined"].as_bool()), (Some(4), Some(false)));
    let answer = rental.desk.json(&format!("answer {}", rental.hoses[2]));
    assert_eq!(answer["dives"], 4);
    assert!(answer["inspections"].as_array().unwrap().iter().any(|look| look["kind"] == "quick"));
    assert_eq!(rental.desk.json("rental list").as_array().map(Vec::len), Some(0));
    assert_eq!(rental.desk.run(&rental.back("--dives 4")).code, 2);
}

#[test]
fn each_hose_that_stops_it_is_named() {
    let rental = rental();
    let stranger = rental.desk.hose();
    rental
        .desk
        .done(&format!("inspect {} --kind quick --finding seal-b:seal-damaged", rental.hoses[1]));
    let before = rental.desk.export();
    let (code, check) = rental.out(&[&rental.hoses[0], &rental.hoses[1], &stranger], "");
    assert_eq!((code, check["handed_out"].as_bool()), (1, Some(false)));
    assert_eq!(codes(&check, "found"), [&rental.hoses[0], &rental.hoses[1]]);
    assert_eq!(codes(&check, "missing"), [&rental.hoses[2]]);
    assert!(codes(&check, "held").contains(&rental.hoses[1].as_str()), "{check}");
    assert_eq!(check["foreign"][0]["hose"]["code"], stranger);
    let stops: Vec<&str> =
        check["stops"].as_array().unwrap().iter().filter_map(|s| s["words"].as_str()).collect();
    for hose in [&rental.hoses[1], &rental.hoses[2], &stranger] {
        assert!(stops.iter().any(|words| words.contains(hose.as_str())), "{hose}: {stops:?}");
    }
    // The damaged O-ring is none of the things that a reason lifts.
    let all = [&rental.hoses[0], &rental.hoses[1], &rental.hoses[2]].map(String::as_str);
    assert_eq!(rental.out(&all, "--override --why pool").0, 1);
    assert_eq!(rental.desk.export(), before);
}

#[test]
fn an_override_takes_a_reason_and_stays_on_record() {
    let rental = rental();
    let two = [rental.hoses[0].as_str(), rental.hoses[1].as_str()];
    assert_eq!(rental.out(&two, "").0, 1);
    assert_eq!(rental.out(&two, "--override").0, 2);
    assert_eq!(rental.out(&two, "--override --why pool").0, 0);
    let told = rental.desk.run("set show Heron --json").out;
    assert!(told.contains("pool"), "{told}");
    let history = rental.desk.run(&format!("history {}", rental.hoses[0])).out;
    assert!(history.contains("pool"), "{history}");
}

#[test]
fn a_retired_hose_does_not_go_out_even_so() {
    let rental = rental();
    rental.desk.done(&format!("inspect {} --kind quick --finding run:bulge", rental.hoses[0]));
    assert_eq!(rental.out(&rental.all(), "--override --why pool").0, 1);
    assert_eq!(rental.desk.json("rental list").as_array().map(Vec::len), Some(0));
}

#[test]
fn a_finding_that_holds_quarantines_the_set() {
    let rental = rental();
    assert_eq!(rental.out(&rental.all(), "").0, 0);
    let line = rental.back(&format!("--dives 2 --finding {}:end-a:bubbles:joint", rental.hoses[1]));
    let back = rental.desk.json(&line);
    assert_eq!(back["quarantined"], true);
    let early = rental.desk.run("release --set Heron --why sunny");
    assert_eq!(early.code, 2, "{}", early.out);
    assert!(early.err.contains(&rental.hoses[1]), "{}", early.err);
    let (code, check) = rental.out(&rental.all(), "");
    assert_eq!((code, check["quarantined"].as_bool()), (1, Some(true)));
    rental.desk.done(&format!("reseal {} --end a", rental.hoses[1]));
    let test = format!("inspect {} --kind leak-test --passed --pressure 200bar", rental.hoses[1]);
    rental.desk.done(&test);
    // It stays in quarantine until someone says why it is over.
    assert_eq!(rental.out(&rental.all(), "--override --why pool").0, 1);
    rental.desk.done("release --set Heron --why resealed");
    assert_eq!(rental.out(&rental.all(), "").0, 0);
}

/// Dives count towards the limit of a rental: 449, 450, 500, 501.
#[test]
fn dives_of_returns_count() {
    let rental = rental();
    let verdict = |dives: u32| {
        assert_eq!(rental.out(&rental.all(), "--override --why counting").0, 0);
        let back = rental.desk.run(&rental.back(&format!("--dives {dives} --yes")));
        assert_eq!(back.code, 0, "{}", back.err);
        let answer = rental.desk.json(&format!("answer {}", rental.hoses[0]));
        let reasons = answer["reasons"].as_array().unwrap().clone();
        let codes: Vec<String> =
            reasons.iter().filter_map(|r| r["code"].as_str().map(str::to_owned)).collect();
        (answer["dives"].as_u64().unwrap(), codes)
    };
    let none: Vec<String> = Vec::new();
    // More than anybody makes in a day is asked about, and nothing is written.
    assert_eq!(rental.out(&rental.all(), "").0, 0);
    let asked = rental.desk.run(&rental.back("--dives 7"));
    assert_eq!(asked.code, 2, "{}", asked.out);
    assert!(asked.err.contains("--yes"), "{}", asked.err);
    assert_eq!(rental.desk.json("rental list")[0]["set"], "Heron");
    rental.desk.done(&rental.back("--dives 0"));
    assert_eq!(verdict(200), (200, none.clone()));
    assert_eq!(verdict(200), (400, none.clone()));
    assert_eq!(verdict(49), (449, none));
    assert_eq!(verdict(1), (450, vec!["dives-near".to_owned()]));
    assert_eq!(verdict(50), (500, vec!["dives-near".to_owned()]));
    assert_eq!(verdict(1), (501, vec!["dives-over".to_owned()]));
    assert_eq!(rental.desk.run(&rental.back("--dives 201")).code, 2);
}

#[test]
fn a_personal_set_is_not_handed_out_and_ports_are_suggested() {
    let rental = rental();
    rental.desk.done("set new Egret --use personal --ports HP:7/16-20=1,LP:3/8-24=2");
    assert_eq!(rental.desk.run("rental out Egret --ticket 1").code, 2);
    let hose = rental.desk.hose();
    let said = rental.desk.run(&format!("fit {hose} --set Egret"));
    assert_eq!(said.code, 2);
    assert!(said.err.contains("LP1") && said.err.contains("LP2") && !said.err.contains("HP1"));
    let moved = rental.desk.run(&format!("fit {hose} --set Egret --port LP2"));
    assert!(moved.out.contains("plug of LP2"), "{}", moved.out);
    let moved = rental.desk.run(&format!("fit {hose} --set Egret --port LP1"));
    assert!(moved.out.contains("moved from LP2 to LP1"), "{}", moved.out);
    let picture = rental.desk.path("egret.svg");
    let picture = picture.to_string_lossy();
    rental.desk.done(&format!("set show Egret --svg {picture}"));
    let drawn = std::fs::read_to_string(&*picture).unwrap();
    assert!(drawn.contains("<svg") && drawn.contains("hold") && drawn.contains("LP1"));
}

/// What is printed of a check, of an override and of a return says who, why and
/// what to do, and does not speak against itself.
#[test]
fn people_are_told_hose_by_hose() {
    let rental = rental();
    let (hoses, stock) = (&rental.hoses, rental.desk.hose());
    rental.desk.done(&format!("inspect {stock} --kind full"));
    rental.desk.done(&format!("inspect {} --kind quick --finding run:strands:1", hoses[0]));
    rental.desk.done(&format!("describe {} --made 2016-01", hoses[1]));
    let before = rental.desk.export();
    let scans = format!("{} {} {stock}", hoses[0], hoses[1]);
    let check = rental.read(&format!("rental check Heron {scans}"));
    assert_eq!((check.code, check.err.as_str()), (1, ""));
    let said = check.out.replace('\n', " ").replace("   ", " ");
    assert!(said.contains("3 things stop it"), "{said}");
    assert!(said.contains("with a reason, which stays on record"), "{said}");
    assert!(said.contains(&format!("LP1: {}: watch. On the run", hoses[0])), "{said}");
    let unknown = rental.read(&format!("rental check Heron {scans} ZZZZZ"));
    assert!(unknown.out.contains("This can't be overridden"), "{}", unknown.out);
    assert_eq!(rental.desk.export(), before);
    assert!(rental.read("rental list").out.contains("No set is out."));

    let line = format!("rental out Heron --ticket 4711 {scans} --by Ana --override --why pool");
    let out = rental.read(&line);
    assert_eq!(out.code, 0, "{}", out.err);
    assert!(out.out.contains("is out on ticket 4711, with 3 hoses"), "{}", out.out);
    assert!(out.out.contains("over these objections"), "{}", out.out);
    assert!(!out.out.contains("stays here"), "{}", out.out);
    let shown = rental.read("set show Heron").out.replace('\n', " ");
    assert!(shown.contains("handed out by Ana, over the objections: pool"), "{shown}");
    assert!(shown.contains(&format!("LP2: {}: hold. Made 2016-01", hoses[1])), "{shown}");
    assert!(rental.read("set list").out.contains("out on ticket 4711"));
    let list = rental.read("rental list --today 2026-06-18").out;
    assert!(list.contains("3 days") && list.contains("Ana"), "{list}");

    // A tag's whole text names its hose too.
    let tag = format!("HW1:{}.", hoses[0].replace('-', ""));
    let scans = format!("{} {stock}", hoses[1]);
    let back =
        format!("rental in Heron --nothing-found --dives 2 {scans} --finding {tag}:run:strands:3");
    let back = rental.read(&back);
    assert_eq!(back.code, 0, "{}", back.err);
    let said = back.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(said.contains("On hold") && said.contains("up from 1"), "{said}");
    assert!(said.contains("seen on 2026-06-15 by"), "{said}");
    assert!(rental.read("set list").out.contains("here, on hold"));
    // The hose that nobody scanned did not go; the one from stock did.
    for (hose, dives) in [(&hoses[0], 2), (&hoses[2], 0), (&stock, 2)] {
        assert_eq!(rental.desk.json(&format!("answer {hose}"))["dives"], dives, "{hose}");
    }
}

/// Nothing is screwed into a set that is out, not by a swap either; and a swap
/// that is refused for its port names those that are free.
#[test]
fn a_swap_respects_what_is_out_and_names_free_ports() {
    let rental = rental();
    let stock = rental.desk.hose();
    rental.desk.done(&format!("inspect {stock} --kind full"));
    let taken = rental.read(&format!("swap {} {stock} --port LP2", rental.hoses[0]));
    assert_eq!(taken.code, 2);
    assert!(taken.err.contains("LP3 is free and takes it"), "{}", taken.err);
    let some = [rental.hoses[1].as_str()];
    assert_eq!(rental.out(&some, "--override --why pool").0, 0);
    // This hose was not scanned and so is not out, but its set is.
    let out = rental.read(&format!("swap {} {stock}", rental.hoses[0]));
    assert_eq!(out.code, 2, "{}", out.out);
    assert!(out.err.contains("set Heron is out since"), "{}", out.err);
}

/// A desk with a copy of another's record.
fn copy_of(desk: &Desk) -> Desk {
    let other = Desk::new();
    std::fs::write(other.path("record.jsonl"), desk.export()).unwrap();
    other.done("import record.jsonl");
    other
}

/// While a set was out, another device that did not know it changed a hose of
/// it and moved one: the return says so, and records what it knows.
#[test]
fn a_return_says_which_hoses_are_no_longer_where_they_were() {
    let rental = rental();
    let bench = copy_of(&rental.desk);
    let [changed, kept, _] = [0, 1, 2].map(|at| rental.hoses[at].as_str());
    assert_eq!(rental.out(&rental.all(), "").0, 0);
    bench.done(&format!("remove {changed}"));
    let spare = bench.hose();
    bench.done(&format!("fit {spare} --set Heron --port LP1"));
    std::fs::write(rental.desk.path("bench.jsonl"), bench.export()).unwrap();
    rental.desk.done("import bench.jsonl");

    let back = rental.read(&rental.back(&format!("--dives 3 --finding {kept}:run:scuff")));
    assert_eq!(back.code, 0, "{}", back.err);
    let said = back.out.split_whitespace().collect::<Vec<_>>().join(" ");
    for words in [
        "A quick look is on record for 3 hoses, with nothing found on 2 of them.",
        &format!("{changed} was out with set Heron and is not in it on record (in stock)"),
        &format!("{spare} is in LP1 of set Heron on record and was not out with it: no dives"),
    ] {
        assert!(said.contains(words), "no “{words}” in {said}");
    }
    for (hose, dives, looks) in [(changed, 3, 1), (kept, 3, 1), (&spare, 0, 0)] {
        let answer = rental.desk.json(&format!("answer {hose}"));
        assert_eq!(answer["dives"], dives, "{hose}");
        let seen = answer["inspections"].as_array().unwrap().iter();
        assert_eq!(seen.filter(|look| look["kind"] == "quick").count(), looks, "{hose}");
    }
    assert_eq!(rental.desk.run("check").code, 0);
}

#[test]
fn a_return_says_that_each_hose_counts_as_looked_at() {
    let rental = rental();
    let help = rental.desk.run("rental in --help").out;
    let help = help.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(help.contains("Every hose that is out is scanned, or named missing"), "{help}");
    assert_eq!(rental.out(&rental.all(), "").0, 0);
    let back = rental.desk.json(&rental.back("--dives 1"));
    let words = back["words"].as_str().unwrap();
    assert!(words.contains("on record for 3 hoses, with nothing found."), "{words}");
    assert_eq!(back["differences"], serde_json::json!([]));
}

/// Packed in the evening, a set goes out in the morning by its name alone.
#[test]
fn a_packed_set_goes_out_without_codes_unless_something_is_new() {
    let rental = rental();
    let (desk, all) = (&rental.desk, rental.all().join(" "));
    let none = desk.run("rental out Heron");
    assert_eq!(none.code, 2, "{}", none.out);
    assert!(none.err.contains("is not packed"), "{}", none.err);
    let part = desk.run(&format!("rental pack Heron --ticket 41 {}", rental.hoses[0]));
    assert_eq!(part.code, 1, "{}{}", part.out, part.err);
    let person = desk.run(&format!("rental pack Heron --ticket Anna {all}"));
    assert_eq!(person.code, 2, "{}", person.out);
    let packed = rental.read(&format!("rental pack Heron --ticket 41 {all}"));
    assert_eq!(packed.code, 0, "{}", packed.err);
    assert!(
        packed.out.contains("Set Heron is packed for ticket 41, with 3 hoses."),
        "{}",
        packed.out
    );
    assert!(desk.run("today").out.contains("Heron: ticket 41, packed today"));
    assert!(desk.run("set list").out.contains("packed for"), "{}", desk.run("set list").out);
    assert_eq!(desk.json("set list")[0]["packed"]["ticket"], "41");
    assert!(rental.read("set show Heron").out.contains("Packed for ticket 41 today by"));
    for line in [
        format!("rental out Heron --ticket 42 {all}"),
        "rental out Heron --ticket 42".to_owned(),
        format!("rental pack Heron --ticket 42 {all}"),
    ] {
        let said = desk.run(&line);
        assert_eq!(said.code, 2, "{line}: {}", said.out);
        assert!(said.err.contains("is packed for ticket 41; unpack it first"), "{}", said.err);
    }
    desk.done(&format!("inspect {} --kind quick --finding run:scuff", rental.hoses[1]));
    let new = rental.read("rental out Heron");
    assert_eq!(new.code, 1, "{}{}", new.out, new.err);
    assert!(new.out.contains("New since it was packed:"), "{}", new.out);
    let told = desk.run("rental out Heron --json");
    let told: Value = serde_json::from_str(&told.out).unwrap();
    assert_eq!(told["handed_out"], false);
    assert_eq!(told["new"].as_array().map(Vec::len), Some(1), "{told}");
    desk.done("rental unpack Heron");
    assert_eq!(desk.run("rental unpack Heron").code, 2);
    desk.done(&format!("rental pack Heron --ticket 42 {all}"));
    let out = rental.read("rental out Heron");
    assert_eq!(out.code, 0, "{}{}", out.out, out.err);
    assert!(out.out.contains("Set Heron is out on ticket 42, with 3 hoses."), "{}", out.out);
    let history = desk.run(&format!("history {}", rental.hoses[0])).out;
    assert!(history.contains("packed with set Heron for ticket 41"), "{history}");
}
