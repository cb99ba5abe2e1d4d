use super::*;
use crate::hose::{Construction, HoseError};
use crate::inspection::TestMethod;
use crate::measure::{HoseLength, TestPressure};

fn hose(service: &str, b: &str, protector: bool) -> Specification {
    let service: Service = service.parse().unwrap_or_else(|e| unreachable!("{e}"));
    let a = if service == Service::Gauge { "7/16-20" } else { "3/8-24" };
    let end = |text: &str| text.parse().unwrap_or_else(|e: HoseError| unreachable!("{e}"));
    let length = HoseLength::parse("75 cm").unwrap_or_else(|e| unreachable!("{e}"));
    Specification::new(service, Construction::Rubber, length, end(a), end(b), protector)
        .unwrap_or_else(|e| unreachable!("{e}"))
}

fn names(old: &Specification, new: &Specification, plug_moves: bool) -> Vec<&'static str> {
    steps(&Swap { old, new, plug_moves }).map(|step| step.name).collect()
}

#[test]
fn a_swap_has_the_steps_that_it_needs() {
    let plain = hose("second-stage", "9/16-18", false);
    let sleeved = hose("second-stage", "9/16-18", true);
    let inflator = hose("inflator", "quick-disconnect", false);
    let gauge = hose("gauge", "7/16-20", false);
    let own = hose("second-stage", "proprietary:Otter", false);
    let of_plain = names(&plain, &plain, false);
    assert_eq!(
        of_plain,
        [
            "depressurised",
            "laid-out",
            "old-tag",
            "held",
            "spanner",
            "off",
            "far-end-off",
            "seals",
            "new-tag",
            "started",
            "tightened",
            "far-end-on",
            "leak-test",
            "function-check",
            "old-goes",
        ]
    );
    let rows = [
        (names(&sleeved, &plain, false), vec!["protector-back"], vec!["protector-on"]),
        (names(&plain, &sleeved, false), vec!["protector-on"], vec!["protector-back"]),
        (names(&plain, &plain, true), vec!["plug"], vec!["pin"]),
        (names(&gauge, &gauge, false), vec!["pin", "far-end-off"], vec!["plug"]),
        (
            names(&inflator, &inflator, false),
            vec!["far-end-unclicked", "far-end-clicked"],
            vec!["far-end-off", "pin"],
        ),
        (
            names(&own, &own, false),
            vec!["far-end-maker-off", "far-end-maker-on"],
            vec!["far-end-on"],
        ),
    ];
    for (names, has, lacks) in rows {
        assert!(has.iter().all(|name| names.contains(name)), "{names:?} has {has:?}");
        assert!(!lacks.iter().any(|name| names.contains(name)), "{names:?} lacks {lacks:?}");
    }
}

/// Whatever the swap: depressurised first, fit checked before a thread is
/// started, and the leak test before the end.
#[test]
fn the_order_that_keeps_people_safe() {
    let kinds = [
        hose("second-stage", "9/16-18", true),
        hose("inflator", "quick-disconnect", false),
        hose("gauge", "7/16-20", false),
        hose("second-stage", "proprietary:Otter", false),
    ];
    for old in &kinds {
        let names = names(old, old, true);
        let at = |name: &str| names.iter().position(|n| *n == name).unwrap_or(usize::MAX);
        assert_eq!(at("depressurised"), 0);
        assert!(at("new-tag") < at("started") && at("started") < at("tightened"));
        assert!(at("tightened") < at("leak-test"));
        assert_eq!(at("leak-test"), names.len() - 3);
        assert_eq!(at("function-check"), names.len() - 2);
    }
}

#[test]
fn every_answer_on_a_button_is_understood() {
    let mut buttons = 0;
    for step in STEPS {
        for (answer, words) in step.asks.choices() {
            let said =
                if answer.ends_with(':') { format!("{answer} worn") } else { (*answer).to_owned() };
            assert!(understand(step, &said).is_ok(), "{}: {said}", step.name);
            assert!(!words.is_empty());
            buttons += 1;
        }
        let tag = matches!(step.asks, Asks::OldTag | Asks::NewTag);
        assert_eq!(step.asks.choices().is_empty(), tag, "{}", step.name);
    }
    assert!(buttons > STEPS.len() / 2);
}

#[test]
fn answers_are_understood_or_refused_in_words() {
    let of = |name: &str, typed: &str| {
        let step = STEPS.iter().find(|s| s.name == name).unwrap_or_else(|| unreachable!("{name}"));
        understand(step, typed)
    };
    for (name, typed) in [
        ("depressurised", "done"),
        ("held", "Yes"),
        ("seals", "missing"),
        ("tightened", "5 N·m"),
        ("tightened", "done"),
        ("leak-test", "passed at 200 bar"),
        ("leak-test", "failed"),
        ("leak-test", "passed 200 bar under water"),
        ("leak-test", "passed at 3000 psi, with soapy water"),
        ("leak-test", "failed soapy-water"),
        ("function-check", "done"),
        ("started", "done"),
        ("old-goes", "stock"),
        ("old-goes", "retire: cracked at the sleeve"),
    ] {
        assert!(of(name, typed).is_ok(), "{name} {typed}: {:?}", of(name, typed));
    }
    for (name, typed, why) in [
        ("depressurised", "no", "comes first"),
        ("depressurised", "perhaps", "answer done"),
        ("seals", "done", "good, missing or damaged"),
        ("tightened", "80 N·m", "crushes"),
        ("leak-test", "done", "passed or failed"),
        ("leak-test", "passed 900 bar", "500 bar"),
        ("old-goes", "retire", "retire: WHY"),
        ("old-goes", "bin", "stock, or retire"),
        ("function-check", "no", "comes first"),
        ("started", "perhaps", "it doesn't go in"),
    ] {
        let said = of(name, typed).err().unwrap_or_default();
        assert!(said.contains(why), "{name} {typed}: {said}");
    }
    for typed in ["it doesn't go in", "It doesn’t go in", "does not go in", NOT_IN, "no"] {
        assert_eq!(of("started", typed), Ok(Answered::NotIn), "{typed}");
    }
    let (passed, pressure) = (true, TestPressure::parse("200 bar").ok());
    for (typed, method) in [
        ("passed 200 bar", None),
        ("passed 200 bar under water", Some(TestMethod::UnderWater)),
        ("passed at 200 bar, with soapy water", Some(TestMethod::SoapyWater)),
        ("passed 200 bar soapy-water", Some(TestMethod::SoapyWater)),
    ] {
        let pressure = pressure.clone();
        let said = Ok(Answered::LeakTest { passed, pressure, method });
        assert_eq!(of("leak-test", typed), said, "{typed}");
    }
}

#[test]
fn what_is_left_open_says_what_to_do() {
    assert_eq!(open_still("started"), DOES_NOT_GO_IN);
    assert_eq!(open_still("leak-test"), LEAKED);
    assert!(giving_up(true, "set R3, port LP1").contains("leak test is due"));
    assert!(!giving_up(false, "set R3, port LP1").contains("leak test"));
}
