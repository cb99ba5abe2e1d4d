//! Which hose takes a place, on real files.

use rand_chacha::ChaCha20Rng;
use rand_core::SeedableRng;

use crate::logbook::centre::{Centre, LP, TODAY, moment};
use crate::tag::Code;

#[test]
fn a_place_is_taken_by_good_stock_with_the_same_ends() {
    let mut c = Centre::new();
    let old = c.hose(LP, "2020", None);
    c.fit(old, "Heron", "LP1", "2024-01-01");
    let mut stock = |text: &str, seen: bool| {
        let hose = c.hose(text, "2026-01", None);
        if seen {
            c.full(hose, "2026-06-01");
        }
        hose
    };
    let half = stock("second-stage, rubber, 75 cm, 1/2-20, 9/16-18", true);
    let held = stock(LP, false);
    let (retired, dived, elsewhere) = (stock(LP, true), stock(LP, true), stock(LP, true));
    let foreign = stock("second-stage, rubber, 75 cm, 1/2-20, 9/16-18", true);
    c.retire(retired, TODAY);
    c.retire(foreign, TODAY);
    c.dived(dived, 501);
    c.fit(elsewhere, "Egret", "LP1", TODAY);

    let answer = c.replacement(old);
    assert_eq!(answer.fits, []);
    assert!(answer.order.needed);
    let why = |code: Code| answer.not.iter().find(|n| n.code == code).map(|n| n.words.clone());
    assert_eq!(why(half).as_deref(), Some("1/2-20 will not go into a 3/8-24 port"));
    assert!(why(held).is_some_and(|w| w.contains("No full inspection is on record")));
    assert!(why(retired).is_some_and(|w| w.starts_with("Retired on 2026-06-15")));
    // Judged by the limits of the set that it would go into.
    assert!(why(dived).is_some_and(|w| w.contains("501 dives: over its limit of 500")));
    assert_eq!((why(elsewhere), why(old), why(foreign)), (None, None, None));
    assert_eq!(answer.not.len(), 4);

    let good = c.hose(LP, "2026-01", None);
    c.full(good, "2026-06-01");
    assert_eq!(c.replacement(old).fits, [good]);
    // In a personal set there is no limit of dives.
    let mut fits = c.replacement(elsewhere).fits;
    fits.sort_unstable();
    let mut wanted = vec![good, dived];
    wanted.sort_unstable();
    assert_eq!(fits, wanted);
    assert!(
        c.book.replacement(Code::draw(&mut ChaCha20Rng::seed_from_u64(9)), &moment(TODAY)).is_err()
    );
}

/// What is found by the index is what is found by looking at every hose, in the
/// same order.
#[test]
fn the_nearest_are_those_of_the_whole_stock() {
    let mut c = Centre::new();
    let far_ends = [
        "9/16-18",
        "proprietary:Élan",
        "proprietary:élan",
        "proprietary:ELAN",
        "proprietary:Swivel 7",
        "proprietary:SWIVEL 7",
        "proprietary:S_ivel 7",
    ];
    let mut fitted = Vec::new();
    for (number, far) in far_ends.iter().enumerate() {
        for length in ["75 cm", "22 in", "80 cm", "75.05 cm"] {
            for construction in ["rubber", "braided"] {
                let text = format!("second-stage, {construction}, {length}, 3/8-24, {far}");
                let hose = c.hose(&text, "2026-01", None);
                if length != "80 cm" {
                    c.full(hose, "2026-06-01");
                }
            }
        }
        let text = format!("second-stage, rubber, 75 cm, 3/8-24, {far}");
        let hose = c.hose(&text, "2026-01", None);
        if number < 4 {
            c.fit(hose, "Heron", &format!("LP{}", number + 1), "2026-06-01");
        } else {
            c.retire(hose, TODAY);
        }
        fitted.push(hose);
    }
    let half = c.hose("second-stage, rubber, 75 cm, 1/2-20, 9/16-18", "2026-01", None);
    c.full(half, "2026-06-01");
    let now = moment(TODAY);
    for hose in fitted {
        let whole = c.replacement(hose);
        assert!(whole.fits.len() >= 6, "{:?}", whole.fits);
        for most in [1, 3, usize::MAX] {
            let near = c.book.nearest_replacements(hose, most, &now);
            let near = near.unwrap_or_else(|e| unreachable!("{e}"));
            let wanted = whole.fitting.len().min(most);
            assert_eq!(near.fitting, whole.fitting.get(..wanted).unwrap_or_default());
            assert_eq!(near.order, whole.order);
            assert!(near.not.iter().all(|not| whole.not.contains(not)), "{:?}", near.not);
            // Without a limit, all of the same kind that cannot are named too.
            assert!(!near.not.is_empty() || most < usize::MAX);
        }
    }
    assert!(c.book.nearest_replacements(half, 9, &now).is_ok_and(|none| none.order.needed));
}
