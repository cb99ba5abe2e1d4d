//! Interleaved 2 of 5 (ISO/IEC 16390) and Codabar (EN 798): two widths.

use super::code39::Wide;
use super::widths::Widths;

/// Which two of five widths are wide, a bit each.
const DIGITS: [u16; 10] =
    [0b00110, 0b10001, 0b01001, 0b11000, 0b00101, 0b10100, 0b01100, 0b00011, 0b10010, 0b01010];
/// Fewer digits are as likely a pattern on cloth.
const LEAST: usize = 6;

/// The text that begins with a bar, and how many widths it takes.
pub fn read_itf(widths: &Widths<'_>, start: usize) -> Option<(String, usize)> {
    let first = widths.some::<4>(start)?;
    let narrow = first.iter().sum::<f64>() / 4.0;
    let even = first.iter().all(|w| (0.5..1.6).contains(&(w / narrow)));
    if !even || !widths.is_quiet_before(start, 5.0 * narrow) {
        return None;
    }
    let (mut text, mut at) = (String::new(), start + 4);
    let mut before = None;
    while let Some((pair, size)) = widths.some::<10>(at).and_then(|w| pair_of_digits(&w)) {
        if before.is_some_and(|b: f64| !(0.75..1.33).contains(&(size / b))) {
            return None;
        }
        before = Some(size);
        text.push_str(&pair);
        at += 10;
    }
    // The stop: wide, narrow, narrow.
    let stop = widths.some::<3>(at)?;
    let size = before?;
    let unit = size / 16.0;
    let stops = stop[0] > 1.35 * stop[2] && stop[0] > 1.35 * unit && stop[0] < 4.0 * unit;
    let thin = [stop[1], stop[2], narrow].iter().all(|w| (0.35..2.0).contains(&(w / unit)));
    let good = stops && thin && text.len() >= LEAST && widths.is_quiet_after(at + 2, 5.0 * narrow);
    good.then(|| (text, at + 3 - start))
}

/// Two digits, one in the bars and one in the spaces, and their size.
fn pair_of_digits(widths: &[f64; 10]) -> Option<(String, f64)> {
    let digit = |first: usize| {
        let some: [f64; 5] = std::array::from_fn(|n| widths[first + 2 * n]);
        let mut sorted = some;
        sorted.sort_unstable_by(f64::total_cmp);
        let clear = sorted[3] > 1.3 * sorted[2] && sorted[4] < 1.8 * sorted[3];
        let least = sorted[3];
        let bits = some.iter().fold(0, |bits, w| bits << 1 | u16::from(*w >= least));
        let found = clear.then(|| DIGITS.iter().position(|known| *known == bits))??;
        char::from_digit(u32::try_from(found).ok()?, 10)
    };
    Some((String::from_iter([digit(0)?, digit(1)?]), widths.iter().sum()))
}

const CODABAR: [(u16, char); 20] = [
    (0x03, '0'),
    (0x06, '1'),
    (0x09, '2'),
    (0x60, '3'),
    (0x12, '4'),
    (0x42, '5'),
    (0x21, '6'),
    (0x24, '7'),
    (0x30, '8'),
    (0x48, '9'),
    (0x0C, '-'),
    (0x18, '$'),
    (0x45, ':'),
    (0x51, '/'),
    (0x54, '.'),
    (0x15, '+'),
    (0x1A, 'A'),
    (0x29, 'B'),
    (0x0B, 'C'),
    (0x0E, 'D'),
];

/// The same of Codabar; its start and stop letters belong to the text.
pub fn read_codabar(widths: &Widths<'_>, start: usize) -> Option<(String, usize)> {
    let first = widths.some::<7>(start)?;
    let (wide, letter) = CODABAR[16..].iter().find_map(|(bits, letter)| {
        let wide = Wide::of(&first, *bits)?;
        (wide.bits(&first) == Some(*bits)).then_some((wide, *letter))
    })?;
    let narrow = first.iter().sum::<f64>() / 11.5;
    if !widths.is_quiet_before(start, 4.0 * narrow) {
        return None;
    }
    let (mut text, mut at) = (String::from(letter), start + 8);
    loop {
        let next = widths.some::<7>(at)?;
        let gap = widths.get(at - 1)?;
        let bits = wide.bits_of_any(&next)?;
        let (_, letter) = CODABAR.iter().find(|(known, _)| *known == bits)?;
        if gap > 6.0 * narrow {
            return None;
        }
        text.push(*letter);
        if letter.is_ascii_alphabetic() {
            break;
        }
        at += 8;
    }
    let good = text.len() >= LEAST && widths.is_quiet_after(at + 6, 4.0 * narrow);
    good.then(|| (text, at + 7 - start))
}
