//! Own numbers, customers' hoses and recalls by what makers name, through the binary.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use super::trade_fleet::{LP, answer, codes, done, made_ready, refused, words};
use hosewright_tests::desk::Desk;
use serde_json::Value;

#[test]
fn a_recall_names_what_its_maker_names() {
    let desk = Desk::new();
    let hose = |more: &str| {
        desk.done(&format!(
            "register --service second-stage --construction rubber --length 75cm --end-a 3/8-24 \
             --end-b 9/16-18 {more}"
        ))
    };
    let meant = hose("--made 2025-03 --maker Kelpline --model K2");
    let open = hose("--made 2025-03 --maker Kelpline");
    let older = hose("--made 2024-12 --maker Kelpline --model K2");
    let partly = hose("--made 2025 --maker Kelpline --model K2");
    let other = hose("--made 2025-03 --maker Northsea --model K2");
    let of = "recall --maker Kelpline --model K2 --made 2025-02..2025-06";
    assert!(refused(&desk, &words("recall --model K2 --why x --start")).contains("a recall names"));
    assert!(refused(&desk, &words("recall --made 2025..2024")).contains("is before"));
    let started: Vec<&str> =
        words(of).into_iter().chain(["--why", "crimps slip", "--start", "--json"]).collect();
    let said = desk.run_args(&started);
    assert_eq!(said.code, 0, "{}", said.err);
    for (hose, wanted) in [
        (&meant, Some("recalled")),
        (&open, Some("recall-open")),
        (&partly, Some("recall-open")),
        (&older, None),
        (&other, None),
    ] {
        let told = answer(&desk, hose);
        let codes = codes(&told);
        let found = ["recalled", "recall-open"].into_iter().find(|code| codes.contains(code));
        assert_eq!(found, wanted, "{told}");
    }
    let again: Vec<&str> = words(of).into_iter().chain(["--why", "x", "--start"]).collect();
    assert!(refused(&desk, &again).contains("already recalled"));
    let listed = |line: &str| -> Vec<(String, String)> {
        let report = desk.json(line);
        let hoses = report["hoses"].as_array().unwrap().clone();
        let text = |hose: &Value, field: &str| hose[field].as_str().unwrap().to_owned();
        hoses.iter().map(|hose| (text(hose, "code"), text(hose, "trace"))).collect()
    };
    let mut wanted: Vec<(String, String)> =
        [(&meant, "to-find"), (&open, "open"), (&partly, "open")]
            .map(|(hose, trace)| (hose.clone(), trace.to_owned()))
            .to_vec();
    wanted.sort();
    let mut found = listed(of);
    found.sort();
    assert_eq!(found, wanted);
    desk.done(&format!("{of} --found {meant}"));
    assert!(listed(of).contains(&(meant.clone(), "set-aside".to_owned())));
    let twice = format!("{of} --found {meant}");
    assert!(refused(&desk, &words(&twice)).contains("already on record as found"));
    // Setting aside is no check-off.
    assert!(codes(&answer(&desk, &meant)).contains(&"recalled"));
    // What was open is known with a reason.
    let why = refused(&desk, &words(&format!("describe {open} --model K3")));
    assert!(why.contains("give a reason"), "{why}");
    done(&desk, &["describe", &open, "--model", "K3", "--why", "read off the hose"]);
    assert!(!codes(&answer(&desk, &open)).contains(&"recall-open"));
    let check_off = format!("recall check-off {partly} --maker Kelpline --model K2 --why older");
    desk.done(&check_off);
    assert!(!codes(&answer(&desk, &partly)).contains(&"recall-open"));
    let said = desk.run("recall").out;
    assert!(said.contains("model K2"), "{said}");
    desk.done("recall end --maker Kelpline --model K2 --why over");
    assert!(!codes(&answer(&desk, &meant)).contains(&"recalled"));
}

#[test]
fn a_number_and_a_note_of_ones_own() {
    let desk = Desk::new();
    let mut line = words(LP);
    line.extend(["--number", "LP-17", "--note", "the long one", "--model", "K2"]);
    let said = desk.run_args(&line);
    let hose = said.out.lines().next().unwrap().to_owned();
    let told = answer(&desk, &hose);
    assert_eq!(told["hose"]["number"], "LP-17");
    assert_eq!(told["hose"]["note"], "the long one");
    let words_of = |told: &Value| told["hose"]["words"].as_str().unwrap().to_owned();
    assert!(words_of(&told).starts_with("LP-17, rubber second-stage hose"), "{told}");
    assert!(words_of(&told).ends_with(", model K2; the long one"), "{told}");
    // They need no reason and change no verdict.
    let before = told["reasons"].clone();
    desk.done(&format!("describe {hose} --number LP-18 --note none"));
    let told = answer(&desk, &hose);
    assert_eq!((&told["hose"]["number"], &told["hose"]["note"]), (&"LP-18".into(), &Value::Null));
    assert_eq!(told["reasons"], before);
    // Rows of lists go by it too, before the code.
    let (list, due) = (desk.json("list"), desk.json("due"));
    assert_eq!(
        (&list[0]["hose"]["number"], &due["rows"][0]["number"]),
        (&"LP-18".into(), &"LP-18".into())
    );
    assert_eq!(desk.json(&format!("history {hose}"))[0]["number"], "LP-18");
    for line in ["list", "due", &format!("history {hose}")] {
        let said = desk.run(line).out;
        let at = |text: &str| said.find(text).unwrap_or_else(|| panic!("{line}: {said}"));
        assert!(at("LP-18") < at(&hose), "{line}: {said}");
    }
    let long = format!("describe {hose} --number LP-17-of-the-second-shelf");
    assert!(refused(&desk, &words(&long)).contains("1 to 20"), "{long}");
    std::fs::write(
        desk.path("list.csv"),
        "Type,Length,Number,Model,Notes,O2,Ticket\nPrimary,75 cm,LP-20,K2,for deep dives,yes,\n\
         Primary,75 cm,LP-21,K2,,no,T-12\n",
    )
    .unwrap();
    desk.done("import list.csv");
    let told = answer(&desk, "LP-20");
    let hose = &told["hose"];
    assert_eq!((&hose["number"], &hose["model"]), (&"LP-20".into(), &"K2".into()), "{told}");
    assert_eq!((&hose["note"], &hose["oxygen"]), (&"for deep dives".into(), &true.into()));
    let told = answer(&desk, "LP-21");
    assert_eq!(told["hose"]["owner"], serde_json::json!({"ticket": "T-12"}), "{told}");
    // All of it goes out with the record and comes in again.
    let other = Desk::new();
    std::fs::write(other.path("record.jsonl"), desk.export()).unwrap();
    other.done("import record.jsonl");
    assert_eq!(answer(&other, "LP-21")["hose"], told["hose"]);
}

#[test]
fn a_customers_regulator_comes_in_and_goes_home() {
    let desk = Desk::new();
    let rental = "set new T12 --use rental --ports LP:3/8-24=2 --ticket T-12";
    assert!(refused(&desk, &words(rental)).contains("never handed out"));
    desk.done("set new T12 --use personal --ports LP:3/8-24=2 --ticket T-12");
    desk.done("set new Heron --use rental --ports LP:3/8-24=2");
    let own = desk.done(LP);
    let hose = desk.done(&format!("{LP} --ticket T-12"));
    let why = refused(&desk, &words(&format!("fit {hose} --set Heron --port LP1")));
    assert!(why.contains("a customer's, ticket T-12"), "{why}");
    desk.done(&format!("fit {hose} --set T12 --port LP1"));
    made_ready(&desk, &hose);
    assert_eq!(answer(&desk, &hose)["verdict"], "ready");
    let out = refused(&desk, &words(&format!("rental out T12 --ticket 9 {hose}")));
    assert!(out.contains("personal use"), "{out}");
    // Neither in order, ages nor survival.
    let ages = desk.json("ages");
    assert_eq!(ages["from_made"]["total"]["total"], 1, "{ages}");
    let survival = desk.json("survival");
    assert_eq!(survival["never_in_service"], 1, "{survival}");
    assert_eq!(survival["groups"], serde_json::json!([]));
    desk.done("limits set --from-made 12m");
    let order = desk.json("order --within 1y");
    assert_eq!(order["to_buy"], 0, "{order}");
    desk.done("limits set --from-made 10y");
    // Home, as a whole, and its reasons remain.
    let fitted = refused(&desk, &words(&format!("home {hose}")));
    assert!(fitted.contains("is in set T12, port LP1"), "{fitted}");
    assert!(refused(&desk, &words(&format!("home {own}"))).contains("not on record as of that"));
    desk.done("home --set T12");
    let told = answer(&desk, &hose);
    let place = "at home with its customer since 2026-06-15; its place is set T12, port LP1";
    assert_eq!(told["place"]["words"], place);
    assert_eq!(told["verdict"], "ready");
    // Nothing is due here for what is not here.
    let due = |hose: &str| desk.run("due --within 2y --csv").out.contains(hose);
    assert!(!due(&hose) && due(&own));
    for line in [format!("remove {hose}"), format!("fit {own} --set T12 --port LP2")] {
        assert!(refused(&desk, &words(&line)).contains("is at home with its customer"), "{line}");
    }
    assert!(refused(&desk, &words("home --set T12")).contains("is at home"));
    let same = refused(&desk, &words("come-in --set T12 --ticket t12"));
    assert!(same.contains("give it a new one"), "{same}");
    desk.done("come-in --set T12 --ticket T-15");
    let told = answer(&desk, &hose);
    assert_eq!(told["hose"]["owner"], serde_json::json!({"ticket": "T-15"}));
    assert!(due(&hose));
    assert_eq!((told["verdict"].as_str(), &told["place"]["home"]), (Some("ready"), &Value::Null));
    // By itself.
    desk.done(&format!("remove {hose}"));
    desk.done(&format!("home {hose}"));
    let told = answer(&desk, &hose);
    assert_eq!(told["place"]["words"], "at home with its customer since 2026-06-15");
    assert!(
        refused(&desk, &words(&format!("come-in {own} --ticket T-16"))).contains("is not at home")
    );
    desk.done(&format!("come-in {hose} --ticket T-16"));
    let why = refused(&desk, &words(&format!("fit {hose} --set T12 --port LP1")));
    assert!(why.contains("ticket T-16"), "{why}");
    // A recall means a customer's hose too.
    desk.done(&format!("describe {hose} --maker Kelpline"));
    desk.done("recall --maker Kelpline --made 2025-03 --why slips --start");
    assert!(codes(&answer(&desk, &hose)).iter().any(|code| code.starts_with("recall")));
}
