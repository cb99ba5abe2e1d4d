//! Lists: filters, order, parts, files, and the width there is.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use hosewright_tests::desk::Desk;
use serde_json::Value;

/// Three hoses by number: LP-2 in set R3, LP-10 in stock, HP-1 retired.
fn fleet() -> (Desk, Vec<String>) {
    let desk = Desk::new();
    let lp = "register --service second-stage --construction rubber --length 75cm --end-a 3/8-24 \
              --end-b 9/16-18 --made 2024-03 --maker Kelpline";
    let hp = "register --service gauge --construction rubber --length 80cm --end-a 7/16-20 \
              --end-b 7/16-20 --made 2022-05 --maker Reef";
    let codes: Vec<String> = [
        format!("{lp} --lot B-17 --number LP-2"),
        format!("{lp} --lot b17 --number LP-10"),
        format!("{hp} --number HP-1"),
    ]
    .iter()
    .map(|line| desk.json(line)["code"].as_str().unwrap().to_owned())
    .collect();
    desk.done("set new R3 --use rental --ports LP:3/8-24=2");
    desk.done("fit LP-2 --set R3 --port LP1");
    desk.done("inspect lp10 --kind full");
    desk.done(&format!("retire {} --why worn --yes", codes[2]));
    (desk, codes)
}

fn numbers(desk: &Desk, line: &str) -> Vec<String> {
    let rows = desk.json(line);
    let number = |row: &Value| row["hose"]["number"].as_str().unwrap().to_owned();
    rows.as_array().unwrap().iter().map(number).collect()
}

#[test]
fn lists_are_filtered_sorted_and_shown_in_parts() {
    let (desk, _) = fleet();
    for (line, wanted) in [
        ("list", &["HP-1", "LP-2", "LP-10"][..]),
        ("list --verdict retire", &["HP-1"]),
        ("list --service second-stage", &["LP-2", "LP-10"]),
        ("list --set r3", &["LP-2"]),
        ("list --where stock", &["LP-10"]),
        ("list --where retired", &["HP-1"]),
        ("list --maker kelp-line", &["LP-2", "LP-10"]),
        ("list --lot B17", &["LP-2", "LP-10"]),
        ("list --lot B17 --where set", &["LP-2"]),
        ("list --due 1d", &["LP-2"]),
        ("list --looked-before 2026-06-15", &["HP-1", "LP-2"]),
        ("list --sort age --limit 1", &["HP-1"]),
        ("list --sort due", &["LP-2", "LP-10", "HP-1"]),
        ("list --limit 1 --from 1", &["LP-2"]),
        ("list --maker nobody", &[]),
    ] {
        assert_eq!(numbers(&desk, line), wanted, "{line}");
    }
    let part = desk.run("list --limit 2").out;
    assert!(part.contains("Rows 1 to 2 of 3. For the next: --from 2"), "{part}");
    assert_eq!(desk.json("list --verdict retire")[0]["reasons"][0]["code"], "retired");
    for line in ["list --where nowhere", "list --sort colour", "list --due soon", "list --set R9"] {
        assert_eq!(desk.run(line).code, 2, "{line}");
    }
}

#[test]
fn a_list_has_a_line_a_hose_and_wraps_between_words() {
    let (desk, codes) = fleet();
    let wide = |columns: &str| {
        let mut command = desk.command(["list"]);
        let out = command.env("COLUMNS", columns).output().unwrap().stdout;
        String::from_utf8(out).unwrap()
    };
    let at_100 = wide("100");
    assert_eq!(at_100.lines().count(), 2 + codes.len(), "{at_100}");
    assert!(at_100.lines().all(|line| line.chars().count() <= 100), "{at_100}");
    let at_80 = wide("80");
    assert!(at_80.lines().all(|line| line.chars().count() <= 80), "{at_80}");
    for word in ["second-stage,", "inspected"] {
        assert!(at_80.contains(word) && at_100.contains(word), "{word}: {at_80}{at_100}");
    }
}

#[test]
fn every_list_is_a_file_too() {
    let (desk, codes) = fleet();
    let csv = desk.run("list --csv").out;
    let lines: Vec<&str> = csv.lines().collect();
    assert!(lines[0].starts_with("verdict,number,code,service,construction,length,"), "{csv}");
    assert!(lines[1].starts_with(&format!("retire,HP-1,{},gauge,rubber,80cm,", codes[2])), "{csv}");
    assert_eq!(lines.len(), 1 + codes.len());
    for (line, head) in [
        (
            "set list --csv",
            "name,code,use,ports,hoses,worst,quarantined,ticket,out since,packed for",
        ),
        ("rental list --csv", "set,ticket,out since,days,hoses,handed out by"),
        ("history LP-2 --csv", "on,by,what,kind,believed,withdrawn,entry"),
        ("due --csv", "on,days,what,number,code,hose,set,port,place"),
    ] {
        let csv = desk.run(line).out;
        assert_eq!(csv.lines().next(), Some(head), "{line}");
    }
    assert!(desk.run("set list --csv").out.contains("R3,"));
    assert_eq!(desk.run("history LP-2 --csv").out.lines().count(), 3);
}

/// Two records apart give one number twice: both are shown, none is opened, and the
/// check names it.
#[test]
fn a_number_given_twice_opens_neither() {
    let (one, codes) = fleet();
    let other = Desk::new();
    let code = other.json(
        "register --service gauge --construction rubber --length 80cm --end-a 7/16-20 \
         --end-b 7/16-20 --number lp2",
    )["code"]
        .as_str()
        .unwrap()
        .to_owned();
    let bundle = one.path("other.hwbundle");
    other.done(&format!("bundle --out {}", bundle.display()));
    one.done(&format!("merge {}", bundle.display()));
    let refused = one.run("answer LP-2");
    assert_eq!(refused.code, 2, "{}", refused.out);
    assert!(refused.err.contains(&codes[0]) && refused.err.contains(&code), "{}", refused.err);
    let check = one.run("check");
    assert_eq!(check.code, 0, "{}", check.out);
    let said: String = check.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(said.contains("The number") && said.contains(&code), "{said}");
    let found = one.json("find LP2");
    assert_eq!(found.as_array().unwrap().len(), 2, "{found}");
}

#[test]
fn sets_rentals_what_is_due_and_histories_are_filtered_and_paged() {
    let (desk, _) = fleet();
    desk.done("set new R4 --use rental --ports LP:3/8-24=2 --branch North-Bay");
    desk.done("set new Own --use personal --ports LP:3/8-24=2 --branch Harbour");
    let names = |line: &str| -> Vec<String> {
        let rows = desk.json(line);
        let name = |row: &Value| row["name"].as_str().unwrap().to_owned();
        rows.as_array().unwrap().iter().map(name).collect()
    };
    for (line, wanted) in [
        ("set list", &["Own", "R3", "R4"][..]),
        ("set list --branch northbay", &["R4"]),
        ("set list --use rental", &["R3", "R4"]),
        ("set list --begins r", &["R3", "R4"]),
        ("set list --begins r --limit 1 --from 1", &["R4"]),
        ("set list --out", &[]),
    ] {
        assert_eq!(names(line), wanted, "{line}");
    }
    desk.done("set change R4 --branch none");
    assert_eq!(names("set list --branch northbay"), Vec::<String>::new());
    let due = |line: &str| -> usize { desk.json(line)["rows"].as_array().unwrap().len() };
    let all = due("due --within 2y");
    assert_eq!(all, due("due --within 2y --set R3") + due("due --within 2y --where stock"));
    assert!(due("due --within 2y --where stock") > 0);
    assert_eq!(due("due --within 2y --maker nobody"), 0);
    let told = |line: &str| desk.json(line).as_array().unwrap().len();
    assert_eq!(told("history LP-2 --kind fitted"), 1);
    assert_eq!(told("history LP-2 --since 2026-06-16"), 0);
    assert_eq!(told("history LP-2 --writer nobody"), 0);
    assert_eq!(told("history LP-2 --limit 1"), 1);
    assert_eq!(told("rental list --branch Harbour --before 2026-06-01"), 0);
    // A hose without a branch of its own is where its set is.
    desk.done("set change R3 --branch Cove");
    assert_eq!(numbers(&desk, "list --branch cove"), ["LP-2"]);
    desk.done("describe LP-10 --branch Cove");
    assert_eq!(numbers(&desk, "list --branch cove"), ["LP-2", "LP-10"]);
}
