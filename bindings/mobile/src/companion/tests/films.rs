//! Films between two phones: what a screen shows, and what a camera before it sees.

use std::sync::Arc;

use super::*;
use crate::{FilmOf, FilmSeen, FilmShown, FilmStrip};

/// Pixels a module, and modules of quiet around a symbol, as a camera sees it.
const PIXELS: u32 = 4;
const QUIET: u32 = 4;

/// A frame of a strip as a grey picture.
fn drawn(strip: &FilmStrip, at: usize) -> (Vec<u8>, u32) {
    let frame = &strip.frames[at];
    let side = (strip.side + 2 * QUIET) * PIXELS;
    let dark = |at: u32| {
        let module = |pixel: u32| (pixel / PIXELS).checked_sub(QUIET).filter(|it| *it < strip.side);
        let (x, y) = (module(at % side)?, module(at / side)?);
        let module = (y * strip.side + x) as usize;
        Some(frame[module / 8] >> (7 - module % 8) & 1 == 1)
    };
    let grey = |at: u32| if dark(at) == Some(true) { 20 } else { 235 };
    ((0..side * side).map(grey).collect(), side)
}

impl Phone {
    fn shows(&self, film: FilmOf) -> Arc<Page> {
        let page = self.page(PageOf::Show { film, calm: false });
        page.go(Touch::Look);
        page
    }

    fn watches(&self) -> Arc<Page> {
        let page = self.page(PageOf::Watch);
        page.go(Touch::Look);
        page
    }

    fn hoses(&self) -> Vec<String> {
        let shown = self.page(PageOf::Hoses).go(Touch::Look).shown.hoses.unwrap();
        let mut codes: Vec<String> = shown.hoses.into_iter().map(|hose| hose.code).collect();
        codes.sort();
        codes
    }

    fn with(hoses: usize) -> Self {
        let phone = Self::new();
        (0..hoses).for_each(|_| drop(phone.hose()));
        phone
    }
}

impl Page {
    fn film(&self) -> FilmShown {
        self.go(Touch::Look).shown.film.unwrap()
    }

    /// Sees the frames of a film from one on, every third lost, until something is touched.
    fn sees(&self, film: &Self, from: u64) -> (FilmSeen, Reply) {
        for number in (from..).filter(|number| number % 3 != 2) {
            let (frame, side) = drawn(&film.strip(number).unwrap(), 0);
            let seen = self.watched(&frame, side, side, side).unwrap();
            if let Some(touch) = seen.touch.clone().filter(|touch| *touch == Touch::FilmSeen) {
                return (seen, self.go(touch));
            }
            if let Some(touch) = seen.touch {
                assert_eq!(self.go(touch).shown.trouble, None);
            }
        }
        unreachable!("a film has no last frame")
    }
}

#[test]
fn two_phones_have_the_same_once_each_has_watched_the_other() {
    let (one, two) = (Phone::with(2), Phone::with(1));
    let held = two.shows(FilmOf::Holdings);
    let shown = held.film();
    assert!(shown.still && shown.caution.is_none() && shown.paces.is_empty());

    // What the other has needs no question: it brings nothing.
    let watch = one.watches();
    let reply = watch.go(Touch::Look);
    assert_eq!(reply.follows, Some(Follows::Camera));
    assert!(reply.shown.watching.unwrap().looks);
    let (seen, reply) = watch.sees(&held, 0);
    assert_eq!((seen.had, seen.needed), (1, 1));
    assert_eq!(reply.shown.question, None);
    assert!(reply.shown.said[0].contains("Show it what it lacks"), "{:?}", reply.shown.said);
    assert!(matches!(reply.follows, Some(Follows::Ticked { well: true, all: false, .. })));
    assert!(!reply.shown.watching.unwrap().looks);

    // Whose the rest is and how much is asked about first.
    let rest = one.shows(reply.shown.lacks.unwrap());
    assert!(rest.film().words.contains("2 entries"), "{}", rest.film().words);
    let other = two.watches();
    let (_, reply) = other.sees(&rest, 0);
    let question = reply.shown.question.unwrap();
    assert!(question.words[0].contains("2 entries"), "{question:?}");
    assert_eq!(two.hoses().len(), 1);
    let reply = other.go(Touch::Yes { text: String::new() });
    assert!(reply.shown.said[0].contains("2 entries new"), "{:?}", reply.shown.said);
    assert_eq!(two.hoses().len(), 3);

    // Then the other way round, with the same camera.
    let back = two.shows(reply.shown.lacks.unwrap());
    assert!(back.film().words.contains("1 entry"), "{}", back.film().words);
    let reply = watch.go(Touch::WatchOn);
    assert_eq!(reply.follows, Some(Follows::Camera));
    assert!(reply.shown.watching.unwrap().looks && reply.shown.said.is_empty());
    watch.sees(&back, 0);
    watch.go(Touch::Yes { text: String::new() });
    assert_eq!(one.hoses(), two.hoses());

    // Once more brings nothing, and says so.
    watch.go(Touch::WatchOn);
    watch.sees(&back, 0);
    let reply = watch.go(Touch::Yes { text: String::new() });
    assert!(reply.shown.said.iter().any(|said| said.contains("nothing that was not here")));
}

#[test]
fn half_a_film_is_gone_on_with_after_the_phone_was_killed() {
    let (one, two) = (Phone::with(12), Phone::new());
    let film = one.shows(FilmOf::Everything);
    let watch = two.watches();
    let strip = film.strip(0).unwrap();
    let mut touches = Vec::new();
    for at in 0..2 {
        let (frame, side) = drawn(&strip, at);
        let seen = watch.watched(&frame, side, side, side).unwrap();
        assert_eq!(seen.aloud, Some(seen.said), "each of so few is more than a tenth");
        touches.push(seen.touch);
    }
    let (again, side) = drawn(&strip, 1);
    let seen = watch.watched(&again, side, side, side).unwrap();
    assert!(seen.needed > 2 && seen.had == 2, "{seen:?}");
    // What it came further by is kept, and asked for once.
    assert_eq!(touches, [Some(Touch::KeepFilm), Some(Touch::KeepFilm)]);
    assert_eq!(seen.touch, None);
    assert_eq!(seen.aloud, None, "a frame that is known says nothing new");
    watch.go(Touch::KeepFilm);
    drop(watch);
    two.record.let_go();

    let watch = two.watches();
    let halves = watch.go(Touch::Look).shown.watching.unwrap().halves;
    assert!(halves[0].contains("2 of"), "{halves:?}");
    let (seen, reply) = watch.sees(&film, 2);
    assert_eq!(seen.had, seen.needed);
    assert!(reply.shown.question.is_some());
    // Not taken in, it is on disk as far as it was kept.
    two.record.let_go();
    assert_eq!(two.watches().go(Touch::Look).shown.watching.unwrap().halves.len(), 1);
    watch.go(Touch::Yes { text: String::new() });
    assert_eq!(two.hoses(), one.hoses());
    assert!(two.watches().go(Touch::Look).shown.watching.unwrap().halves.is_empty());
}

#[test]
fn what_was_half_seen_is_forgotten_if_asked() {
    let (one, two) = (Phone::with(12), Phone::new());
    let film = one.shows(FilmOf::Everything);
    let watch = two.watches();
    let (frame, side) = drawn(&film.strip(0).unwrap(), 0);
    let _ = watch.watched(&frame, side, side, side).unwrap();
    watch.go(Touch::KeepFilm);
    let reply = watch.go(Touch::ForgetFilms);
    assert!(reply.shown.said[0].contains("half seen"), "{:?}", reply.shown.said);
    assert!(reply.shown.watching.unwrap().halves.is_empty());
    assert!(two.watches().go(Touch::Look).shown.watching.unwrap().halves.is_empty());
}

#[test]
fn a_film_warns_of_its_flicker_and_goes_calmly_where_the_phone_asks_so() {
    let phone = Phone::with(12);
    let page = phone.shows(FilmOf::Everything);
    let usual = page.film();
    assert!(usual.caution.unwrap().contains("flickers") && !usual.still);
    let first = page.strip(0).unwrap();
    let calm = page.go(Touch::Pace { pace: "calm".into() }).shown.film.unwrap();
    assert!(calm.rate <= 2 && calm.paces.iter().any(|pace| pace.chosen && pace.pace == "calm"));
    assert_eq!(page.strip(0).unwrap(), first, "frames of one size are of one film");
    page.go(Touch::Pace { pace: "far".into() });
    assert!(page.strip(0).unwrap().side < first.side);
    let wrong = page.go(Touch::Pace { pace: "hasty".into() });
    assert!(wrong.shown.trouble.is_some());

    let calm = phone.page(PageOf::Show { film: FilmOf::Everything, calm: true });
    let shown = calm.film();
    assert!(shown.rate <= 2 && shown.paces.is_empty());
    assert!(shown.caution.unwrap().contains("less movement"));
}

#[test]
fn the_film_stays_as_it_was_begun_while_the_record_goes_on() {
    let phone = Phone::with(3);
    let page = phone.shows(FilmOf::Everything);
    let before = (page.film(), page.strip(0).unwrap());
    phone.hose();
    assert_eq!((page.film(), page.strip(0).unwrap()), before);
    assert!(phone.shows(FilmOf::Everything).film().words.contains("4 entries"));
}

#[test]
fn what_is_no_film_and_frames_that_do_not_agree_change_nothing() {
    let phone = Phone::with(1);
    let watch = phone.page(PageOf::Watch);
    // Before the page was looked at, nothing is watched.
    let film = phone.shows(FilmOf::Holdings);
    let (frame, side) = drawn(&film.strip(0).unwrap(), 0);
    assert_eq!(watch.watched(&frame, side, side, side).unwrap().needed, 0);
    watch.go(Touch::Look);
    assert!(watch.watched(&frame, side, side, side - 1).is_err());
    let empty = vec![235; frame.len()];
    let seen = watch.watched(&empty, side, side, side).unwrap();
    assert!(seen.touch.is_none() && seen.said.contains("Nothing seen yet"), "{seen:?}");
    assert_eq!(watch.watched(&empty, side, side, side).unwrap().aloud, None, "once");
    let reply = watch.go(Touch::FilmSeen);
    assert!(reply.shown.trouble.is_some(), "nothing was seen");
    // A page that shows nothing has no frames.
    assert!(watch.strip(0).unwrap().frames.is_empty());
    let odd = phone.shows(FilmOf::Rest { has: b"no header".to_vec() });
    assert!(odd.go(Touch::Look).shown.trouble.is_some());
}

#[test]
fn a_camera_that_cannot_be_had_sends_nobody_to_a_code() {
    let phone = Phone::new();
    let watch = phone.watches();
    for obstacle in [
        Obstacle::CameraRefused,
        Obstacle::CameraForbidden,
        Obstacle::CameraBusy,
        Obstacle::NoCamera,
    ] {
        let trouble = watch.go(Touch::Hindered { obstacle, detail: None }).shown.trouble.unwrap();
        assert!(trouble.todo.contains("mport a file"), "{trouble:?}");
        assert!(trouble.ways_on.iter().all(|way| way.way != WayOn::TypeCode), "{trouble:?}");
    }
    let busy = Touch::Hindered { obstacle: Obstacle::CameraBusy, detail: None };
    watch.go(busy);
    assert_eq!(watch.go(Touch::TryAgain).follows, Some(Follows::Camera));
}

#[test]
fn where_records_meet_it_is_said_how_they_meet_by_sight() {
    let phone = Phone::new();
    let said = phone.page(PageOf::Meeting).go(Touch::Look).shown.by_sight;
    assert_eq!(said.len(), 4);
    assert!(said[1].starts_with("1. "), "{said:?}");
    // A bundle as a file also says what its device lacks.
    let (one, path) = (Phone::with(1), phone.path("other.hwbundle"));
    let out = one.page(PageOf::Meeting).go(Touch::Bundle { path: path.clone() });
    assert_eq!(out.shown.trouble, None);
    let page = phone.page(PageOf::Meeting);
    page.go(Touch::TakeIn { path });
    let reply = page.go(Touch::Yes { text: String::new() });
    assert!(matches!(reply.shown.lacks, Some(FilmOf::Rest { .. })));
}
