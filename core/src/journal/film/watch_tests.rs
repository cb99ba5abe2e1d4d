//! Films that are left, taken for others, and gone on with.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use super::{Film, FilmPace, FilmSize, Seen, Watch};

fn film(of: u8, parts: usize) -> Film {
    let content: Vec<u8> = (0..=u8::MAX).cycle().take(parts * 826).map(|at| of ^ at).collect();
    Film::new(&content, FilmSize::default()).unwrap()
}

/// Sees frames until the film is whole.
fn whole(watch: &mut Watch, film: &Film, from: u64) {
    let last = (from..).map(|n| watch.see(&film.frame(n))).find(|seen| *seen == Seen::Last);
    assert_eq!(last, Some(Seen::Last));
}

#[test]
fn a_film_that_is_left_is_gone_on_with_after_another() {
    let (one, other) = (film(1, 10), film(2, 4));
    let mut watch = Watch::default();
    (0..6).for_each(|n| assert_eq!(watch.see(&one.frame(n)), Seen::New));
    // Two frames of another are a screen that passes by; three are the screen that is watched.
    assert_eq!(watch.see(&other.frame(0)), Seen::OtherFilm);
    assert_eq!(watch.see(&other.frame(1)), Seen::OtherFilm);
    assert_eq!(watch.see(&one.frame(6)), Seen::New);
    assert_eq!((watch.viewed().had, watch.left().len()), (7, 0));
    let turned: Vec<Seen> = (0..3).map(|n| watch.see(&other.frame(n))).collect();
    assert_eq!(turned, [Seen::OtherFilm, Seen::OtherFilm, Seen::New]);
    assert_eq!((watch.viewed().had, watch.left()[0].had), (1, 7));
    whole(&mut watch, &other, 0);
    watch.done();
    assert_eq!(watch.viewed().needed, 0);
    // Kept, and gone on with by another watch: three parts are missing.
    let mut later = Watch::new(&watch.kept());
    assert_eq!(later.viewed().needed, 0);
    assert_eq!(later.left()[0].had, 7);
    assert_eq!(later.see(&one.frame(20)), Seen::New);
    assert_eq!((later.viewed().had, later.left().len()), (8, 0));
    whole(&mut later, &one, 21);
    assert!(later.kept().is_empty());
}

#[test]
fn a_film_is_kept_at_each_eighth_and_the_oldest_of_many_goes() {
    let mut watch = Watch::default();
    let long = film(9, 40);
    let kept: Vec<u64> = (0..16)
        .filter(|n| {
            watch.see(&long.frame(*n));
            let keep = watch.is_to_be_kept();
            keep.then(|| watch.kept()).is_some()
        })
        .collect();
    assert_eq!(kept, [4, 9, 14]);
    for of in 0..5 {
        for n in 0..3 {
            watch.see(&film(of, 5).frame(n));
        }
    }
    let had: Vec<u32> = watch.left().iter().map(|half| half.had).collect();
    assert_eq!(had, [1, 1, 1]);
    assert_eq!(Watch::new(&[b"something else".to_vec()]).left(), []);
}

#[test]
fn a_strip_has_the_modules_of_its_symbols() {
    for pace in FilmPace::ALL {
        let content = vec![7; 3_000];
        let film = Film::new(&content, pace.size()).unwrap();
        let strip = film.strip(3, 2).unwrap();
        let symbol = film.symbol(4).unwrap();
        let side = symbol.modules() as usize;
        assert_eq!(usize::from(strip[0]), side);
        let frame = (side * side).div_ceil(8);
        assert_eq!(strip.len(), 1 + 2 * frame);
        for at in 0..side * side {
            let dark = strip[1 + frame + at / 8] & (0x80 >> (at % 8)) != 0;
            let (x, y) = (u32::try_from(at % side).unwrap(), u32::try_from(at / side).unwrap());
            assert_eq!(dark, symbol.is_dark(x, y), "{pace} {x} {y}");
        }
    }
}

#[test]
fn the_calm_pace_stays_below_three_flashes_a_second_and_is_the_same_film() {
    // WCAG 2.2, success criterion 2.3.1: no more than three flashes in any one second.
    assert!(FilmPace::Calm.rate() < 3);
    assert_eq!(FilmPace::Calm.size(), FilmPace::Usual.size());
}
