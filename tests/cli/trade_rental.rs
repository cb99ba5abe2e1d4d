//! A hose's answer is not its regulator's, a set's tag answers the whole set, and
//! every hose comes back or is named missing: through the binary.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::ffi::OsStr;

use hosewright_tests::desk::Desk;
use hosewright_tests::page::{Page, plain};
use serde_json::{Value, json};

/// A rental set of two low-pressure hoses and a gauge hose, all ready.
fn rental() -> (Desk, [String; 3]) {
    let desk = Desk::new();
    desk.done("set new Heron --use rental --ports HP:7/16-20=1,LP:3/8-24=3");
    let hoses = [desk.hose(), desk.hose(), desk.gauge_hose()];
    for (hose, port) in hoses.iter().zip(["LP1", "LP2", "HP1"]) {
        desk.done(&format!("fit {hose} --set Heron --port {port}"));
        desk.done(&format!("inspect {hose} --kind full"));
        desk.done(&format!("inspect {hose} --kind leak-test --passed --pressure 200bar"));
    }
    (desk, hoses)
}

fn out(desk: &Desk, hoses: &[String; 3]) {
    desk.done(&format!("rental out Heron --ticket 4711 {}", hoses.join(" ")));
}

/// The bodies of the entries of a kind, in the order in which they were written.
fn bodies(desk: &Desk, kind: &str) -> Vec<Value> {
    let lines = desk.export();
    let entries = lines.lines().map(|line| serde_json::from_str::<Value>(line).unwrap());
    entries.filter(|entry| entry["kind"] == kind).map(|entry| entry["body"].clone()).collect()
}

fn joined(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn a_fitted_hose_says_how_its_set_stands() {
    let (desk, [one, two, _]) = rental();
    let answer = desk.json(&format!("answer {one}"));
    assert_eq!(answer["set"]["words"], "This hose: ready. Set Heron: ready.");
    assert_eq!(answer["set"]["worst"], Value::Null);
    desk.done(&format!("inspect {two} --kind quick --finding seal-a:seal-damaged"));
    let answer = desk.json(&format!("answer {one}"));
    assert_eq!(answer["verdict"], "ready");
    assert!(answer["meaning"].as_str().unwrap().contains("this hose"), "{answer}");
    assert_eq!(answer["set"]["name"], "Heron");
    assert_eq!(answer["set"]["verdict"], "hold");
    assert_eq!(answer["set"]["worst"], json!({ "code": two, "port": "LP2" }));
    let said = desk.run(&format!("answer {one}"));
    assert_eq!(said.code, 0, "the hose by itself is ready");
    let line = "This hose: ready. Set Heron: hold, LP2.";
    assert!(joined(&said.out).contains(line), "{}", said.out);
    let after = desk.run(&format!("clean {one}"));
    assert!(joined(&after.out).contains(line), "{}", after.out);
    // Taken off, it has no set.
    desk.done(&format!("remove {one}"));
    assert_eq!(desk.json(&format!("answer {one}")).get("set"), None);
}

#[test]
fn a_sets_tag_is_printed_scanned_and_answers_the_whole_set() {
    let (desk, [one, two, gauge]) = rental();
    let tag = desk.json("set show Heron")["tag"].as_str().unwrap().to_owned();
    desk.done("tag --set Heron --out set.png");
    let picture = desk.path("set.png");
    let scanned = desk.run_args([OsStr::new("scan"), picture.as_os_str(), OsStr::new("--json")]);
    assert_eq!(scanned.code, 0, "{}{}", scanned.out, scanned.err);
    let scanned: Value = serde_json::from_str(&scanned.out).unwrap();
    assert_eq!((&scanned["code"], &scanned["verdict"]), (&json!(tag), &json!("ready")));
    desk.done(&format!("inspect {two} --kind quick --finding run:bulge"));
    let answer = desk.json(&format!("answer {tag}"));
    assert_eq!(answer["set"]["words"], "Set Heron: retire, LP2.");
    assert_eq!(answer["set"]["worst"], json!({ "code": two, "port": "LP2" }));
    let hoses: Vec<&str> =
        answer["hoses"].as_array().unwrap().iter().map(|h| h["code"].as_str().unwrap()).collect();
    assert_eq!(hoses, [&gauge, &one, &two], "by port");
    assert_eq!(desk.run(&format!("answer {tag}")).code, 1);
    let read = joined(&desk.run(&format!("scan {tag}")).out);
    assert!(read.contains("Set Heron: retire, LP2.") && read.contains(&one), "{read}");
    // Sheets have it too.
    for (line, tags) in [("--all", 4), ("--set Heron", 4)] {
        let printed = desk.json(&format!("tags {line} --out sheet.pdf --force"));
        let codes = printed["codes"].as_array().unwrap();
        assert_eq!(codes.len(), tags, "{line}: {printed}");
        assert!(codes.contains(&json!(tag)), "{line}: {printed}");
    }
    // On a device that does not know the set its tag says that it is one.
    let texts = desk.run_args([OsStr::new("read"), picture.as_os_str()]).out;
    let text = texts.split_whitespace().find(|word| word.starts_with("HW1:")).unwrap();
    let elsewhere = Desk::new();
    elsewhere.done("set new Egret --use rental --ports LP:3/8-24=1");
    let answer = elsewhere.json(&format!("scan {text}"));
    assert_eq!(
        (&answer["verdict"], &answer["reasons"][0]["code"]),
        (&json!("hold"), &json!("tag-only"))
    );
}

#[test]
fn the_page_answers_for_a_set_beside_the_hose_and_by_its_tag() {
    let (desk, [one, two, _]) = rental();
    desk.done(&format!("inspect {two} --kind quick --finding seal-a:seal-damaged"));
    let page = Page::of(&desk, &[]);
    let shown = plain(&page.shown(&format!("/hose/{one}")));
    assert!(shown.contains("This hose: ready. Set Heron: hold, LP2."), "{shown}");
    let tag = desk.json("set show Heron")["tag"].as_str().unwrap().to_owned();
    let led = page.get(&format!("/scan?text={tag}"));
    assert_eq!(led.header("location"), format!("/set/{tag}"));
    let shown = plain(&page.shown(&format!("/set/{tag}")));
    assert!(shown.contains("Set Heron: hold, LP2.") && shown.contains(&one), "{shown}");
    page.sure("/set/Heron/tag", &[]);
    let new = desk.json("set show Heron")["tag"].as_str().unwrap().to_owned();
    assert_ne!(new, tag);
    let shown = plain(&page.shown(&format!("/set/{tag}")));
    assert!(shown.contains("This tag was replaced or withdrawn"), "{shown}");
}

#[test]
fn a_sets_tag_and_a_hoses_are_never_mixed() {
    let (desk, [one, ..]) = rental();
    let own = desk.json("set show Heron")["tag"].as_str().unwrap().to_owned();
    let new = desk.done("set tag Heron --yes");
    let spare = desk.hose();
    let before = desk.export();
    let register = "register --service gauge --construction rubber --length 80cm --end-a 7/16-20 \
                    --end-b 7/16-20 --tag";
    for tag in [&own, &new] {
        for line in [
            format!("{register} {tag}"),
            format!("retag {one} --tag {tag} --yes"),
            format!("bind {one} {tag}"),
            format!("inspect {tag} --kind full"),
            format!("fit {tag} --set Heron --port LP3"),
        ] {
            let said = desk.run(&line);
            assert_eq!(said.code, 2, "{line}: {}", said.out);
        }
    }
    for tag in [&one, &spare, &own] {
        let said = desk.run(&format!("set tag Heron --tag {tag} --yes"));
        assert_eq!(said.code, 2, "{}", said.out);
        assert!(said.err.contains("already on record"), "{}", said.err);
    }
    let said = desk.run(&format!("clean {new}"));
    assert!(said.err.contains("is the tag of set Heron"), "{}", said.err);
    assert_eq!(desk.export(), before);
    // The tag before is old: it holds, and names the present one.
    let answer = desk.json(&format!("answer {own}"));
    assert_eq!(
        (&answer["verdict"], &answer["reasons"][0]["code"]),
        (&json!("hold"), &json!("tag-old"))
    );
    assert!(answer["reasons"][0]["words"].as_str().unwrap().contains(&new), "{answer}");
    assert_eq!(desk.json(&format!("answer {new}"))["verdict"], "ready");
}

#[test]
fn a_hand_out_keeps_what_was_shown() {
    let (desk, hoses) = rental();
    desk.done(&format!("inspect {} --kind quick --finding run:cut:cover", hoses[0]));
    out(&desk, &hoses);
    let shown = bodies(&desk, "handed-out")[0]["shown"].clone();
    assert_eq!(shown.as_array().map(Vec::len), Some(3), "{shown}");
    let first = shown.as_array().unwrap().iter().find(|s| s["hose"] == hoses[0]).unwrap();
    assert_eq!(
        (&first["verdict"], &first["reasons"][0]["code"]),
        (&json!("watch"), &json!("finding-cut"))
    );
    assert!(first["reasons"][0]["words"].as_str().unwrap().contains("On the run"), "{shown}");
}

#[test]
fn every_hose_is_scanned_back_or_named_missing() {
    let (desk, hoses) = rental();
    let [one, two, gauge] = hoses.clone();
    out(&desk, &hoses);
    let before = desk.export();
    for (line, words) in [
        ("--dives 4".to_owned(), vec![&one, &two, &gauge]),
        (format!("--dives 4 {one} {two}"), vec![&gauge]),
        (format!("--dives 4 {one} --missing {two}"), vec![&gauge]),
    ] {
        let said = desk.run(&format!("rental in Heron --nothing-found {line}"));
        assert_eq!(said.code, 2, "{line}: {}", said.out);
        assert!(said.err.contains("neither scanned nor named missing"), "{line}: {}", said.err);
        for hose in &hoses {
            assert_eq!(
                said.err.contains(hose.as_str()),
                words.contains(&hose),
                "{line}: {}",
                said.err
            );
        }
    }
    let both = desk.run(&format!(
        "rental in Heron --nothing-found --dives 4 {one} {two} {gauge} --missing {one}"
    ));
    assert_eq!(both.code, 2, "{}", both.out);
    let spare = desk.hose();
    let strange =
        desk.run(&format!("rental in Heron --nothing-found --dives 4 {one} {two} {gauge} {spare}"));
    assert!(strange.code == 2 && strange.err.contains("was not out with"), "{}", strange.err);
    assert!(desk.export().starts_with(&before), "a refused return was written");

    let back = desk
        .json(&format!("rental in Heron --nothing-found --dives 4 {one} {gauge} --missing {two}"));
    assert_eq!(back["missing"][0]["code"], two);
    assert_eq!((&back["dives"], &back["estimated"]), (&json!(4), &json!(false)));
    let lost = desk.json(&format!("answer {two}"));
    assert_eq!(lost["verdict"], "hold");
    let held = lost["reasons"].as_array().unwrap().iter().find(|r| r["code"] == "held").unwrap();
    assert!(
        held["words"].as_str().unwrap().contains("missing since 2026-06-15, ticket 4711"),
        "{held}"
    );
    assert_eq!((&lost["place"]["set"], &lost["dives"]), (&Value::Null, &json!(4)));
    let place = &lost["place"];
    assert_eq!(place["words"], "missing since 2026-06-15, ticket 4711");
    assert_eq!(place["missing"], "2026-06-15");
    let set = desk.json("set show Heron");
    assert_eq!(set["out"], Value::Null);
    let in_it = set["ports"].as_array().unwrap().iter().filter(|port| !port["hose"].is_null());
    assert_eq!(in_it.count(), 2);
    // Found again, it is released with a reason and fitted.
    desk.done(&format!("release {two} --why found"));
    let found = desk.json(&format!("answer {two}"));
    assert_eq!(found["place"], json!({ "set": null, "port": null, "words": "in stock" }));
    desk.done(&format!("fit {two} --set Heron --port LP2"));
}

#[test]
fn dives_that_nobody_knows_are_estimated() {
    let (desk, hoses) = rental();
    let back = |dives: &str, more: &str| {
        out(&desk, &hoses);
        let line =
            format!("rental in Heron --nothing-found --dives {dives} {} {more}", hoses.join(" "));
        desk.json(&line)
    };
    let told = back("unknown", "");
    assert_eq!((&told["dives"], &told["estimated"]), (&json!(4), &json!(true)), "{told}");
    assert!(told["words"].as_str().unwrap().contains("estimated"), "{told}");
    desk.done("limits set --unknown-dives 2");
    let told = back("unknown", "--today 2026-06-17");
    assert_eq!((&told["dives"], &told["estimated"]), (&json!(6), &json!(true)), "{told}");
    for bad in ["0", "21"] {
        assert_eq!(desk.run(&format!("limits set --unknown-dives {bad}")).code, 2, "{bad}");
    }
    assert_eq!(desk.json(&format!("answer {} --today 2026-06-17", hoses[0]))["dives"], 10);
    let history = desk.run(&format!("history {} --today 2026-06-17", hoses[0])).out;
    assert!(joined(&history).contains("estimated"), "{history}");
}

/// A return that is taken back leaves the hold of its missing hose, whose words say
/// so: the hose is out with its set again.
#[test]
fn a_missing_hose_of_a_return_that_was_taken_back_is_out_again() {
    let (desk, hoses) = rental();
    let [one, two, gauge] = hoses.clone();
    out(&desk, &hoses);
    desk.done(&format!("rental in Heron --nothing-found --dives 4 {one} {gauge} --missing {two}"));
    let history = desk.json(&format!("history {two}"));
    let returned = history.as_array().unwrap().iter().find(|line| line["kind"] == "returned");
    let entry = returned.unwrap()["entry"].as_str().unwrap().to_owned();
    desk.done(&format!("withdraw {entry} --why slip --yes"));
    let answer = desk.json(&format!("answer {two}"));
    assert_eq!(answer["place"]["words"], "out on ticket 4711; its place is set Heron, port LP2");
    let held = answer["reasons"].as_array().unwrap().iter().find(|r| r["code"] == "held").unwrap();
    let words = held["words"].as_str().unwrap();
    assert!(words.contains("missing since 2026-06-15, ticket 4711"), "{words}");
    assert!(words.contains("The return that said so has been withdrawn"), "{words}");
}

/// Held is not in quarantine: each is said by its own name.
#[test]
fn a_hold_and_a_quarantine_are_told_apart() {
    let (desk, hoses) = rental();
    let words = |of: &str| {
        let shown = desk.json("set show Heron");
        let list = joined(&desk.run("set list").out);
        (shown["words"].as_str().unwrap().contains(of), list.contains(&of.to_lowercase()))
    };
    desk.done("hold --set Heron --why doubt");
    assert_eq!((words("On hold"), words("In quarantine")), ((true, true), (false, false)));
    desk.done("release --set Heron --why settled");
    assert_eq!((words("On hold"), words("In quarantine")), ((false, false), (false, false)));
    out(&desk, &hoses);
    let seen = format!("{}:seal-a:seal-damaged", hoses[0]);
    let back = desk.json(&format!(
        "rental in Heron --nothing-found --dives 1 {} --finding {seen}",
        hoses.join(" ")
    ));
    assert!(back["words"].as_str().unwrap().contains("In quarantine"), "{back}");
    assert_eq!((words("On hold"), words("In quarantine")), ((false, false), (true, true)));
}

/// Broken strands do not grow back: fewer of them at a return are asked about.
#[test]
fn fewer_strands_at_a_return_are_asked_about() {
    let (desk, hoses) = rental();
    desk.done(&format!("inspect {} --kind full --finding run:strands:3", hoses[0]));
    out(&desk, &hoses);
    let page = Page::of(&desk, &[]);
    let before = desk.export();
    let back = format!("rental in Heron --nothing-found --dives 1 {}", hoses.join(" "));
    let fewer = format!("{back} --finding {}:run:strands:2", hoses[0]);
    let said = desk.run(&fewer);
    assert_eq!(said.code, 2, "{}", said.out);
    for words in [hoses[0].as_str(), "strands do not grow back", "--yes"] {
        assert!(joined(&said.err).contains(words), "{words}: {}", said.err);
    }
    // The page asks too, and once someone says so it is written.
    let at: Vec<String> = hoses.iter().map(|hose| format!("{hose}|at")).collect();
    let count = format!("{}|count:run:strands", hoses[0]);
    let mut fields: Vec<(&str, &str)> = at.iter().map(|name| (name.as_str(), "here")).collect();
    let answer = format!("clear {}", hoses[1..].join(" "));
    fields.extend([("dives", "1"), (count.as_str(), "2"), ("answer", answer.as_str())]);
    let asked = plain(&page.post("/set/Heron/in", &fields).text());
    assert!(asked.contains("strands do not grow back") && asked.contains(&hoses[0]), "{asked}");
    assert_eq!(desk.export(), before);
    fields.push(("sure", "yes"));
    assert!(page.post("/set/Heron/in", &fields).status < 400);
    assert!(desk.export().contains("run:strands:2"));
    // As many as before are no question, and said to be right the fewer are written.
    out(&desk, &hoses);
    desk.done(&format!("{back} --finding {}:run:strands:3", hoses[0]));
    out(&desk, &hoses);
    desk.done(&format!("{fewer} --yes"));
}
