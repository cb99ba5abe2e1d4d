//! Holds by hand and after incidents, quarantines and recalls, through the binary.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use super::doubt::{
    FULL, TESTED, answer, device, entry, held_by, meet, met, reason, reasons, refused, rental,
    verdict,
};
use hosewright_tests::desk::Desk;
use serde_json::json;

/// 8. A quarantine is said on each hose of the set, until it is released.
#[test]
fn a_quarantine_is_said_on_each_hose() {
    let desk = Desk::new();
    let [one, two] = rental(&desk);
    desk.done(&format!("rental out Heron --ticket 4711 {one} {two}"));
    desk.done(&format!(
        "rental in Heron --nothing-found --dives 2 {one} --finding {two}:seal-b:seal-damaged"
    ));
    for hose in [&one, &two] {
        held_by(&desk, hose, "set-quarantined");
    }
    refused(&desk, "release --set Heron --why sunny", &two);
    desk.done(&format!("reseal {two} --end b"));
    desk.done(&format!("inspect {two} {TESTED}"));
    for hose in [&one, &two] {
        held_by(&desk, hose, "set-quarantined");
    }
    desk.done("release --set Heron --why resealed");
    for hose in [&one, &two] {
        assert_eq!(verdict(&desk, hose), "ready");
    }
}

/// 9. A recall is not escaped by another lot, and means whatever it could mean.
#[test]
fn a_recall_is_not_escaped() {
    let desk = Desk::new();
    let register = "register --service second-stage --construction rubber --length 75cm \
                    --end-a 3/8-24 --end-b 9/16-18 --made 2024-03 --maker Northsea";
    let known = desk.done(&format!("{register} --lot B17"));
    let unknown = desk.done(register);
    let other = desk.done(&format!("{register} --lot C4"));
    for hose in [&known, &unknown, &other] {
        desk.done(&format!("inspect {hose} {FULL}"));
    }
    desk.done("recall --lot B17 --maker Northsea --start --why slips");
    held_by(&desk, &known, "recalled");
    held_by(&desk, &unknown, "recall-open");
    assert!(!reasons(&desk, &other).iter().any(|code| code.starts_with("recall")));
    let report = desk.json("recall --lot B17 --maker Northsea");
    let codes: Vec<&str> =
        report["hoses"].as_array().unwrap().iter().filter_map(|h| h["code"].as_str()).collect();
    assert_eq!(codes, [&known, &unknown]);
    assert_eq!((&report["to_find"], &report["open"]), (&json!(1), &json!(1)));

    desk.done(&format!("describe {known} --lot C4"));
    held_by(&desk, &known, "recalled");
    desk.done(&format!("describe {known} --lot C5 --why misread"));
    held_by(&desk, &known, "recalled");
    desk.done(&format!("recall check-off {known} --lot B17 --maker Northsea --why \"maker\""));
    assert_eq!(reason(&desk, &known, "recalled"), None);

    refused(&desk, &format!("describe {unknown} --lot C4"), "give a reason");
    desk.done(&format!("describe {unknown} --lot C4 --why stamped"));
    assert_eq!(reason(&desk, &unknown, "recall-open"), None);
    desk.done("recall --lot C4 --start --why slips --yes");
    held_by(&desk, &other, "recalled");
    desk.done("recall end --lot C4 --why mistaken");
    assert_eq!(reason(&desk, &other, "recalled"), None);
}

/// 18. Doubt means hold: by hand, and until someone says why it is over.
#[test]
fn a_hose_and_a_set_are_held_and_released_by_hand() {
    let desk = Desk::new();
    let [one, two] = rental(&desk);
    refused(&desk, &format!("hold {one}"), "--why");
    desk.done(&format!("hold {one} --why wet"));
    held_by(&desk, &one, "held");
    assert_eq!(verdict(&desk, &two), "ready");
    desk.done(&format!("inspect {one} {FULL}"));
    held_by(&desk, &one, "held");
    refused(
        &desk,
        &format!("withdraw {} --why oops --yes", entry(&desk, &one, "held")),
        "released",
    );
    refused(&desk, &format!("release {two} --why dry"), "hold");
    desk.done(&format!("release {one} --why dry"));
    assert_eq!(verdict(&desk, &one), "ready");

    desk.done("hold --set Heron --why flooded");
    for hose in [&one, &two] {
        held_by(&desk, hose, "held");
    }
    refused(&desk, &format!("release {one} --why dry"), "Heron");
    assert_eq!(desk.run(&format!("rental out Heron --ticket 1 {one} {two}")).code, 1);
    // It stands for the place: a hose that leaves the set leaves it behind.
    desk.done(&format!("remove {two}"));
    assert_eq!(reason(&desk, &two, "held"), None);
    desk.done("release --set Heron --why serviced");
    assert_eq!(verdict(&desk, &one), "ready");
}

/// 18. After an incident nothing is done to the hoses, and the owner releases them.
#[test]
fn after_an_incident_all_is_kept_as_it_is() {
    let (owner, bench) = (Desk::new(), Desk::new());
    let [one, two] = rental(&owner);
    let fleet = owner.json("device found")["fleet"].as_str().unwrap().to_owned();
    owner.done(&format!("device admit {} --role bench", device(&bench)));
    met(&owner, &bench);
    bench.done(&format!("device join {fleet}"));
    bench.done("hold --set Heron --why accident --incident");
    bench.done(&format!("inspect {one} --kind quick --finding run:bulge"));
    for hose in [&one, &two] {
        let answer = answer(&bench, hose);
        assert!(answer["meaning"].as_str().unwrap().contains("kept unchanged"), "{answer}");
        for reason in answer["reasons"].as_array().unwrap() {
            assert!(!reason["todo"].as_str().unwrap().contains("ut it through"), "{reason}");
        }
    }
    for line in [
        format!("clean {one}"),
        format!("reseal {one} --end a"),
        format!("remove {one}"),
        format!("retire {one} --why cut --yes"),
        format!("retag {one} --yes"),
        format!("describe {one} --made 2023"),
        format!("inspect {one} {FULL}"),
        format!("rental out Heron --ticket 1 {one} {two} --override --why pool"),
    ] {
        let before = bench.export();
        let said = bench.run(&line);
        assert!(said.code > 0, "{line}: {}", said.out);
        assert_eq!(bench.export(), before, "{line}");
    }
    refused(&bench, "release --set Heron --why over", "owner");
    meet(&bench, &owner);
    held_by(&owner, &two, "held");
    owner.done("release --set Heron --why examined");
    assert_eq!(reason(&owner, &two, "held"), None);
    assert_eq!(verdict(&owner, &one), "retire");
}
