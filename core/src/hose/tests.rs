use super::*;
use crate::measure::{HoseLength, PartialDate};

fn build(service: &str, a: &str, b: &str) -> Result<Specification, String> {
    let spec = Specification::new(
        service.parse().map_err(|e: HoseError| e.to_string())?,
        Construction::Rubber,
        HoseLength::parse("75 cm").map_err(|e| e.to_string())?,
        a.parse().map_err(|e: HoseError| e.to_string())?,
        b.parse().map_err(|e: HoseError| e.to_string())?,
        false,
    );
    spec.map_err(|e| e.to_string())
}

#[test]
fn each_service_has_its_own_ends() {
    let good = [
        ("second-stage", "3/8-24", "9/16-18"),
        ("second-stage", "1/2-20 UNF", "9/16-18 UNF"),
        ("second-stage", "3/8-24", "proprietary:Otter swivel"),
        ("inflator", "3/8-24", "quick-disconnect"),
        ("gauge", "7/16-20", "7/16-20"),
        ("hp", "7/16\"-20 UNF", "7/16-20"),
    ];
    for (service, a, b) in good {
        assert!(build(service, a, b).is_ok(), "{service} {a} {b}");
    }
    let bad = [
        ("second-stage", "7/16-20", "9/16-18"),
        ("second-stage", "3/8-24", "quick-disconnect"),
        ("inflator", "3/8-24", "9/16-18"),
        ("gauge", "3/8-24", "7/16-20"),
        ("gauge", "proprietary:x", "7/16-20"),
        ("second-stage", "3/8-24", "proprietary:"),
        ("second-stage", "3/8-24", "m10"),
        ("snorkel", "3/8-24", "9/16-18"),
    ];
    for (service, a, b) in bad {
        assert!(build(service, a, b).is_err(), "{service} {a} {b}");
    }
}

#[test]
fn a_refused_fitting_says_what_is_possible() {
    assert_eq!(
        build("gauge", "3/8-24", "7/16-20"),
        Err("a gauge hose cannot have 3/8-24 at end a; it has 7/16-20".to_owned())
    );
}

#[test]
fn a_specification_survives_being_written_down() {
    let spec = build("second-stage", "3/8-24", "proprietary:Otter swivel");
    let text = spec.as_ref().ok().and_then(|s| serde_json::to_string(s).ok()).unwrap_or_default();
    assert_eq!(serde_json::from_str(&text).ok(), spec.ok());
    let impossible = text.replace("3/8-24", "7/16-20");
    assert!(serde_json::from_str::<Specification>(&impossible).is_err());
}

#[test]
fn dates_that_cannot_be_are_refused() {
    let today: NaiveDate = "2026-06-15".parse().unwrap_or_default();
    let date = |text: &str| (!text.is_empty()).then(|| PartialDate::parse(text).ok()).flatten();
    let table = [
        ("2022-03", "2022-03-02", "", true),
        ("2022-03", "2022-02", "", false),
        ("2022", "2022-01", "2022", true),
        ("2026-06-15", "", "", true),
        ("2026-06-16", "", "", false),
        ("2026", "", "", true),
        ("2027", "", "", false),
        ("", "2026-07", "", false),
        ("2022-03", "", "2022-02-28", false),
        ("", "", "", true),
    ];
    for (made, bought, used, good) in table {
        let origin = Origin {
            made: date(made),
            bought: date(bought),
            in_service: date(used),
            ..Origin::default()
        };
        assert_eq!(origin.check(today).is_ok(), good, "{made} {bought} {used}");
    }
}

/// Some letters take more bytes small than capital, and a record is read again
/// from what it says.
#[test]
fn a_makers_own_fitting_keeps_its_text() {
    for (typed, said) in [
        ("Proprietary: İzmir 2", "proprietary:İzmir 2"),
        ("proprietary:İİİİİİİİİİİİİİİİ", "proprietary:İİİİİİİİİİİİİİİİ"),
        ("proprietary:\u{a0}:x", "proprietary:x"),
    ] {
        let fitting = typed.parse::<Fitting>().map(|fitting| fitting.to_string());
        assert_eq!(fitting.as_deref(), Ok(said));
        assert_eq!(said.parse::<Fitting>().map(|fitting| fitting.to_string()), fitting);
    }
}
