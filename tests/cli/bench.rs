//! The calculators of the bench through the real binary.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use hosewright_tests::desk::Desk;
use serde_json::{Value, json};

fn sizes(tools: &Value) -> Vec<&str> {
    tools.as_array().unwrap().iter().map(|tool| tool["size"].as_str().unwrap()).collect()
}

#[test]
fn threads_are_named_and_the_pitch_is_asked_for() {
    let desk = Desk::new();
    let found = desk.json("thread --male 9.4mm --tpi 24");
    assert_eq!(found["candidates"][0]["thread"], "3/8-24");
    assert_eq!(found["certain"], true);
    let same = desk.json("thread --male 9.4mm --pitch 1.06mm");
    assert_eq!(same["candidates"][0], found["candidates"][0]);
    let either = desk.run("thread --female 9.9mm");
    assert_eq!(either.code, 0, "{}", either.out);
    assert!(either.out.contains("measure the pitch"), "{}", either.out);
    let none = desk.run("thread --male 50mm");
    assert_eq!((none.code, none.err.as_str()), (1, ""));
    assert!(none.out.contains("No thread on the list fits"), "{}", none.out);
    assert!(desk.run("thread --male 9.4mm --csv").out.starts_with("thread,misfit mm,possible\n"));
}

/// 14 mm and 9/16 in differ by 0.29 mm, and each rounds the other's nut or does
/// not go on.
#[test]
fn spanners_and_keys_with_their_near_misses() {
    let desk = Desk::new();
    let tools = desk.json("spanner 14mm");
    assert_eq!(sizes(&tools["fits"]), ["14 mm"]);
    assert!(sizes(&tools["near_misses"]).contains(&"9/16 in"));
    assert!(tools["cautions"][0].as_str().unwrap().contains("not an adjustable one"));
    let shown = desk.run("spanner 14mm").out;
    assert!(shown.contains("rounds the nut"), "{shown}");
    let tools = desk.json("key 4mm");
    assert_eq!(sizes(&tools["fits"]), ["4 mm"]);
    assert!(sizes(&tools["near_misses"]).contains(&"5/32 in"));
    // Between two sizes: nothing fits, and the answer is no.
    let none = desk.run("spanner 15.6mm");
    assert_eq!(none.code, 1, "{}", none.out);
    assert!(none.out.contains("measure again across the flats"), "{}", none.out);
    assert_eq!(desk.run("spanner 14mm --csv").out.lines().next(), Some("size,what,words"));
}

#[test]
fn torque_in_every_unit_with_a_crowfoot() {
    let desk = Desk::new();
    let plain = desk.json("torque 5N·m");
    assert_eq!(plain["wrench_setting_newton_metres"], 5.0);
    let inches = plain["pound_force_inches"].as_f64().unwrap();
    assert!((inches - 44.2537).abs() < 1e-4, "{inches}");
    let set = |line: &str| desk.json(line)["wrench_setting_newton_metres"].as_f64().unwrap();
    // 5 N·m · 200 / 230.
    assert!((set("torque 5N·m --crowfoot 30mm --wrench 200mm") - 4.347_826).abs() < 1e-6);
    assert!((set("torque 5N·m --crowfoot 30mm --wrench 200mm --angle 90") - 5.0).abs() < 1e-9);
    assert!((set("torque --crowfoot 30mm --wrench 200mm --angle 180") - 5.882_353).abs() < 1e-6);
    let shown = desk.run("torque").out;
    assert!(shown.contains("under pressure") && shown.contains("Over-tightening"), "{shown}");
    assert!(shown.lines().all(|line| line.chars().count() <= 80), "{shown}");
}

#[test]
fn seals_of_a_hose_a_joint_and_all() {
    let desk = Desk::new();
    let hose = desk.gauge_hose();
    let seals = desk.json(&format!("seals {hose}"));
    assert_eq!(seals["joints"][0]["rings"], json!(["-012"]));
    assert_eq!(seals["joints"][1]["rings"], json!(["-003", "-003"]));
    assert!(seals["joints"][0]["words"].as_str().unwrap().contains("from memory, unconfirmed"));
    assert_eq!(desk.json("seals --joint swivel-pin")["joints"][0]["rings"][0], "-003");
    assert_eq!(desk.json("seals")["joints"].as_array().unwrap().len(), 8);
    let inflator = desk.done(
        "register --service inflator --construction rubber --length 60cm --end-a 3/8-24 \
         --end-b quick-disconnect",
    );
    let said = desk.run(&format!("seals {inflator}"));
    assert_eq!(said.code, 1, "{}", said.out);
    assert!(said.out.contains("maker's list") && said.out.contains("oxygen"), "{}", said.out);
}

#[test]
fn a_reseal_takes_only_sizes_of_the_table() {
    let desk = Desk::new();
    let hose = desk.gauge_hose();
    let before = desk.export();
    for (size, said) in
        [("904", "wrong ring"), ("999", "understood are"), ("tiny", "understood are")]
    {
        let refused = desk.run(&format!("reseal {hose} --end b --seal {size}"));
        assert_eq!(refused.code, 2, "{size}");
        assert!(refused.err.contains(said), "{size}: {}", refused.err);
    }
    assert_eq!(desk.export(), before);
    desk.done(&format!("reseal {hose} --end b --seal AS568-003"));
    assert!(desk.export().contains("\"seal\":\"-003\""), "{}", desk.export());
}

#[test]
fn what_cannot_be_measured_is_refused() {
    let desk = Desk::new();
    desk.hose();
    for (line, said) in [
        ("thread", "--male"),
        ("thread --male 9.4", "has no unit"),
        ("thread --male 9.4mm --female 9mm", "cannot be used with"),
        ("thread --male 9.4mm --tpi 24 --pitch 1mm", "cannot be used with"),
        ("thread --male 9.4mm --tpi many", "not a number of threads"),
        ("thread --male 9.4mm --tpi 200", "between 4 and 100"),
        ("thread --male 9.4m", "not a sensible thread diameter"),
        ("spanner 50mm", "not a sensible measure"),
        ("spanner", "LENGTH"),
        ("key 4", "has no unit"),
        ("torque 44N·m", "too tight for a hose joint"),
        ("torque 5N·m --crowfoot 30mm", "--wrench"),
        ("torque 5N·m --angle 90", "--crowfoot"),
        ("torque 5N·m --crowfoot 150mm --wrench 200mm", "too long for a wrench"),
        ("torque 5N·m --crowfoot 30mm --wrench 200mm --angle up", "an angle in degrees"),
        ("torque 5N·m --crowfoot 30mm --wrench 200mm --angle 270", "angle of a crowfoot"),
        ("seals --joint elbow", "understood are"),
        ("seals 00000", "begins with"),
    ] {
        let refused = desk.run(line);
        assert_eq!(refused.code, 2, "{line}: {}{}", refused.out, refused.err);
        assert!(refused.err.contains(said), "{line}: {}", refused.err);
        assert_eq!(refused.out, "", "{line}");
    }
}
