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
