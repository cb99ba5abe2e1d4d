#![allow(clippy::unwrap_used)]

use image::{ImageBuffer, ImageEncoder, Rgb, Rgba};
use proptest::prelude::*;
use rand_chacha::ChaCha20Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};

use super::*;

fn png(picture: &DynamicImage) -> Vec<u8> {
    let mut bytes = Vec::new();
    picture.write_to(&mut std::io::Cursor::new(&mut bytes), ImageFormat::Png).unwrap();
    bytes
}

fn noise(width: u32, height: u32) -> DynamicImage {
    let mut random = ChaCha20Rng::seed_from_u64(4);
    DynamicImage::ImageRgb8(ImageBuffer::from_fn(width, height, |_, _| {
        let [a, b, c, _] = random.next_u32().to_le_bytes();
        Rgb([a, b, c])
    }))
}

fn sides(photograph: &Photograph) -> (u32, u32) {
    let reader =
        ImageReader::with_format(std::io::Cursor::new(photograph.jpeg()), ImageFormat::Jpeg);
    reader.into_dimensions().unwrap()
}

#[test]
fn whatever_is_photographed_stays_within_its_bounds() {
    let grey = DynamicImage::ImageRgb8(ImageBuffer::from_pixel(3000, 2000, Rgb([90, 90, 90])));
    for (picture, wanted) in [
        (grey, Some((1280, 853))),
        (noise(1400, 1050), None),
        (noise(160, 3000), None),
        (noise(40, 30), Some((40, 30))),
        (DynamicImage::new_rgb8(1, 1), Some((1, 1))),
    ] {
        let made = Photograph::make(&png(&picture)).unwrap();
        assert!(made.jpeg().len() <= MOST_BYTES);
        let (width, height) = sides(&made);
        assert!(width.max(height) <= LONGEST_SIDE);
        if let Some(wanted) = wanted {
            assert_eq!((width, height), wanted);
        }
        assert_eq!(Photograph::kept(made.jpeg().to_vec()), Ok(made));
    }
}

#[test]
fn what_is_transparent_is_white() {
    let clear = DynamicImage::ImageRgba8(ImageBuffer::from_pixel(16, 16, Rgba([0, 0, 0, 0])));
    let made = Photograph::make(&png(&clear)).unwrap();
    let read = image::load_from_memory(made.jpeg()).unwrap().to_rgb8();
    assert!(read.pixels().all(|pixel| pixel.0.iter().all(|value| *value > 250)));
}

/// The orientation that a camera notes (Exif 2.32, tag 0x0112: 6 is a quarter
/// turn to the right) is applied, and nothing of what is beside it is kept.
#[test]
fn a_picture_is_turned_upright_and_its_notes_are_left_out() {
    let left_red = DynamicImage::ImageRgb8(ImageBuffer::from_fn(64, 32, |x, _| {
        if x < 32 { Rgb([220, 0, 0]) } else { Rgb([0, 0, 220]) }
    }));
    let mut tiff = b"MM\0*\0\0\0\x08\0\x01\x01\x12\0\x03\0\0\0\x01\0\x06\0\0\0\0\0\0".to_vec();
    tiff.extend_from_slice(b"a secret place");
    let mut file = Vec::new();
    let mut encoder = JpegEncoder::new_with_quality(&mut file, 90);
    encoder.set_exif_metadata(tiff).unwrap();
    left_red.write_with_encoder(encoder).unwrap();
    let holds = |bytes: &[u8], what: &[u8]| bytes.windows(what.len()).any(|part| part == what);
    assert!(holds(&file, b"a secret place"));
    let made = Photograph::make(&file).unwrap();
    assert_eq!(sides(&made), (32, 64));
    let read = image::load_from_memory(made.jpeg()).unwrap().to_rgb8();
    // What was left is on top after a quarter turn to the right.
    assert!(read.get_pixel(16, 8).0[0] > 150 && read.get_pixel(16, 56).0[2] > 150);
    assert!(!holds(made.jpeg(), b"secret") && !holds(made.jpeg(), b"Exif"));
}

#[test]
fn what_no_record_keeps_is_refused() {
    let too_wide = {
        let mut bytes = Vec::new();
        let wide = DynamicImage::new_rgb8(LONGEST_SIDE + 1, 1);
        wide.write_with_encoder(JpegEncoder::new_with_quality(&mut bytes, 50)).unwrap();
        bytes
    };
    let too_long =
        [Photograph::make(&png(&noise(40, 30))).unwrap().jpeg(), &[0; MOST_BYTES]].concat();
    for bytes in [Vec::new(), b"no picture".to_vec(), png(&noise(9, 9)), too_wide, too_long] {
        assert_eq!(Photograph::kept(bytes), Err(PhotographError::NotKept));
    }
    for text in ["", "%%%", "AAAA", &"A".repeat(90_000)] {
        assert!(serde_json::from_value::<Photograph>(text.into()).is_err(), "{text:.20}");
    }
    for file in [&b""[..], b"GIF89a....", b"\x89PNG\r\n\x1a\nbroken"] {
        assert!(matches!(Photograph::make(file), Err(PhotographError::Picture(_))));
    }
}

#[test]
fn the_bounds_themselves_are_kept() {
    let mut bytes = Vec::new();
    let widest = DynamicImage::new_rgb8(LONGEST_SIDE, 1);
    widest.write_with_encoder(JpegEncoder::new_with_quality(&mut bytes, 50)).unwrap();
    bytes.resize(MOST_BYTES, 0);
    assert!(Photograph::kept(bytes.clone()).is_ok());
    let text = BASE64.encode(&bytes);
    assert!(Photograph::try_from(text).is_ok());
    bytes.push(0);
    assert_eq!(Photograph::kept(bytes.clone()), Err(PhotographError::NotKept));
    assert_eq!(Photograph::try_from(BASE64.encode(&bytes)), Err(PhotographError::NotKept));
}

/// FIPS 180-4's example: SHA-256 of "abc" begins ba7816bf 8f01cfea.
#[test]
fn a_name_is_the_beginning_of_the_digest() {
    let name = Photograph(b"abc".to_vec()).name();
    assert_eq!(name.to_string(), "ba7816bf8f01cfea");
    assert_eq!("ba7816bf8f01cfea".parse(), Ok(name));
    for wrong in ["", "ba78", "BA7816BF8F01CFEA", "zz7816bf8f01cfea", "ba7816bf8f01cfea00"] {
        assert!(wrong.parse::<PhotographName>().is_err(), "{wrong}");
    }
}

proptest! {
    #[test]
    fn any_bytes_are_a_photograph_or_refused(bytes in prop::collection::vec(any::<u8>(), 0..400)) {
        let headed = [&[0xFF, 0xD8, 0xFF][..], &bytes].concat();
        for file in [bytes, headed] {
            let _ = Photograph::make(&file);
            let _ = Photograph::kept(file);
        }
    }

    #[test]
    fn a_photograph_comes_back_from_its_text(width in 1_u32..40, height in 1_u32..40) {
        let made = Photograph::make(&png(&noise(width, height))).unwrap();
        let text = serde_json::to_string(&made).unwrap();
        prop_assert_eq!(serde_json::from_str::<Photograph>(&text).unwrap(), made);
    }
}
