use proptest::prelude::*;

use super::*;

proptest! {
    #[test]
    fn no_words_stop_it(data in proptest::collection::vec(any::<u8>(), 0..200), version in 1..=40_usize) {
        // What is read has something behind it.
        let read = content(&data, version);
        prop_assert!(read.is_none() || behind(&data, version).is_some());
    }
}

/// Data words of numbers and how many bits each has, filled up with zeros.
fn words(parts: &[(usize, usize)], count: usize) -> Vec<u8> {
    let mut words = vec![0_u8; count];
    let all = parts
        .iter()
        .flat_map(|(value, wide)| (0..*wide).rev().map(move |bit| u8::from(value >> bit & 1 == 1)));
    for (at, bit) in all.enumerate() {
        words[at / 8] |= bit << (7 - at % 8);
    }
    words
}

fn said(parts: &[(usize, usize)]) -> Option<(String, Vec<u8>)> {
    content(&words(parts, 40), 1).map(|c| (c.text, c.bytes))
}

#[test]
fn the_standards_examples_of_each_mode_are_read() {
    // ISO/IEC 18004, 7.4.3 (digits), 7.4.4 (letters), 7.4.6 (kanji).
    let digits = [(1, 4), (8, 10), (0b00_0000_1100, 10), (0b01_0101_1001, 10), (0b100_0011, 7)];
    assert_eq!(said(&digits), Some(("01234567".into(), b"01234567".to_vec())));
    let digits = [
        (1, 4),
        (16, 10),
        (0b00_0000_1100, 10),
        (0b01_0101_1001, 10),
        (0b10_1010_0110, 10),
        (0b11_1000_0101, 10),
        (0b00_1110_1010, 10),
        (0b0101, 4),
    ];
    let text = "0123456789012345";
    assert_eq!(said(&digits), Some((text.into(), text.into())));
    let letters = [(2, 4), (5, 9), (0b001_1100_1110, 11), (0b111_0011_1001, 11), (2, 6)];
    assert_eq!(said(&letters), Some(("AC-42".into(), b"AC-42".to_vec())));
    let kanji = [(8, 4), (2, 8), (0b0_1101_1001_1111, 13), (0b1_1010_1010_1010, 13)];
    assert_eq!(said(&kanji), Some(("点茗".into(), b"\x93\x5F\xE4\xAA".to_vec())));
}

#[test]
fn encodings_are_those_that_are_named_or_else_the_likeliest() {
    let bytes = |eci: Option<usize>, bytes: &[u8]| {
        let mut parts = Vec::new();
        let wide = |n| if n < 128 { (n, 8) } else { (n | 1 << 15, 16) };
        parts.extend(eci.into_iter().flat_map(|n| [(7, 4), wide(n)]));
        parts.extend([(4, 4), (bytes.len(), 8)]);
        parts.extend(bytes.iter().map(|b| (usize::from(*b), 8)));
        said(&parts).map(|(text, same)| {
            assert_eq!(same, bytes);
            text
        })
    };
    for (eci, given, text) in [
        // ISO/IEC 18004, 7.4.2.2: Greek (ECI 000009).
        (Some(9), &b"\xC1\xC2\xC3\xC4\xC5"[..], "ΑΒΓΔΕ"),
        (Some(26), "Schläuche".as_bytes(), "Schläuche"),
        (Some(3), b"Schl\xE4uche", "Schläuche"),
        (Some(20), b"\x83\x7A\x81\x5B\x83\x58", "ホース"),
        (None, b"\x83\x7A\x81\x5B\x83\x58", "ホース"),
        (None, b"\xCE\xB0\xBD\xB1", "ﾎｰｽｱ"),
        (None, "Schläuche".as_bytes(), "Schläuche"),
        (None, b"Schl\xE4uche", "Schläuche"),
        (None, b"\x00\x01\xFE\xFF", "\0\u{1}þÿ"),
        (Some(899), b"\x00\xC3\xA4", "\0Ã¤"),
    ] {
        assert_eq!(bytes(eci, given), Some(text.to_owned()), "{eci:?} {given:?}");
    }
}

#[test]
fn segments_of_several_modes_follow_each_other() {
    let mixed = [(1, 4), (1, 10), (7, 4), (2, 4), (2, 9), (10 * 45 + 11, 11), (4, 4), (1, 8)];
    let mixed: Vec<(usize, usize)> = mixed.into_iter().chain([(0x63, 8)]).collect();
    assert_eq!(said(&mixed).map(|s| s.0), Some("7ABc".to_owned()));
    // GS1: a per cent sign ends a field, two are one.
    let of = |c: u8| LETTERS.iter().position(|l| *l == c).unwrap_or(0);
    let pair = |a, b| (45 * of(a) + of(b), 11);
    let gs1 = [(5, 4), (2, 4), (5, 9), pair(b'A', b'%'), pair(b'B', b'%'), (of(b'%'), 6)];
    assert_eq!(said(&gs1).map(|s| s.0), Some("A\u{1D}B%".to_owned()));
    // A part of several: which, of how many, and their parity.
    let part = [(3, 4), (0x1234, 16), (1, 4), (1, 10), (7, 4)];
    assert_eq!(said(&part).map(|s| s.0), Some("7".to_owned()));
}

#[test]
fn what_is_behind_them_is_told() {
    let with = |rest: &[u8]| {
        let mut data = words(&[(4, 4), (1, 8), (0x41, 8), (0, 4)], 3);
        data.extend(rest);
        behind(&data, 1)
    };
    assert_eq!(with(&[0xEC, 0x11, 0xEC]), Some(Behind::Standard));
    assert_eq!(with(&[]), Some(Behind::Standard));
    assert_eq!(with(&[0, 0xEC, 0x11]), Some(Behind::Other));
    assert_eq!(with(&[0, 0, 0]), Some(Behind::Other));
    // No mode; and more characters than there are words for.
    assert_eq!(behind(&[0x60, 0, 0, 0], 1), None);
    assert_eq!(behind(&[0x4F, 0xF4, 0x10], 1), None);
}
