//! The command line from the first hose to its retirement, as it is typed.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::fs;
use std::io::Read;
use std::process::Stdio;

use hosewright_tests::desk::{Desk, said};
use serde_json::{Value, json};

/// The codes of an answer's reasons.
fn reasons(answer: &Value) -> Vec<&str> {
    let reasons = answer["reasons"].as_array().unwrap();
    reasons.iter().map(|reason| reason["code"].as_str().unwrap()).collect()
}

#[test]
fn a_hose_from_its_tag_to_its_end() {
    let desk = Desk::new();
    let hose = desk.hose();
    assert_eq!(hose.len(), 16);

    let answer = desk.json(&format!("answer {hose}"));
    assert_eq!(answer["verdict"], "hold");
    assert_eq!(reasons(&answer), ["inspection-never", "stored-long"]);
    assert_eq!(desk.run(&format!("answer {hose}")).code, 1);

    desk.done("set new Blue --use rental --ports HP:7/16-20=1,LP:3/8-24=4 --on 2026-06-01");
    desk.done(&format!("inspect {hose} --kind full --on 2026-06-02"));
    desk.done(&format!("fit {hose} --set Blue --port LP2 --on 2026-06-03"));
    let answer = desk.json(&format!("answer {hose}"));
    assert_eq!(reasons(&answer), ["leak-test-due"]);
    assert_eq!(answer["place"]["set"], "Blue");
    assert_eq!(answer["place"]["port"], "LP2");

    desk.done(&format!("inspect {hose} --kind leak-test --pressure 200bar --passed"));
    let said = desk.run(&format!("answer {hose}"));
    assert_eq!((said.code, said.err.as_str()), (0, ""), "{}", said.out);
    assert!(said.out.contains("[#]   R E A D Y"), "{}", said.out);
    assert!(said.out.contains("passed at 200bar"), "{}", said.out);
    assert!(said.out.lines().all(|line| line.chars().count() <= 80), "{}", said.out);

    let answer = desk.json(&format!("answer {hose}"));
    assert_eq!(answer["code"], *hose);
    assert_eq!(answer["age"]["made"], json!({"oldest": "P2Y3M14D", "youngest": "P2Y2M15D"}));
    assert_eq!(answer["age"]["fitted"], "P12D");
    assert_eq!(answer["dives"], 0);
    assert_eq!(answer["due"][0], json!({"what": "full-inspection", "on": "2026-12-02"}));
    assert_eq!(answer["hose"]["use"], "rental");
    assert_eq!(answer["record"]["newest_entry"], "2026-06-15");
    assert_eq!(answer["inspections"][0]["kind"], "full");
    assert_eq!(answer["inspections"][1]["passed"], true);

    desk.done(&format!("inspect {hose} --kind quick --finding run:strands:2 --by Ana"));
    assert_eq!(desk.run(&format!("answer {hose}")).code, 0);
    let retired = desk.json(&format!("inspect {hose} --kind quick --finding run:cut:deep"));
    assert_eq!(retired["verdict"], "retire");
    assert_eq!(desk.run(&format!("answer {hose}")).code, 1);
    desk.done(&format!("retire {hose} --why cut --yes"));
    let answer = desk.json(&format!("answer {hose}"));
    assert_eq!(reasons(&answer), ["finding-cut", "retired", "finding-strands"]);
    assert_eq!(answer["place"], json!({"set": null, "port": null, "words": "out of service"}));
    let history = desk.json(&format!("history {hose}"));
    let kinds: Vec<&str> =
        history.as_array().unwrap().iter().map(|entry| entry["kind"].as_str().unwrap()).collect();
    assert_eq!(kinds.iter().filter(|kind| **kind == "inspected").count(), 4);
    assert_eq!(kinds.last(), Some(&"retired"));
    assert_eq!(desk.run("check").code, 0);
}

#[test]
fn a_seal_is_put_right_by_a_reseal_and_a_leak_test() {
    let desk = Desk::new();
    let hose = desk.gauge_hose();
    desk.done("set new Own --use personal --ports HP:7/16-20=2,LP:3/8-24=4");
    desk.done(&format!("fit {hose} --set Own --port HP1"));
    desk.done(&format!(
        "inspect {hose} --kind full --finding end-b:bubbles:joint --finding run:salt"
    ));
    let answer = desk.json(&format!("answer {hose}"));
    assert_eq!(reasons(&answer), ["finding-bubbles", "leak-test-due", "finding-salt"]);
    desk.done(&format!("clean {hose}"));
    desk.done(&format!("reseal {hose} --end b --seal 003"));
    desk.done(&format!("inspect {hose} --kind leak-test --failed"));
    assert_eq!(desk.run(&format!("answer {hose}")).code, 1);
    desk.done(&format!("reseal {hose} --end b"));
    desk.done(&format!("inspect {hose} --kind leak-test --passed --pressure 200bar --note dry"));
    assert_eq!(desk.json(&format!("answer {hose}"))["verdict"], "ready");
    let removed = desk.json(&format!("remove {hose} --to stock"));
    assert_eq!(removed["place"]["words"], "in stock");
}

#[test]
fn the_first_characters_are_enough_and_typing_is_forgiven() {
    let desk = Desk::new();
    let hose = desk.hose();
    let compact = hose.replace('-', "");
    for typed in [
        compact.get(..5).unwrap().to_owned(),
        compact.to_lowercase(),
        compact.replace('0', "O").replace('1', "l"),
        format!("HW1:{compact}."),
        format!("https://hoses.example/hw1:{compact}."),
    ] {
        assert_eq!(desk.json(&format!("answer {typed}"))["code"], *hose, "{typed}");
        assert_eq!(desk.json(&format!("scan {typed}"))["code"], *hose, "{typed}");
        assert!(desk.done(&format!("clean {typed}")).contains(&hose), "{typed}");
    }
}

#[test]
fn a_new_tag_and_a_bound_barcode() {
    let desk = Desk::new();
    let old = desk.hose();
    let new = desk.json(&format!("retag {old} --yes"))["code"].as_str().unwrap().to_owned();
    let answer = desk.json(&format!("answer {old}"));
    assert_eq!((answer["code"].as_str(), reasons(&answer)[1]), (Some(new.as_str()), "tag-old"));
    desk.done(&format!("bind {new} 4006381333931"));
    assert_eq!(desk.json("scan 4006381333931")["code"], *new);
    assert_eq!(desk.json("answer 4006381333931")["code"], *new);
}

#[test]
fn a_blank_tag_is_used_and_a_photo_of_it_answers() {
    let desk = Desk::new();
    let printed = desk.json("tags --blank 3 --out blank.pdf");
    let blank = printed["codes"][1].as_str().unwrap().to_owned();
    assert!(std::fs::read(desk.path("blank.pdf")).unwrap().starts_with(b"%PDF"));
    let hose = desk.done(&format!(
        "register --service inflator --construction rubber --length 60cm --end-a 3/8-24 --end-b \
         quick-disconnect --tag {blank}"
    ));
    assert_eq!(hose, blank);
    desk.done(&format!("tag {hose} --out tag.png"));
    let read = desk.json("read tag.png");
    let text = read["texts"][0].as_str().unwrap().to_owned();
    assert!(text.starts_with("HW1:") && read["ms"].as_f64().unwrap() > 0.0, "{read}");
    assert_eq!(desk.run("scan tag.png").code, 1);
    assert_eq!(desk.json("scan tag.png"), desk.json(&format!("answer {hose}")));

    // A store without a record of it answers from the tag alone.
    let elsewhere = Desk::new();
    elsewhere.done("device show");
    let tag = desk.path("tag.png");
    let said = elsewhere.run_args(["--json", "scan", tag.to_str().unwrap()]);
    let answer: Value = serde_json::from_str(&said.out).unwrap();
    assert_eq!((said.code, answer["verdict"].as_str()), (1, Some("hold")));
    assert_eq!(reasons(&answer)[0], "tag-only");
    assert_eq!(
        (&answer["place"]["words"], &answer["dives"]),
        (&json!("not known here"), &Value::Null)
    );
    assert_eq!(answer["meaning"], "Not known here: ask before you dive it.");
    assert_eq!(answer["record"]["newest_entry"], Value::Null);
}

#[test]
fn tags_say_how_they_are_printed_and_no_file_is_lost() {
    let desk = Desk::new();
    let (one, two) = (desk.hose(), desk.gauge_hose());
    let said = desk.run(&format!("tag {one} {two} --out tag.svg"));
    assert_eq!(said.code, 0, "{}", said.err);
    assert!(said.out.contains("modules of 0.59 mm, 7 printer dots"), "{}", said.out);
    assert!(desk.path("tag-1.svg").is_file() && desk.path("tag-2.svg").is_file());
    desk.done("tags --all --out sheet.pdf --grid 4x7 --paper Letter");
    let strip = desk.run(&format!("tag {one} --out strip.pdf --wrap 12mm --size 14mm"));
    assert!(strip.out.contains("Note: the symbol is"), "{}{}", strip.out, strip.err);

    std::fs::write(desk.path("mine.svg"), "mine").unwrap();
    for line in [
        format!("tag {one} --out mine.svg"),
        format!("tag {one} --out tag.jpg"),
        format!("tag {one} --out strip.png --wrap 12mm"),
        format!("tag {one} --out tiny.svg --size 6mm"),
        "tags --all --out sheet.pdf".to_owned(),
        "tags --out sheet2.pdf".to_owned(),
        "tags --blank 0 --out sheet2.pdf".to_owned(),
        "tags --all --out sheet2.pdf --grid 40x40".to_owned(),
        "export --out mine.svg".to_owned(),
    ] {
        let said = desk.run(&line);
        assert_eq!(said.code, 2, "{line}: {}", said.out);
        assert!(!said.err.is_empty(), "{line}");
    }
    assert_eq!(std::fs::read_to_string(desk.path("mine.svg")).unwrap(), "mine");
    assert!(!desk.path("sheet2.pdf").exists() && !desk.path("tiny.svg").exists());
    desk.done(&format!("tag {one} --out mine.svg --force"));
    assert!(std::fs::read_to_string(desk.path("mine.svg")).unwrap().starts_with("<svg"));
}

#[test]
fn what_is_written_down_is_put_right_and_the_rest_stays() {
    let desk = Desk::new();
    let hose = desk.hose();
    let before = desk.json(&format!("answer {hose}"));
    let after = desk.json(&format!("describe {hose} --made 2025 --lot unknown"));
    assert_eq!(after["hose"]["made"], "2025");
    assert_eq!(after["hose"]["lot"], Value::Null);
    for same in ["service", "construction", "length", "end_a", "end_b", "maker"] {
        assert_eq!(after["hose"][same], before["hose"][same], "{same}");
    }
    let kept = desk.export();
    assert_eq!(desk.run(&format!("describe {hose} --made 2025")).code, 2);
    assert_eq!(desk.export(), kept);
}

#[test]
fn limits_are_the_owners() {
    let desk = Desk::new();
    desk.hose();
    assert_eq!(desk.json("limits")["limits"]["rental"]["dives"], 500);
    let set = desk.json("limits set --use rental --dives 300 --full-inspection 3m");
    assert_eq!(set["limits"]["rental"]["dives"], 300);
    assert_eq!(set["limits"]["rental"]["full_inspection_months"], 3);
    assert_eq!(set["limits"]["personal"]["dives"], Value::Null);
    let said = desk.run("limits set --service gauge --in-service 4y");
    assert!(said.out.contains("for gauge hoses: 4 years in service"), "{}", said.out);
    let kept = desk.export();
    for line in ["limits set --use rental", "limits set --in-service 51y", "limits set --dives 0"] {
        assert_eq!(desk.run(line).code, 2, "{line}");
    }
    assert_eq!(desk.export(), kept);
}

#[test]
fn lists_are_tables_or_json() {
    let desk = Desk::new();
    desk.done("device show");
    assert!(desk.run("list").out.contains("No such hose"));
    let (hose, gauge) = (desk.hose(), desk.gauge_hose());
    desk.done("set new Own --use personal --ports HP:7/16-20=1,LP:3/8-24=2");
    desk.done(&format!("fit {gauge} --set Own --port HP1"));
    let table = desk.run("list").out;
    assert!(table.contains(&hose) && table.contains("(!) hold"), "{table}");
    assert!(table.lines().all(|line| line.chars().count() <= 80), "{table}");
    assert_eq!(desk.json("list").as_array().unwrap().len(), 2);
    assert_eq!(desk.json("list --set Own")[0]["code"], *gauge);
    assert_eq!(desk.json("list --verdict ready"), json!([]));
    let set = desk.json("set show Own");
    assert_eq!(set["ports"][0]["hose"]["code"], *gauge);
    assert_eq!(set["ports"][1]["hose"], Value::Null);
    assert_eq!(desk.json("set list")[0]["hoses"], 1);
    let rules = desk.json("rules");
    assert_eq!(rules["limits"]["rental"]["dives"], 500);
    assert!(rules["findings"].as_array().unwrap().len() > 20);
    assert!(desk.run("rules").out.contains("inspection-over"));
    assert!(desk.run("inspect --help").out.contains("strands at run"));
}

#[test]
fn the_record_goes_out_and_comes_in_again() {
    let desk = Desk::new();
    let hose = desk.hose();
    desk.done(&format!("inspect {hose} --kind full"));
    desk.done("export --out record.jsonl");
    let file = desk.path("record.jsonl");
    let other = Desk::new();
    let file = file.to_str().unwrap();
    let came = other.json(&format!("import {file}"));
    assert_eq!(
        (&came["taken"], &came["known"], &came["refused"]),
        (&json!(2), &json!(0), &json!([]))
    );
    assert_eq!(came["merge"]["new"], 2);
    assert_eq!(other.json(&format!("import {file}"))["known"], 2);
    assert_eq!(other.export(), desk.export());
    assert_eq!(
        other.json(&format!("answer {hose}"))["reasons"],
        desk.json(&format!("answer {hose}"))["reasons"]
    );

    let bad = desk.export() + "{\"not\":\"an entry\"}\n";
    let third = Desk::new();
    std::fs::write(third.path("bad.jsonl"), bad).unwrap();
    let said = third.run("import bad.jsonl");
    assert_eq!((said.code, third.export().as_str()), (2, ""));
    assert!(said.err.contains("line 3"), "{}", said.err);
    assert_eq!(third.run("import bad.jsonl --partial").code, 1);
    assert_eq!(third.export(), desk.export());
    std::fs::write(third.path("empty.csv"), "").unwrap();
    assert_eq!(third.run("import empty.csv").code, 2);
    assert_eq!(third.run("import nothing.csv").code, 2);
}

#[test]
fn codes_can_be_repeated_for_demonstrations() {
    let codes = [1, 2].map(|_| {
        let desk = Desk::new();
        let register = "register --service gauge --construction rubber --length 80cm --end-a \
                        7/16-20 --end-b 7/16-20";
        let one = |_| {
            let mut command = desk.command(register.split_whitespace());
            said(command.env("HOSEWRIGHT_SEED", "42").output()).out
        };
        [1, 2, 3].map(one)
    });
    assert_eq!(codes[0], codes[1]);
    assert_ne!(codes[0][0], codes[0][1]);
}

#[test]
fn a_reader_that_has_seen_enough_is_no_error() {
    let desk = Desk::new();
    let hose = desk.hose();
    for _ in 0..3 {
        let mut command = desk.command(["answer", &hose]);
        let command = command.stdout(Stdio::piped()).stderr(Stdio::piped());
        let mut child = command.spawn().unwrap();
        drop(child.stdout.take());
        let mut err = String::new();
        child.stderr.take().unwrap().read_to_string(&mut err).unwrap();
        // The pipe is closed, and the answer is no anyway.
        assert_eq!((child.wait().unwrap().code(), err.as_str()), (Some(1), ""));
    }
}

#[test]
fn options_stand_before_or_after_and_the_environment_is_asked_last() {
    let desk = Desk::new();
    let hose = desk.hose();
    desk.done(&format!("inspect {hose} --kind full --by Ana"));
    let last = |line: &str| desk.json(line)[1]["by"].as_str().unwrap().to_owned();
    assert_eq!(last(&format!("history {hose}")), "Ana");
    let mut command = desk.command(["clean", &hose]);
    assert_eq!(said(command.env("HOSEWRIGHT_BY", "Ben").output()).code, 0);
    let history = desk.json(&format!("history {hose}"));
    assert_eq!((&history[0]["by"], &history[2]["by"]), (&json!("tester"), &json!("Ben")));
    assert_eq!(desk.json(&format!("--by Cy answer {hose}"))["code"], *hose);
}

#[test]
fn completions_and_help_are_there() {
    let desk = Desk::new();
    for shell in ["bash", "zsh", "fish", "powershell", "elvish"] {
        let completions = desk.run(&format!("completions {shell}")).out;
        assert!(completions.contains("hosewright"), "{shell}");
        // What an option takes is completed too.
        for word in ["second-stage", "leak-test", "braided", "rental"] {
            assert!(completions.contains(word), "{shell}: {word}");
        }
    }
    assert_eq!(desk.run("--help").code, 0);
    assert_eq!(desk.run("").code, 2);
    assert_eq!(desk.run("aswer").code, 2);
    assert!(!desk.store().exists());
}

#[test]
fn a_list_says_what_was_before_and_comes_once() {
    let desk = Desk::new();
    let list = "No.,Type,Length,Made,Set,Port,Looked over,Last leak test,Leak test pressure\n\
                LP-1,octo,1 m,2025-03,R1,LP1,2026-05-02,2026-05-02,200 bar\n";
    fs::write(desk.path("hoses.csv"), list).unwrap();
    let words =
        ["import", "hoses.csv", "--column", "Looked over=full-inspection", "--make-sets", "rental"];
    let said = desk.run_args(words);
    assert_eq!(said.code, 0, "{}", said.err);
    for words in [
        "1 registered, 1 of them fitted",
        "set R1: made: LP1 (3/8-24)",
        "1 full inspection, 1 leak test",
    ] {
        assert!(said.out.contains(words), "{words}: {}", said.out);
    }
    let answer = desk.json("answer LP-1");
    assert_eq!(answer["verdict"], "ready", "{answer}");
    assert_eq!(answer["inspections"][0]["list"]["of"], answer["inspections"][1]["list"]["of"]);
    assert!(desk.run("answer LP-1").out.contains("from the list of"));
    let before = desk.export();
    let again = desk.run_args(words);
    assert_eq!(again.code, 0, "{}", again.err);
    assert!(
        again.out.contains("1 already here") && again.out.contains("line 2: already here"),
        "{}",
        again.out
    );
    assert_eq!(desk.export(), before);
    for bad in ["Looked=note", "Looked over=nothing", "Looked over"] {
        assert_eq!(desk.run_args(["import", "hoses.csv", "--column", bad]).code, 2, "{bad}");
    }
    assert_eq!(desk.run("import").code, 2);
}

/// 22 in is 55.88 cm, and 200 bar 2,900.75 psi (NIST SP 811, appendix B.8).
#[test]
fn lengths_and_pressures_are_shown_in_the_units_that_are_asked_for() {
    let desk = Desk::new();
    let hose = desk.hose();
    desk.done(&format!("inspect {hose} --kind full"));
    desk.done("set new Blue --use personal --ports LP:3/8-24=4");
    desk.done(&format!("fit {hose} --set Blue --port LP2"));
    desk.done(&format!("inspect {hose} --kind leak-test --pressure 200bar --passed --units us"));
    let shown = |line: String| {
        let said = desk.run(&line).out;
        said.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let said = shown(format!("answer {hose} --units metric"));
    assert!(said.contains("56 cm (22in as written)"), "{said}");
    assert!(said.contains("passed at 200bar"), "{said}");
    let said = shown(format!("answer {hose} --units us"));
    assert!(said.contains("22in") && !said.contains(" cm"), "{said}");
    assert!(said.contains("2901 psi (200bar as written)"), "{said}");
    let said = shown("list --units metric".to_owned());
    assert!(said.contains("56 cm (22in as written)"), "{said}");
    // What a program reads, what is exported, and what is not asked for is as it was written.
    assert_eq!(desk.json(&format!("answer {hose} --units metric"))["hose"]["length"], "22in");
    assert!(!desk.export().contains("as written"));
    assert!(!shown(format!("answer {hose}")).contains("as written"));
    let refused = desk.run(&format!("answer {hose} --units imperial"));
    assert_eq!(refused.code, 2);
    assert!(refused.err.contains("as-written, metric or us"), "{}", refused.err);
}
