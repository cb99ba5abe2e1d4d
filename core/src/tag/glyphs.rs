//! The letters of a code: dots for the PNG, and widths for the PDF.

/// The height of a letter in dots.
pub(super) const HEIGHT: u32 = 7;
/// From one letter to the next, in dots: 5 of the letter and 1 of space.
pub(super) const STEP: u32 = 6;

/// The characters of a code, 5 dots wide and 7 high; the highest of the five
/// bits is the left dot. Drawn for this program; the zero is barred.
#[rustfmt::skip]
const DOTS: [(u8, [u8; 7]); 33] = [
    (b'0', [0b01110, 0b10001, 0b10011, 0b10101, 0b11001, 0b10001, 0b01110]),
    (b'1', [0b00100, 0b01100, 0b00100, 0b00100, 0b00100, 0b00100, 0b01110]),
    (b'2', [0b01110, 0b10001, 0b00001, 0b00110, 0b01000, 0b10000, 0b11111]),
    (b'3', [0b11111, 0b00010, 0b00100, 0b00010, 0b00001, 0b10001, 0b01110]),
    (b'4', [0b00010, 0b00110, 0b01010, 0b10010, 0b11111, 0b00010, 0b00010]),
    (b'5', [0b11111, 0b10000, 0b11110, 0b00001, 0b00001, 0b10001, 0b01110]),
    (b'6', [0b00110, 0b01000, 0b10000, 0b11110, 0b10001, 0b10001, 0b01110]),
    (b'7', [0b11111, 0b00001, 0b00010, 0b00100, 0b01000, 0b01000, 0b01000]),
    (b'8', [0b01110, 0b10001, 0b10001, 0b01110, 0b10001, 0b10001, 0b01110]),
    (b'9', [0b01110, 0b10001, 0b10001, 0b01111, 0b00001, 0b00010, 0b01100]),
    (b'A', [0b01110, 0b10001, 0b10001, 0b11111, 0b10001, 0b10001, 0b10001]),
    (b'B', [0b11110, 0b10001, 0b10001, 0b11110, 0b10001, 0b10001, 0b11110]),
    (b'C', [0b01110, 0b10001, 0b10000, 0b10000, 0b10000, 0b10001, 0b01110]),
    (b'D', [0b11100, 0b10010, 0b10001, 0b10001, 0b10001, 0b10010, 0b11100]),
    (b'E', [0b11111, 0b10000, 0b10000, 0b11110, 0b10000, 0b10000, 0b11111]),
    (b'F', [0b11111, 0b10000, 0b10000, 0b11110, 0b10000, 0b10000, 0b10000]),
    (b'G', [0b01110, 0b10001, 0b10000, 0b10111, 0b10001, 0b10001, 0b01110]),
    (b'H', [0b10001, 0b10001, 0b10001, 0b11111, 0b10001, 0b10001, 0b10001]),
    (b'J', [0b00111, 0b00010, 0b00010, 0b00010, 0b00010, 0b10010, 0b01100]),
    (b'K', [0b10001, 0b10010, 0b10100, 0b11000, 0b10100, 0b10010, 0b10001]),
    (b'M', [0b10001, 0b11011, 0b10101, 0b10101, 0b10001, 0b10001, 0b10001]),
    (b'N', [0b10001, 0b11001, 0b10101, 0b10011, 0b10001, 0b10001, 0b10001]),
    (b'P', [0b11110, 0b10001, 0b10001, 0b11110, 0b10000, 0b10000, 0b10000]),
    (b'Q', [0b01110, 0b10001, 0b10001, 0b10001, 0b10101, 0b10010, 0b01101]),
    (b'R', [0b11110, 0b10001, 0b10001, 0b11110, 0b10100, 0b10010, 0b10001]),
    (b'S', [0b01111, 0b10000, 0b10000, 0b01110, 0b00001, 0b00001, 0b11110]),
    (b'T', [0b11111, 0b00100, 0b00100, 0b00100, 0b00100, 0b00100, 0b00100]),
    (b'V', [0b10001, 0b10001, 0b10001, 0b10001, 0b10001, 0b01010, 0b00100]),
    (b'W', [0b10001, 0b10001, 0b10001, 0b10101, 0b10101, 0b11011, 0b10001]),
    (b'X', [0b10001, 0b10001, 0b01010, 0b00100, 0b01010, 0b10001, 0b10001]),
    (b'Y', [0b10001, 0b10001, 0b01010, 0b00100, 0b00100, 0b00100, 0b00100]),
    (b'Z', [0b11111, 0b00001, 0b00010, 0b00100, 0b01000, 0b10000, 0b11111]),
    (b'-', [0b00000, 0b00000, 0b00000, 0b01110, 0b00000, 0b00000, 0b00000]),
];

/// Their widths in Helvetica Bold, in thousandths of the type size (the font
/// metrics that Adobe published for the standard PDF fonts).
const HELVETICA_BOLD: [(&str, u16); 7] = [
    ("-", 333),
    ("0123456789J", 556),
    ("FTZ", 611),
    ("ESVXYP", 667),
    ("ABCDHKNR", 722),
    ("GQ", 778),
    ("M", 833),
];
const WIDEST: u16 = 944;

/// The width of a text in dots.
pub(super) fn width(text: &str) -> u32 {
    let count = u32::try_from(text.chars().count()).unwrap_or(0);
    (count * STEP).saturating_sub(1)
}

/// The dark dots of a character as (column, row); none for what no code has.
pub(super) fn dots(character: char) -> impl Iterator<Item = (u32, u32)> {
    let rows = DOTS.iter().find(|(c, _)| char::from(*c) == character).map(|(_, rows)| rows);
    let rows = rows.into_iter().flatten().zip(0..);
    rows.flat_map(|(bits, row)| {
        (0..5).filter(move |column| bits >> (4 - column) & 1 == 1).map(move |c| (c, row))
    })
}

/// The width of a code's text in Helvetica Bold, in units of the type size.
pub(super) fn helvetica_bold(text: &str) -> f64 {
    let of = |c: char| {
        HELVETICA_BOLD.iter().find(|(set, _)| set.contains(c)).map_or(WIDEST, |(_, width)| *width)
    };
    text.chars().map(|c| f64::from(of(c)) / 1000.0).sum()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tag::check::CROCKFORD;

    #[test]
    fn every_character_of_a_code_has_a_letter_of_its_own() {
        let mut seen: Vec<Vec<(u32, u32)>> = Vec::new();
        for character in CROCKFORD.iter().chain(b"-").map(|b| char::from(*b)) {
            let letter: Vec<_> = dots(character).collect();
            assert!(!letter.is_empty() && !seen.contains(&letter), "{character}");
            seen.push(letter);
        }
        assert_eq!(dots('U').count(), 0);
    }
}
