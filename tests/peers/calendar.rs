//! The calendar of what is due, read by a library of other people.

#![allow(clippy::unwrap_used, clippy::expect_used)]

use std::collections::{BTreeMap, BTreeSet};
use std::fs;

use hosewright_tests::desk::{Desk, TODAY};
use hosewright_tests::peers::python;
use serde_json::Value;

fn read(calendar: &str) -> Value {
    serde_json::from_str(&python("due_calendar.py", &[], calendar)).expect("what the peer says")
}

fn text(value: &Value) -> String {
    value.as_str().unwrap_or_default().to_owned()
}

/// Every thing due of the demonstration is found, with its day and no other.
#[test]
fn every_thing_due_is_found_with_its_day() {
    let desk = Desk::new();
    desk.done("demo shown");
    let store = "--store shown/fleet.hosewright";
    let due = desk.json(&format!("due --within 1y {store}"));
    let rows = due["rows"].as_array().unwrap();
    assert!(rows.len() > 40, "{}", rows.len());
    let said = desk.run(&format!("due --calendar --out due.ics {store}"));
    assert_eq!(said.out, format!("{} things due written to due.ics\n", rows.len()));
    let calendar = fs::read_to_string(desk.path("due.ics")).unwrap();
    let read = read(&calendar);
    assert_eq!(read["name"], "Hoses: what is due");
    let events = read["events"].as_array().unwrap();
    let by_uid: BTreeMap<String, &Value> =
        events.iter().map(|event| (text(&event["uid"]), event)).collect();
    assert_eq!((by_uid.len(), events.len()), (rows.len(), rows.len()), "each has its own UID");
    let mut overdue = 0;
    for row in rows {
        let (code, what) = (text(&row["code"]), text(&row["what"]));
        let event = by_uid[&format!("{code}-{what}@hosewright")];
        assert_eq!(event["first"], row["on"], "{code} {what}");
        let late = row["overdue"] == true;
        overdue += u32::from(late);
        let last = if late { TODAY.to_owned() } else { text(&row["on"]) };
        assert_eq!(event["last"], last.as_str(), "{code} {what}: on until today if it is overdue");
        let name = if row["number"].is_null() { code.clone() } else { text(&row["number"]) };
        assert!(text(&event["summary"]).starts_with(&format!("{name}: ")), "{event}");
        let description = text(&event["description"]);
        assert!(description.contains(&code) && description.contains("A failed hose"), "{event}");
    }
    assert!(overdue > 0);
    // Nothing of where a hose is or whose it is.
    let places: BTreeSet<String> = rows.iter().map(|row| text(&row["place"])).collect();
    assert!(places.iter().all(|place| !calendar.contains(place)), "{places:?}");
}

#[test]
fn odd_letters_come_out_as_they_went_in() {
    let desk = Desk::new();
    for number in ["Öl, Süd; 1\\2", "“Grün”: ÄÖÜÄÖÜ, ÄÖÜ", "日本語のホース、赤、三番"]
    {
        let mut words: Vec<&str> = "register --service gauge --construction rubber --length 80cm \
             --end-a 7/16-20 --end-b 7/16-20 --made 2024-03 --number"
            .split_whitespace()
            .collect();
        words.push(number);
        let said = desk.run_args(words);
        assert_eq!(said.code, 0, "{number}: {}", said.err);
        let calendar = desk.run("due --calendar").out;
        let read = read(&calendar);
        let found = read["events"].as_array().unwrap().iter();
        let wanted = format!("{number}: full inspection");
        assert_eq!(found.filter(|event| event["summary"] == wanted.as_str()).count(), 1, "{read}");
        assert!(calendar.split("\r\n").all(|line| line.len() <= 75), "{calendar}");
    }
}
