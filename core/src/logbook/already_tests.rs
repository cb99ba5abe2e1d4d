use super::super::Logbook;
use super::super::sheet_report::{SheetReport, Taking};
use crate::hose::{Label, Prose};
use crate::journal::Moment;
use crate::spreadsheet::read_sheet;
use chrono::NaiveDate;
use rand_chacha::rand_core::SeedableRng;

type Tried = Result<(), Box<dyn std::error::Error>>;

fn moment() -> Moment {
    let today = NaiveDate::from_ymd_opt(2026, 6, 15).unwrap_or_default();
    let time = today.and_hms_opt(9, 0, 0).unwrap_or_default().and_utc();
    let by = Label::new("a name", "bench").unwrap_or_else(|e| unreachable!("{e}"));
    Moment { today, time, by }
}

fn logbook() -> Result<(Logbook, tempfile::TempDir), Box<dyn std::error::Error>> {
    let folder = tempfile::tempdir()?;
    let random = Box::new(rand_chacha::ChaCha20Rng::seed_from_u64(11));
    let path = folder.path().join("fleet.hosewright");
    let logbook = Logbook::open(&path, random, crate::story::keys(folder.path()))?;
    Ok((logbook, folder))
}

fn import(logbook: &mut Logbook, text: &str) -> Result<SheetReport, Box<dyn std::error::Error>> {
    let sheet = read_sheet(text.as_bytes(), moment().today)?;
    Ok(logbook.import_sheet(&sheet, Taking { partial: true, make_sets: None }, &moment())?)
}

fn lines(rows: &[super::super::sheet_report::Taken]) -> Vec<usize> {
    rows.iter().map(|row| row.line).collect()
}

const LIST: &str = "No.,Type,Length,Made,Qty,Note\nLP-1,octo,75 cm,2024-03,,left\n\
                    ,spg,80 cm,2024,3,\n0123456789012345678901234,bcd,56 cm,,,\n,bcd,56 cm,,,\n";

#[test]
fn the_same_list_again_is_already_here_row_by_row() -> Tried {
    let (mut logbook, _folder) = logbook()?;
    let first = import(&mut logbook, LIST)?;
    assert_eq!((first.taken.len(), first.already.len()), (6, 0));
    let again = import(&mut logbook, LIST)?;
    assert_eq!((lines(&again.taken), lines(&again.already)), (vec![], vec![2, 3, 3, 3, 4, 5]));
    assert!(again.whole());
    assert_eq!(
        again.done_in_words(),
        "0 registered, 0 of them fitted; 6 already here, 0 refused, 0 repeated"
    );
    // Each hose stands for one row, so what is more than there are is new.
    let more = LIST.replace(",2024,3,", ",2024,5,");
    let more = import(&mut logbook, &more)?;
    assert_eq!((lines(&more.taken), more.already.len()), (vec![3, 3], 6));
    Ok(())
}

/// A row that says less, or what was so when the hose was registered, is the same hose;
/// one that says something else of it is refused, or another hose if it has no number.
#[test]
fn what_a_row_says_of_a_hose_decides() -> Tried {
    for (row, already, taken, refused) in [
        ("LP-1,octo,75 cm,2024-03,,left", 1, 0, 0),
        ("lp 1,octo,75 cm,,,", 1, 0, 0),
        ("LP-1,octo,75 cm,2024-03,,another note", 1, 0, 0),
        ("LP-1,octo,75 cm,2023,,", 0, 0, 1),
        ("LP-1,octo,80 cm,,,", 0, 0, 1),
        ("LP-2,octo,75 cm,2024-03,,left", 0, 1, 0),
        (",spg,80 cm,2024,,", 1, 0, 0),
        (",spg,80 cm,2024,,right", 0, 1, 0),
        (",spg,80 cm,,,", 0, 1, 0),
        (",octo,75 cm,2024-03,,left", 0, 1, 0),
    ] {
        let (mut logbook, _folder) = logbook()?;
        import(&mut logbook, LIST)?;
        let again = import(&mut logbook, &format!("No.,Type,Length,Made,Qty,Note\n{row}\n"))?;
        let said = (again.already.len(), again.taken.len(), again.refused.len());
        assert_eq!(said, (already, taken, refused), "{row}: {:?}", again.refused);
    }
    Ok(())
}

#[test]
fn what_happened_since_makes_no_other_hose() -> Tried {
    let (mut logbook, _folder) = logbook()?;
    let first = import(&mut logbook, LIST)?;
    let why = Prose::new("a reason", "read off the hose")?;
    for taken in &first.taken {
        let mut origin = logbook.record(taken.code)?.origin;
        origin.made = Some("2023-05".parse()?);
        let hose = logbook.specification(taken.code)?;
        logbook.describe(taken.code, (hose, origin), Some(why.clone()), &moment())?;
        logbook.retag(taken.code, None, None, &moment())?;
        logbook.retire(taken.code, why.clone(), None, &moment())?;
    }
    let again = import(&mut logbook, LIST)?;
    assert_eq!((again.taken.len(), again.already.len()), (0, 6), "{:?}", again.refused);
    Ok(())
}
