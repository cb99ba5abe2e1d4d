//! The door as a whole, on real files.

use std::io::Cursor;

use chrono::{NaiveDate, NaiveTime};
use proptest::prelude::*;
use rand_chacha::ChaCha20Rng;
use rand_core::SeedableRng;
use tempfile::TempDir;

use super::{DayError, Logbook, LogbookError, NamingError, PlaceError};
use crate::event::Registration;
use crate::hose::{Construction, End, Origin, Service};
use crate::inspection::{Form, InspectionKind, LeakTest};
use crate::journal::{Moment, StoreError};
use crate::measure::PartialDate;
use crate::policy::Use;
use crate::story::{day, hose, keys, label, port_name};
use crate::tag::Code;

fn moment(today: &str) -> Moment {
    let today: NaiveDate = day(today);
    Moment { today, time: today.and_time(NaiveTime::MIN).and_utc(), by: label("Tern") }
}

struct Bench {
    folder: TempDir,
    book: Logbook,
}

fn open(folder: &TempDir, name: &str, seed: u64) -> Result<Logbook, StoreError> {
    Logbook::open(
        &folder.path().join(name),
        Box::new(ChaCha20Rng::seed_from_u64(seed)),
        keys(folder.path()),
    )
}

fn bench() -> Bench {
    let folder = TempDir::new().unwrap_or_else(|e| unreachable!("{e}"));
    let book = open(&folder, "store", 7).unwrap_or_else(|e| unreachable!("{e}"));
    Bench { folder, book }
}

fn register(book: &mut Logbook, service: Service, on: &str) -> Code {
    let origin = Origin { made: PartialDate::parse(on).ok(), ..Origin::default() };
    let specification = hose(service, Construction::Rubber);
    let new = Registration { specification, origin, tag: None };
    book.register(new, None, &moment(on)).unwrap_or_else(|e| unreachable!("{e}"))
}

fn assemble(book: &mut Logbook, name: &str, on: &str) {
    let ports: Vec<_> = ["HP:7/16-20=1", "LP:3/8-24=3", "LP:1/2-20=1"]
        .iter()
        .map(|text| text.parse().unwrap_or_else(|e| unreachable!("{e}")))
        .collect();
    book.assemble(label(name), Use::Rental, &ports, None, &moment(on))
        .unwrap_or_else(|e| unreachable!("{e}"));
}

fn exported(book: &Logbook) -> Vec<u8> {
    let mut out = Vec::new();
    book.export(&mut out, |_, _| ()).unwrap_or_else(|e| unreachable!("{e}"));
    out
}

fn look(
    book: &Logbook,
    hose: Code,
    kind: InspectionKind,
    seen: &[&str],
) -> crate::inspection::Look {
    let spec = book.specification(hose).unwrap_or_else(|e| unreachable!("{e}"));
    let mut form = Form::new(kind, &spec);
    form.clear_rest();
    for seen in seen {
        let seen = seen.parse().unwrap_or_else(|e| unreachable!("{e}"));
        form.found(seen).unwrap_or_else(|e| unreachable!("{e}"));
    }
    if kind == InspectionKind::LeakTest {
        form.tested(LeakTest::new(true, crate::measure::TestPressure::parse("200 bar").ok()));
    }
    form.finish().unwrap_or_else(|e| unreachable!("{e}"))
}

#[test]
fn ports_take_the_hoses_that_belong_in_them() {
    let mut bench = bench();
    let (lp, hp) = (
        register(&mut bench.book, Service::SecondStage, "2026-01-01"),
        register(&mut bench.book, Service::Gauge, "2026-01-01"),
    );
    assemble(&mut bench.book, "Heron", "2026-01-01");
    assemble(&mut bench.book, "Egret", "2026-01-01");
    let now = moment("2026-01-02");
    let mut fit = |hose, set: &str, port: &str| {
        bench.book.fit(hose, &label(set), port_name(port), None, &now).map_err(|e| e.to_string())
    };
    let said = |result: Result<Code, String>| result.err().unwrap_or_default();
    assert!(said(fit(hp, "Heron", "LP1")).contains("never mix the two"));
    assert!(said(fit(lp, "Heron", "HP1")).contains("never mix the two"));
    assert!(said(fit(lp, "Heron", "LP4")).contains("3/8-24 does not screw into a 1/2-20 port"));
    assert!(said(fit(lp, "Heron", "LP9")).contains("it has HP1, LP1, LP2, LP3, LP4"));
    assert!(said(fit(lp, "Stork", "LP1")).contains("there are Egret, Heron"));
    assert!(fit(lp, "Heron", "LP1").is_ok());
    assert!(said(fit(lp, "Heron", "LP1")).contains("already in set Heron, port LP1"));
    assert!(said(fit(lp, "Egret", "LP1")).contains("remove it from there first"));
    assert!(fit(lp, "Heron", "LP2").is_ok());
    assert!(fit(hp, "Heron", "HP1").is_ok());
    let other = register(&mut bench.book, Service::Inflator, "2026-01-01");
    let taken = bench.book.fit(other, &label("Heron"), port_name("LP2"), None, &now);
    assert!(taken.err().is_some_and(|e| e.to_string().contains("already has")));
    assert!(bench.book.fit(other, &label("Heron"), port_name("LP1"), None, &now).is_ok());
}

#[test]
fn days_that_cannot_be_are_refused_and_change_nothing() {
    let mut bench = bench();
    let hose = register(&mut bench.book, Service::SecondStage, "2026-03-01");
    assemble(&mut bench.book, "Heron", "2026-03-01");
    let before = exported(&bench.book);
    let now = moment("2026-06-15");
    let fit = |book: &mut Logbook, on: &str| {
        book.fit(hose, &label("Heron"), port_name("LP1"), Some(day(on)), &now)
    };
    assert!(matches!(
        fit(&mut bench.book, "2026-02-28"),
        Err(LogbookError::Day(DayError::BeforeMade { .. }))
    ));
    assert!(matches!(
        fit(&mut bench.book, "2026-06-16"),
        Err(LogbookError::Day(DayError::FutureDay { .. }))
    ));
    let look = look(&bench.book, hose, InspectionKind::LeakTest, &[]);
    let refused = bench.book.inspect(hose, look, None, &now);
    assert!(matches!(refused, Err(LogbookError::Place(PlaceError::NotFitted(_)))));
    assert_eq!(exported(&bench.book), before);
    assert!(fit(&mut bench.book, "2026-06-01").is_ok());
    let early = bench.book.remove(hose, Some(day("2026-05-01")), &now);
    assert!(matches!(early, Err(LogbookError::Day(DayError::BeforeLastPlace { .. }))));
}

#[test]
fn a_retired_hose_leaves_its_port_and_stays_out() {
    let mut bench = bench();
    let hose = register(&mut bench.book, Service::SecondStage, "2026-03-01");
    assemble(&mut bench.book, "Heron", "2026-03-01");
    let now = moment("2026-06-15");
    let set = label("Heron");
    assert!(bench.book.fit(hose, &set, port_name("LP1"), None, &now).is_ok());
    assert!(bench.book.retire(hose, label("bulge"), None, &now).is_ok());
    assert!(bench.book.set(&set).is_ok_and(|set| set.hoses.is_empty()));
    let again = bench.book.fit(hose, &set, port_name("LP1"), None, &now);
    assert!(matches!(again, Err(LogbookError::Retired { .. })));
    assert!(bench.book.retire(hose, label("twice"), None, &now).is_err());
}

#[test]
fn a_hose_is_found_by_its_code_its_beginning_or_its_barcode() {
    let mut bench = bench();
    let now = moment("2026-06-15");
    let hose = register(&mut bench.book, Service::SecondStage, "2026-03-01");
    let text = hose.to_string();
    let book = &mut bench.book;
    assert!(book.find(&text.to_lowercase()).is_ok_and(|f| f.hose == hose));
    assert!(book.find(text.get(..6).unwrap_or("")).is_ok_and(|f| f.hose == hose));
    assert!(book.find("4006381333931").is_err());
    assert!(book.bind(hose, label("4006381333931"), &now).is_ok());
    assert!(book.find("4006381333931").is_ok_and(|f| f.hose == hose && f.tag.is_none()));
    let other = register(book, Service::Gauge, "2026-03-01");
    assert!(book.bind(other, label("4006381333931"), &now).is_err());
    let (head, check) = text.split_at(text.len() - 1);
    let slipped = format!("{head}{}", if check == "0" { "1" } else { "0" });
    let said = book.find(&slipped).err().map(|e| e.to_string()).unwrap_or_default();
    assert!(said.contains(&format!("One slip away on record: {text}")), "{said}");
}

#[test]
fn a_new_tag_withdraws_the_old_and_a_tag_is_used_once() {
    let mut bench = bench();
    let now = moment("2026-06-15");
    let hose = register(&mut bench.book, Service::SecondStage, "2026-03-01");
    let blank = bench.book.blank_tags(1).unwrap_or_default();
    let tag = bench.book.retag(hose, blank.first().copied(), None, &now);
    assert_eq!(tag.ok(), blank.first().copied());
    assert!(matches!(
        bench.book.retag(hose, Some(hose), None, &now),
        Err(LogbookError::Naming(NamingError::TagInUse(_)))
    ));
    let old = bench.book.answer(&hose.to_string(), &now);
    assert!(old.is_ok_and(|a| a.reasons.iter().any(|r| r.code == "tag-old")));
    // Written by the old tag, it is of the same hose.
    assert!(
        bench.book.clean(hose, None, &now).is_ok_and(|code| Some(code) == blank.first().copied())
    );
}

#[test]
fn a_phone_without_a_record_answers_from_the_tag_and_never_ready() {
    let mut bench = bench();
    let hose = register(&mut bench.book, Service::SecondStage, "2015-03-01");
    let payload = bench.book.payload(hose).map(|p| p.text()).unwrap_or_default();
    let phone = open(&bench.folder, "phone", 8).unwrap_or_else(|e| unreachable!("{e}"));
    let told = |today: &str| {
        let answer = phone.answer_scan(&payload, &moment(today));
        let answer = answer.unwrap_or_else(|e| unreachable!("{e}"));
        let codes: Vec<String> = answer.reasons.iter().map(|r| r.code.clone()).collect();
        (answer.verdict.word(), codes)
    };
    assert_eq!(told("2016-06-15"), ("hold", vec!["tag-only".to_owned()]));
    let (verdict, codes) = told("2026-06-15");
    assert_eq!(
        (verdict, codes),
        ("hold", vec!["age-over".to_owned(), "tag-only".into(), "stored-long".into()])
    );
    let foreign = phone.answer_scan("4006381333931", &moment("2026-06-15"));
    assert!(matches!(foreign, Err(LogbookError::Naming(NamingError::ForeignText(_)))));
    let later = phone.answer_scan(&payload.replace("HW1:", "HW2:"), &moment("2026-06-15"));
    assert!(matches!(later, Err(LogbookError::Payload(_))));
}

fn story(book: &mut Logbook) -> Vec<Code> {
    let hoses: Vec<Code> = [Service::SecondStage, Service::Gauge, Service::Inflator]
        .into_iter()
        .map(|service| register(book, service, "2025-01-05"))
        .collect();
    assemble(book, "Heron", "2025-01-05");
    let ports = ["LP1", "HP1", "LP2"];
    let on = |step: usize| moment(["2025-01-06", "2025-02-01", "2025-02-02"][step]);
    for step in 0..3 {
        for (hose, port) in hoses.iter().zip(ports) {
            let full = look(book, *hose, InspectionKind::Full, &["run:scuff"]);
            let leak = look(book, *hose, InspectionKind::LeakTest, &[]);
            let quick = look(book, *hose, InspectionKind::Quick, &["seal-a:seal-damaged"]);
            let now = on(step);
            let steps = match step {
                0 => vec![
                    book.fit(*hose, &label("Heron"), port_name(port), None, &now),
                    book.inspect(*hose, full, None, &now),
                    book.inspect(*hose, leak, None, &now),
                ],
                1 => vec![book.inspect(*hose, quick, None, &now)],
                _ => vec![
                    book.reseal(*hose, End::A, None, None, &now),
                    book.inspect(*hose, leak, None, &now),
                ],
            };
            assert!(steps.iter().all(Result::is_ok), "{steps:?}");
        }
    }
    hoses
}

fn answers(book: &Logbook, hoses: &[Code]) -> Vec<String> {
    let answer = |hose: &Code| book.answer(&hose.to_string(), &moment("2025-06-15"));
    hoses.iter().map(|hose| serde_json::to_string(&answer(hose).ok()).unwrap_or_default()).collect()
}

#[test]
fn a_store_is_sound_and_folds_anew_to_the_same() {
    let mut bench = bench();
    let hoses = story(&mut bench.book);
    let before = answers(&bench.book, &hoses);
    assert!(bench.book.check(|_, _| ()).is_ok_and(|report| report.sound() && report.hoses == 3));
    assert!(bench.book.rebuild(|_, _| ()).is_ok());
    assert_eq!(answers(&bench.book, &hoses), before);
}

#[test]
fn check_finds_what_was_changed_behind_its_back() {
    let mut bench = bench();
    let _ = story(&mut bench.book);
    let changed = bench.book.connection.execute(
        "UPDATE entry SET body = replace(body, 'seal-damaged', 'seal-dirty') WHERE body LIKE '%seal-damaged%'",
        [],
    );
    assert_eq!(changed.ok(), Some(3));
    let report = bench.book.check(|_, _| ()).unwrap_or_default();
    assert_eq!(report.problems.iter().filter(|p| p.contains("was changed")).count(), 3);
}

#[test]
fn lines_that_are_no_entries_are_listed_and_nothing_goes_in() {
    let mut bench = bench();
    let _ = story(&mut bench.book);
    let mut text = exported(&bench.book);
    text.extend_from_slice(b"{\"not\": \"an entry\"}\n\nnonsense\n");
    let mut other = open(&bench.folder, "other", 9).unwrap_or_else(|e| unreachable!("{e}"));
    let report = other
        .import_lines(&mut Cursor::new(&text), false, chrono::NaiveDate::default(), |_, _| ())
        .unwrap_or_default();
    assert_eq!((report.merge.new, report.refused.len()), (0, 2));
    assert!(exported(&other).is_empty());
    let report = other
        .import_lines(&mut Cursor::new(&text), true, chrono::NaiveDate::default(), |_, _| ())
        .unwrap_or_default();
    assert_eq!((report.merge.new, report.merge.known), (22, 0));
    let again = other
        .import_lines(&mut Cursor::new(&text), true, chrono::NaiveDate::default(), |_, _| ())
        .unwrap_or_default();
    assert_eq!((again.merge.new, again.merge.known), (0, 22));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(12))]

    /// However the entries arrive, and however often, the answers are the same.
    #[test]
    fn answers_do_not_depend_on_the_order_of_arrival(seed in any::<u64>(), twice in any::<bool>()) {
        let mut bench = bench();
        let hoses = story(&mut bench.book);
        let text = String::from_utf8(exported(&bench.book)).unwrap_or_default();
        let mut lines: Vec<&str> = text.lines().collect();
        let mut state = seed;
        for at in (1..lines.len()).rev() {
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            lines.swap(at, usize::try_from(state >> 33).unwrap_or(0) % (at + 1));
        }
        let mut other = open(&bench.folder, "other", 9).unwrap_or_else(|e| unreachable!("{e}"));
        let half = lines.len() / 2;
        for part in [&lines[..half], &lines[half..], if twice { &lines[..] } else { &[] }] {
            let part = part.join("\n");
            let report = other.import_lines(&mut Cursor::new(part), false, chrono::NaiveDate::default(), |_, _| ());
            prop_assert!(report.is_ok_and(|r| r.refused.is_empty()));
        }
        prop_assert_eq!(answers(&other, &hoses), answers(&bench.book, &hoses));
        prop_assert!(other.check(|_, _| ()).is_ok_and(|report| report.sound()));
    }
}

/// The last inspection is on the chip, and with it what an earlier one
/// found and nothing has ended.
#[test]
fn a_chip_says_the_last_inspection_and_what_is_open() {
    let Bench { mut book, folder: _folder } = bench();
    let hose = register(&mut book, Service::SecondStage, "2024-03-01");
    let chip = |book: &Logbook, today| {
        book.chip(hose, None, &moment(today)).unwrap_or_else(|e| unreachable!("{e}"))
    };
    assert_eq!(chip(&book, "2024-03-02").look, None);
    for (on, kind, seen) in [
        ("2024-04-01", InspectionKind::Full, vec!["run:cut:cover"]),
        ("2024-05-01", InspectionKind::Full, vec!["run:cut:cover", "end-a:salt"]),
        ("2024-05-01", InspectionKind::Quick, vec![]),
        ("2024-06-01", InspectionKind::Quick, vec![]),
    ] {
        let look = look(&book, hose, kind, &seen);
        book.inspect(hose, look, None, &moment(on)).unwrap_or_else(|e| unreachable!("{e}"));
        let chip = chip(&book, on);
        assert_eq!(Some(chip.payload), book.payload(hose).ok());
        let look = chip.look.unwrap_or_else(|| unreachable!("{on}"));
        let kind = if on == "2024-06-01" { "quick" } else { "full" };
        assert_eq!((look.on, look.kind.as_str(), look.passed), (day(on), kind, None));
        let open: Vec<&str> = look.open.iter().map(crate::hose::Label::as_str).collect();
        let salt = on != "2024-04-01";
        assert_eq!(
            open,
            if salt { vec!["run:cut:cover", "end-a:salt"] } else { vec!["run:cut:cover"] }
        );
    }
    // A clock that has gone back does not see what lies ahead of it as done.
    assert_eq!(chip(&book, "2024-04-02").look.map(|look| look.on), Some(day("2024-04-01")));
}
