use proptest::prelude::*;
use uom::si::f64::Length;
use uom::si::length::millimeter;

use super::*;

fn answer(gender: Gender, diameter: &str, pitch: Option<&str>) -> Identification {
    let pitch = pitch.and_then(|p| match p.strip_suffix(" tpi") {
        Some(threads) => Pitch::per_inch(threads.parse().unwrap_or(f64::NAN)).ok(),
        None => Pitch::parse(p).ok(),
    });
    let none = Identification { candidates: Vec::new(), certain: false, words: String::new() };
    Reading::parse(gender, diameter, pitch).map_or(none, |reading| identify(&reading))
}

/// Reading, pitch, the threads that it could be (best first), certain.
type Row<'a> = (Gender, &'a str, Option<&'a str>, &'a [&'a str]);

#[test]
fn readings_and_what_they_could_be() {
    use Gender::{Female, Male};
    let table: &[Row] = &[
        // The four of the trade in the middle of their limits.
        (Male, "9.4mm", None, &["3/8-24"]),
        (Male, "9.4mm", Some("1.06mm"), &["3/8-24"]),
        (Male, "9.4mm", Some("24 tpi"), &["3/8-24"]),
        (Male, "11.0 mm", Some("20 tpi"), &["7/16-20"]),
        (Male, "12.55 mm", None, &["1/2-20"]),
        (Male, "14.15 mm", Some("18 tpi"), &["9/16-18"]),
        (Female, "8.5 mm", Some("24 tpi"), &["3/8-24"]),
        // Jaws with flat faces read a bore too small.
        (Female, "8.28 mm", Some("24 tpi"), &["3/8-24"]),
        (Female, "12.68 mm", Some("18 tpi"), &["9/16-18"]),
        (Female, "9.9 mm", Some("20 tpi"), &["7/16-20"]),
        (Female, "11.45 mm", Some("20 tpi"), &["1/2-20"]),
        (Female, "12.9 mm", Some("18 tpi"), &["9/16-18"]),
        // A male of 9.9 mm is a metric ten, not three eighths.
        (Male, "9.9 mm", None, &["M10x1", "M10x1.25", "M10x1.5"]),
        (Male, "9.9 mm", Some("1 mm"), &["M10x1"]),
        // Look-alikes by diameter, told apart by the pitch.
        (Male, "9.5 mm", None, &["3/8-24", "G 1/8"]),
        (Male, "9.5 mm", Some("24 tpi"), &["3/8-24"]),
        (Male, "9.5 mm", Some("28 tpi"), &["G 1/8"]),
        (Male, "14.0 mm", None, &["M14x1.25", "9/16-18", "M14x1.5"]),
        (Male, "14.0 mm", Some("1.5 mm"), &["M14x1.5"]),
        (Male, "10.9 mm", None, &["7/16-20", "M11x1"]),
        // 20 threads per inch and 1.25 mm: the diameter decides, whichever
        // pitch was read.
        (Male, "12.6 mm", Some("1.25 mm"), &["1/2-20"]),
        (Male, "11.9 mm", Some("20 tpi"), &["M12x1.25"]),
        (Male, "11.9 mm", Some("1.25 mm"), &["M12x1.25"]),
        // The bore of a 9/16-18 nut is the size of a male G 1/4, and is not one.
        (Female, "13.0 mm", Some("18 tpi"), &["9/16-18"]),
        (Female, "13.0 mm", None, &["9/16-18"]),
        (Male, "13.0 mm", None, &["G 1/4"]),
        // Nothing near, by diameter or by pitch.
        (Male, "13.4 mm", None, &[]),
        (Male, "9.4 mm", Some("1.5 mm"), &[]),
        (Female, "30 mm", None, &[]),
    ];
    for (gender, diameter, pitch, expected) in table {
        let answer = answer(*gender, diameter, *pitch);
        let mut possible: Vec<&str> =
            answer.candidates.iter().filter(|c| c.possible).map(|c| c.thread).collect();
        let first = answer.candidates.first().map(|c| c.thread);
        if let Some(best) = expected.first() {
            assert_eq!(first, Some(*best), "{gender:?} {diameter} {pitch:?}");
        }
        let mut expected = expected.to_vec();
        possible.sort_unstable();
        expected.sort_unstable();
        assert_eq!(possible, expected, "{gender:?} {diameter} {pitch:?}");
        assert_eq!(answer.certain, expected.len() == 1, "{gender:?} {diameter} {pitch:?}");
    }
}

#[test]
fn the_misfit_is_the_distance_outside_plus_the_slip_of_ten_threads() {
    let misfit = |answer: &Identification, name: &str| {
        let found = answer.candidates.iter().find(|c| c.thread == name);
        found.map_or(f64::NAN, |c| c.misfit.get::<millimeter>())
    };
    // 9.90 − 9.496 (2A maximum 0.373859 in).
    let plain = answer(Gender::Male, "9.90 mm", None);
    assert!((misfit(&plain, "3/8-24") - (9.9 - 0.373_859 * 25.4)).abs() < 1e-4);
    assert!((misfit(&plain, "G 1/8") - 0.172).abs() < 1e-9);
    assert!(misfit(&plain, "M10x1").abs() < 1e-12);
    // 1.10 mm is 0.10 from 1.0: ten times what is over 0.025.
    let pitched = answer(Gender::Male, "9.90 mm", Some("1.10 mm"));
    assert!((misfit(&pitched, "M10x1") - 0.75).abs() < 1e-9);
}

#[test]
fn what_people_read() {
    let words = |d, p| answer(Gender::Male, d, p).words;
    assert_eq!(
        words("9.5 mm", None),
        "This could be 3/8-24 or G 1/8: the diameter alone does not tell them apart; measure the \
         pitch, best over ten threads, and ask again with it. (Limits from memory, unconfirmed: G 1/8.)"
    );
    assert_eq!(words("9.4 mm", None), "This is 3/8-24: no other thread on the list comes near.");
    assert_eq!(
        words("9.9 mm", Some("1 mm")),
        "This is M10x1: no other thread on the list comes near. It is none of the four threads of \
         the trade: do not start it in a regulator's port or hose."
    );
    assert!(words("13.4 mm", None).starts_with("No thread on the list fits: G 1/4 is nearest"));
}

#[test]
fn what_programs_read() {
    let answer = answer(Gender::Male, "9.9mm", Some("1mm"));
    let json = serde_json::to_value(&answer).unwrap_or_default();
    assert_eq!(json["certain"], true);
    assert_eq!(json["candidates"][0], serde_json::json!({ "thread": "M10x1", "misfit_mm": 0.0 }));
}

#[test]
fn senseless_readings_are_refused() {
    for diameter in ["0 mm", "-9.4 mm", "2.99 mm", "60.1 mm", "9.4", "thick", ""] {
        assert!(Reading::parse(Gender::Male, diameter, None).is_err(), "{diameter}");
    }
    for pitch in ["0 mm", "-1 mm", "0.24 mm", "6.4 mm", "1"] {
        assert!(Pitch::parse(pitch).is_err(), "{pitch}");
    }
    for threads in [0.0, -24.0, 3.9, 100.1, f64::NAN, f64::INFINITY] {
        assert!(Pitch::per_inch(threads).is_err(), "{threads}");
    }
    assert!(Reading::new(Gender::Male, Length::new::<millimeter>(f64::NAN), None).is_err());
    let said = Reading::parse(Gender::Female, "94 mm", None).err().map(|e| e.to_string());
    assert_eq!(
        said.as_deref(),
        Some("94 mm is not a sensible thread diameter: it must be between 3 mm and 60 mm")
    );
}

/// The gaps that decide which readings can be told apart: check values A7,
/// computed from the tables themselves.
#[test]
fn gaps_between_look_alikes() {
    let all = catalogue();
    let male = |name: &str| all.iter().find(|t| t.name == name).map(|t| t.male_major);
    let table = [
        ("3/8-24", "G 1/8", 0.017),
        ("3/8-24", "M10x1", 0.297),
        ("M12x1.25", "1/2-20", 0.489),
        ("1/2-20", "G 1/4", 0.240),
        ("M14x1.5", "9/16-18", 0.063),
    ];
    for (smaller, larger, gap) in table {
        let between = male(smaller).zip(male(larger)).map(|(s, l)| l.least - s.most);
        let found = between.map_or(f64::NAN, |b| b.get::<millimeter>());
        assert!((found - gap).abs() < 1.5e-3, "{smaller} {larger}: {found}");
    }
}

proptest! {
    /// Whatever was typed, the answer is a reading or a refusal.
    #[test]
    fn no_text_is_too_odd(typed in "\\PC{0,20}") {
        let _ = Reading::parse(Gender::Male, &typed, None);
        let _ = Pitch::parse(&typed);
    }

    #[test]
    fn every_thread_is_ranked_and_certainty_means_one(
        diameter in 3.0..60.0,
        pitch in prop::option::of(0.25..6.35),
        male in any::<bool>(),
    ) {
        let pitch = pitch.and_then(|p| Pitch::new(Length::new::<millimeter>(p)).ok());
        let gender = if male { Gender::Male } else { Gender::Female };
        let reading = Reading::new(gender, Length::new::<millimeter>(diameter), pitch);
        let answer = reading.map(|r| identify(&r));
        prop_assert!(answer.is_ok());
        let Ok(answer) = answer else { return Ok(()) };
        prop_assert_eq!(answer.candidates.len(), catalogue().len());
        prop_assert!(answer.candidates.is_sorted_by(|a, b| a.misfit <= b.misfit));
        let possible = answer.candidates.iter().filter(|c| c.possible).count();
        prop_assert_eq!(answer.certain, possible == 1);
    }
}
