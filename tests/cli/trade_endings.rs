//! What ends each finding, on the page and in the table of the rules.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use super::trade_findings::{TESTED, fitted, inflator, stands, told};
use hosewright_tests::desk::Desk;
use hosewright_tests::page::Page;
use serde_json::json;

/// The page asks the same, and shows where to look.
#[test]
fn the_page_asks_for_an_answer_and_shows_the_place() {
    let desk = Desk::new();
    let page = Page::of(&desk, &[]);
    let hose = inflator(&desk);
    fitted(&desk, &hose, "LP1");
    desk.done(&format!("inspect {hose} --kind quick --finding run:cut:cover"));
    let form = page.shown(&format!("/hose/{hose}/inspect?kind=full"));
    assert_eq!(form.matches("<figure class=\"where\">").count(), 5);
    for words in
        ["wait: trapped air", "Connect the coupling and disconnect it", "Not there", "The far seal"]
    {
        let plain = form.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(plain.contains(words), "{words}");
    }
    let clear = ["run", "end-a", "end-b", "seal-a", "seal-b"].map(|at| format!("clear-{at}"));
    let full: Vec<(&str, &str)> =
        clear.iter().map(|name| (name.as_str(), "yes")).chain([("kind", "full")]).collect();
    let to = format!("/hose/{hose}/inspect");
    let answered = |more: &[(&str, &str)]| page.post(&to, &[full.as_slice(), more].concat()).status;
    assert_eq!(answered(&[]), 400);
    assert_eq!(answered(&[("open:run:cut", "otherwise")]), 400);
    assert_eq!(answered(&[("open:run:cut", "gone")]), 400);
    page.done(&to, &[full.as_slice(), &[("open:run:cut", "same")]].concat());
    stands(&desk, &hose, "watch", &["finding-cut"]);
    let gone = [("open:run:cut", "gone"), ("gone-why", "it was tape")];
    page.done(&to, &[full.as_slice(), &gone].concat());
    stands(&desk, &hose, "ready", &[]);
    desk.done(&format!("inspect {hose} --kind quick --finding end-b:coupling-sticks"));
    page.done(&format!("/hose/{hose}/recouple"), &[]);
    let test = [("kind", "leak-test"), ("result", "passed"), ("pressure", "200 bar")];
    page.done(&to, &[test.as_slice(), &[("method", "under-water")]].concat());
    stands(&desk, &hose, "ready", &[]);
    assert!(desk.export().contains("\"method\":\"under-water\""));
}

/// `rules` says what ends each finding.
#[test]
fn the_rules_say_what_ends_a_finding() {
    let desk = Desk::new();
    let rules = desk.json("rules");
    let rows = rules["findings"].as_array().unwrap();
    let ends = |finding: &str, grade: &str| {
        let row = rows.iter().find(|row| {
            row["finding"] == finding && row["grade"] == grade && row["at"] != json!(["run"])
        });
        row.unwrap()["ends"].as_str().unwrap().to_owned()
    };
    assert_eq!(ends("bubbles", "sleeve"), "nothing");
    assert!(ends("bubbles", "joint").contains("new O-rings"));
    assert!(ends("bubbles", "not said which").contains("says joint or sleeve"));
    assert!(ends("coupling-sticks", "").contains("coupling"));
    assert_eq!(ends("flow-poor", ""), "nothing");
    let acts = rules["endings"].as_array().unwrap();
    let act = acts.iter().find(|row| row["act"] == "leak-test").unwrap();
    assert!(act["ends"].as_array().unwrap().contains(&json!("finding-coupling-leaks")), "{act}");
}

/// Each row of the table of findings: how bad it is, and what ends it; nothing else
/// here does.
#[test]
fn every_finding_has_its_verdict_and_its_ending() {
    const LP: &str = "second-stage rubber 3/8-24 9/16-18";
    const BRAID: &str = "second-stage braided 3/8-24 9/16-18";
    const HP: &str = "gauge rubber 7/16-20 7/16-20";
    const COUPLED: &str = "inflator rubber 3/8-24 quick-disconnect";
    let rows = [
        (LP, "run:scuff", "ready", "full"),
        (LP, "run:cut:cover", "watch", "gone"),
        (LP, "run:cut:deep", "retire", "nothing"),
        (LP, "run:bulge", "retire", "nothing"),
        (LP, "run:kink:springs-back", "watch", "gone"),
        (LP, "run:kink:set", "retire", "nothing"),
        (LP, "run:crack:fine", "watch", "gone"),
        (LP, "run:crack:open", "retire", "nothing"),
        (LP, "end-a:crack", "retire", "nothing"),
        (LP, "run:perished", "retire", "nothing"),
        (BRAID, "run:strands:0", "ready", "full"),
        (BRAID, "run:strands:1", "watch", "gone"),
        (BRAID, "run:strands:3", "watch", "gone"),
        (BRAID, "run:strands:4", "retire", "nothing"),
        (LP, "run:discoloured", "ready", "full"),
        (LP, "end-a:verdigris:light", "watch", "clean"),
        (LP, "end-a:verdigris:heavy", "retire", "nothing"),
        (LP, "run:salt", "watch", "clean"),
        (LP, "end-a:sleeve-loose", "retire", "nothing"),
        (LP, "end-b:nut-rounded", "watch", "gone"),
        (LP, "end-b:thread-damaged", "retire", "nothing"),
        (LP, "seal-a:seal-missing", "hold", "reseal"),
        (HP, "seal-a:seal-damaged", "hold", "reseal"),
        (LP, "seal-a:seal-dirty", "watch", "clean"),
        (LP, "end-a:bubbles", "hold", "said"),
        (LP, "end-a:bubbles:joint", "hold", "reseal"),
        (LP, "end-a:bubbles:sleeve", "retire", "nothing"),
        (LP, "end-b:flow-poor", "retire", "nothing"),
        (COUPLED, "end-b:coupling-leaks", "hold", "coupling"),
        (COUPLED, "end-b:coupling-sticks", "hold", "coupling"),
        (HP, "run:bubbles:occasional", "ready", "full"),
        (HP, "run:bubbles:steady", "retire", "nothing"),
        (LP, "run:bubbles", "retire", "nothing"),
        (HP, "run:weep:slight", "ready", "full"),
        (HP, "run:weep:heavy", "retire", "nothing"),
    ];
    let desk = Desk::new();
    desk.done("set new Heron --use personal --ports HP:7/16-20=1,LP:3/8-24=1");
    for (kind, seen, verdict, ends) in rows {
        let [service, made_of, a, b] = kind.split(' ').collect::<Vec<_>>()[..] else { panic!() };
        let hose = desk.done(&format!(
            "register --service {service} --construction {made_of} --length 75cm --end-a {a} \
             --end-b {b} --made 2026-01"
        ));
        let port = if kind == HP { "HP1" } else { "LP1" };
        desk.done(&format!("fit {hose} --set Heron --port {port}"));
        let (full, tested) =
            (format!("inspect {hose} --kind full"), format!("inspect {hose} {TESTED}"));
        desk.done(&full);
        desk.done(&tested);
        desk.done(&format!("inspect {hose} --kind quick --finding {seen}"));
        let parts: Vec<&str> = seen.split(':').collect();
        let code = format!("finding-{}", parts[1]);
        stands(&desk, &hose, verdict, &[&code]);
        // A test ends none, nor does a cleaning any but what comes off.
        desk.done(&tested);
        desk.done(&format!("clean {hose}"));
        let left: &[&str] = if ends == "clean" { &[] } else { &[&code] };
        stands(&desk, &hose, if ends == "clean" { "ready" } else { verdict }, left);
        let repair = |how: &str| {
            desk.done(&format!("reseal {hose} {how}"));
            assert!(told(&desk, &hose).1.contains(&code), "{seen}: not tested yet");
            desk.done(&tested);
        };
        match ends {
            "full" => drop(desk.done(&full)),
            "gone" => {
                let gone = format!("{full} --gone {}:{} --why looked", parts[0], parts[1]);
                desk.done(&gone);
            }
            "reseal" => repair("--end a"),
            "coupling" => repair("--coupling"),
            "said" => {
                desk.done(&format!("{full} --finding {seen}:joint"));
                repair("--end a");
            }
            "nothing" => {
                desk.done(&full);
                desk.done(&format!("reseal {hose} --end a --yes"));
                desk.done(&format!("reseal {hose} --end b --yes"));
                desk.done(&tested);
                assert_eq!(told(&desk, &hose).0, verdict, "{seen}");
                desk.done(&format!("remove {hose}"));
                continue;
            }
            _ => {}
        }
        stands(&desk, &hose, "ready", &[]);
        desk.done(&format!("remove {hose}"));
    }
}
