//! How well tags are read from pictures that were made from seeds.

use hosewright_core::tag::photo::{Conditions, photograph};
use hosewright_core::tag::{
    Frame, Level, Payload, PictureError, PrinterDpi, TagSize, draw, read_frame, read_picture,
};
use hosewright_tests::pictures::{Seen, payload, picture, without_tag};
use image::{GrayAlphaImage, GrayImage, ImageFormat, Luma, LumaA, imageops};

#[test]
fn tags_under_mild_conditions_are_read() {
    let (mut read, mut missed) = (0, Vec::new());
    for (seen, seed) in Seen::ALL.into_iter().flat_map(|s| (0..6).map(move |seed| (s, seed))) {
        let (bytes, text) = picture(seen, 1000 + seed).unwrap_or_default();
        let found = read_picture(&bytes).unwrap_or_default();
        assert!(found.iter().all(|f| f.text == text), "{seen:?} {seed}: {found:?}");
        if found.is_empty() {
            missed.push((seen, seed));
        } else {
            read += 1;
        }
    }
    println!("read {read}, missed {missed:?}");
    assert!(missed.len() * 20 <= read + missed.len(), "missed {missed:?}");
}

#[test]
fn nothing_is_read_where_there_is_no_tag() {
    for (seen, seed) in Seen::ALL.into_iter().flat_map(|s| (0..6).map(move |seed| (s, seed))) {
        let bytes = without_tag(seen, 5000 + seed).unwrap_or_default();
        let found = read_picture(&bytes);
        assert_eq!(found, Ok(Vec::new()), "{seen:?} {seed}");
    }
}

#[test]
fn the_corners_lie_on_the_symbol() {
    let (bytes, text) = picture(Seen::Plainly, 7).unwrap_or_default();
    let found = read_picture(&bytes).unwrap_or_default();
    let conditions = Seen::Plainly.conditions(7);
    let middle = (640.0 + conditions.offset.0, 360.0 + conditions.offset.1);
    let corners = found.first().map(|f| f.corners.clone()).unwrap_or_default();
    assert!(found.first().is_some_and(|f| Payload::parse(&f.text) == Payload::parse(&text)));
    assert_eq!(corners.len(), 4);
    for (x, y) in corners {
        let away = (f64::from(x) - middle.0).hypot(f64::from(y) - middle.1);
        // Half of the diagonal of 25 modules, and a fifth for the tilt.
        let expected = 12.5 * std::f64::consts::SQRT_2 * conditions.module;
        assert!((0.8..1.2).contains(&(away / expected)), "{away} {expected}");
    }
}

fn texts(picture: &GrayImage) -> Vec<String> {
    let (width, height) = picture.dimensions();
    let frame = Frame::new(picture.as_raw(), width, height, width);
    let mut texts: Vec<String> =
        frame.map(|f| read_frame(&f)).unwrap_or_default().into_iter().map(|f| f.text).collect();
    texts.sort();
    texts
}

/// A photo of 640 × 360 pixels of the tag of a seed.
fn small_photo(seed: u64) -> GrayImage {
    let conditions =
        Conditions { width: 640, height: 360, module: 5.0, seed, ..Conditions::default() };
    let plan = draw::plan(TagSize::default(), PrinterDpi::default(), Level::Q, payload(seed));
    plan.map(|plan| photograph(&plan, &conditions)).unwrap_or_default()
}

#[test]
fn several_tags_in_a_frame_are_all_read_and_so_is_light_on_dark() {
    let mut frame = GrayImage::new(1280, 720);
    for (seed, (x, y)) in (0..).zip([(0, 0), (640, 0), (0, 360), (640, 360)]) {
        imageops::replace(&mut frame, &small_photo(seed), x, y);
    }
    let mut expected: Vec<String> = (0..4).map(|seed| payload(seed).text()).collect();
    expected.sort();
    assert_eq!(texts(&frame), expected);
    let mut inverted = small_photo(5);
    imageops::invert(&mut inverted);
    assert_eq!(texts(&inverted), [payload(5).text()]);
}

/// The modules of an EAN-13 barcode (ISO/IEC 15420): guards, six digits in set
/// A or B as the first digit says, a middle guard, and six digits in set C.
fn ean_13(digits: &str) -> Vec<bool> {
    const A: [&str; 10] = [
        "0001101", "0011001", "0010011", "0111101", "0100011", "0110001", "0101111", "0111011",
        "0110111", "0001011",
    ];
    const SETS: [&str; 10] = [
        "AAAAAA", "AABABB", "AABBAB", "AABBBA", "ABAABB", "ABBAAB", "ABBBAA", "ABABAB", "ABABBA",
        "ABBABA",
    ];
    let values: Vec<usize> = digits.bytes().map(|b| usize::from(b - b'0')).collect();
    let turned = |bits: &str| bits.replace('0', "x").replace('1', "0").replace('x', "1");
    let mut bits = "101".to_owned();
    for (value, set) in values[1..7].iter().zip(SETS[values[0]].chars()) {
        let b: String = turned(A[*value]).chars().rev().collect();
        bits += if set == 'A' { A[*value] } else { &b };
    }
    bits += "01010";
    bits.extend(values[7..].iter().map(|value| turned(A[*value])));
    (bits + "101").chars().map(|bit| bit == '1').collect()
}

#[test]
fn a_makers_barcode_is_read_lying_and_standing() {
    // A much used example number whose last digit is its check.
    let bars = ean_13("4006381333931");
    for (left, top, seed) in [(100, 60, 1), (250, 220, 2)] {
        let mut frame = small_photo(seed);
        // The tag is painted over, and a label with a barcode laid there.
        for (x, y) in (0..330_u32).flat_map(|x| (0..110).map(move |y| (x, y))) {
            let bar = x.checked_sub(20).and_then(|x| bars.get(usize::try_from(x / 3).ok()?));
            let dark = bar.copied().unwrap_or(false) && (5..105).contains(&y);
            frame.put_pixel(left + x, top + y, Luma([if dark { 40 } else { 210 }]));
        }
        let lying = texts(&frame);
        assert!(lying.contains(&"4006381333931".to_owned()), "{lying:?}");
        let standing = texts(&imageops::rotate90(&frame));
        assert!(standing.contains(&"4006381333931".to_owned()), "{standing:?}");
    }
}

#[test]
fn files_that_break_off_are_refused_and_transparent_ones_are_laid_on_white() {
    for (format, seen) in [(ImageFormat::Png, Seen::Plainly), (ImageFormat::Jpeg, Seen::Squeezed)] {
        let (bytes, _) = picture(seen, 3).unwrap_or_default();
        let half = bytes.get(..bytes.len() / 3).unwrap_or_default();
        let found = read_picture(half);
        assert!(matches!(found, Err(PictureError::Damaged { .. })), "{format:?} {found:?}");
    }
    let plan = draw::plan(TagSize::default(), PrinterDpi::default(), Level::Q, payload(4));
    let png = plan.and_then(|plan| draw::png(&plan)).unwrap_or_default();
    let drawn = image::load_from_memory(&png).map(|i| i.to_luma8()).unwrap_or_default();
    let clear = GrayAlphaImage::from_fn(drawn.width(), drawn.height(), |x, y| {
        LumaA([0, 255 - drawn.get_pixel(x, y).0[0]])
    });
    let mut bytes = std::io::Cursor::new(Vec::new());
    assert!(clear.write_to(&mut bytes, ImageFormat::Png).is_ok());
    let found = read_picture(&bytes.into_inner()).unwrap_or_default();
    assert_eq!(found.first().map(|f| f.text.clone()), Some(payload(4).text()));
}
