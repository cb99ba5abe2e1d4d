//! Two records that meet by sight.

use std::collections::BTreeSet;
use std::path::Path;

use super::super::{Logbook, LogbookError};
use super::tests::{ASKED, entries, good, moment, open, register};
use crate::journal::{Entry, Film, FilmError, FilmSize, Seen, Viewer};
use crate::story::day;
use crate::tag::Level;

fn book(folder: &Path, name: &str, seed: u64, hoses: std::ops::Range<u64>) -> Logbook {
    let mut book = open(folder, name, &format!("keys-{name}"), seed);
    for number in hoses {
        good(register(&mut book, number, &moment(number, 0)));
    }
    book
}

/// What is seen of a film whose every third frame is lost.
fn seen(film: &Film) -> Viewer {
    let mut viewer = Viewer::new();
    let mut numbers = (1_u64..).filter(|number| number % 3 != 0);
    while numbers.next().map(|number| viewer.see(&film.frame(number))) != Some(Seen::Last) {}
    viewer
}

/// What a record has, however it came in.
fn held(book: &Logbook) -> BTreeSet<(String, u64, String)> {
    let of = |entry: Entry| (entry.device.to_string(), entry.seq, entry.body);
    entries(book).into_iter().map(of).collect()
}

#[test]
fn two_records_agree_once_each_has_seen_the_others_film() {
    let folder = good(tempfile::tempdir());
    let mut one = book(folder.path(), "one", 1, 0..12);
    let mut two = book(folder.path(), "two", 2, 20..24);
    let (size, today) = (FilmSize::default(), day(ASKED));

    let (film, written) = good(one.film(None, size, today, |_| ()));
    assert_eq!(written, 12);
    let report = good(two.merge(&good(seen(&film).bundle("the film")), today, |_, _| ()));
    assert_eq!((report.new, report.known, report.refused), (12, 0, 0));

    // One shows what it has in one symbol, and so only the rest is filmed.
    let still = good(one.film_of_holdings(size, today));
    assert_eq!(still.parts(), 1);
    let shown = good(seen(&still).bundle("the symbol"));
    let header = good(two.bundle_header(&shown));
    assert_eq!(header.entries, 12);
    let (film, written) = good(two.film(Some(&header), size, today, |_| ()));
    assert_eq!(written, 4);
    let film = seen(&film);
    let report = good(one.merge(&good(film.bundle("the film")), today, |_, _| ()));
    assert_eq!((report.new, report.known), (4, 0));
    assert!(held(&one) == held(&two) && held(&one).len() == 16);
    // Once more changes nothing, and neither does the symbol that has no entries.
    for again in [good(film.bundle("the film")), shown] {
        let report = good(one.merge(&again, today, |_, _| ()));
        assert_eq!((report.new, report.refused), (0, 0));
    }
}

#[test]
fn half_a_film_is_no_bundle_and_a_film_of_something_else_neither() {
    let folder = good(tempfile::tempdir());
    let mut one = book(folder.path(), "one", 3, 0..40);
    let size = good(FilmSize::new(57, Level::M));
    let (film, _) = good(one.film(None, size, day(ASKED), |_| ()));
    let mut viewer = Viewer::new();
    viewer.see(&film.frame(0));
    let error = viewer.bundle("the film").err();
    assert_eq!(error, Some(FilmError::NotWhole { had: 1, needed: film.parts() }));
    let words = error.map(|error| LogbookError::from(error).to_string()).unwrap_or_default();
    assert!(words.contains(&format!("1 of {} parts", film.parts())), "{words}");

    let before = entries(&one);
    let other = good(Film::new(b"a film, and no bundle", size));
    let bundle = good(seen(&other).bundle("the film"));
    let refused = one.merge(&bundle, day(ASKED), |_, _| ());
    assert!(matches!(refused, Err(LogbookError::Bundle { .. })));
    assert_eq!(entries(&one), before);
}

#[test]
fn a_film_is_a_picture_that_moves_and_is_read_again() {
    let folder = good(tempfile::tempdir());
    let one = book(folder.path(), "one", 5, 0..30);
    let size = good(FilmSize::new(65, Level::L));
    let (film, _) = good(one.film(None, size, day(ASKED), |_| ()));
    assert!(film.parts() > 4);
    let picture = |frames: u32| {
        let (mut bytes, mut told) = (Vec::new(), 0);
        good(film.write_png(frames, 12, &mut bytes, |done| told = done));
        assert_eq!(told, frames);
        bytes
    };
    let whole = picture(film.parts() + 2);
    let mut viewer = Viewer::new();
    good(viewer.see_picture(&whole));
    assert!(viewer.content().is_ok());

    // What is too short is gone on with, as far as it can be read.
    let short = picture(3);
    let mut viewer = Viewer::new();
    good(viewer.see_picture(&short));
    assert_eq!(viewer.viewed().had, 3);
    let cut = whole.get(..whole.len() * 2 / 3).unwrap_or_default();
    assert!(matches!(viewer.see_picture(cut), Err(FilmError::Picture(_))));
    assert!(viewer.viewed().had > 3);
    good(viewer.see_picture(&whole));
    assert!(viewer.content().is_ok());

    // One frame is a picture that stands still, and other pictures have no film.
    let mut viewer = Viewer::new();
    good(viewer.see_picture(&picture(1)));
    assert_eq!(viewer.viewed().had, 1);
    for bytes in [&b""[..], b"\x89PNG\r\n\x1a\n", b"\xFF\xD8\xFF", b"GIF89a"] {
        assert!(matches!(viewer.see_picture(bytes), Err(FilmError::Picture(_))), "{bytes:?}");
    }
}
