use rand_chacha::rand_core::SeedableRng;

use super::super::Logbook;
use super::super::sheet_report::{SheetReport, Taking};
use crate::hose::Label;
use crate::journal::Moment;
use crate::policy::Use;
use crate::spreadsheet::read_sheet;

type Tried = Result<(), Box<dyn std::error::Error>>;

fn moment() -> Moment {
    let today = chrono::NaiveDate::from_ymd_opt(2026, 6, 15).unwrap_or_default();
    let time = today.and_hms_opt(9, 0, 0).unwrap_or_default().and_utc();
    let by = Label::new("a name", "bench").unwrap_or_else(|e| unreachable!("{e}"));
    Moment { today, time, by }
}

fn imported(
    text: &str,
    make_sets: Option<Use>,
) -> Result<(Logbook, SheetReport, tempfile::TempDir), Box<dyn std::error::Error>> {
    let folder = tempfile::tempdir()?;
    let random = Box::new(rand_chacha::ChaCha20Rng::seed_from_u64(11));
    let path = folder.path().join("fleet.hosewright");
    let mut logbook = Logbook::open(&path, random, crate::story::keys(folder.path()))?;
    let sheet = read_sheet(text.as_bytes(), moment().today)?;
    let planned = logbook.plan_sheet(&sheet, make_sets, &moment())?;
    let report = logbook.import_sheet(&sheet, Taking { partial: true, make_sets }, &moment())?;
    let names = |report: &SheetReport| -> Vec<(String, String)> {
        report.sets.iter().map(|set| (set.name.to_string(), set.ports.clone())).collect()
    };
    let left = |report: &SheetReport| -> Vec<usize> {
        report.unplaced.iter().map(|left| left.line).collect()
    };
    assert_eq!((names(&planned), left(&planned)), (names(&report), left(&report)));
    Ok((logbook, report, folder))
}

const LIST: &str = "Type,Length,First stage,Set,Port,Ticket\n\
    octo,1 m,,R1,LP3,\nspg,80 cm,,R1,HP1,\nbcd,56 cm,1/2,r1,LP2,\nocto,75 cm,,R2,,\n\
    bcd,56 cm,,R2,left,\nspg,80 cm,,R2,,\nocto,90 cm,,K1,,T-9\nocto,1 m,,,,\n";

#[test]
fn sets_that_a_list_names_are_made_with_the_ports_that_their_hoses_need() -> Tried {
    let (logbook, report, _folder) = imported(LIST, Some(Use::Rental))?;
    assert_eq!((report.taken.len(), report.placed, &report.unplaced), (8, 7, &vec![]));
    let sets = logbook.sets()?;
    let shown: Vec<_> = sets
        .iter()
        .map(|set| {
            let ports = set.ports.iter().map(|port| format!("{}:{}", port.name, port.thread));
            let hoses = set.hoses.keys().map(ToString::to_string);
            let (ports, hoses) = (ports.collect::<Vec<_>>(), hoses.collect::<Vec<_>>());
            (set.name.to_string(), set.in_use, ports.join(" "), hoses.join(" "))
        })
        .collect();
    let row = |name: &str, in_use, ports: &str, hoses: &str| {
        (name.to_owned(), in_use, ports.to_owned(), hoses.to_owned())
    };
    assert_eq!(
        shown,
        [
            row("K1", Use::Personal, "LP1:3/8-24", "LP1"),
            row("R1", Use::Rental, "HP1:7/16-20 LP1:3/8-24 LP2:1/2-20 LP3:3/8-24", "HP1 LP2 LP3"),
            row("R2", Use::Rental, "HP1:7/16-20 LP1:3/8-24 LP2:3/8-24", "HP1 LP1 LP2"),
        ]
    );
    for set in sets {
        let made = report.sets.iter().find(|made| made.name == set.name);
        assert_eq!(made.and_then(|made| made.code), set.tag());
    }
    Ok(())
}

#[test]
fn sets_are_offered_and_not_made_unasked() -> Tried {
    let (logbook, report, _folder) = imported(LIST, None)?;
    let offered: Vec<_> = report.sets.iter().map(|set| (set.name.as_str(), set.code)).collect();
    assert_eq!(offered, [("R1", None), ("R2", None), ("K1", None)]);
    assert_eq!((logbook.sets()?.len(), report.placed, report.unplaced.len()), (0, 0, 7));
    Ok(())
}

/// Sets that nobody could make stay unmade, and their hoses go to stock with the reason.
#[test]
fn what_no_first_stage_has_is_not_made() -> Tried {
    for (rows, made, placed) in [
        ("octo,1 m,R1,LP40\n", 0, 0),
        // A hose is not put where its pressure does not belong.
        ("octo,1 m,R1,HP1\n", 0, 0),
        ("octo,1 m,R1,HP1\nspg,80 cm,R1,HP1\n", 1, 1),
        ("octo,1 m,R1,LP1\nocto,75 cm,R1,LP1\n", 1, 1),
        ("octo,1 m,2RWB-XCB4-GDEA-7,LP1\n", 0, 0),
    ] {
        let text = format!("Type,Length,Set,Port\n{rows}");
        let (logbook, report, _folder) = imported(&text, Some(Use::Rental))?;
        assert_eq!((logbook.sets()?.len(), report.placed), (made, placed), "{rows}");
        assert_eq!(report.placed + report.unplaced.len(), report.taken.len(), "{rows}");
    }
    Ok(())
}

/// A set was there when its hoses were tested in it, and is ready with them.
#[test]
fn a_set_of_a_list_is_ready_with_its_hoses() -> Tried {
    let text = "Type,Length,Made,Set,Port,Last full inspection,Last leak test,Leak test pressure\n\
                octo,1 m,2024,R1,LP1,2026-05-02,2026-05-02,200 bar\n\
                spg,80 cm,2024,R1,HP1,2026-05-04,2026-05-04,200 bar\n";
    let (logbook, _, _folder) = imported(text, Some(Use::Rental))?;
    let name = Label::new("a set", "R1")?;
    assert_eq!(
        logbook.set(&name)?.made.map(|made| made.on.to_string()).as_deref(),
        Some("2026-05-02")
    );
    let view = logbook.set_view(&name, &moment())?;
    assert_eq!(view.worst.map(|worst| worst.to_string()).as_deref(), Some("ready"));
    Ok(())
}
