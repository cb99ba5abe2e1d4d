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
    let report = desk.logbook.import_sheet(&sheet, partial, &moment());
    report.unwrap_or_else(|e| unreachable!("{e}"))
}

#[test]
fn a_plan_says_what_an_import_does_and_writes_nothing() {
    let text = "Type,Length,Set,Port\nocto,22in,R1,LP1\nspg,80 cm,R1,LP9\nspg,80,,\n";
    let mut desk = desk();
    let sheet = read_sheet(text.as_bytes(), moment().today);
    let sheet = sheet.unwrap_or_else(|e| unreachable!("{e}"));
    let before = desk.logbook.state().ok();
    let planned = desk.logbook.plan_sheet(&sheet, &moment());
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
