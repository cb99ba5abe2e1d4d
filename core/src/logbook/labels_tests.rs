use super::*;
use crate::hose::Label;
use crate::journal::Moment;
use crate::logbook::Taking;
use crate::policy::Use;
use crate::spreadsheet::read_sheet;
use chrono::NaiveDate;
use rand_chacha::rand_core::SeedableRng;

fn label(text: &str) -> Label {
    Label::new("a text", text).unwrap_or_else(|e| unreachable!("{e}"))
}

fn moment() -> Moment {
    let today = NaiveDate::from_ymd_opt(2026, 6, 15).unwrap_or_default();
    let time = today.and_hms_opt(9, 0, 0).unwrap_or_default().and_utc();
    Moment { today, time, by: label("bench") }
}

#[test]
fn tags_come_by_set_and_port_with_what_tells_their_hose() -> Result<(), Box<dyn std::error::Error>>
{
    let folder = tempfile::tempdir()?;
    let random = Box::new(rand_chacha::ChaCha20Rng::seed_from_u64(7));
    let store = folder.path().join("fleet.hosewright");
    let mut logbook = Logbook::open(&store, random, crate::story::keys(folder.path()))?;
    let ports = ["HP:7/16-20=1".parse()?, "LP:3/8-24=2".parse()?];
    for name in ["r2", "R1"] {
        logbook.assemble(label(name), Use::Rental, &ports, None, &moment())?;
    }
    let list = "No.,Type,Length,Set,Port\nLP-9,octo,75 cm,r2,LP2\n,spg,80 cm,,\nLP-8,octo,56 cm,R1,LP1\n\
                B,octo,1 m,,\nA,octo,1 m,,\n";
    let sheet = read_sheet(list.as_bytes(), moment().today)?;
    let report = logbook.import_sheet(&sheet, Taking::default(), &moment())?;
    let taken: Vec<Code> = report.taken.iter().map(|taken| taken.code).collect();

    let labels = logbook.tag_labels(&taken, &logbook.sets()?)?;
    let words: Vec<String> =
        labels.iter().map(|label| label.words().collect::<Vec<_>>().join("|")).collect();
    assert_eq!(
        words,
        [
            "R1|1st stage",
            "LP-8|2nd stage 56 cm|R1 LP1",
            "r2|1st stage",
            "LP-9|2nd stage 75 cm|r2 LP2",
            "gauge 80 cm",
            "A|2nd stage 1 m",
            "B|2nd stage 1 m",
        ]
    );
    let codes: std::collections::BTreeSet<Code> =
        labels.iter().map(|label| label.text.code()).collect();
    assert_eq!(codes.len(), 7);
    assert!(taken.iter().all(|code| codes.contains(code)));
    // Named twice, printed once.
    let twice: Vec<Code> = taken.iter().chain(&taken).copied().collect();
    assert_eq!(logbook.tag_labels(&twice, &[])?.len(), 5);

    // What an import wrote is found again by any of its hoses; another hose is alone.
    for hose in &taken {
        assert_eq!(logbook.registered_together(*hose)?.0, taken);
    }
    let again = read_sheet(b"Type,Length\nocto,50 cm\n", moment().today)?;
    let other = logbook.import_sheet(&again, Taking::default(), &moment())?.taken;
    for taken in &other {
        assert_eq!(logbook.registered_together(taken.code)?.0, [taken.code]);
    }
    assert!(logbook.registered_together("2RWB-XCB4-GDEA-7".parse()?).is_err());
    Ok(())
}
