//! What must not be screwed together, and measures that cannot be: each is
//! refused in words that say what is wrong, and changes nothing.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use hosewright_tests::desk::Desk;

/// Runs a line that must be refused in these words, changing nothing.
fn refused(desk: &Desk, line: &str, words: &str) {
    let before = desk.export();
    let said = desk.run(line);
    assert_eq!((said.code, said.out.as_str()), (2, ""), "{line}: {}", said.err);
    assert!(said.err.starts_with("hosewright: "), "{line}: {}", said.err);
    assert_eq!(said.err.trim_end().lines().count(), 1, "{line}: {}", said.err);
    assert!(said.err.contains(words), "{line}: no “{words}” in “{}”", said.err);
    assert_eq!(desk.export(), before, "{line}");
}

/// A second-stage hose with these ends, looked over.
fn hose(desk: &Desk, end_a: &str, end_b: &str) -> String {
    let hose = desk.done(&format!(
        "register --service second-stage --construction rubber --length 75cm --end-a {end_a} \
         --end-b {end_b} --made 2024-03"
    ));
    desk.done(&format!("inspect {hose} --kind full"));
    hose
}

/// Two sets, each with a plain hose in LP1; the first is for rental.
fn sets() -> (Desk, [String; 2]) {
    let desk = Desk::new();
    let hoses = ["Heron", "Egret"].map(|set| {
        let used = if set == "Heron" { "rental" } else { "personal" };
        let ports = "HP:7/16-20=1,LP:3/8-24=3,LP:1/2-20=1";
        desk.done(&format!("set new {set} --use {used} --ports {ports}"));
        let hose = hose(&desk, "3/8-24", "9/16-18");
        desk.done(&format!("fit {hose} --set {set} --port LP1"));
        desk.done(&format!("inspect {hose} --kind leak-test --passed --pressure 200bar"));
        hose
    });
    (desk, hoses)
}

#[test]
fn threads_and_pressures_that_do_not_go_together() {
    let (desk, [old, _]) = sets();
    let gauge = desk.gauge_hose();
    desk.done(&format!("inspect {gauge} --kind full"));
    let half = hose(&desk, "1/2-20", "9/16-18");
    let own = hose(&desk, "3/8-24", "proprietary:Otter");
    desk.done(&format!("fit {own} --set Heron --port LP2"));
    desk.done(&format!("inspect {own} --kind leak-test --passed --pressure 200bar"));
    let other_own = hose(&desk, "3/8-24", "proprietary:Marten");
    let plain = hose(&desk, "3/8-24", "9/16-18");
    for (line, words) in [
        (format!("fit {gauge} --set Heron --port LP3"), "never mix the two"),
        (format!("fit {plain} --set Heron --port HP1"), "never mix the two"),
        (format!("fit {half} --set Heron --port LP3"), "does not screw into a 3/8-24 port"),
        (format!("fit {plain} --set Heron --port LP4"), "does not screw into a 1/2-20 port"),
        (format!("swap {old} {gauge}"), "never mix the two"),
        (format!("swap {old} {half}"), "1/2-20 will not go into a 3/8-24 port"),
        (format!("swap {old} {other_own}"), "the maker's own “Marten”"),
        (format!("swap {own} {plain}"), "only the maker's own “Otter” fits here"),
        (format!("swap {own} {other_own}"), "only “Otter” fits here"),
    ] {
        refused(&desk, &line, words);
    }
}

#[test]
fn hoses_that_are_not_free() {
    let (desk, [old, elsewhere]) = sets();
    let [retired, held, unseen, lent] = [(); 4].map(|()| hose(&desk, "3/8-24", "9/16-18"));
    desk.done(&format!("retire {retired} --why frayed --yes"));
    desk.done(&format!("inspect {held} --kind quick --finding seal-a:seal-missing"));
    desk.done(&format!("inspect {unseen} --kind quick --finding run:cut:deep"));
    // It goes along with a set that it does not belong to.
    let out = format!("rental out Heron --ticket 4711 {old} {lent} --override --why pool");
    desk.done(&out);
    for (line, words) in [
        (format!("fit {retired} --set Egret --port LP2"), "was retired"),
        (format!("fit {lent} --set Egret --port LP2"), "4711"),
        (format!("fit {elsewhere} --set Heron --port LP2"), "Heron is out"),
        (format!("swap {elsewhere} {retired}"), "was retired"),
        (format!("swap {elsewhere} {held}"), "is missing"),
        (format!("swap {elsewhere} {unseen}"), "cut"),
        (format!("swap {elsewhere} {lent}"), "4711"),
        (format!("swap {old} {held}"), "4711"),
        (format!("swap {elsewhere} {elsewhere}"), "both the old and the new"),
    ] {
        refused(&desk, &line, words);
    }
    desk.done(&format!("rental in Heron --nothing-found --dives 1 {old} {lent}"));
    refused(&desk, &format!("swap {old} {elsewhere}"), "set Egret, port LP1");
    refused(&desk, &format!("fit {elsewhere} --set Heron --port LP2"), "set Egret, port LP1");
}

#[test]
fn measures_that_cannot_be() {
    let (desk, [old, _]) = sets();
    let new = hose(&desk, "3/8-24", "9/16-18");
    let register = "register --service gauge --construction rubber --end-a 7/16-20 \
                    --end-b 7/16-20 --length";
    let test = format!("inspect {old} --kind leak-test --passed --pressure");
    let below = "is below 0; a measure or a count never is";
    for (line, words) in [
        // More than any joint takes.
        ("torque 44N·m".to_owned(), "44N·m is too tight for a hose joint"),
        ("torque 44ft-lb".to_owned(), "is too tight"),
        ("torque 1e300N·m".to_owned(), "understood are"),
        // Below 0, as a value and as what looks like an option.
        ("torque -5N·m".to_owned(), below),
        ("torque -- -5N·m".to_owned(), "between just above 0 N·m and 20 N·m"),
        (format!("{register} -80cm"), below),
        (format!("{register}=-80cm"), "not a sensible hose length"),
        (format!("{test} -200bar"), below),
        (format!("{test}=-200bar"), "must be between"),
        ("thread --male -9.4mm".to_owned(), below),
        ("thread --male=-9.4mm".to_owned(), "not a sensible thread diameter"),
        ("thread --male 9.4mm --tpi -24".to_owned(), below),
        ("spanner -14mm".to_owned(), below),
        ("rental in Heron --dives -1".to_owned(), below),
        // Absurd.
        ("torque 0N·m".to_owned(), "not a sensible torque"),
        (format!("{register} 80m"), "must be between"),
        (format!("{register} 0.8mm"), "must be between"),
        (format!("{test} 20000bar"), "must be between"),
        ("spanner 14m".to_owned(), "must be between"),
        ("key 4in".to_owned(), "must be between"),
        ("rental in Heron --dives 4000000000".to_owned(), "4000000000"),
        // A slip in the unit: the answer lists what is understood.
        ("torque 5nn".to_owned(), "understood are N·m, cN·m, lbf·in, lbf·ft, kgf·cm, kgf·m"),
        ("torque 44".to_owned(), "understood are N·m"),
        (format!("{register} 80cn"), "understood are cm, mm, m, in, ft"),
        (format!("{register} 80km"), "understood are cm, mm, m, in, ft"),
        (format!("{test} 200bra"), "understood are bar, psi, MPa, kPa, Pa"),
        ("spanner 14mn".to_owned(), "understood are cm, mm, m, in, ft"),
        ("thread --male 9.4mn".to_owned(), "understood are cm, mm, m, in, ft"),
        ("torque --crowfoot 30mn --wrench 200mm".to_owned(), "understood are cm, mm, m, in, ft"),
        ("due --within 3x".to_owned(), "write days, weeks, months or years"),
    ] {
        refused(&desk, &line, words);
    }
    for step in ["depressurised", "laid-out"] {
        desk.done(&format!("swap {old} {new} --step {step}=done"));
    }
    desk.done(&format!("swap {old} {new} --step old-tag={old}"));
    for step in ["held", "spanner", "off", "far-end-off"] {
        desk.done(&format!("swap {old} {new} --step {step}=done"));
    }
    desk.done(&format!("swap {old} {new} --step seals=good --step new-tag={new}"));
    desk.done(&format!("swap {old} {new} --step started=done"));
    for (answer, words) in [("44N·m", "too tight"), ("-5N·m", "between"), ("5nn", "understood")] {
        refused(&desk, &format!("swap {old} {new} --step tightened={answer}"), words);
    }
}
