//! Films seen by a made camera: what two devices need to meet without a network.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::fs;
use std::process::Command;

use hosewright_core::journal::{Film, FilmPace, FilmSize};
use hosewright_tests::desk::{self, Desk, said};
use hosewright_tests::sight::{Sight, watch};

/// As `hosewright film` shows it, near enough to fill most of the picture, with a third lost.
fn near(seed: u64) -> Sight {
    Sight { rate: 15.0, module: 6.0, blur: 0.8, lost: 0.3, seed }
}

fn seen_within(bundle: &[u8], sight: &Sight, seconds: f64) {
    seen_so_within(bundle, FilmSize::default(), sight, seconds);
}

fn seen_so_within(bundle: &[u8], size: FilmSize, sight: &Sight, seconds: f64) {
    let film = Film::new(bundle, size).unwrap();
    let watched = watch(&film, sight, seconds);
    let viewed = watched.viewer.viewed();
    assert_eq!(watched.wrong, 0, "{sight:?}");
    assert_eq!(watched.viewer.content(), Ok(bundle), "{sight:?}: {viewed:?} in {seconds} s");
    // A picture that has parts of two frames is not read, and so not every one is of a film that
    // changes often.
    let seldom = watched.seconds < 1.0 || sight.rate < 5.0;
    assert!(watched.read < watched.taken || seldom, "{} of {}", watched.read, watched.taken);
}

/// A day's entries, as a bundle.
fn day() -> Vec<u8> {
    let desk = Desk::new();
    (0..20).for_each(|_| drop(desk.hose()));
    desk.done("bundle --out film.hwbundle");
    fs::read(desk.path("film.hwbundle")).unwrap()
}

#[test]
fn twenty_entries_are_seen_in_two_seconds() {
    let bundle = day();
    for seed in [7, 8] {
        seen_within(&bundle, &near(seed), 2.0);
    }
}

/// The calm pace changes twice a second, so it takes some seconds for a day; the far one has
/// squares that a camera reads that sees twice as much blur.
#[test]
fn twenty_entries_are_seen_at_the_other_paces_too() {
    let bundle = day();
    for (pace, blur, seconds) in [(FilmPace::Calm, 0.8, 15.0), (FilmPace::Far, 1.6, 6.0)] {
        let sight = Sight { rate: f64::from(pace.rate()), blur, ..near(9) };
        seen_so_within(&bundle, pace.size(), &sight, seconds);
    }
}

/// From as many seeds as `HOSEWRIGHT_FILMS` says.
#[test]
#[ignore = "takes a minute or more for each film"]
fn the_demonstrations_whole_record_is_seen_in_twenty_seconds() {
    let seeds: u64 = std::env::var("HOSEWRIGHT_FILMS").map_or(1, |n| n.parse().unwrap());
    let folder = tempfile::tempdir().unwrap();
    let run = |arguments: &[&str]| {
        let mut command = Command::new(desk::binary());
        command.args(arguments).current_dir(folder.path());
        let done = said(command.env("HOSEWRIGHT_KEYS", folder.path().join("keys")).output());
        assert_eq!(done.code, 0, "{}", done.err);
    };
    run(&["demo", "demo"]);
    run(&["--store", "demo/fleet.hosewright", "bundle", "--out", "demo.hwbundle"]);
    let bundle = fs::read(folder.path().join("demo.hwbundle")).unwrap();
    assert!(bundle.len() > 100_000);
    for seed in 0..seeds {
        seen_within(&bundle, &near(seed), 20.0);
    }
}
