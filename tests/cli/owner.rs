//! An owner's lists through the real binary: what is due, what to order, ages,
//! survival, recalls, replacements; and survival against lifelines.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::fmt::Write as _;

use chrono::{Days, NaiveDate};
use hosewright_tests::desk::{Desk, TODAY};
use hosewright_tests::peers;
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;
use serde_json::{Value, json};

/// Registers a rubber second-stage hose of 75 cm and returns its code.
fn hose(desk: &Desk, more: &str) -> String {
    desk.done(&format!(
        "register --service second-stage --construction rubber --length 75cm --end-a 3/8-24 \
         --end-b 9/16-18 {more}"
    ))
}

fn sets(desk: &Desk) {
    desk.done("set new Heron --use rental --ports HP:7/16-20=1,LP:3/8-24=4 --on 2020-01-01");
    desk.done("set new Egret --use personal --ports HP:7/16-20=1,LP:3/8-24=4 --on 2020-01-01");
}

fn fitted(desk: &Desk, hose: &str, set: &str, port: &str, on: &str) {
    desk.done(&format!("fit {hose} --set {set} --port {port} --on {on}"));
    desk.done(&format!("inspect {hose} --kind leak-test --passed --pressure 200bar --on {on}"));
    desk.done(&format!("inspect {hose} --kind full --on 2026-06-01"));
}

fn codes(list: &Value) -> Vec<&str> {
    let rows = list.as_array().unwrap();
    rows.iter().map(|row| row["code"].as_str().unwrap()).collect()
}

/// Every line of a table fits on a terminal of 80 columns.
fn fits_the_screen(text: &str) {
    let wide = text.lines().find(|line| line.chars().count() > 80);
    assert_eq!(wide, None, "{text}");
}

#[test]
fn due_is_a_table_json_and_csv() {
    let desk = Desk::new();
    sets(&desk);
    let empty = desk.run("due");
    assert_eq!((empty.code, empty.out.as_str()), (0, "Nothing is due up to 2026-09-13.\n"));
    let soon = hose(&desk, "--made 2021-01");
    fitted(&desk, &soon, "Heron", "LP1", "2021-09-13");
    let over = hose(&desk, "--made 2020-01");
    fitted(&desk, &over, "Egret", "LP1", "2021-06-14");

    let list = desk.json("due");
    assert_eq!(list["until"], "2026-09-13");
    assert_eq!(codes(&list["rows"]), [&over, &soon]);
    assert_eq!(list["rows"][0]["what"], "replace-in-service");
    assert_eq!(list["rows"][0]["on"], "2026-06-14");
    assert_eq!(list["rows"][0]["overdue"], true);
    assert_eq!(list["rows"][1]["days"], 90);
    assert_eq!(codes(&desk.json("due --within 89d")["rows"]), [&over]);
    let table = desk.run("due");
    for word in ["1 day overdue", "in 90 days", "replacement,"] {
        assert!(table.out.contains(word), "{word}: {}", table.out);
    }
    fits_the_screen(&table.out);
    let csv = desk.run("due --csv");
    let lines: Vec<&str> = csv.out.lines().collect();
    assert_eq!(lines[0], "on,days,what,number,code,hose,set,port,place");
    let first = format!(
        "2026-06-14,-1,replace-in-service,,{over},\"rubber second-stage hose, 75cm, 3/8-24 to \
         9/16-18\",Egret,LP1,\"set Egret, port LP1\""
    );
    assert_eq!(lines[1], first);
    assert_eq!(lines.len(), 3);
}

#[test]
fn a_horizon_that_is_none_is_refused_and_changes_nothing() {
    let desk = Desk::new();
    for (line, said) in [
        ("due --within soon", "write days, weeks, months or years"),
        ("due --within 60y", "the most is 50 years"),
        ("order --within 5", "write days, weeks, months or years"),
        ("due --csv --json", "cannot be used with"),
        ("survival --group colour", "maker, lot, construction"),
        ("recall --start", "--lot"),
        ("recall --lot B17 --start", "--why"),
        ("recall --lot B17 --why slips", "--start"),
        ("recall --found 7K2M9", "--lot"),
        ("recall --lot B17 --on 2026-06-01", "--on goes with --start or --found"),
        ("recall --lot B17 --start --why slips --on 2026-06-16", "is after today"),
        ("recall --lot B17 --found 7K2M9", "7K2M9"),
    ] {
        let refused = desk.run(line);
        assert_eq!(refused.code, 2, "{line}: {}{}", refused.out, refused.err);
        assert!(refused.err.contains(said), "{line}: {}", refused.err);
    }
    assert_eq!(desk.export(), "");
}

#[test]
fn an_order_sets_the_stock_against_what_has_to_go() {
    let desk = Desk::new();
    sets(&desk);
    assert_eq!(desk.run("order").out, "No hose needs replacing up to 2026-09-13.\n");
    let (one, two) = (hose(&desk, "--made 2021-01"), hose(&desk, "--made 2021-01"));
    fitted(&desk, &one, "Heron", "LP1", "2021-07-01");
    fitted(&desk, &two, "Egret", "LP1", "2025-01-01");
    desk.done(&format!("inspect {two} --kind quick --finding run:cut:deep"));
    let good = hose(&desk, "--made 2026-01");
    desk.done(&format!("inspect {good} --kind full"));
    let unseen = hose(&desk, "--made 2026-01");

    let order = desk.json("order");
    assert_eq!(order["to_buy"], 1);
    let line = &order["lines"][0];
    assert_eq!(
        (&line["need"], &line["in_stock"], &line["to_buy"]),
        (&json!(2), &json!(1), &json!(1))
    );
    assert_eq!(line["length"], "75cm");
    assert_eq!(line["stock"][0]["code"], *good);
    assert_eq!(codes(&line["held"]), [&unseen]);
    let table = desk.run("order");
    assert!(table.out.contains(&format!("{unseen} in stock has the same ends and is held")));
    assert!(table.out.contains(&format!("{good} can take the place of")), "{}", table.out);
    fits_the_screen(&table.out);
    let csv = desk.run("order --csv");
    assert!(csv.out.contains("\n1,2,1,second-stage,rubber,75cm,3/8-24,9/16-18,"), "{}", csv.out);
    // Nothing to be replaced is left out once it is retired by hand.
    desk.done(&format!("retire {two} --why cut --yes"));
    assert_eq!(desk.json("order")["to_buy"], 0);
}

#[test]
fn a_replacement_says_why_each_other_hose_does_not_fit() {
    let desk = Desk::new();
    sets(&desk);
    let old = hose(&desk, "--made 2021-01");
    fitted(&desk, &old, "Heron", "LP1", "2021-07-01");
    let half = desk.done(
        "register --service second-stage --construction rubber --length 75cm --end-a 1/2-20 \
         --end-b 9/16-18 --made 2026-01",
    );
    desk.done(&format!("inspect {half} --kind full"));
    let gauge = desk.gauge_hose();
    let said = desk.run(&format!("replace {old}"));
    assert_eq!((said.code, said.err.as_str()), (1, ""));
    assert!(said.out.contains("Nothing in stock fits. Order: rubber second-stage hose"));
    fits_the_screen(&said.out);
    let answer = desk.json(&format!("replace {old}"));
    assert_eq!(answer["fits"], json!([]));
    let why = |code: &str| {
        let not = answer["not"].as_array().unwrap();
        not.iter().find(|n| n["code"] == code).unwrap()["words"].as_str().unwrap().to_owned()
    };
    assert_eq!(why(&half), "1/2-20 will not go into a 3/8-24 port");
    assert!(why(&gauge).contains("never mix the two"));
    assert_eq!(answer["order"]["service"], "second-stage");
    assert_eq!(answer["order"]["needed"], true);

    let braided = desk.hose();
    desk.done(&format!("inspect {braided} --kind full"));
    let answer = desk.json(&format!("replace {old}"));
    assert_eq!(answer["fits"], json!([braided]));
    assert!(
        answer["fitting"][0]["words"].as_str().unwrap().contains("braided, in place of rubber")
    );
    assert_eq!(desk.run(&format!("replace {old}")).code, 0);
    assert_eq!(desk.run("replace 00000").code, 2);
}

#[test]
fn a_recall_from_the_first_look_to_the_last_hose() {
    let desk = Desk::new();
    sets(&desk);
    let one = hose(&desk, "--made 2024-01 --maker Northsea --lot B17");
    let two = hose(&desk, "--made 2024-01 --maker Northsea --lot b17");
    let near = hose(&desk, "--made 2024-01 --maker Northsea --lot B71");
    fitted(&desk, &one, "Heron", "LP1", "2025-07-01");
    assert_eq!(desk.run("recall").out, "Nothing is under a recall.\n");
    let before = desk.export();
    let look = desk.json("recall --lot B17");
    assert_eq!(look["recall"], Value::Null);
    assert_eq!(look["hoses"].as_array().unwrap().len(), 2);
    assert_eq!(look["near"][0]["lot"], "B71");
    assert_eq!(look["near"][0]["words"], "one character apart");
    assert_eq!(desk.run("recall --lot B17 --start --why").code, 2);
    assert_eq!(desk.export(), before, "looking changes nothing");

    let asked = desk.run("recall --lot B17 --maker northsea --start --why slips");
    assert_eq!(asked.code, 2, "{}", asked.out);
    assert!(asked.err.contains("Did you mean lot B71 of Northsea? 1 hose"), "{}", asked.err);
    assert_eq!(desk.export(), before, "a question changes nothing");
    let started = desk.run("recall --lot B17 --maker northsea --start --why slips --yes");
    assert_eq!((started.code, started.err.as_str()), (0, ""));
    fits_the_screen(&started.out);
    assert_eq!(desk.json(&format!("answer {one}"))["verdict"], "hold");
    assert_eq!(
        desk.run("recall --lot B17 --start --why again --yes").code,
        0,
        "every maker's is wider"
    );
    assert_eq!(desk.run("recall --lot B17 --start --why again").code, 2);
    let refused = desk.run(&format!("recall --lot B17 --found {near}"));
    assert_eq!(refused.code, 2);
    assert!(refused.err.contains("it is of lot B71 of Northsea"), "{}", refused.err);
    let found = desk.json(&format!("recall --lot B17 --found {one}"));
    assert_eq!((&found["set_aside"], &found["to_find"]), (&json!(1), &json!(1)));
    assert_eq!(found["hoses"][0]["code"], *two);
    assert_eq!(found["hoses"][0]["trace"], "to-find");
    assert_eq!(found["hoses"][1]["place"], "in stock");
    assert_eq!(desk.run(&format!("recall --lot B17 --found {one}")).code, 2);
    let list = desk.run("recall");
    assert!(list.out.contains("northsea") && list.out.contains("slips"), "{}", list.out);
    fits_the_screen(&list.out);
    assert_eq!(desk.run("recall --csv").out.lines().count(), 3);
    assert_eq!(desk.run("check").code, 0);
}

#[test]
fn ages_add_up() {
    let desk = Desk::new();
    hose(&desk, "--made 2023");
    hose(&desk, "--bought 2024-06-16");
    hose(&desk, "");
    desk.gauge_hose();
    let ages = desk.json("ages");
    assert_eq!(ages["from_made"]["years"]["1"]["total"], 1);
    assert_eq!(ages["from_made"]["years"]["3"]["total"], 1);
    assert_eq!(ages["from_made"]["unknown"]["total"], 1);
    assert_eq!(ages["from_made"]["total"]["by_service"], json!({"gauge": 1, "second-stage": 3}));
    assert_eq!(ages["in_service"]["unknown"]["total"], 4);
    fits_the_screen(&desk.run("ages").out);
    let csv = desk.run("ages --csv").out;
    assert!(csv.contains("\nmade,2,0,0,1,0,1\n"), "{csv}");
    assert!(csv.contains("\nmade,all,3,0,1,0,4\n"), "{csv}");
}

/// A maker, and how long each of its hoses was followed and whether it ended.
type Followed = (String, Vec<(i64, bool)>);

/// A journal of a fleet in which hoses were fitted, and some of them retired by
/// hand or by a finding; and for each maker the days and ends that follow.
fn history(hoses: u32) -> (String, Vec<Followed>) {
    let mut rng = ChaCha8Rng::seed_from_u64(1958);
    let today: NaiveDate = TODAY.parse().unwrap();
    let mut lines = String::new();
    let mut rows: Vec<Followed> =
        ["Kelpline", "Northsea", "unknown"].map(|m| (m.to_owned(), Vec::new())).into();
    let mut seq = 0;
    let mut write = |on: NaiveDate, kind: &str, body: Value| {
        seq += 1;
        let at = on.and_hms_opt(0, 0, 0).unwrap().and_utc().timestamp_millis();
        let entry = json!({"at": [at, seq], "body": body, "by": "Ana", "kind": kind,
            "device": "0".repeat(31) + "7", "on": on.to_string(), "seq": seq, "v": 1});
        writeln!(lines, "{entry}").unwrap();
    };
    for number in 0..hoses {
        let code = hosewright_core::tag::Code::draw(&mut rng).to_string();
        let group = rng.random_range(0..3_usize);
        let start = today - Days::new(rng.random_range(1..2_500));
        let mut body = json!({"hose": code, "service": "second-stage", "construction": "rubber",
            "length": "75 cm", "end_a": "3/8-24", "end_b": "9/16-18"});
        if group < 2 {
            body["maker"] = json!(rows[group].0);
        }
        write(start, "registered", body);
        if rng.random_bool(0.1) {
            continue;
        }
        let set = format!("Set {number}");
        write(start, "fitted", json!({"hose": code, "set": set, "port": "LP1"}));
        // Rounded to weeks, so that there are ties.
        let lasts = rng.random_range(0..400_u64) * 7;
        let end = start + Days::new(lasts);
        if end > today {
            rows[group].1.push(((today - start).num_days(), false));
        } else {
            if number % 2 == 0 {
                write(end, "retired", json!({"hose": code, "why": "worn"}));
            } else {
                let body = json!({"hose": code, "kind": "quick", "findings": ["run:cut:deep"]});
                write(end, "inspected", body.clone());
                write(end + Days::new(3), "inspected", body);
            }
            rows[group].1.push(((end - start).num_days(), true));
        }
    }
    (lines, rows)
}

/// A group's steps, band and median are those of the peer, to 1e-9.
fn same_survival(ours: &Value, peer: &Value) {
    let group = &ours["group"];
    let steps = ours["steps"].as_array().unwrap();
    let table = peer["table"].as_array().unwrap().iter();
    // The peer begins its table at day 0 even where nothing ended on it.
    let table = table.filter(|row| row[2] != json!(0.0) || row[3] != json!(0.0));
    let table: Vec<&Value> = table.collect();
    assert!(!table.is_empty(), "{group}");
    assert_eq!(steps.len(), table.len(), "{group}");
    let columns = ["days", "at_risk", "events", "censored", "survival", "lower", "upper"];
    for (step, row) in steps.iter().zip(table) {
        for (column, name) in columns.iter().enumerate() {
            let (our, their) = (step[name].as_f64().unwrap(), row[column].as_f64().unwrap());
            assert!((our - their).abs() < 1e-9, "{group} {name}: {step} {row}");
        }
    }
    assert_eq!(ours["median_days"].as_f64(), peer["median"].as_f64(), "{group}");
}

/// The demonstration's own fleet: its lifetimes are read by the peer from the
/// entries of an export, and never by us.
#[test]
fn survival_of_the_demonstration_is_that_of_lifelines() {
    let desk = Desk::new();
    desk.done("demo shown");
    let store = "--store shown/fleet.hosewright";
    let export = desk.run(&format!("export {store}")).out;
    let entries: Vec<Value> =
        export.lines().map(|line| serde_json::from_str(line).unwrap()).collect();
    let asked = json!({ "today": TODAY, "entries": entries });
    let peer = peers::ask("record_survival.py", &asked).unwrap();
    for (by, options, least) in [
        ("all", "", 1),
        ("maker", "--group maker", 4),
        ("lot", "--group lot", 20),
        ("construction", "--group construction", 2),
    ] {
        let ours = desk.json(&format!("survival {options} {store}"));
        assert_eq!(ours["never_in_service"], peer["never"], "{by}");
        let groups = ours["groups"].as_array().unwrap();
        assert!(groups.len() >= least, "{by}: {}", groups.len());
        assert_eq!(Some(groups.len()), peer[by].as_object().map(serde_json::Map::len), "{by}");
        for group in groups {
            let peer = &peer[by][group["group"].as_str().unwrap()];
            let rows = peer["rows"].as_array().unwrap();
            let retired = rows.iter().filter(|row| row[1] == json!(true)).count();
            let counts = (&group["hoses"], &group["retired"]);
            assert_eq!(counts, (&json!(rows.len()), &json!(retired)), "{by}");
            same_survival(group, peer);
        }
    }
}

#[test]
fn survival_by_maker_is_that_of_lifelines() {
    let desk = Desk::new();
    let (lines, expected) = history(600);
    std::fs::write(desk.path("fleet.jsonl"), lines).unwrap();
    desk.done("import fleet.jsonl");
    // They are of a program before keys, and count once they are admitted.
    let device = "0".repeat(31) + "7";
    assert_eq!(desk.json("survival")["groups"], json!([]));
    desk.done(&format!("device admit-entries {device}"));
    let survival = desk.json("survival --group maker");
    let rows = expected.iter().map(|(_, rows)| json!(rows)).collect::<Vec<_>>();
    let peer = peers::ask("survival.py", &json!(rows)).unwrap();
    let followed: usize = expected.iter().map(|(_, rows)| rows.len()).sum();
    assert_eq!(survival["never_in_service"], json!(600 - followed));
    assert!(followed > 500 && followed < 600, "{followed}");
    for (group, (maker, rows)) in expected.iter().enumerate() {
        let ours = &survival["groups"][group];
        assert_eq!(ours["group"], json!(maker));
        assert_eq!(ours["hoses"], json!(rows.len()));
        same_survival(ours, &peer[group]);
    }
    fits_the_screen(&desk.run("survival --group maker").out);
    let csv = desk.run("survival --group maker --csv").out;
    assert!(csv.starts_with("group,days,at risk,retired,censored,survival,lower,upper\nKelpline,"));
    assert_eq!(desk.run("survival").code, 0);
}
