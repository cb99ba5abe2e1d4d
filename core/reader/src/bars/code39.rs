//! Code 39 (ISO/IEC 16388) and Code 93: characters of the same alphabet.

use std::sync::LazyLock;

use super::widths::{Widths, nearest};

const ALPHABET: &[u8; 43] = b"0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ-. $/+%";

/// A bit a width, set if it is wide; the last is the start and the stop.
const CODE_39: [u16; 44] = [
    0x034, 0x121, 0x061, 0x160, 0x031, 0x130, 0x070, 0x025, 0x124, 0x064, 0x109, 0x049, 0x148,
    0x019, 0x118, 0x058, 0x00D, 0x10C, 0x04C, 0x01C, 0x103, 0x043, 0x142, 0x013, 0x112, 0x052,
    0x007, 0x106, 0x046, 0x016, 0x181, 0x0C1, 0x1C0, 0x091, 0x190, 0x0D0, 0x085, 0x184, 0x0C4,
    0x0A8, 0x0A2, 0x08A, 0x02A, 0x094,
];

/// A bit a module, set if it is dark; the last is the start and the stop.
const CODE_93: [u16; 48] = [
    0x114, 0x148, 0x144, 0x142, 0x128, 0x124, 0x122, 0x150, 0x112, 0x10A, 0x1A8, 0x1A4, 0x1A2,
    0x194, 0x192, 0x18A, 0x168, 0x164, 0x162, 0x134, 0x11A, 0x158, 0x14C, 0x146, 0x12C, 0x116,
    0x1B4, 0x1B2, 0x1AC, 0x1A6, 0x196, 0x19A, 0x16C, 0x166, 0x136, 0x13A, 0x12E, 0x1D4, 0x1D2,
    0x1CA, 0x16E, 0x176, 0x1AE, 0x126, 0x1DA, 0x1D6, 0x132, 0x15E,
];

/// Which widths of two kinds are wide, by a start character that has both.
#[derive(Clone, Copy)]
pub struct Wide {
    /// What parts a bar's and a space's widths, in pixels.
    bar: f64,
    space: f64,
    /// The size of the start character.
    size: f64,
}

impl Wide {
    /// Halfway between the narrow and the wide ones of a character; none if
    /// these are not clearly apart.
    pub fn of(widths: &[f64], wide: u16) -> Option<Self> {
        let size: f64 = widths.iter().sum();
        let is_wide = |at: usize| wide >> (widths.len() - 1 - at) & 1 == 1;
        let between = |first: usize| {
            let some = || (first..widths.len()).step_by(2);
            let narrow = some().filter(|at| !is_wide(*at)).map(|at| widths[at]).fold(0.0, f64::max);
            let least =
                some().filter(|at| is_wide(*at)).map(|at| widths[at]).fold(f64::MAX, f64::min);
            (least > 1.25 * narrow).then_some(f64::midpoint(least, narrow))
        };
        Some(Self { bar: between(0)?, space: between(1)?, size })
    }

    /// A bit a width of a character as large as the start; none if one is
    /// neither wide nor narrow.
    pub fn bits(&self, widths: &[f64]) -> Option<u16> {
        self.scaled_bits(widths, widths.iter().sum::<f64>() / self.size)
    }

    /// The same of characters that are not all as large.
    pub fn bits_of_any(&self, widths: &[f64]) -> Option<u16> {
        self.scaled_bits(widths, 1.0)
    }

    fn scaled_bits(&self, widths: &[f64], scale: f64) -> Option<u16> {
        widths.iter().enumerate().try_fold(0, |bits, (at, width)| {
            let parting = if at.is_multiple_of(2) { self.bar } else { self.space };
            let ratio = width / scale / parting;
            let clear = !(0.92..1.08).contains(&ratio) && (0.15..2.6).contains(&ratio);
            clear.then_some(bits << 1 | u16::from(ratio > 1.0))
        })
    }
}

/// The text that begins with a bar, and how many widths it takes.
pub fn read_39(widths: &Widths<'_>, start: usize) -> Option<(String, usize)> {
    let edge = CODE_39[43];
    let first = widths.some::<9>(start)?;
    let size: f64 = first.iter().sum();
    let wide = Wide::of(&first, edge)?;
    let quiet = size / 13.0 * 5.0;
    if wide.bits(&first) != Some(edge) || !widths.is_quiet_before(start, quiet) {
        return None;
    }
    let (mut text, mut at, mut before) = (String::new(), start + 10, size);
    loop {
        let next = widths.some::<9>(at)?;
        let size: f64 = next.iter().sum();
        let gap = widths.get(at - 1)?;
        if !(0.8..1.25).contains(&(size / before)) || gap > size / 2.0 {
            return None;
        }
        before = size;
        let bits = wide.bits(&next)?;
        if bits == edge {
            break;
        }
        let found = CODE_39.iter().position(|known| *known == bits)?;
        text.push(char::from(*ALPHABET.get(found)?));
        at += 10;
    }
    let good = text.len() >= 2 && widths.is_quiet_after(at + 8, quiet);
    good.then(|| (in_full(&text, *b"$%/+").unwrap_or(text), at + 9 - start))
}

static WIDTHS_93: LazyLock<Vec<[u8; 6]>> = LazyLock::new(|| {
    let widths = |pattern: &u16| {
        let mut widths = [0; 6];
        let (mut at, mut dark) = (0, true);
        for bit in (0..9).rev() {
            if (pattern >> bit & 1 == 1) != dark {
                (at, dark) = (at + 1, !dark);
            }
            widths[at.min(5)] += 1;
        }
        widths
    };
    CODE_93.iter().map(widths).collect()
});

/// The same of Code 93: nine modules a character, and two check characters.
pub fn read_93(widths: &Widths<'_>, start: usize) -> Option<(String, usize)> {
    const EDGE: usize = 47;
    let first = widths.some::<6>(start)?;
    let size: f64 = first.iter().sum();
    let quiet = size / 9.0 * 4.0;
    // The start is one of a kind: four modules in one bar at its end.
    let likely = first[4] > 2.4 * size / 9.0 && first[0] < 2.0 * size / 9.0;
    if !likely || !widths.is_quiet_before(start, quiet) || nearest(&first, &WIDTHS_93, 9.0)? != EDGE
    {
        return None;
    }
    let (mut values, mut at, mut before) = (Vec::new(), start + 6, size);
    loop {
        let next = widths.some::<6>(at)?;
        let size: f64 = next.iter().sum();
        if !(0.8..1.25).contains(&(size / before)) {
            return None;
        }
        before = size;
        let value = nearest(&next, &WIDTHS_93, 9.0)?;
        if value == EDGE {
            break;
        }
        values.push(value);
        at += 6;
    }
    let last = widths.get(at + 6)? * 9.0 / before;
    let good = (0.5..1.8).contains(&last) && widths.is_quiet_after(at + 6, quiet);
    let data = values.len().checked_sub(2).filter(|n| *n > 0 && good)?;
    let checked = [(data, 20), (data + 1, 15)].iter().all(|(end, most)| {
        let weighed = values[..*end].iter().rev().enumerate();
        weighed.map(|(n, value)| (n % most + 1) * value).sum::<usize>() % 47 == values[*end]
    });
    let raw: Vec<u8> = values[..data]
        .iter()
        .map(|v| ALPHABET.get(*v).copied().unwrap_or_else(|| b"abcd"[(*v - 43).min(3)]))
        .collect();
    let raw = String::from_utf8(raw).ok().filter(|_| checked)?;
    let plain = !raw.contains(['a', 'b', 'c', 'd']);
    let text = if plain { Some(raw) } else { in_full(&raw, *b"abcd") }?;
    Some((text, at + 7 - start))
}

/// The full character set: pairs that a shift begins, given as control, percent,
/// slash and plus. None if there is no shift, or one without its letter.
fn in_full(text: &str, shifts: [u8; 4]) -> Option<String> {
    let mut full = String::new();
    let mut bytes = text.bytes();
    let mut shifted = false;
    while let Some(byte) = bytes.next() {
        let Some(shift) = shifts.iter().position(|s| *s == byte) else {
            full.push(char::from(byte));
            continue;
        };
        shifted = true;
        let letter = bytes.next().filter(u8::is_ascii_uppercase)?;
        let at = letter - b'A';
        let byte = match (shift, at) {
            (0, _) => at + 1,
            (1, 0..=4) => at + 27,
            (1, 5..=9) => at + 54,
            (1, 10..=14) => at + 81,
            (1, 15..=19) => at + 108,
            (1, 20) => 0,
            (1, 21) => b'@',
            (1, 22) => b'`',
            (1, _) => 127,
            (2, 0..=14) => at + 33,
            (2, 25) => b':',
            (3, _) => at + b'a',
            _ => return None,
        };
        full.push(char::from(byte));
    }
    shifted.then_some(full)
}
