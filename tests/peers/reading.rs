//! The reader against symbols that another program has made.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test without its peer has failed")]

use hosewright_core::tag::{Frame, Reader, read_barcodes};
use hosewright_tests::peers::python;

/// A symbol of rows of 0 and 1 with its quiet zone, so many pixels a module.
fn drawn(rows: &[&str], pixels: usize) -> (Vec<u8>, u32) {
    let side = (rows.len() + 8) * pixels;
    let dark = |x: usize, y: usize| {
        let module = |at: usize| (at / pixels).checked_sub(4);
        let row = module(y).and_then(|y| rows.get(y));
        row.zip(module(x)).is_some_and(|(row, x)| row.as_bytes().get(x) == Some(&b'1'))
    };
    let places = (0..side).flat_map(|y| (0..side).map(move |x| (x, y)));
    let luma = places.map(|(x, y)| if dark(x, y) { 30 } else { 220 }).collect();
    (luma, u32::try_from(side).unwrap_or(0))
}

#[test]
fn every_version_level_and_mask_by_segno_is_read() {
    let said = python("segno_symbols.py", &[], "");
    let mut reader = Reader::new();
    let mut read = 0;
    for line in said.lines() {
        let (text, rows) = line.split_once(' ').unwrap_or_else(|| panic!("{line}"));
        let rows: Vec<&str> = rows.split('/').collect();
        let (luma, side) = drawn(&rows, 4);
        let frame = Frame::new(&luma, side, side, side).unwrap();
        reader.forget();
        let texts: Vec<&str> = reader.read(&frame).iter().map(|f| f.text.as_str()).collect();
        assert_eq!(texts, [text]);
        read += 1;
    }
    assert_eq!(read, 10 * 4 * 8);
}

#[test]
fn makers_codes_of_every_kind_by_zxing_are_read() {
    let said = python("zxing_barcodes.py", &[], "");
    let mut read = 0;
    for line in said.lines() {
        let parts: Vec<&str> = line.split('\t').collect();
        let [text, width, hex] = parts[..] else { panic!("{line}") };
        let digits = hex.as_bytes().chunks(2).map(|pair| std::str::from_utf8(pair).unwrap());
        let luma: Vec<u8> = digits.map(|pair| u8::from_str_radix(pair, 16).unwrap()).collect();
        let width: u32 = width.parse().unwrap();
        let height = u32::try_from(luma.len()).unwrap() / width;
        let frame = Frame::new(&luma, width, height, width).unwrap();
        let texts: Vec<String> = read_barcodes(&frame).into_iter().map(|f| f.text).collect();
        assert_eq!(texts, [text]);
        read += 1;
    }
    assert_eq!(read, 11);
}
