use chrono::NaiveDate;

use super::super::Brought;
use super::*;
use crate::event::PortName;
use crate::hose::{Label, Pressure};
use crate::policy::Use;
use crate::spreadsheet::read_sheet;
use rand_chacha::rand_core::SeedableRng;
use std::collections::BTreeMap;

fn label(text: &str) -> Label {
    Label::new("a text", text).unwrap_or_else(|e| unreachable!("{e}"))
}

fn moment() -> Moment {
    let today = NaiveDate::from_ymd_opt(2026, 6, 15).unwrap_or_default();
    let time = today.and_hms_opt(9, 0, 0).unwrap_or_default().and_utc();
    Moment { today, time, by: label("bench") }
}

struct Desk {
    logbook: Logbook,
    _folder: tempfile::TempDir,
}

fn desk() -> Desk {
    let folder = tempfile::tempdir().unwrap_or_else(|e| unreachable!("{e}"));
    let random = rand_chacha::ChaCha20Rng::seed_from_u64(7);
    let logbook = Logbook::open(
        &folder.path().join("fleet.hosewright"),
        Box::new(random),
        crate::story::keys(folder.path()),
    );
    let mut logbook = logbook.unwrap_or_else(|e| unreachable!("{e}"));
    let ports: Vec<_> = ["HP:7/16-20=1", "LP:3/8-24=2"].iter().flat_map(|p| p.parse()).collect();
    let made = logbook.assemble(label("R1"), Use::Rental, &ports, None, &moment());
    assert!(made.is_ok());
    Desk { logbook, _folder: folder }
}

fn import(desk: &mut Desk, text: &str, partial: bool) -> SheetReport {
    let sheet = read_sheet(text.as_bytes(), moment().today);
    let sheet = sheet.unwrap_or_else(|e| unreachable!("{e}"));
    let report = desk.logbook.import_sheet(&sheet, Taking { partial, make_sets: None }, &moment());
    report.unwrap_or_else(|e| unreachable!("{e}"))
}

#[test]
fn a_plan_says_what_an_import_does_and_writes_nothing() {
    let text = "Type,Length,Set,Port\nocto,22in,R1,LP1\nspg,80 cm,R1,LP9\nspg,80,,\n";
    let mut desk = desk();
    let sheet = read_sheet(text.as_bytes(), moment().today);
    let sheet = sheet.unwrap_or_else(|e| unreachable!("{e}"));
    let before = desk.logbook.state().ok();
    let planned = desk.logbook.plan_sheet(&sheet, None, &moment());
    let planned = planned.unwrap_or_else(|e| unreachable!("{e}"));
    assert_eq!(desk.logbook.state().ok(), before);
    assert_eq!(
        planned.planned_in_words(),
        "2 to register, 1 of them fitted; 1 refused, 0 repeated"
    );
    let done = import(&mut desk, text, true);
    let lines = |report: &SheetReport| report.taken.iter().map(|t| t.line).collect::<Vec<_>>();
    assert_eq!(lines(&done), lines(&planned));
    assert_eq!((done.unplaced, done.refused), (planned.unplaced, planned.refused));
}

#[test]
fn a_sheet_goes_in_whole_or_not_at_all() {
    let text = "Type,Length\nspg,80 cm\nspg,80\nocto,1 m\n";
    let mut desk = desk();
    let whole = import(&mut desk, text, false);
    assert_eq!((whole.taken.len(), whole.refused.len()), (0, 1));
    assert_eq!(desk.logbook.hoses().map(|h| h.len()).ok(), Some(0));
    let partial = import(&mut desk, text, true);
    let lines: Vec<_> = partial.taken.iter().map(|taken| taken.line).collect();
    assert_eq!((lines, partial.refused.len()), (vec![2, 4], 1));
    assert_eq!(desk.logbook.hoses().map(|h| h.len()).ok(), Some(2));
}

#[test]
fn a_number_of_the_shops_own_is_typed_from_then_on() {
    let mut desk = desk();
    let text = "No.,Type,Length\nH-12,spg,80 cm\nH-13,octo,1 m\n";
    let report = import(&mut desk, text, false);
    let found = desk.logbook.find("H-13").map(|found| found.hose).ok();
    assert_eq!(found, report.taken.get(1).map(|taken| taken.code));
    // Another hose of that number is refused, by line.
    let again = import(&mut desk, "No.,Type,Length\nH-12,octo,1 m\nH-14,bcd,56 cm\n", false);
    let refused: Vec<_> = again.refused.iter().map(|refused| refused.line).collect();
    assert_eq!((again.taken.len(), refused), (0, vec![2]));
    assert_eq!(desk.logbook.hoses().map(|h| h.len()).ok(), Some(2));
}

/// A row's place is taken if the set is on record and its port takes the
/// hose; the hose is registered anyway if not, and the reason is told.
#[test]
fn hoses_are_put_where_the_record_allows() {
    let mut desk = desk();
    let text = "Type,Length,Set,Port\nspg,80 cm,R1,HP1\nocto,1 m,R1,LP1\nbcd,56 cm,R1,LP1\n\
                bcd,57 cm,R9,LP1\nbcd,58 cm,R1,HP1\nbcd,59 cm,R1,\nbcd,60 cm,Stock,\n";
    let report = import(&mut desk, text, false);
    let unplaced: Vec<_> = report.unplaced.iter().map(|left| left.line).collect();
    assert_eq!((report.taken.len(), report.placed, unplaced), (7, 2, vec![4, 5, 6, 7]));
    let set = desk.logbook.set(&label("R1")).unwrap_or_else(|e| unreachable!("{e}"));
    let (gauge, octopus) = (PortName::new(Pressure::High, 1), PortName::new(Pressure::Low, 1));
    let code = |at: usize| report.taken.get(at).map(|taken| taken.code);
    let expected: BTreeMap<_, _> = code(0)
        .zip(code(1))
        .into_iter()
        .flat_map(|(first, second)| [(gauge, first), (octopus, second)])
        .collect();
    assert_eq!(set.hoses, expected);
}

#[test]
fn a_tag_that_is_on_record_is_refused_by_line() {
    let mut desk = desk();
    let first = import(&mut desk, "Type,Length\nspg,80 cm\n", false);
    let code = first.taken.first().map(|taken| taken.code.to_string()).unwrap_or_default();
    let text = format!("Type,Length,Tag\nocto,1 m,\nspg,85 cm,{code}\n");
    let report = import(&mut desk, &text, true);
    assert_eq!(report.refused.iter().map(|r| r.line).collect::<Vec<_>>(), [3]);
    assert_eq!(report.taken.iter().map(|taken| taken.line).collect::<Vec<_>>(), [2]);
}

/// A list that knows what happened before: every hose that it knows to be in its port, fully
/// inspected and leak-tested is ready, and every answer says that a list says so.
#[test]
fn what_a_list_says_happened_before_is_from_the_list() {
    let text = "Type,Length,Made,Set,Port,Last full inspection,Full inspection by,\
                Last leak test,Leak test pressure,Dives\n\
                octo,1 m,2025-03,R1,LP1,2026-05-02,A. Rower,2026-05-03,200,40\n\
                bcd,56 cm,2025-03,R1,LP2,2026-05,,2026-05-03,200 bar,\n\
                spg,80 cm,2025-03,R1,HP1,,,2026-05-03,200 bar,\n\
                octo,80 cm,2025-03,,,2026-05-02,,2026-05-03,200 bar,12\n\
                octo,75 cm,2025-03,,,,B. Rower,2026-05-03,,\n";
    let mut desk = desk();
    let report = import(&mut desk, text, false);
    assert_eq!(report.brought, Brought { full: 3, leak_tests: 3, dives: 2 });
    let told: Vec<_> = report.assumed.iter().map(|a| (a.lines.clone(), a.words.clone())).collect();
    let says = |words: &str| told.iter().find(|(_, said)| said.contains(words)).map(|(at, _)| at);
    assert_eq!(says("its first day was taken"), Some(&vec![3]), "{told:?}");
    assert_eq!(says("for hoses in stock"), Some(&vec![5]), "{told:?}");
    assert_eq!(says("was left out, and"), Some(&vec![6]), "{told:?}");
    let code = |at: usize| report.taken.get(at).map(|taken| taken.code);
    let answers: Vec<_> = (0..5)
        .filter_map(|at| desk.logbook.answer(&code(at)?.to_string(), &moment()).ok())
        .map(|answer| {
            let reasons = answer.reasons.iter().map(|reason| reason.code.clone());
            (answer.verdict.to_string(), reasons.collect::<Vec<_>>().join(" "), answer)
        })
        .collect();
    let verdicts: Vec<_> =
        answers.iter().map(|(verdict, codes, _)| (verdict.as_str(), codes.as_str())).collect();
    assert_eq!(
        verdicts,
        [
            ("ready", ""),
            ("ready", ""),
            ("hold", "inspection-never"),
            ("ready", ""),
            ("hold", "inspection-never"),
        ]
    );
    let Some((_, _, first)) = answers.first() else { unreachable!("there are answers") };
    assert_eq!(first.dives, Some(40));
    let looks: Vec<String> =
        first.inspections.iter().map(crate::answer::lines::last_look).collect();
    assert_eq!(
        looks,
        [
            "full on 2026-05-02 by A. Rower, from the list of 2026-06-15: findings not listed",
            "leak test on 2026-05-03 from the list of 2026-06-15: passed at 200 bar",
        ]
    );
    assert_eq!(
        crate::answer::lines::looked(first),
        "3 May, from the list of 2026-06-15: leak test passed at 200 bar"
    );
    let history = code(0).and_then(|code| desk.logbook.history(code).ok()).unwrap_or_default();
    let said: Vec<String> = history.into_iter().map(|line| line.words).collect();
    for words in [
        "full inspection: findings not listed; by A. Rower, from the list of 2026-06-15",
        "leak test: passed at 200 bar; from the list of 2026-06-15",
        "40 dives, from the list of 2026-06-15",
    ] {
        assert!(said.iter().any(|line| line == words), "{words}: {said:?}");
    }
}

/// A list is not believed more than a form: what could not be entered by hand is refused.
#[test]
fn what_cannot_have_happened_is_refused_by_line() {
    let heads =
        "Type,Length,Made,Last full inspection,Last leak test,Leak test pressure (bar),Dives";
    for (row, why) in [
        ("spg,80 cm,2024,2026-06-16,,,", "last inspected fully 2026-06-16 is after today"),
        ("spg,80 cm,2024,2023-12-31,,,", "last inspected fully 2023-12-31"),
        ("spg,80 cm,2024,,2026-06-16,200,", "last leak-tested 2026-06-16 is after today"),
        ("spg,80 cm,2024,,2026-06-01,100,", "too little for a leak test"),
        ("spg,80 cm,2024,,2026-06-01,much,", "Leak test pressure (bar)"),
        ("spg,80 cm,2024,,,,many", "“many” is not a number of dives"),
        ("spg,80 cm,2024,lately,,,", "Last full inspection"),
    ] {
        let mut desk = desk();
        let report = import(&mut desk, &format!("{heads}\n{row}\n"), true);
        let said: Vec<_> = report.refused.iter().map(|r| r.reason.as_str()).collect();
        assert!(matches!(said.as_slice(), [said] if said.contains(why)), "{row}: {said:?}");
        assert_eq!(report.brought, Brought::default(), "{row}");
    }
}

/// A hose that was in service before it came on record keeps that day: the first fitting
/// doesn't make it new.
#[test]
fn the_day_since_when_a_hose_is_in_service_is_kept() {
    let text = "Type,Length,Made,In service since,Set,Port\n\
                octo,1 m,2015-03,2019-05-20,R1,LP1\nocto,1 m,2015-03,,R1,LP2\n";
    let mut desk = desk();
    let report = import(&mut desk, text, false);
    let since: Vec<_> = report
        .taken
        .iter()
        .filter_map(|taken| desk.logbook.record(taken.code).ok()?.in_service_since())
        .map(|day| day.to_string())
        .collect();
    assert_eq!(since, ["2019-05-20", "2026-06-15"]);
    let over =
        report.taken.first().and_then(|t| desk.logbook.answer(&t.code.to_string(), &moment()).ok());
    assert!(over.is_some_and(|answer| answer.reasons.iter().any(|r| r.code == "age-over")));
}
