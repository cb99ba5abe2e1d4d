//! A whole set inspected at once.

use super::super::rentals::tests::{TODAY, Wharf, good, moment, wharf};
use super::*;
use crate::inspection::LeastPressure;
use crate::story::label;

/// Every hose of Heron looked over with nothing found, and tested under a pressure.
fn tested_under(wharf: &mut Wharf, pressure: &str) -> Result<Vec<Code>, FormRefused> {
    let (set, now) = (label("Heron"), moment(TODAY));
    let mut filled = Filled::default();
    wharf.scans().iter().for_each(|scan| filled.add(rental::SCANNED, scan));
    let (_, form) = good(wharf.book.set_inspection_form(&set, &filled, &now));
    for field in form.fields().filter(|field| field.name.contains("|clear-")) {
        filled.tick(&field.name, true);
    }
    filled.set("test", "passed");
    filled.set(set_inspection::PRESSURE, pressure);
    wharf.book.submit_set_inspection(&set, &filled, &now)
}

#[test]
fn a_pressure_too_low_for_one_hose_names_it_and_writes_nothing() {
    let least = LeastPressure::default();
    assert!(least.low_bar < least.high_bar);
    let below = |bars: u32| format!("{}.9 bar", bars - 1);
    for (pressure, refused) in [
        (below(least.low_bar), Some("HP1: ")),
        (below(least.high_bar), Some("HP1: ")),
        (format!("{} bar", least.high_bar), None),
    ] {
        let mut wharf = wharf();
        let before = wharf.exported();
        let said = tested_under(&mut wharf, &pressure);
        match (said, refused) {
            (Ok(hoses), None) => assert_eq!(hoses, wharf.heron),
            (Err(FormRefused::Field(why)), Some(named)) => {
                assert_eq!(why.field, set_inspection::PRESSURE);
                assert!(why.words.starts_with(named), "{pressure}: {}", why.words);
                assert!(!why.words.contains("LP1"), "{pressure}: {}", why.words);
                assert_eq!(wharf.exported(), before, "{pressure}");
            }
            (said, _) => unreachable!("{pressure}: {said:?}"),
        }
    }
}
