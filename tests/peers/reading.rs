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

/// Bytes from hexadecimal digits.
fn bytes(digits: &str) -> Vec<u8> {
    let pairs = digits.as_bytes().chunks(2).map(|pair| std::str::from_utf8(pair).unwrap());
    pairs.map(|pair| u8::from_str_radix(pair, 16).unwrap()).collect()
}

/// Symbols of every version and mask by segno, at every level too if
/// `HOSEWRIGHT_SYMBOLS` is `all`.
#[test]
fn symbols_of_every_version_by_segno_are_read_byte_by_byte() {
    let all = std::env::var("HOSEWRIGHT_SYMBOLS").is_ok_and(|which| which == "all");
    let said = python("segno_symbols.py", if all { &["all"] } else { &[] }, "");
    let mut reader = Reader::new();
    let mut read = 0;
    for line in said.lines() {
        let (digits, rows) = line.split_once(' ').unwrap_or_else(|| panic!("{line}"));
        let rows: Vec<&str> = rows.split('/').collect();
        let (luma, side) = drawn(&rows, 2 + read % 3);
        let frame = Frame::new(&luma, side, side, side).unwrap();
        reader.forget();
        let found: Vec<&Vec<u8>> = reader.read(&frame).iter().map(|f| &f.bytes).collect();
        assert_eq!(found, [&bytes(digits)], "{} modules a side", rows.len());
        read += 1;
    }
    assert_eq!(read, if all { 40 * 4 * 8 } else { 10 * 4 * 8 + 30 * 8 });
}

#[test]
fn makers_codes_of_every_kind_by_zxing_are_read() {
    let said = python("zxing_barcodes.py", &[], "");
    let mut read = 0;
    for line in said.lines() {
        let parts: Vec<&str> = line.split('\t').collect();
        let [text, width, hex] = parts[..] else { panic!("{line}") };
        let luma = bytes(hex);
        let width: u32 = width.parse().unwrap();
        let height = u32::try_from(luma.len()).unwrap() / width;
        let frame = Frame::new(&luma, width, height, width).unwrap();
        let texts: Vec<String> = read_barcodes(&frame).into_iter().map(|f| f.text).collect();
        assert_eq!(texts, [text]);
        read += 1;
    }
    assert_eq!(read, 11);
}
