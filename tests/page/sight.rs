//! Films on the counter page: shown in strips, watched frame by frame, taken in, left and gone
//! on with. A browser with a camera is in `tests/browser/sight.test.js`.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use hosewright_core::journal::{Film, FilmPace, FilmSize, Viewer};
use hosewright_core::tag::Symbol;
use hosewright_tests::desk::Desk;
use hosewright_tests::page::{Page, Reply, plain};
use std::fs;

/// Dots a module, and modules of quiet around a square.
const DOTS: usize = 4;
const QUIET: usize = 4;

/// A square as a camera sees it that is held straight.
fn grey(side: usize, dark: impl Fn(usize, usize) -> bool) -> (usize, Vec<u8>) {
    let wide = (side + 2 * QUIET) * DOTS;
    let module = |at: usize| (at / DOTS).checked_sub(QUIET).filter(|at| *at < side);
    let pixel = |at: usize| match (module(at % wide), module(at / wide)) {
        (Some(x), Some(y)) if dark(x, y) => 20,
        _ => 235,
    };
    (wide, (0..wide * wide).map(pixel).collect())
}

fn of_symbol(symbol: &Symbol) -> (usize, Vec<u8>) {
    let at = |n: usize| u32::try_from(n).unwrap();
    grey(symbol.modules() as usize, |x, y| symbol.is_dark(at(x), at(y)))
}

fn sent(page: &Page, token: &str, (wide, grey): &(usize, Vec<u8>)) -> Reply {
    let path = format!("/owner/meet/watch/frame?width={wide}&height={wide}");
    let origin = format!("Origin: http://{}", page.host);
    page.ask("POST", &path, &[&origin, &format!("x-hosewright-token: {token}")], grey)
}

/// What the page says of a frame.
fn seen(page: &Page, token: &str, frame: &(usize, Vec<u8>)) -> serde_json::Value {
    let reply = sent(page, token, frame);
    assert_eq!(reply.status, 200, "{}", plain(&reply.text()));
    serde_json::from_slice(&reply.bytes).unwrap()
}

/// A desk with so many hoses, and the bundle of all of them.
fn desk(hoses: usize) -> (Desk, Vec<u8>) {
    let desk = Desk::new();
    (0..hoses).for_each(|_| drop(desk.hose()));
    desk.done("bundle --out all.hwbundle");
    let bundle = fs::read(desk.path("all.hwbundle")).unwrap();
    (desk, bundle)
}

#[test]
fn a_film_is_shown_in_strips_that_are_its_frames() {
    let (desk, bundle) = desk(8);
    let page = Page::of(&desk, &[]);
    let at = page.done("/owner/meet/show", &[]);
    for pace in FilmPace::ALL {
        let shown = page.shown(&format!("{at}&pace={pace}"));
        assert!(plain(&shown).contains("8 entries") && plain(&shown).contains("The film flickers"));
        assert!(shown.contains(&format!("data-rate=\"{}\"", pace.rate())), "{pace}");
        let film = Film::new(&bundle, pace.size()).unwrap();
        let strip = page.get(&at.replace("film?", "film/strip?"));
        assert_eq!(strip.status, 400, "a strip begins somewhere");
        let path = format!("{}&pace={pace}&from=5", at.replace("film?", "film/strip?"));
        let strip = page.get(&path);
        assert!(strip.bytes == film.strip(5, 60).unwrap(), "{pace}");
    }
    // The same as a picture, for whoever has no scripts.
    let mut viewer = Viewer::new();
    viewer.see_picture(&page.get(&at.replace("film?", "film/film.png?")).bytes).unwrap();
    assert_eq!(viewer.content(), Ok(bundle.as_slice()));
    // The record goes on meanwhile; the film is the one that was begun.
    desk.hose();
    let film = Film::new(&bundle, FilmPace::Usual.size()).unwrap();
    let strip = page.get(&format!("{}&from=0", at.replace("film?", "film/strip?")));
    assert!(strip.bytes == film.strip(0, 60).unwrap());
}

#[test]
fn a_film_of_what_is_here_stands_still_and_the_rest_is_filmed_for_it() {
    let (one, _) = desk(8);
    let (other, _) = desk(2);
    let (page, others) = (Page::of(&one, &[]), Page::of(&other, &[]));
    let at = others.done("/owner/meet/show", &[("holds", "yes")]);
    let shown = others.shown(&at);
    assert!(plain(&shown).contains("Which entries are here"), "{}", plain(&shown));
    assert!(!shown.contains("strip-go") && !shown.contains("The film flickers"), "{shown}");
    let still = others.get(&at.replace("film?", "film/film.png?")).bytes;
    let mut viewer = Viewer::new();
    viewer.see_picture(&still).unwrap();

    // It is watched as any film is: it has nothing, and what the other lacks is shown next.
    let token = page.token();
    let film = Film::new(viewer.content().unwrap(), FilmPace::Usual.size()).unwrap();
    assert_eq!(seen(&page, &token, &of_symbol(&film.symbol(0).unwrap()))["whole"], true);
    let came = page.post("/owner/meet/watch/take", &[]).text();
    assert!(plain(&came).contains("0 entries new"), "{}", plain(&came));
    let since = came.split("name=\"since\" value=\"").nth(1).unwrap().split('"').next().unwrap();
    let at = page.done("/owner/meet/show", &[("since", since)]);
    let rest = page.get(&at.replace("film?", "film/film.png?")).bytes;
    assert!(plain(&page.shown(&at)).contains("8 entries"));

    // A picture of a film comes in where files do.
    let came = others.file("/owner/record/entries", &[], "file", &rest).text();
    assert!(plain(&came).contains("8 entries new"), "{}", plain(&came));
    let came = others.file("/owner/record/entries", &[], "file", &still[..still.len() / 2]);
    assert_eq!(came.status, 400, "{}", plain(&came.text()));
}

#[test]
fn a_film_is_watched_left_and_gone_on_with_after_the_desk_began_again() {
    let (one, bundle) = desk(20);
    let film = Film::new(&bundle, FilmSize::new(65, hosewright_core::tag::Level::L).unwrap());
    let film = film.unwrap();
    let parts = film.parts();
    assert!(parts > 5);
    let frame = |number: u32| of_symbol(&film.symbol(number.into()).unwrap());
    let other = Desk::new();
    let page = Page::of(&other, &[]);
    let token = page.token();
    assert!(!page.shown("/owner/meet/watch").contains("half seen"));
    let blank = (300, vec![128; 300 * 300]);
    assert_eq!(seen(&page, &token, &blank)["read"], false);
    let answers: Vec<_> = (0..3).map(|number| seen(&page, &token, &frame(number))).collect();
    let last = &answers[2];
    assert_eq!(last["far"], format!("3 of {parts} parts seen, {} %.", 300 / parts));
    assert_eq!(last["whole"], false);
    // Nothing is taken in before it is whole.
    assert_eq!(page.post("/owner/meet/watch/take", &[]).status, 400);
    page.done("/owner/meet/watch/stop", &[]);
    drop(page);

    let page = Page::of(&other, &[]);
    let token = page.token();
    let half = format!("A film is half seen: 3 of {parts} parts");
    assert!(plain(&page.shown("/owner/meet/watch")).contains(&half));
    // Another program of ours does not mind what is kept there.
    assert_eq!(other.run("check").code, 0);
    let mut whole = serde_json::Value::Null;
    for number in 3..parts {
        assert_ne!(whole["whole"], true, "{number}");
        whole = seen(&page, &token, &frame(number));
    }
    assert_eq!(whole["whole"], true);
    assert!(page.shown("/owner/meet/watch").contains("Take it in"));
    let came = plain(&page.post("/owner/meet/watch/take", &[]).text());
    assert!(came.contains("20 entries new") && came.contains("Show it what it lacks"), "{came}");
    assert!(!page.shown("/owner/meet/watch").contains("half seen"));
    drop(one);
}

#[test]
fn what_was_half_seen_is_forgotten_when_asked_and_odd_frames_change_nothing() {
    let (_one, bundle) = desk(6);
    let film = Film::new(&bundle, FilmSize::default()).unwrap();
    let other = Desk::new();
    let page = Page::of(&other, &[]);
    let token = page.token();
    seen(&page, &token, &of_symbol(&film.symbol(0).unwrap()));
    page.done("/owner/meet/watch/stop", &[]);
    assert!(page.shown("/owner/meet/watch").contains("half seen"));
    page.done("/owner/meet/watch/forget", &[]);
    assert!(!page.shown("/owner/meet/watch").contains("half seen"));

    let frame = of_symbol(&film.symbol(1).unwrap());
    assert_eq!(sent(&page, "of-elsewhere", &frame).status, 403);
    for (wide, height) in [("0", "0"), ("9999", "9999"), ("a", "4"), ("", "")] {
        let path = format!("/owner/meet/watch/frame?width={wide}&height={height}");
        let origin = format!("Origin: http://{}", page.host);
        let token = format!("x-hosewright-token: {token}");
        assert_eq!(page.ask("POST", &path, &[&origin, &token], &frame.1).status, 400, "{path}");
    }
    let gone = page.get("/owner/meet/film?film=00");
    assert!(gone.status == 400 && plain(&gone.text()).contains("not kept here any more"));
    assert_eq!(page.get("/owner/meet/film?film=00&pace=fast").status, 400);
    assert_eq!(page.post("/owner/meet/show", &[("since", "00")]).status, 400);
    // A film of something else is whole, refused, and can be forgotten.
    let odd = Film::new(b"a film, and no bundle", FilmSize::default()).unwrap();
    let frame = of_symbol(&odd.symbol(0).unwrap());
    assert_eq!(seen(&page, &token, &frame)["whole"], true);
    assert_eq!(page.post("/owner/meet/watch/take", &[]).status, 400);
    page.done("/owner/meet/watch/forget", &[]);
    assert_eq!(page.post("/owner/meet/watch/take", &[]).status, 400);
    assert_eq!(other.export(), "");
}

#[test]
fn a_film_with_a_stranger_in_it_is_shown_before_it_is_taken_in() {
    let (one, bundle) = desk(2);
    let other = Desk::new();
    other.hose();
    other.done("device found");
    let page = Page::of(&other, &[]);
    let token = page.token();
    let film = Film::new(&bundle, FilmSize::default()).unwrap();
    for number in 0..film.parts() {
        seen(&page, &token, &of_symbol(&film.symbol(number.into()).unwrap()));
    }
    let to = page.done("/owner/meet/watch/take", &[]);
    assert!(to.starts_with("/owner/record/entries?file="), "{to}");
    assert!(plain(&page.shown(&to)).contains("Nothing is saved"), "{}", plain(&page.shown(&to)));
    drop(one);
}
