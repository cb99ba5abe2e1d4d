//! Codes of every kind that others print: pictures by two writers of npm, bwip-js 4
//! and qrcode 1.5, at two pixels a module.

#![allow(clippy::unwrap_used, reason = "a test without its pictures has failed")]

use std::fs;
use std::io::Cursor;

use hosewright_core::tag::read_picture;
use hosewright_tests::peers::root;
use image::{GrayImage, ImageFormat, Luma};

#[test]
fn what_other_programs_print_is_read() {
    let by_bwip_js = [
        ("codabar", "A40156B".to_owned()),
        ("code128", "Hose-27/b 0042".to_owned()),
        ("code39", "LP-0427".to_owned()),
        ("code39ext", "Lp-0427/b".to_owned()),
        ("code93", "LP-0427".to_owned()),
        ("datamatrix", "LP-0427/2031".to_owned()),
        ("datamatrixrectangular", "LP-0427".to_owned()),
        ("ean13", "4006381333931".to_owned()),
        ("ean8", "96385074".to_owned()),
        ("gs1-128", "010950600013435210LP-0427".to_owned()),
        ("interleaved2of5", "30885909".to_owned()),
        ("itf14", "30885909173823".to_owned()),
        ("qr", "Hose 27, regulator left".to_owned()),
        ("qr-large", "HOSE ".repeat(120)),
        ("upca", "036000291452".to_owned()),
        ("upce", "01234565".to_owned()),
    ];
    let by_qrcode = [
        ("qrcode-40", "0123456789".repeat(500)),
        ("qrcode-binary", "\0\u{1}\u{2}þÿ\0".to_owned()),
        ("qrcode-kanji", "A 点茗".to_owned()),
        ("qrcode-mixed", "HOSE 20310427 über".to_owned()),
    ];
    for (name, text) in by_bwip_js.into_iter().chain(by_qrcode) {
        let file = root().join("tests/reader/printed").join(name).with_extension("png");
        let found = read_picture(&fs::read(file).unwrap()).unwrap();
        let texts: Vec<String> = found.into_iter().map(|found| found.text).collect();
        assert_eq!(texts, [text], "{name}");
    }
}

#[test]
fn bytes_that_are_no_text_come_out_as_they_are() {
    let file = root().join("tests/reader/printed/qrcode-binary.png");
    let found = read_picture(&fs::read(file).unwrap()).unwrap();
    let bytes: Vec<Vec<u8>> = found.into_iter().map(|found| found.bytes).collect();
    assert_eq!(bytes, [[0, 1, 2, 254, 255, 0]]);
}

/// A printed Data Matrix symbol, small in a photo and not near any line through its middle.
#[test]
fn a_data_matrix_away_from_a_photos_middle_is_read() {
    let file = root().join("tests/reader/printed/datamatrix.png");
    let symbol = image::open(file).unwrap().into_luma8();
    for place in [(40, 30), (560, 60), (60, 380), (540, 400)] {
        let mut photo = GrayImage::from_pixel(720, 540, Luma([205]));
        image::imageops::replace(&mut photo, &symbol, place.0, place.1);
        let mut png = Cursor::new(Vec::new());
        photo.write_to(&mut png, ImageFormat::Png).unwrap();
        let texts: Vec<String> =
            read_picture(png.get_ref()).unwrap().into_iter().map(|found| found.text).collect();
        assert_eq!(texts, ["LP-0427/2031"], "{place:?}");
    }
}
