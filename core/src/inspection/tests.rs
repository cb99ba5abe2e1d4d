use super::*;
use crate::hose::{Construction, Fitting, HoseError, Service, Specification, Thread};
use crate::measure::HoseLength;

pub(crate) fn hose(service: Service, construction: Construction, protector: bool) -> Specification {
    let (a, b) = match service {
        Service::SecondStage => ("3/8-24", "9/16-18"),
        Service::Inflator => ("3/8-24", "quick-disconnect"),
        Service::Gauge => ("7/16-20", "7/16-20"),
    };
    let fitting = |text: &str| text.parse().unwrap_or(Fitting::Thread(Thread::Unf3_8x24));
    let length = HoseLength::parse("75 cm").unwrap_or_else(|e| unreachable!("{e}"));
    Specification::new(service, construction, length, fitting(a), fitting(b), protector)
        .unwrap_or_else(|e: HoseError| unreachable!("{e}"))
}

const LP: (Service, Construction) = (Service::SecondStage, Construction::Rubber);
const HP: (Service, Construction) = (Service::Gauge, Construction::Rubber);
const BRAID: (Service, Construction) = (Service::SecondStage, Construction::Braided);
const INFLATOR: (Service, Construction) = (Service::Inflator, Construction::Rubber);
const HP_BRAID: (Service, Construction) = (Service::Gauge, Construction::Braided);

fn verdict(kind: (Service, Construction), seen: &str) -> Result<Verdict, String> {
    let seen: Observation = seen.parse().map_err(|e: FindingError| e.to_string())?;
    let rule = seen.rule(Some(&hose(kind.0, kind.1, false))).map_err(|e| e.to_string())?;
    Ok(rule.verdict)
}

/// Section 5 of the trade's rules, row by row, with its borders.
#[test]
fn every_finding_has_its_verdict() {
    use Verdict::{Hold, Ready, Retire, Watch};
    let table = [
        (LP, "run:scuff", Ready),
        (LP, "run:cut:cover", Watch),
        (LP, "run:cut:deep", Retire),
        (LP, "run:bulge", Retire),
        (LP, "run:kink:springs-back", Watch),
        (LP, "run:kink:set", Retire),
        (LP, "run:crack:fine", Watch),
        (LP, "run:crack:open", Retire),
        (LP, "end-a:crack", Retire),
        (LP, "end-b:crack:fine", Retire),
        (LP, "end-b:crack:open", Retire),
        (LP, "run:perished", Retire),
        (BRAID, "run:strands:0", Ready),
        (BRAID, "run:strands:1", Watch),
        (BRAID, "run:strands:3", Watch),
        (BRAID, "run:strands:4", Retire),
        (LP, "run:discoloured", Ready),
        (LP, "end-a:verdigris:light", Watch),
        (LP, "end-a:verdigris:heavy", Retire),
        (LP, "run:salt", Watch),
        (LP, "seal-a:salt", Watch),
        (LP, "end-a:sleeve-loose", Retire),
        (LP, "end-b:nut-rounded", Watch),
        (LP, "end-b:thread-damaged", Retire),
        (LP, "seal-a:seal-missing", Hold),
        (LP, "seal-b:seal-damaged", Hold),
        (LP, "end-b:seal-damaged", Hold),
        (LP, "seal-b:seal-dirty", Watch),
        (LP, "end-a:bubbles", Hold),
        (LP, "end-a:bubbles:joint", Hold),
        (LP, "end-a:bubbles:sleeve", Retire),
        (HP, "end-b:bubbles:joint", Hold),
        (HP, "end-b:bubbles:sleeve", Retire),
        (HP, "end-b:bubbles:steady", Hold),
        (LP, "end-b:flow-poor", Retire),
        (BRAID, "end-b:flow-poor", Retire),
        (HP, "end-b:flow-poor", Retire),
        (INFLATOR, "end-b:flow-poor", Retire),
        (INFLATOR, "end-b:coupling-leaks", Hold),
        (INFLATOR, "end-b:coupling-sticks", Hold),
        (HP, "run:bubbles:occasional", Ready),
        (HP, "run:bubbles:steady", Retire),
        (LP, "run:bubbles", Retire),
        (BRAID, "run:bubbles:steady", Retire),
        (HP_BRAID, "run:bubbles", Retire),
        (HP, "run:weep:slight", Ready),
        (HP, "run:weep:heavy", Retire),
    ];
    for (kind, seen, expected) in table {
        assert_eq!(verdict(kind, seen), Ok(expected), "{seen}");
    }
}

#[test]
fn impossible_findings_are_refused_with_their_reason() {
    let table = [
        (LP, "run:strands:1", "it is rubber"),
        (HP_BRAID, "run:weep:slight", "it is braided"),
        (LP, "run:weep:heavy", "it is a low-pressure hose"),
        (BRAID, "run:bubbles:occasional", "it is a low-pressure hose"),
        (HP_BRAID, "run:bubbles:occasional", "it is braided"),
        (BRAID, "run:strands:-1", "needs a count of 0 or more"),
        (BRAID, "run:strands", "needs a count of 0 or more"),
        (BRAID, "run:strands:many", "needs a count of 0 or more"),
        (HP, "run:bubbles", "needs occasional or steady"),
        (LP, "run:bubbles:joint", "bubbles at run needs"),
        (LP, "end-a:flow-poor", "is found at end-b"),
        (LP, "run:flow-poor", "is found at end-b"),
        (LP, "end-b:flow-poor:heavy", "needs no grade"),
        (LP, "end-b:coupling-leaks", "only inflator hoses end in a coupling"),
        (HP, "end-b:coupling-sticks", "only inflator hoses end in a coupling"),
        (INFLATOR, "end-a:coupling-leaks", "is found at end-b"),
        (INFLATOR, "seal-b:coupling-sticks", "is found at end-b"),
        (LP, "run:cut", "needs cover or deep"),
        (LP, "run:cut:heavy", "needs cover or deep"),
        (LP, "run:seal-missing", "is found at seal-a, seal-b"),
        (LP, "seal-a:bubbles", "is found at run, end-a, end-b"),
        (LP, "run:scuff:deep", "needs no grade"),
        (LP, "hilt:scuff", "is not a place on a hose"),
        (LP, "run:gremlin", "is not a finding; understood are scuff"),
        (LP, "run", "needs the place"),
        (LP, "run:cut:deep:er", "needs the place"),
    ];
    for (kind, seen, reason) in table {
        let said = verdict(kind, seen).err().unwrap_or_default();
        assert!(said.contains(reason), "{seen}: {said}");
    }
}

#[test]
fn what_ends_a_finding_follows_the_rules() {
    for rule in FINDINGS {
        match rule.verdict {
            Verdict::Retire => assert_eq!(rule.ends, Ends::Never),
            Verdict::Hold => assert!(
                matches!(rule.ends, Ends::ResealAndTest | Ends::CouplingAndTest | Ends::OnceSaid),
                "{}",
                rule.finding
            ),
            _ => assert!(matches!(rule.ends, Ends::FullInspection | Ends::Cleaning)),
        }
    }
    let cleaned: Vec<String> = FINDINGS
        .iter()
        .filter(|r| r.ends == Ends::Cleaning)
        .map(|r| format!("{} {}", r.finding, r.grade.in_words()).trim().to_owned())
        .collect();
    assert_eq!(cleaned, ["verdigris light", "salt", "seal-dirty"]);
    let of = |kind: (Service, Construction), seen: &str| {
        let seen: Option<Observation> = seen.parse().ok();
        let hose = hose(kind.0, kind.1, false);
        seen.and_then(|seen| seen.rule(Some(&hose)).ok()).map(|rule| rule.ends)
    };
    for (kind, seen, ends) in [
        (LP, "end-a:bubbles", Ends::OnceSaid),
        (HP, "end-b:bubbles:steady", Ends::OnceSaid),
        (LP, "end-a:bubbles:joint", Ends::ResealAndTest),
        (LP, "end-a:bubbles:sleeve", Ends::Never),
        (INFLATOR, "end-b:coupling-leaks", Ends::CouplingAndTest),
        (INFLATOR, "end-b:coupling-sticks", Ends::CouplingAndTest),
        (LP, "run:cut:cover", Ends::FullInspection),
    ] {
        assert_eq!(of(kind, seen), Some(ends), "{seen}");
    }
}

/// A full inspection's form with what is on record, what is found, what is said
/// to be gone, and why.
fn answered(
    kind: InspectionKind,
    known: &[&str],
    found: &[&str],
    (gone, why): (&[&str], &str),
) -> Result<Look, FindingError> {
    let braid = hose(BRAID.0, BRAID.1, false);
    let seen = |text: &&str| text.parse::<Observation>().unwrap_or_else(|e| unreachable!("{e}"));
    let on = chrono::NaiveDate::MIN;
    let known = known.iter().map(|text| Known { seen: seen(text), on, words: "words" });
    let mut form = Form::new(kind, &braid).with_known(known.collect());
    form.clear_rest();
    for text in found {
        form.found(seen(text))?;
    }
    gone.iter().filter_map(|text| text.parse().ok()).for_each(|damage| form.gone(damage));
    if let Ok(why) = crate::hose::Prose::new("a reason", why) {
        form.why(why);
    }
    form.finish()
}

#[test]
fn damage_on_record_wants_an_answer() {
    let full = InspectionKind::Full;
    let cut: &[&str] = &["run:cut:cover"];
    let none: (&[&str], &str) = (&[], "");
    let refused = |known: &[&str], found: &[&str], gone: (&[&str], &str)| {
        answered(full, known, found, gone).err().map(|e| e.to_string()).unwrap_or_default()
    };
    let said = refused(cut, &[], none);
    assert!(said.contains("run:cut:cover (words, seen on"), "{said}");
    assert!(refused(cut, &["end-a:cut:cover"], none).contains("run:cut:cover"));
    for (known, found, gone) in [
        (cut, &["run:cut:cover"][..], none),
        (cut, &["run:cut:deep"], none),
        (cut, &[], (&["run:cut"][..], "it was tape")),
        (&["run:strands:2"], &["run:strands:3"], none),
        (&["run:strands:2"], &["run:strands:0"], (&["run:strands"], "wetted: fluff")),
        (&["end-a:bubbles"], &["end-a:bubbles:joint"], none),
        (&["end-a:bubbles"], &["end-a:bubbles:sleeve"], none),
    ] {
        assert!(answered(full, known, found, gone).is_ok(), "{known:?}: {found:?} {gone:?}");
    }
    for (known, found, gone, why) in [
        (cut, &[][..], (&["run:cut"][..], ""), "needs a reason"),
        (&[], &[], (&[], "it was tape"), "needs a reason"),
        (cut, &["run:cut:cover"], (&["run:cut"], "tape"), "choose one"),
        (&[], &[], (&["run:cut"], "tape"), "no run:cut is on record that could be gone"),
        (&["run:strands:2"], &["run:strands:0"], none, "run:strands:2"),
        (&["end-a:bubbles"], &[], none, "end-a:bubbles (seen on"),
        (&[], &["end-b:bubbles"], none, "bubbles at end-b: a full"),
        (&[], &["end-b:bubbles:steady"], none, "under the crimped sleeve"),
    ] {
        let said = refused(known, found, gone);
        assert!(said.contains(why), "{known:?}: {found:?} {gone:?}: {said}");
    }
    // Another kind of inspection asks nothing, and ends nothing.
    assert!(answered(InspectionKind::Quick, cut, &["end-a:bubbles"], none).is_ok());
    let quick = answered(InspectionKind::Quick, cut, &[], (&["run:cut"], "tape"));
    assert_eq!(quick, Err(FindingError::NotFull));
}

/// A full inspection answers for damage on record; others, which may not ask about
/// it, say nothing of it.
#[test]
fn a_full_inspection_alone_says_what_is_gone() {
    let cut = || "run:cut".parse::<Damage>().into_iter().collect::<Vec<_>>();
    let rows = [
        (InspectionKind::Full, (&["run:cut"][..], "it was tape"), Some(cut())),
        (InspectionKind::Quick, (&[], ""), None),
    ];
    for (kind, said, gone) in rows {
        let look = answered(kind, &["run:cut:cover"], &[], said);
        assert_eq!(look.map(|look| look.gone), Ok(gone), "{kind}");
    }
    let nothing = answered(InspectionKind::Full, &[], &["run:scuff"], (&[], ""));
    assert_eq!(nothing.map(|look| look.gone), Ok(Some(vec![])));
}

/// The bytes of other kinds of inspection, and of full ones of earlier programs,
/// stay as they were.
#[test]
fn what_a_full_inspection_says_of_damage_changes_nothing_else() {
    let written = |look: &Look| serde_json::to_string(look).unwrap_or_default();
    let quick = Look::of(InspectionKind::Quick, Vec::new());
    assert_eq!(written(&quick), r#"{"kind":"quick"}"#);
    let full = Look::of(InspectionKind::Full, Vec::new());
    assert_eq!(written(&full), r#"{"kind":"full","gone":[]}"#);
    let before: Look = serde_json::from_str(r#"{"kind":"full"}"#).unwrap_or(quick);
    assert_eq!((before.gone.as_ref(), written(&before).as_str()), (None, r#"{"kind":"full"}"#));
    let cut = "run:cut".parse::<Damage>();
    assert!(cut.is_ok_and(|cut| before.answers_for(cut) && !full.answers_for(cut)));
    let test = LeakTest::new(true, None);
    assert_eq!(serde_json::to_string(&test).ok().as_deref(), Some(r#"{"passed":true}"#));
    let test = test.done(Some(TestMethod::SoapyWater));
    assert_eq!(test.in_words(), "passed, with soapy water");
}

#[test]
fn a_full_inspection_takes_every_checkpoint() {
    let sleeved = hose(LP.0, LP.1, true);
    let mut form = Form::new(InspectionKind::Full, &sleeved);
    assert_eq!(form.open().len(), 6);
    let said = form.clone().finish().map_err(|e| e.to_string());
    let said = said.err().unwrap_or_default();
    assert_eq!(
        said,
        "a full inspection takes every checkpoint; still open: under the protectors, the whole \
         length, the first-stage end, the far end, the O-ring at the first stage, the O-rings at \
         the far end"
    );
    for checkpoint in Checkpoint::ALL {
        assert!(!said.contains(&format!(" {checkpoint},")), "{checkpoint} is a code");
    }
    for checkpoint in Checkpoint::of(&sleeved).into_iter().skip(1) {
        form.clear(checkpoint);
    }
    let said = form.clone().finish().map_err(|e| e.to_string());
    assert_eq!(
        said,
        Err("a full inspection takes every checkpoint; still open: under the protectors".to_owned())
    );
    form.clear(Checkpoint::Protector);
    assert!(form.finish().is_ok());
    assert_eq!(Checkpoint::of(&hose(LP.0, LP.1, false)).len(), 5);
}

#[test]
fn a_leak_test_needs_a_result_that_its_findings_bear_out() {
    let hp = hose(HP.0, HP.1, false);
    let form = |kind, passed: Option<bool>, seen: &str| {
        let mut form = Form::new(kind, &hp);
        form.clear_rest();
        if let Some(passed) = passed {
            form.tested(LeakTest::new(passed, None));
        }
        if let Ok(seen) = seen.parse() {
            assert_eq!(form.found(seen), Ok(()));
        }
        form.finish().is_ok()
    };
    assert!(!form(InspectionKind::LeakTest, None, ""));
    assert!(!form(InspectionKind::Full, Some(true), ""));
    assert!(!form(InspectionKind::LeakTest, Some(true), "end-a:bubbles"));
    assert!(form(InspectionKind::LeakTest, Some(false), "end-a:bubbles"));
    assert!(form(InspectionKind::LeakTest, Some(true), "run:bubbles:occasional"));
    assert!(form(InspectionKind::LeakTest, Some(true), ""));
}

#[test]
fn one_finding_is_given_once_a_place() {
    let lp = hose(LP.0, LP.1, false);
    let mut form = Form::new(InspectionKind::Quick, &lp);
    let found: Vec<bool> = ["run:cut:cover", "run:cut:deep", "run:scuff"]
        .iter()
        .filter_map(|seen| seen.parse().ok())
        .map(|seen| form.found(seen).is_ok())
        .collect();
    assert_eq!(found, [true, false, true]);
}

proptest::proptest! {
    #[test]
    fn parsing_never_panics_and_prints_what_it_read(text in "[a-z:0-9-]{0,30}") {
        if let Ok(seen) = text.parse::<Observation>() {
            proptest::prop_assert_eq!(seen.to_string().parse::<Observation>(), Ok(seen));
        }
    }
}
