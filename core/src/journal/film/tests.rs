//! Films seen in every way: out of order, with frames lost, doubled, spoilt and of others.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use proptest::prelude::*;
use sha2::{Digest, Sha256};

use super::{Film, FilmError, FilmSize, Seen, Viewed, Viewer};
use crate::tag::{Frame, Level, Reader};

/// Bytes that look like chance: what zstd packs does too.
fn bytes(length: usize, seed: u64) -> Vec<u8> {
    let blocks = (0_u64..).flat_map(|n| {
        let block: [u8; 32] = Sha256::digest([seed.to_be_bytes(), n.to_be_bytes()].concat()).into();
        block
    });
    blocks.take(length).collect()
}

fn film(content: &[u8], modules: u32) -> Film {
    Film::new(content, FilmSize::new(modules, Level::L).unwrap()).unwrap()
}

#[test]
fn the_frames_are_those_of_the_format() {
    let golden = include_str!("golden.txt");
    let lines: Vec<&str> = golden.lines().filter(|line| !line.starts_with('#')).collect();
    for line in &lines {
        let [length, modules, number, frame] = line.split(' ').collect::<Vec<_>>()[..] else {
            panic!("{line}")
        };
        let film = film(&bytes(length.parse().unwrap(), 1), modules.parse().unwrap());
        let own = film.frame(number.parse().unwrap());
        assert_eq!(data_encoding::HEXLOWER.encode(&own), frame, "{length} {modules} {number}");
    }
    assert!(lines.len() > 8);
}

#[test]
fn a_film_says_how_long_it_is_and_has_no_last_frame() {
    // Version 10 at level L holds 271 bytes, version 20 858, version 40 2953 (ISO/IEC 18004,
    // table 7); a frame has 32 of its own.
    for (modules, held) in [(57, 271), (97, 858), (177, 2953)] {
        let part = held - 32;
        for (length, parts) in [(1, 1), (part, 1), (part + 1, 2), (10 * part, 10)] {
            let film = film(&bytes(length, 2), modules);
            assert_eq!(film.parts() as usize, parts, "{modules} {length}");
            assert_eq!(film.bytes(), length as u64);
            assert!(film.frame(0).len() <= held);
            let side = film.symbol(0).unwrap().modules();
            assert!(side <= modules);
            for number in [1, 9, 1_000, (1 << 24) - 1, u64::MAX] {
                assert_eq!(film.frame(number).len(), film.frame(0).len());
                assert_eq!(film.symbol(number).unwrap().modules(), side);
            }
            // Numbers have 24 bits; then it begins again.
            assert_eq!(film.frame(1 << 24), film.frame(0));
        }
    }
}

#[test]
fn what_is_no_film_is_refused_in_words() {
    assert_eq!(Film::new(&[], FilmSize::default()).unwrap_err(), FilmError::Empty);
    let long = vec![0; (8 << 20) + 1];
    let error = Film::new(&long, FilmSize::default()).unwrap_err();
    assert_eq!(error, FilmError::TooLong { bytes: (8 << 20) + 1 });
    let small = FilmSize::new(57, Level::H).unwrap();
    let error = Film::new(&long[1..], small).unwrap_err();
    assert_eq!(error, FilmError::TooSmall { bytes: 8 << 20, modules: 57 });
    for modules in [0, 17, 21, 53, 58, 96, 178, 181, u32::MAX] {
        assert_eq!(FilmSize::new(modules, Level::M).unwrap_err(), FilmError::BadSize { modules });
    }
    let mut viewer = Viewer::new();
    assert_eq!(viewer.content().unwrap_err(), FilmError::NothingSeen);
    let film = film(&bytes(3_000, 3), 97);
    let mut later = film.frame(0);
    later[3] = 2;
    assert_eq!(viewer.see(&later), Seen::Later);
    assert_eq!(viewer.content().unwrap_err(), FilmError::TooNew);
    assert_eq!(viewer.see(&film.frame(0)), Seen::New);
    assert_eq!(viewer.content().unwrap_err(), FilmError::NotWhole { had: 1, needed: 4 });
    assert_eq!(Viewer::go_on(b"Hosewright film 2\n").unwrap_err(), FilmError::NotKept);
}

/// A frame with its check made right again, as only somebody who means harm makes it.
fn mended(mut frame: Vec<u8>) -> Vec<u8> {
    frame.truncate(frame.len() - 4);
    let check = crc32fast::hash(&frame).to_be_bytes();
    [frame, check.to_vec()].concat()
}

#[test]
fn the_check_is_the_one_of_its_name() {
    // The check value of CRC-32/ISO-HDLC for the digits 1 to 9.
    assert_eq!(crc32fast::hash(b"123456789"), 0xCBF4_3926);
}

#[test]
fn frames_that_somebody_forged_are_never_accepted_and_the_film_can_still_be_seen() {
    let content = bytes(4_000, 4);
    let film = film(&content, 97);
    let mut viewer = Viewer::new();
    let mut forged = film.frame(0);
    forged[40] ^= 1;
    assert_eq!(viewer.see(&mended(forged)), Seen::New);
    let seen: Vec<Seen> = (1..5).map(|number| viewer.see(&film.frame(number))).collect();
    assert_eq!(seen, [Seen::New, Seen::New, Seen::New, Seen::Wrong]);
    assert_eq!(viewer.viewed(), Viewed { had: 0, needed: 5, ignored: 0 });
    let last = (0..5).map(|number| viewer.see(&film.frame(number))).last();
    assert_eq!((last, viewer.content()), (Some(Seen::Last), Ok(content.as_slice())));
}

#[test]
fn what_a_frame_says_of_the_whole_cannot_ask_for_much() {
    let film = film(&bytes(4_000, 5), 97);
    // The length, the size of a part, blocks, sub-blocks, alignment, the frame's block.
    for (at, byte) in [(12, 1), (13, 1), (17, 1), (18, 1), (19, 1), (20, 0), (20, 2), (22, 2)]
        .into_iter()
        .chain([(23, 2), (23, 0), (24, 1)])
    {
        let mut frame = film.frame(0);
        assert_ne!(frame[at], byte, "{at}");
        frame[at] = byte;
        let mut viewer = Viewer::new();
        assert_eq!(viewer.see(&mended(frame)), Seen::NoFrame, "{at} {byte}");
        assert_eq!(viewer.viewed().needed, 0);
    }
}

#[test]
fn a_reader_reads_the_symbols_of_every_size() {
    let dots = 4;
    for (modules, level) in [(57, Level::M), (77, Level::L), (97, Level::L), (177, Level::L)] {
        let size = FilmSize::new(modules, level).unwrap();
        let film = Film::new(&bytes(9_000, 6), size).unwrap();
        for number in [0, 3, 1_000] {
            let symbol = film.symbol(number).unwrap();
            let side = symbol.side() * dots;
            let dark = |x: u32, y: u32| {
                let place = |at: u32| (at / dots).checked_sub(4);
                place(x).zip(place(y)).is_some_and(|(x, y)| symbol.is_dark(x, y))
            };
            let pixels = (0..side).flat_map(|y| (0..side).map(move |x| (x, y)));
            let grey: Vec<u8> = pixels.map(|(x, y)| if dark(x, y) { 20 } else { 235 }).collect();
            let frame = Frame::new(&grey, side, side, side).unwrap();
            let mut reader = Reader::new();
            let found = reader.read(&frame);
            assert_eq!(found.len(), 1, "{modules} {number}");
            assert_eq!(found[0].bytes, film.frame(number), "{modules} {number}");
        }
    }
}

/// What a camera may make of a film.
#[derive(Debug, Clone)]
enum Sight {
    Frame(u64),
    Foreign(u64),
    Flipped(u64, usize),
    Cut(u64, usize),
    Text(Vec<u8>),
    /// The rest is seen another day.
    Kept,
}

fn sight() -> impl Strategy<Value = Sight> {
    prop_oneof![
        8 => (0_u64..400).prop_map(Sight::Frame),
        1 => (0_u64..400).prop_map(Sight::Foreign),
        2 => (0_u64..400, any::<usize>()).prop_map(|(n, at)| Sight::Flipped(n, at)),
        1 => (0_u64..400, any::<usize>()).prop_map(|(n, at)| Sight::Cut(n, at)),
        1 => proptest::collection::vec(any::<u8>(), 0..60).prop_map(Sight::Text),
        1 => Just(Sight::Kept),
    ]
}

fn seen(viewer: &mut Viewer, (film, other): (&Film, &Film), sight: &Sight) -> Option<Seen> {
    match sight {
        Sight::Frame(number) => Some(viewer.see(&film.frame(*number))),
        Sight::Foreign(number) => {
            assert_eq!(viewer.see(&other.frame(*number)), Seen::OtherFilm);
            None
        }
        Sight::Flipped(number, at) => {
            let mut frame = film.frame(*number);
            let bit = at % (8 * frame.len());
            frame[bit / 8] ^= 1 << (bit % 8);
            let seen = viewer.see(&frame);
            assert!(matches!(seen, Seen::NoFrame | Seen::Later), "{seen:?}");
            None
        }
        Sight::Cut(number, at) => {
            let frame = film.frame(*number);
            assert_eq!(viewer.see(&frame[..at % frame.len()]), Seen::NoFrame);
            None
        }
        Sight::Text(bytes) => {
            assert_eq!(viewer.see(bytes), Seen::NoFrame);
            None
        }
        Sight::Kept => {
            let before = viewer.viewed();
            *viewer = Viewer::go_on(&viewer.kept()).unwrap();
            assert_eq!(Viewed { ignored: before.ignored, ..viewer.viewed() }, before);
            None
        }
    }
}

proptest! {
    /// Whatever is seen in between, what comes of it is what was filmed, and comes as soon as
    /// there are as many different frames as parts, or two more.
    #[test]
    fn any_frames_in_any_order_are_the_film(
        length in 1_usize..20_000,
        seed: u64,
        modules in prop_oneof![Just(57_u32), Just(77), Just(97), Just(137)],
        sights in proptest::collection::vec(sight(), 0..600),
    ) {
        let content = bytes(length, seed);
        let (film, other) = (film(&content, modules), film(&bytes(length, !seed), modules));
        let mut viewer = Viewer::new();
        // The first one says which film.
        let first = viewer.see(&film.frame(seed));
        let mut had = std::collections::BTreeSet::from([seed % (1 << 24)]);
        prop_assert!(matches!(first, Seen::New | Seen::Last));
        for sight in &sights {
            let before = viewer.viewed().had;
            if let (Some(new), Sight::Frame(number)) =
                (seen(&mut viewer, (&film, &other), sight), sight)
            {
                had.insert(*number);
                let more = viewer.viewed().had > before;
                prop_assert!(!more || matches!(new, Seen::New | Seen::Last), "{new:?}");
            }
        }
        let needed = film.parts() as usize;
        prop_assert_eq!(viewer.viewed().needed as usize, needed);
        match viewer.content() {
            Ok(whole) => prop_assert_eq!(whole, &content),
            Err(error) => {
                prop_assert!(had.len() < needed + 3, "{} of {needed}: {error}", had.len());
            }
        }
        prop_assert!(had.len() >= needed || viewer.content().is_err());
    }

    /// With a part of the frames lost, and left and gone on with at any point.
    #[test]
    fn a_film_is_seen_through_losses(
        length in 1_usize..60_000,
        seed: u64,
        lost in 30_u64..=60,
        from in 0_u64..100_000,
        left in 0_usize..80,
        cut in 0_usize..2_000,
    ) {
        let content = bytes(length, seed);
        let film = film(&content, 97);
        let needed = u64::from(film.parts());
        let chance = bytes(2_000, !seed);
        let sharp = |number: u64| {
            let at = usize::try_from(number % 2_000).unwrap();
            u64::from(chance[at]) * 100 >= lost * 256
        };
        let mut viewer = Viewer::new();
        let mut sharp_ones = 0;
        for number in (from..).filter(|number| sharp(*number)) {
            sharp_ones += 1;
            if viewer.see(&film.frame(number)) == Seen::Last {
                break;
            }
            prop_assert!(sharp_ones < needed + 3 + u64::from(cut > 0) * needed, "{sharp_ones}");
            if sharp_ones == left as u64 {
                let mut kept = viewer.kept();
                kept.truncate(kept.len().saturating_sub(cut).max(18));
                viewer = Viewer::go_on(&kept).unwrap();
            }
        }
        prop_assert_eq!(viewer.content().unwrap(), &content);
        // Once whole it stays so, kept or not.
        let again = Viewer::go_on(&viewer.kept()).unwrap();
        prop_assert_eq!(again.content().unwrap(), &content);
    }

    /// No bytes whatever are more than ignored.
    #[test]
    fn chance_is_no_film(bytes: Vec<u8>, kept: Vec<u8>) {
        let mut viewer = Viewer::new();
        prop_assert!(matches!(viewer.see(&bytes), Seen::NoFrame));
        prop_assert!(viewer.content().is_err());
        let kept = [b"Hosewright film 1\n".to_vec(), kept].concat();
        prop_assert!(Viewer::go_on(&kept).unwrap().content().is_err());
    }
}
