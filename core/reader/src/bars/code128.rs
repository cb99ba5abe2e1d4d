//! Code 128 (ISO/IEC 15417): eleven modules a character, six widths.

use super::widths::{Widths, nearest};

/// The widths of the values 0 to 105, as decimal digits.
const PATTERNS: [u32; 106] = [
    212222, 222122, 222221, 121223, 121322, 131222, 122213, 122312, 132212, 221213, 221312, 231212,
    112232, 122132, 122231, 113222, 123122, 123221, 223211, 221132, 221231, 213212, 223112, 312131,
    311222, 321122, 321221, 312212, 322112, 322211, 212123, 212321, 232121, 111323, 131123, 131321,
    112313, 132113, 132311, 211313, 231113, 231311, 112133, 112331, 132131, 113123, 113321, 133121,
    313121, 211331, 231131, 213113, 213311, 213131, 311123, 311321, 331121, 312113, 312311, 332111,
    314111, 221411, 431111, 111224, 111422, 121124, 121421, 141122, 141221, 112214, 112412, 122114,
    122411, 142112, 142211, 241211, 221114, 413111, 241112, 134111, 111242, 121142, 121241, 114212,
    124112, 124211, 411212, 421112, 421211, 212141, 214121, 412121, 111143, 111341, 131141, 114113,
    114311, 411113, 411311, 113141, 114131, 311141, 411131, 211412, 211214, 211232,
];
/// The stop's six widths before its last bar.
const STOP: [u8; 6] = [2, 3, 3, 1, 1, 1];
const START_A: u8 = 103;
const STOP_AT: usize = 106;

/// Decimal digits as widths.
pub fn digits(mut pattern: u32) -> [u8; 6] {
    let mut widths = [0; 6];
    for width in widths.iter_mut().rev() {
        *width = (pattern % 10).to_le_bytes()[0];
        pattern /= 10;
    }
    widths
}

static ALL: std::sync::LazyLock<Vec<[u8; 6]>> =
    std::sync::LazyLock::new(|| PATTERNS.iter().map(|p| digits(*p)).chain([STOP]).collect());

/// The text that begins with a bar, and how many widths it takes.
pub fn read(widths: &Widths<'_>, start: usize) -> Option<(String, usize)> {
    let first = widths.some::<6>(start)?;
    let value = u8::try_from(nearest(&first, &ALL[103..106], 11.0)?).ok()? + START_A;
    let size: f64 = first.iter().sum();
    if !widths.is_quiet_before(start, 4.0 * size / 11.0) {
        return None;
    }
    let mut values = vec![value];
    let mut at = start + 6;
    let mut before = size;
    loop {
        let next = widths.some::<6>(at)?;
        let size: f64 = next.iter().sum();
        if !(0.75..1.33).contains(&(size / before)) {
            return None;
        }
        before = size;
        let value = nearest(&next, &ALL, 11.0)?;
        if value == STOP_AT {
            break;
        }
        values.push(u8::try_from(value).ok().filter(|v| *v < START_A)?);
        at += 6;
    }
    let last = widths.get(at + 6)? * 11.0 / before;
    let good = (1.2..3.2).contains(&last) && widths.is_quiet_after(at + 6, 4.0 * before / 11.0);
    let (check, data) = values.split_last().filter(|(_, data)| data.len() > 1)?;
    let sum: usize = data.iter().enumerate().map(|(n, v)| n.max(1) * usize::from(*v)).sum();
    let right = sum % 103 == usize::from(*check);
    (good && right).then(|| Some((text(data)?, at + 7 - start)))?
}

/// The characters of a start and the values behind it (tables 1 and 2).
fn text(values: &[u8]) -> Option<String> {
    let (first, values) = values.split_first()?;
    let mut set = *first;
    let (mut text, mut shift, mut high) = (String::new(), false, false);
    for (at, value) in values.iter().enumerate() {
        let now = if shift { 103 + 104 - set } else { set };
        shift = false;
        match (*value, now) {
            (0..=99, 105) => text.push_str(&format!("{value:02}")),
            (value @ 0..=95, _) => {
                let byte = if now == 103 && value >= 64 { value - 64 } else { value + 32 };
                text.push(char::from(if high { byte | 128 } else { byte }));
                high = false;
            }
            // A first FNC1 says only that the text is GS1's.
            (102, _) if at == 0 => {}
            (102, _) => text.push('\u{1D}'),
            (98, 103 | 104) => shift = true,
            (99, 103 | 104) => set = 105,
            (100, 103 | 105) => set = 104,
            (101, 104 | 105) => set = 103,
            (100, 104) | (101, 103) => high = true,
            // Other function characters have no text.
            _ => {}
        }
    }
    (!text.is_empty()).then_some(text)
}
