//! The days on which doubt begins and ends, through the binary.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use hosewright_tests::desk::Desk;
use rusqlite::Connection;

/// The codes of an answer's reasons on a day.
fn reasons(desk: &Desk, hose: &str, day: &str) -> Vec<String> {
    let answer = desk.json(&format!("answer {hose} --today {day}"));
    let all = answer["reasons"].as_array().unwrap();
    all.iter().map(|reason| reason["code"].as_str().unwrap().to_owned()).collect()
}

/// A hose in LP1 of a set, looked over and tight.
fn fitted(desk: &Desk, set: &str, used: &str) -> String {
    desk.done(&format!("set new {set} --use {used} --ports HP:7/16-20=1,LP:3/8-24=3"));
    let hose = desk.hose();
    desk.done(&format!("fit {hose} --set {set} --port LP1"));
    desk.done(&format!("inspect {hose} --kind full"));
    desk.done(&format!("inspect {hose} --kind leak-test --passed --pressure 200bar"));
    hose
}

/// A device that met nobody for long says how old its knowledge is: after 7 days
/// for a hose of a rental set, after 30 for others; a meeting ends it.
#[test]
fn knowledge_is_old_after_its_last_good_day() {
    let counter = Desk::new();
    let rental = fitted(&counter, "Heron", "rental");
    let own = fitted(&counter, "Tern", "personal");
    let fleet = counter.json("device found")["fleet"].as_str().unwrap().to_owned();
    let phone = Desk::new();
    let device = phone.json("device show")["device"].as_str().unwrap().to_owned();
    counter.done(&format!("device admit {device} --role bench"));
    let bundle = |day: &str| {
        counter.done(&format!("bundle --out all.hwbundle --force --today {day}"));
        let file = counter.path("all.hwbundle");
        phone.done(&format!("merge {} --today {day}", file.display()));
    };
    bundle("2026-06-15");
    phone.done(&format!("device join {fleet}"));
    bundle("2026-06-15");
    let old = |hose: &str, day: &str| reasons(&phone, hose, day).contains(&"record-old".into());
    for (hose, last_good, first_old) in
        [(&rental, "2026-06-22", "2026-06-23"), (&own, "2026-07-15", "2026-07-16")]
    {
        assert!(!old(hose, last_good), "{:?}", reasons(&phone, hose, last_good));
        assert!(old(hose, first_old), "{:?}", reasons(&phone, hose, first_old));
    }
    // A table that was lost begins with what the others wrote.
    let store = Connection::open(phone.store()).unwrap();
    store.execute_batch("DROP TABLE meeting").unwrap();
    drop(store);
    phone.done("check --rebuild");
    assert!(!old(&rental, "2026-06-22") && old(&rental, "2026-06-23"));
    bundle("2026-06-23");
    assert!(!old(&rental, "2026-06-30"));
    assert!(old(&rental, "2026-07-01"));
}

/// A clock a day ahead may only stand east of here: what it wrote counts. One that
/// is two days ahead is of the future, and ends nothing until those days are past.
#[test]
fn a_clock_may_be_a_day_ahead() {
    for (clock, counts_on) in [("2026-06-16", "2026-06-15"), ("2026-06-17", "2026-06-16")] {
        let desk = Desk::new();
        let hose = desk.hose();
        let look = format!("inspect {hose} --kind full --on 2026-06-15 --today {clock}");
        desk.done(&look);
        for day in ["2026-06-15", "2026-06-16", "2026-06-17"] {
            let said = reasons(&desk, &hose, day);
            let never = said.contains(&"inspection-never".into());
            assert_eq!(never, day < counts_on, "written {clock}, asked {day}: {said:?}");
            let odd = said.contains(&"clock-odd".into());
            assert_eq!(odd, day < counts_on, "written {clock}, asked {day}: {said:?}");
        }
    }
}

/// Brings all that one knows to the other.
fn met(from: &Desk, to: &Desk) {
    from.done("bundle --out own.hwbundle --force");
    let merged = to.json(&format!("merge {}", from.path("own.hwbundle").display()));
    assert_eq!(merged["merge"]["refused"], 0, "{merged}");
}

fn now(desk: &Desk, hose: &str) -> Vec<String> {
    reasons(desk, hose, "2026-06-15")
}

const TESTED: &str = "--kind leak-test --passed --pressure 200bar";

/// Fitting, moving and taking off end what stands for the places left, and a first
/// fitting that it was stored; each makes a leak test due, which a passed one ends.
#[test]
fn fitting_moving_and_removing_end_what_their_rows_say() {
    let desk = Desk::new();
    desk.done("set new Heron --use personal --ports HP:7/16-20=1,LP:3/8-24=3");
    desk.done("set new Egret --use rental --ports LP:3/8-24=3");
    let hose = desk.hose();
    desk.done(&format!("inspect {hose} --kind full"));
    assert_eq!(now(&desk, &hose), ["stored-long"]);
    desk.done(&format!("fit {hose} --set Heron --port LP1"));
    assert_eq!(now(&desk, &hose), ["leak-test-due"]);
    desk.done(&format!("inspect {hose} {TESTED}"));
    desk.done("hold --set Heron --why flooded");
    assert_eq!(now(&desk, &hose), ["held"]);
    // To another port of the same set: the set's hold stays with it.
    desk.done(&format!("fit {hose} --set Heron --port LP2"));
    assert_eq!(now(&desk, &hose), ["held", "leak-test-due"]);
    desk.done(&format!("remove {hose}"));
    assert_eq!(now(&desk, &hose), Vec::<String>::new());
    desk.done(&format!("fit {hose} --set Egret --port LP1"));
    assert_eq!(now(&desk, &hose), ["leak-test-due"]);
}

/// The owner's limits end what limits gave; in a stricter use they end with it.
#[test]
fn other_limits_end_what_limits_gave() {
    let desk = Desk::new();
    let hose = fitted(&desk, "Heron", "rental");
    desk.done(&format!("rental out Heron --ticket 1 {hose}"));
    desk.done(&format!("rental in Heron --nothing-found --dives 6 {hose}"));
    for (strict, wide, reason) in [
        ("--from-made 12m", "--from-made 10y", "age-over"),
        ("--from-made 28m", "--from-made 10y", "age-near"),
        ("--use rental --dives 5", "--use rental --dives 500", "dives-over"),
        ("--use rental --dives 6", "--use rental --dives 500", "dives-near"),
        (
            "--use rental --full-inspection 1m",
            "--use rental --full-inspection 6m",
            "inspection-near",
        ),
    ] {
        desk.done(&format!("limits set {strict}"));
        assert_eq!(now(&desk, &hose), [reason], "{strict}");
        desk.done(&format!("limits set {wide}"));
        assert_eq!(now(&desk, &hose), Vec::<String>::new(), "{wide}");
    }
    let over = |desk: &Desk| reasons(desk, &hose, "2026-12-16").contains(&"inspection-over".into());
    assert!(over(&desk));
    desk.done(&format!("remove {hose}"));
    assert!(!over(&desk), "a hose in stock is judged as one's own");
}

/// What was not here comes: a hose's registration, and a set's making.
#[test]
fn what_was_not_here_ends_what_stood_for_want_of_it() {
    let (here, there) = (Desk::new(), Desk::new());
    let hose = fitted(&there, "Heron", "personal");
    there.done(&format!("tag {hose} --out tag.png"));
    let text = there.json("read tag.png")["texts"][0].as_str().unwrap().to_owned();
    let _ = here.hose();
    let scanned = |desk: &Desk| {
        let answer = desk.json(&format!("scan {text}"));
        let all = answer["reasons"].as_array().unwrap().clone();
        all.iter().map(|reason| reason["code"].as_str().unwrap().to_owned()).collect::<Vec<_>>()
    };
    assert!(scanned(&here).contains(&"tag-only".to_owned()), "{:?}", scanned(&here));
    // All but the making of the set.
    let lines = there.export();
    let (making, others): (Vec<&str>, Vec<&str>) =
        lines.lines().partition(|line| line.contains("\"kind\":\"assembled\""));
    assert_eq!(making.len(), 1, "{lines}");
    std::fs::write(here.path("others.jsonl"), others.join("\n") + "\n").unwrap();
    std::fs::write(here.path("making.jsonl"), making.join("\n") + "\n").unwrap();
    here.done("import others.jsonl");
    let wanting = scanned(&here);
    assert!(wanting.contains(&"not-all-read".to_owned()), "{wanting:?}");
    assert!(!wanting.contains(&"tag-only".to_owned()), "{wanting:?}");
    here.done("import making.jsonl");
    assert_eq!(scanned(&here), Vec::<String>::new());
}

/// A set that two devices changed apart is settled by a change that knows of both.
#[test]
fn a_set_that_was_changed_apart_is_settled() {
    let (here, there) = (Desk::new(), Desk::new());
    let hose = fitted(&here, "Heron", "rental");
    met(&here, &there);
    here.done("set change Heron --use personal --why sold");
    there.done("set change Heron --oxygen yes --why cleaned");
    met(&there, &here);
    assert!(now(&here, &hose).contains(&"set-contested".to_owned()), "{:?}", now(&here, &hose));
    assert_eq!(here.json(&format!("answer {hose}"))["hose"]["use"], "rental", "the stricter");
    here.done("set change Heron --use personal --oxygen no --why asked");
    let settled = now(&here, &hose);
    assert!(!settled.contains(&"set-contested".to_owned()), "{settled:?}");
    assert_eq!(here.json(&format!("answer {hose}"))["hose"]["use"], "personal");
}

/// A hose that two devices put in different places while apart: someone looks.
#[test]
fn a_contested_place_is_confirmed_where_it_is() {
    let (here, there) = (Desk::new(), Desk::new());
    let hose = here.hose();
    here.done(&format!("inspect {hose} --kind full"));
    for set in ["Heron", "Egret"] {
        here.done(&format!("set new {set} --use personal --ports LP:3/8-24=1"));
    }
    met(&here, &there);
    for (desk, set) in [(&here, "Heron"), (&there, "Egret")] {
        desk.done(&format!("fit {hose} --set {set} --port LP1"));
        desk.done(&format!("inspect {hose} {TESTED}"));
        assert_eq!(now(desk, &hose), Vec::<String>::new());
    }
    met(&there, &here);
    assert!(now(&here, &hose).contains(&"place-contested".to_owned()));
    here.done(&format!("place {hose} --confirm"));
    let after = now(&here, &hose);
    assert!(!after.contains(&"place-contested".to_owned()), "{after:?}");
    here.done(&format!("inspect {hose} {TESTED}"));
    assert_eq!(now(&here, &hose), Vec::<String>::new());
}
