//! Finding a hose of the demonstration by what someone has at hand.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use hosewright_tests::desk::Desk;
use serde_json::Value;

fn found(desk: &Desk, typed: &str) -> Vec<Value> {
    let run = desk.command(["--json", "find", "--", typed]).output().unwrap();
    let found: Vec<Value> = serde_json::from_slice(&run.stdout).unwrap();
    assert_eq!(run.status.code(), Some(i32::from(found.is_empty())), "{typed}");
    found
}

/// Two hundred texts as people type them, with slips: the hose comes first, or one of
/// those that have what was typed.
#[test]
fn the_demonstrations_hoses_are_found() {
    let desk = Desk::new();
    desk.done("demo .");
    let store = std::fs::read_dir(desk.path("."))
        .unwrap()
        .filter_map(|file| file.ok()?.file_name().into_string().ok())
        .find(|name| name.ends_with(".hosewright"))
        .expect("a store");
    std::fs::copy(desk.path(&store), desk.store()).unwrap();
    let list = desk.json("list");
    let mut asked = 0;
    for hose in list.as_array().unwrap() {
        let code = hose["code"].as_str().unwrap();
        let compact = code.replace('-', "");
        let mut slip: Vec<char> = compact.chars().collect();
        slip.swap(6, 7);
        for typed in [
            compact.to_lowercase(),
            compact[..6].to_lowercase(),
            compact[4..11].to_owned(),
            slip.into_iter().collect(),
        ] {
            asked += 1;
            let best = found(&desk, &typed);
            assert!(best.first().is_some_and(|first| first["code"] == code), "{typed}: {best:?}");
        }
        let (maker, lot) = (&hose["hose"]["maker"], &hose["hose"]["lot"]);
        if let (Some(maker), Some(lot)) = (maker.as_str(), lot.as_str()) {
            asked += 1;
            let typed =
                format!("{} {}", lot.to_lowercase().replace('-', " "), maker.to_uppercase());
            let best = found(&desk, &typed);
            let words = best.first().map(|first| first["words"].to_string()).unwrap_or_default();
            assert!(words.contains(maker) && words.contains(lot), "{typed}: {words}");
        }
        if let Some(set) = hose["place"]["set"].as_str() {
            asked += 1;
            let best = found(&desk, &set.to_lowercase().replace(' ', ""));
            let first = best.first().expect(set)["code"].as_str().unwrap().to_owned();
            let of = list.as_array().unwrap().iter().find(|h| h["code"] == first.as_str());
            assert_eq!(of.unwrap()["place"]["set"], set);
        }
    }
    assert!(asked >= 200, "{asked}");
    for typed in ["flamingo", "LP-9999", "qqqqqq"] {
        assert_eq!(found(&desk, typed), Vec::<Value>::new(), "{typed}");
    }
}
