use proptest::prelude::*;

use super::*;

fn for_nut(typed: &str) -> Tools {
    Nut::parse(typed).map_or(Tools { fits: vec![], near_misses: vec![] }, |nut| spanner(&nut))
}

fn for_socket(typed: &str) -> Tools {
    let none = Tools { fits: vec![], near_misses: vec![] };
    Socket::parse(typed).map_or(none, |socket| key(&socket))
}

fn fitting(tools: &Tools) -> Vec<&'static str> {
    tools.fits.iter().map(|f| f.size).collect()
}

fn missing(tools: &Tools) -> Vec<(&'static str, Miss)> {
    tools.near_misses.iter().map(|m| (m.size, m.kind)).collect()
}

/// What was measured, what fits, what only seems to.
type Row<'a> = (&'a str, &'a [&'static str], &'a [(&'static str, Miss)]);

use Miss::{DoesNotGo, HardlyGoes, NearlyTheSame, Rounds};

#[test]
fn nuts_and_their_spanners() {
    let table: &[Row] = &[
        ("14mm", &["14 mm"], &[("9/16 in", Rounds)]),
        ("9/16in", &["9/16 in"], &[("14 mm", DoesNotGo)]),
        ("13mm", &["13 mm"], &[("1/2 in", DoesNotGo)]),
        ("1/2in", &["1/2 in"], &[("13 mm", Rounds)]),
        ("16mm", &["16 mm"], &[("5/8 in", HardlyGoes)]),
        ("5/8in", &["5/8 in"], &[("16 mm", NearlyTheSame)]),
        ("19mm", &["19 mm"], &[("3/4 in", NearlyTheSame)]),
        ("3/4in", &["3/4 in"], &[("19 mm", NearlyTheSame)]),
        ("17mm", &["17 mm"], &[("11/16 in", Rounds)]),
        ("11/16in", &["11/16 in"], &[("17 mm", DoesNotGo), ("18 mm", Rounds)]),
        ("7/8in", &["7/8 in"], &[("22 mm", HardlyGoes)]),
        // As a caliper says it: nuts are made at their size or a little under.
        ("13.80 mm", &["14 mm"], &[("9/16 in", Rounds)]),
        ("14.20 mm", &["9/16 in"], &[("14 mm", HardlyGoes)]),
        ("18.85 mm", &["19 mm"], &[("3/4 in", NearlyTheSame)]),
        // Wider than any nut of 5/8 in, and within what a nut of 16 mm may be.
        ("15.9 mm", &["16 mm"], &[("5/8 in", NearlyTheSame)]),
        // Between sizes there is nothing.
        ("15.2 mm", &[], &[("15 mm", HardlyGoes)]),
        ("25.0 mm", &[], &[("1 in", Rounds)]),
    ];
    for (typed, fits, near) in table {
        let tools = for_nut(typed);
        let near: Vec<_> = near.to_vec();
        assert_eq!((fitting(&tools), missing(&tools)), (fits.to_vec(), near), "{typed}");
    }
}

#[test]
fn sockets_and_their_keys() {
    let table: &[Row] = &[
        ("4mm", &["4 mm"], &[("5/32 in", NearlyTheSame)]),
        ("5/32in", &["5/32 in"], &[("4 mm", HardlyGoes)]),
        ("5mm", &["5 mm"], &[("3/16 in", Rounds)]),
        ("3/16in", &["3/16 in"], &[("5 mm", DoesNotGo)]),
        ("8mm", &["8 mm"], &[("5/16 in", NearlyTheSame)]),
        ("1/4in", &["1/4 in"], &[("6 mm", Rounds)]),
        // A socket is a little wider than its key.
        ("4.06 mm", &["4 mm"], &[("5/32 in", Rounds)]),
    ];
    for (typed, fits, near) in table {
        let tools = for_socket(typed);
        assert_eq!((fitting(&tools), missing(&tools)), (fits.to_vec(), near.to_vec()), "{typed}");
    }
}

#[test]
fn what_people_and_programs_read() {
    let tools = for_nut("14mm");
    assert_eq!(
        serde_json::to_value(&tools).unwrap_or_default(),
        serde_json::json!({
            "fits": [{ "size": "14 mm", "play_mm": 0.05 }],
            "near_misses": [{
                "size": "9/16 in",
                "play_mm": 0.384,
                "words": "a 9/16 in spanner goes on with 0.38 mm to 0.56 mm of play and rounds the nut: do not use it",
            }],
        })
    );
    let words = |tools: Tools| tools.near_misses.first().map(|m| m.words.clone());
    assert_eq!(
        words(for_nut("9/16in")).as_deref(),
        Some("a 14 mm spanner does not go on: it lacks 0.02 mm")
    );
    assert_eq!(
        words(for_nut("16mm")).as_deref(),
        Some("a 5/8 in spanner does not go on, or only just, and may lack 20 µm: do not force it")
    );
    assert_eq!(
        words(for_socket("4mm")).as_deref(),
        Some(
            "a 5/32 in key is nearly the same, with 0.03 mm to 0.07 mm of play: prefer the right one"
        )
    );
}

/// Every size takes a nut, or fits a socket, of exactly its own size.
#[test]
fn every_tool_fits_its_own_size() {
    for s in sizes::spanners() {
        let tools = Nut(s.nominal);
        assert_eq!(fitting(&spanner(&tools)), [s.name]);
    }
    for k in sizes::keys() {
        assert_eq!(fitting(&key(&Socket(k.nominal.max(k.thickness.most)))), [k.name]);
    }
}

#[test]
fn senseless_measures_are_refused() {
    for typed in ["0 mm", "-14 mm", "9.4 mm", "27.2 mm", "14", "", "14 kg"] {
        assert!(Nut::parse(typed).is_err(), "{typed}");
    }
    for typed in ["0 mm", "-4 mm", "1.8 mm", "10.4 mm", "4"] {
        assert!(Socket::parse(typed).is_err(), "{typed}");
    }
}

proptest! {
    /// At most one size fits, it goes on, and nothing that fits is a near miss.
    #[test]
    fn one_size_fits_or_none(mm in 9.5..27.1) {
        let tools = spanner(&Nut(Length::new::<millimeter>(mm)));
        prop_assert!(tools.fits.len() <= 1);
        for fit in &tools.fits {
            prop_assert!(fit.play.get::<millimeter>() >= 0.0);
            prop_assert!(tools.near_misses.iter().all(|m| m.size != fit.size));
        }
        let refused = tools.near_misses.iter().all(|m| m.kind != NearlyTheSame);
        prop_assert!(!tools.fits.is_empty() || refused);
    }

    #[test]
    fn no_text_is_too_odd(typed in "\\PC{0,20}") {
        let _ = Nut::parse(&typed);
        let _ = Socket::parse(&typed);
    }
}
