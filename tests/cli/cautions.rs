//! Cautions stand where the work is, in what people read and in the JSON.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use hosewright_tests::desk::Desk;

const DEPRESSURISE: &str = "Never turn a joint of a regulator under pressure";
const OXYGEN: &str = "Silicone grease is not for oxygen service";
const TECHNICIAN: &str = "licensed technician";

#[test]
fn each_work_shows_the_cautions_that_are_its_own() {
    let desk = Desk::new();
    let (old, new) = (desk.hose(), desk.hose());
    desk.done(&format!("inspect {new} --kind full"));
    desk.done("set new Heron --use rental --ports LP:3/8-24=2");
    let all = [DEPRESSURISE, OXYGEN, TECHNICIAN].as_slice();
    for (line, cautions) in [
        (format!("fit {old} --set Heron --port LP1"), all),
        (format!("replace {old}"), all),
        (format!("swap {old} {new}"), all),
        (format!("swap {old} {new} --step depressurised=done"), all),
        (format!("reseal {old} --end a"), all),
        (format!("seals {old}"), all),
        ("seals --joint swivel-pin".to_owned(), all),
        ("torque".to_owned(), &[DEPRESSURISE, TECHNICIAN]),
        (format!("swap {old} {new} --give-up late"), &[]),
        (format!("remove {old}"), all),
    ] {
        let said = desk.run(&line);
        assert_eq!((said.code, said.err.as_str()), (0, ""), "{line}");
        let text = said.out.split_whitespace().collect::<Vec<_>>().join(" ");
        for caution in cautions {
            assert!(text.contains(caution), "{line}: no “{caution}” in {}", said.out);
        }
        let wide = said.out.lines().find(|line| line.chars().count() > 80);
        assert_eq!(wide, None, "{line}");
    }
    for line in [
        format!("fit {old} --set Heron --port LP2"),
        format!("replace {old}"),
        format!("swap {old} {new}"),
        format!("reseal {old} --end a"),
        format!("seals {old}"),
    ] {
        let cautions = desk.json(&line)["cautions"].to_string();
        assert!(all.iter().all(|caution| cautions.contains(caution)), "{line}: {cautions}");
    }
}

/// A program is told what is to be done at the bench as a person is.
#[test]
fn fitting_and_removing_say_the_plug_in_json_too() {
    let desk = Desk::new();
    let hose = desk.hose();
    desk.done("set new Heron --use rental --ports LP:3/8-24=2");
    let bench = |line: &str| {
        let said = desk.json(line);
        assert_eq!(said["code"], *hose, "{said}");
        said["bench"].as_array().unwrap().iter().map(|s| s.as_str().unwrap().to_owned()).collect()
    };
    let test = "A leak test is due: do it under pressure and record its result.";
    let fitted: Vec<String> = bench(&format!("fit {hose} --set Heron --port LP1"));
    assert_eq!(fitted, ["The plug of LP1 comes out: keep it with the set.", test]);
    let moved: Vec<String> = bench(&format!("fit {hose} --set Heron --port LP2"));
    let plugs = [
        "LP1 is left open: put its plug back.",
        "The plug of LP2 comes out: keep it with the set.",
    ];
    assert_eq!(moved, ["It was moved from LP1 to LP2.", plugs[0], plugs[1], test]);
    let removed: Vec<String> = bench(&format!("remove {hose}"));
    assert_eq!(removed, ["LP2 is left open: put its plug back."]);
}
