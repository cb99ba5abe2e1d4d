//! Check characters and QR symbols against published values.

use hosewright_core::tag::{Level, Symbol, mod_37_2};

/// ISO/IEC 7064 MOD 37-2: the first two are python-stdnum's published examples;
/// all were confirmed with python-stdnum 2.2 and the iso-7064 crate 0.3.0.
const CHECKS: [(&str, char); 10] = [
    ("A12425GABC1234002", '5'),
    ("G123489654321", 'Y'),
    ("HOSE0001", 'T'),
    ("H7K2M9", 'N'),
    ("0", '1'),
    ("Z", '5'),
    ("00000001", '*'),
    ("ABCDEFGH", 'V'),
    ("DV5Q2", 'E'),
    ("A1", 'X'),
];

#[test]
fn check_characters_are_the_published_ones() {
    for (text, check) in CHECKS {
        assert_eq!(mod_37_2(text), Some(check), "{text}");
    }
}

/// ISO/IEC 18004, capacity of versions 1 to 10 in numeric, alphanumeric and
/// byte mode, at levels L, M, Q and H.
const CAPACITY: [[[usize; 3]; 4]; 10] = [
    [[41, 25, 17], [34, 20, 14], [27, 16, 11], [17, 10, 7]],
    [[77, 47, 32], [63, 38, 26], [48, 29, 20], [34, 20, 14]],
    [[127, 77, 53], [101, 61, 42], [77, 47, 32], [58, 35, 24]],
    [[187, 114, 78], [149, 90, 62], [111, 67, 46], [82, 50, 34]],
    [[255, 154, 106], [202, 122, 84], [144, 87, 60], [106, 64, 44]],
    [[322, 195, 134], [255, 154, 106], [178, 108, 74], [139, 84, 58]],
    [[370, 224, 154], [293, 178, 122], [207, 125, 86], [154, 93, 64]],
    [[461, 279, 192], [365, 221, 152], [259, 157, 108], [202, 122, 84]],
    [[552, 335, 230], [432, 262, 180], [312, 189, 130], [235, 143, 98]],
    [[652, 395, 271], [513, 311, 213], [364, 221, 151], [288, 174, 119]],
];

#[test]
fn every_version_holds_what_the_standard_says_and_no_more() {
    let version = |text: String, level| Symbol::of(&text, level).map(|s| s.version()).ok();
    for (number, levels) in (1..).zip(CAPACITY) {
        for (level, most) in Level::ALL.into_iter().zip(levels) {
            for (letter, most) in ["1", "A", "a"].into_iter().zip(most) {
                assert_eq!(version(letter.repeat(most), level), Some(number), "{number}-{level}");
                assert_eq!(version(letter.repeat(most + 1), level), Some(number + 1));
            }
        }
    }
}

/// Code words, data then error correction, of symbols of version 1: the
/// standard's own example, and tutorial examples whose correction was computed
/// again from the standard's polynomial.
const WORDS: [(&str, Level, &str); 4] = [
    (
        "01234567",
        Level::M,
        "16 32 12 86 97 128 236 17 236 17 236 17 236 17 236 17 \
         165 36 212 193 237 54 199 135 44 85",
    ),
    (
        "ABCDE123",
        Level::H,
        "32 65 205 69 41 220 46 128 236 \
         42 159 74 221 244 169 239 150 138 70 237 85 224 96 74 219 61",
    ),
    (
        "HELLO WORLD",
        Level::Q,
        "32 91 11 120 209 114 220 77 67 64 236 17 236 \
         168 72 22 82 217 54 156 0 46 15 180 122 16",
    ),
    (
        "HELLO WORLD",
        Level::M,
        "32 91 11 120 209 114 220 77 67 64 236 17 236 17 236 17 \
         196 35 39 119 235 215 231 226 93 23",
    ),
];

#[test]
fn symbols_hold_the_published_code_words() {
    for (text, level, expected) in WORDS {
        let words = Symbol::of(text, level).map(|symbol| code_words(&symbol)).unwrap_or_default();
        let words: Vec<String> = words.iter().map(u32::to_string).collect();
        assert_eq!(words.join(" "), expected, "{text} {level}");
    }
}

/// Format bits after masking, by level and mask, and the bits of version 7.
const FORMATS: [(Level, u32, &str); 3] = [
    (Level::M, 5, "100000011001110"),
    (Level::L, 0, "111011111000100"),
    (Level::Q, 3, "011101000000110"),
];
const VERSION_7: &str = "000111110010010100";

#[test]
fn format_and_version_bits_are_the_published_ones() {
    for (level, mask, bits) in FORMATS {
        // Which mask a text gets is the drawer's choice, so texts are tried
        // until one gets this.
        let mut seen = (0..500).filter_map(|n| Symbol::of(&format!("HOSE{n}"), level).ok());
        let found = seen.find(|symbol| mask_of(symbol) == mask);
        assert_eq!(found.map(|s| format_bits(&s)).as_deref(), Some(bits), "{level} {mask}");
    }
    let symbol = Symbol::of(&"A".repeat(200), Level::L).ok();
    let bit =
        |s: &Symbol, i: u32| if s.is_dark(i / 3, s.modules() - 11 + i % 3) { '1' } else { '0' };
    let bits = symbol.map(|s| (0..18).rev().map(|i| bit(&s, i)).collect::<String>());
    assert_eq!(bits.as_deref(), Some(VERSION_7));
}

fn format_bits(symbol: &Symbol) -> String {
    let row = [0, 1, 2, 3, 4, 5, 7, 8].map(|column| (column, 8));
    let column = [7, 5, 4, 3, 2, 1, 0].map(|row| (8, row));
    let places = row.into_iter().chain(column);
    places.map(|(x, y)| if symbol.is_dark(x, y) { '1' } else { '0' }).collect()
}

/// The mask is in bits 12 to 10, which the standard turns over with 101.
fn mask_of(symbol: &Symbol) -> u32 {
    let bits = format_bits(symbol);
    bits.get(2..5).and_then(|b| u32::from_str_radix(b, 2).ok()).map_or(8, |b| b ^ 0b101)
}

fn masked(mask: u32, x: u32, y: u32) -> bool {
    match mask {
        0 => (x + y).is_multiple_of(2),
        1 => y.is_multiple_of(2),
        2 => x.is_multiple_of(3),
        3 => (x + y).is_multiple_of(3),
        4 => (y / 2 + x / 3).is_multiple_of(2),
        5 => x * y % 2 + x * y % 3 == 0,
        6 => (x * y % 2 + x * y % 3).is_multiple_of(2),
        _ => ((x + y) % 2 + x * y % 3).is_multiple_of(2),
    }
}

/// The code words of a symbol of version 1, read as the standard lays them: up
/// and down in columns of two from the right, past the timing column.
fn code_words(symbol: &Symbol) -> Vec<u32> {
    let mask = mask_of(symbol);
    let known =
        |x: u32, y: u32| x == 6 || y == 6 || x < 9 && y < 9 || x > 12 && y < 9 || x < 9 && y > 12;
    let pairs = [20, 18, 16, 14, 12, 10, 8, 5, 3, 1];
    let mut bits = Vec::new();
    for (number, right) in pairs.into_iter().enumerate() {
        for step in 0..21 {
            let y = if number & 1 == 0 { 20 - step } else { step };
            let free = [right, right - 1].into_iter().filter(|x| !known(*x, y));
            bits.extend(free.map(|x| symbol.is_dark(x, y) != masked(mask, x, y)));
        }
    }
    bits.chunks_exact(8).map(|word| word.iter().fold(0, |w, b| w << 1 | u32::from(*b))).collect()
}
