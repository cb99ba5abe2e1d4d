//! Tags in films: followed from frame to frame, and without allocating.

#![allow(clippy::unwrap_used, reason = "a test that cannot make its frames has failed")]

use allocation_counter::measure;
use hosewright_core::tag::photo::{Conditions, empty_scene, photograph};
use hosewright_core::tag::{
    Frame, Level, Obstacle, PrinterDpi, Reader, TagSize, draw, hint, read_frame,
};
use hosewright_tests::pictures::payload;
use image::GrayImage;

/// A frame of the tag of a seed, moved and turned a little further each time.
fn frame(tag: u64, at: u32) -> GrayImage {
    let step = f64::from(at);
    let conditions = Conditions {
        width: 640,
        height: 360,
        module: 5.0 + 0.05 * step,
        turn: 12.0 + 2.0 * step,
        offset: (6.0 * step - 40.0, 20.0 - 4.0 * step),
        seed: u64::from(at),
        ..Conditions::default()
    };
    let plan = draw::plan(TagSize::default(), PrinterDpi::default(), Level::Q, payload(tag));
    photograph(&plan.unwrap(), &conditions)
}

fn nothing(seed: u64) -> GrayImage {
    empty_scene(&Conditions { width: 640, height: 360, seed, ..Conditions::default() })
}

fn shown(grey: &GrayImage) -> Frame<'_> {
    Frame::new(grey.as_raw(), grey.width(), grey.height(), grey.width()).unwrap()
}

#[test]
fn no_frame_after_the_first_allocates_but_for_a_new_text() {
    let mut reader = Reader::new();
    // The first frame makes room, whatever it shows.
    assert!(reader.read(&shown(&nothing(1))).is_empty());
    let first = frame(3, 0);
    let new = measure(|| {
        assert_eq!(reader.read(&shown(&first)).len(), 1);
    });
    assert!(new.count_total > 0, "allocations are counted");
    let film: Vec<GrayImage> = (1..12).map(|at| frame(3, at)).chain((2..6).map(nothing)).collect();
    let again: Vec<GrayImage> = (12..16).map(|at| frame(3, at)).collect();
    for (at, grey) in film.iter().chain(&again).enumerate() {
        let mut texts = 0;
        let spent = measure(|| texts = reader.read(&shown(grey)).len());
        assert_eq!(spent.count_total, 0, "frame {at}");
        assert_eq!(texts, usize::from(!(11..15).contains(&at)), "frame {at}");
    }
}

#[test]
fn a_film_reads_as_its_frames_do_alone() {
    let mut reader = Reader::new();
    // One tag, then another, then none.
    let film: Vec<(GrayImage, Option<u64>)> = (0..10)
        .map(|at| (frame(4, at), Some(4)))
        .chain((10..14).map(|at| (frame(5, at), Some(5))))
        .chain((20..22).map(|seed| (nothing(seed), None)))
        .collect();
    for (at, (grey, tag)) in film.iter().enumerate() {
        let frame = shown(grey);
        let found = reader.read(&frame);
        let texts: Vec<&String> = found.iter().map(|f| &f.text).collect();
        let expected: Vec<String> = tag.iter().map(|tag| payload(*tag).text()).collect();
        assert_eq!(texts, expected.iter().collect::<Vec<_>>(), "frame {at}");
        // Where it is followed it lies where it would be found.
        let alone = read_frame(&frame);
        for (one, other) in found.iter().zip(&alone) {
            for (a, b) in one.corners.iter().zip(&other.corners) {
                assert!((a.0 - b.0).hypot(a.1 - b.1) < 2.0, "frame {at}: {a:?} {b:?}");
            }
        }
        assert_eq!(found.len(), alone.len(), "frame {at}");
    }
}

#[test]
fn a_tag_that_comes_into_a_film_is_read_within_six_frames() {
    let mut reader = Reader::new();
    let (left, right) = (frame(6, 0), frame(7, 0));
    let both = |with: bool| {
        let mut wide = GrayImage::new(1280, 360);
        image::imageops::replace(&mut wide, &left, 0, 0);
        if with {
            image::imageops::replace(&mut wide, &right, 640, 0);
        }
        wide
    };
    assert_eq!(reader.read(&shown(&both(false))).len(), 1);
    let wide = both(true);
    let seen: Vec<usize> = (0..8).map(|_| reader.read(&shown(&wide)).len()).collect();
    assert!(seen[..6].contains(&2), "{seen:?}");
    // From then on both are followed.
    assert_eq!(seen[6..], [2, 2]);
    reader.forget();
    assert_eq!(reader.read(&shown(&wide)).len(), 2);
}

/// Photos of a tag that cannot be read for one reason.
fn hindered(obstacle: Obstacle, seed: u64) -> GrayImage {
    let easy = Conditions { width: 640, height: 360, module: 6.0, seed, ..Conditions::default() };
    let conditions = match obstacle {
        Obstacle::CutOff => Conditions { module: 8.0, offset: (285.0, 10.0), turn: 2.0, ..easy },
        Obstacle::TooFar => Conditions { module: 1.6, blur: 0.8, noise: 5.0, ..easy },
        Obstacle::TooDark => Conditions { ink: (10.0, 20.0), noise: 7.5, shade: 0.0, ..easy },
        Obstacle::OutOfFocus => Conditions { blur: 3.2, noise: 2.0, ..easy },
        Obstacle::Glare => Conditions { ink: (35.0, 190.0), ..easy },
    };
    let plan = draw::plan(TagSize::default(), PrinterDpi::default(), Level::M, payload(seed));
    let mut photo = photograph(&plan.unwrap(), &conditions);
    if obstacle == Obstacle::Glare {
        // A lamp in the middle of the tag, where no finder is.
        for (x, y, grey) in photo.enumerate_pixels_mut() {
            let far = (f64::from(x) - 350.0).hypot(f64::from(y) - 160.0);
            grey.0[0] = if far < 42.0 { 255 } else { grey.0[0] };
        }
    }
    photo
}

#[test]
fn a_tag_that_shows_itself_says_why_it_is_not_read() {
    use Obstacle::{CutOff, Glare, OutOfFocus, TooDark, TooFar};
    for obstacle in [CutOff, TooFar, TooDark, Glare, OutOfFocus] {
        let mut reader = Reader::new();
        let (mut told, mut other) = (0, Vec::new());
        for seed in 1..9 {
            let photo = hindered(obstacle, seed);
            let frame = shown(&photo);
            // Each photo begins a film: within one, all tries are spent on one frame in four.
            reader.forget();
            let read = reader.read(&frame).len();
            match reader.glimpse(&frame) {
                Some(glimpse) if glimpse.obstacle == obstacle => {
                    let (x, y) = glimpse.middle;
                    assert!(x >= 0.0 && y >= 0.0 && x <= 640.0 && y <= 360.0, "{glimpse:?}");
                    assert_eq!(read, 0);
                    told += 1;
                }
                Some(glimpse) => other.push((seed, glimpse)),
                None => {}
            }
        }
        assert!(told > 0, "{obstacle:?}: {other:?}");
        assert_eq!(other, [], "{obstacle:?}");
        assert!(hint(obstacle).ends_with('.'));
    }
}

#[test]
fn nothing_is_said_of_frames_without_a_tag_or_with_one_that_is_read() {
    let mut reader = Reader::new();
    for photo in (30..36).map(nothing).chain([frame(3, 0)]) {
        reader.read(&shown(&photo));
        assert_eq!(reader.glimpse(&shown(&photo)), None);
    }
}
