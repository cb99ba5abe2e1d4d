//! The reader on frames as phones take them: a few of those that
//! `tests/peers/readers.py` measures by hundreds.

use std::fs;
use std::io::Cursor;

use hosewright_core::tag::{Frame, read_frame, read_picture};
use hosewright_tests::frames::{empty, shot};
use hosewright_tests::peers::root;
use image::ImageFormat;

#[test]
fn nothing_is_read_in_frames_that_only_look_like_tags() {
    // In the last, letters once passed for a barcode.
    for seed in (700..716).chain([60_417 * 1_000_003 + 394]) {
        let grey = empty(seed);
        let frame = Frame::new(grey.as_raw(), grey.width(), grey.height(), grey.width());
        assert_eq!(frame.map(|f| read_frame(&f)), Ok(Vec::new()), "{seed}");
    }
}

/// As frames and as photos, as many as `HOSEWRIGHT_FRAMES` says from the seed that
/// `HOSEWRIGHT_SEED` says; frames of one seed are always the same.
#[test]
#[ignore = "takes hours for thousands of frames, unless it is built with --release"]
fn nothing_is_read_in_thousands_of_frames_without_a_tag() {
    let given = |name: &str, otherwise: u64| {
        std::env::var(name).map_or(Ok(otherwise), |n| n.parse()).unwrap_or(otherwise)
    };
    let (count, seed) = (given("HOSEWRIGHT_FRAMES", 5000), given("HOSEWRIGHT_SEED", 50_929));
    assert!(count > 0, "no frames, nothing tried");
    for at in 0..count {
        let grey = empty(seed * 1_000_003 + at);
        let frame = Frame::new(grey.as_raw(), grey.width(), grey.height(), grey.width());
        assert_eq!(frame.map(|f| read_frame(&f)), Ok(Vec::new()), "frame {at}");
        let mut png = Cursor::new(Vec::new());
        assert!(grey.write_to(&mut png, ImageFormat::Png).is_ok());
        assert_eq!(read_picture(png.get_ref()), Ok(Vec::new()), "frame {at}, as a photo");
    }
}

/// The tags of a condition are read, and their corners lie on them.
fn is_read(condition: &str) {
    let shot = shot(condition, 2, 4242);
    let (width, height) = shot.grey.dimensions();
    let frame = Frame::new(shot.grey.as_raw(), width, height, width);
    let found = frame.map(|f| read_frame(&f)).unwrap_or_default();
    let texts: Vec<&String> = found.iter().map(|f| &f.text).collect();
    assert!(!texts.is_empty(), "{condition}");
    assert_eq!(texts, shot.written.iter().map(|w| &w.text).collect::<Vec<_>>(), "{condition}");
    for (found, written) in found.iter().zip(&shot.written) {
        let pairs = || found.corners.iter().zip(&written.corners);
        let off = |((x, y), (u, v)): (&(f32, f32), &(f64, f64))| {
            (f64::from(*x) - u).hypot(f64::from(*y) - v)
        };
        // A module is 5 to 9 pixels wide here.
        let most = pairs().map(off).fold(0.0, f64::max);
        assert!(most < 7.0, "{condition}: {most} {found:?} {written:?}");
    }
}

#[test]
fn a_wrapped_tag_is_read() {
    is_read("wrapped");
}

#[test]
fn a_bent_tag_is_read() {
    is_read("bent");
}

#[test]
fn a_covered_tag_is_read() {
    is_read("covered");
}

#[test]
fn a_turned_tag_is_read() {
    is_read("turned");
}

#[test]
fn the_readmes_picture_says_what_the_readme_says() {
    let picture = fs::read(root().join("tests/pictures/wrapped.png")).unwrap_or_default();
    let found = read_picture(&picture).unwrap_or_default();
    let readme = fs::read_to_string(root().join("README.md")).unwrap_or_default();
    assert_eq!(found.len(), 1);
    assert!(found.iter().all(|f| readme.contains(&format!("`{}`", f.text))), "{found:?}");
}
