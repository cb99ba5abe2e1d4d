//! Reed-Solomon over GF(256), polynomial 0x11D, first root 1 (ISO/IEC 18004,
//! 7.5), with erasures. Written here because the libraries for symbols correct
//! errors only, and half as many of them as erasures.

use std::sync::LazyLock;

/// The most check words of a block of versions 1 to 40.
const MOST: usize = 68;

struct Tables {
    powers: [u8; 512],
    logs: [u16; 256],
}

static TABLES: LazyLock<Tables> = LazyLock::new(|| {
    let (mut powers, mut logs) = ([0; 512], [0; 256]);
    let mut value = 1_u16;
    for at in 0..255 {
        let byte = value.to_le_bytes()[0];
        powers[usize::from(at)] = byte;
        powers[usize::from(at) + 255] = byte;
        logs[usize::from(byte)] = at;
        value <<= 1;
        if value > 255 {
            value ^= 0x11D;
        }
    }
    Tables { powers, logs }
});

fn times(a: u8, b: u8) -> u8 {
    if a == 0 || b == 0 {
        return 0;
    }
    let t = &*TABLES;
    t.powers[usize::from(t.logs[usize::from(a)] + t.logs[usize::from(b)])]
}

fn inverse(a: u8) -> u8 {
    let t = &*TABLES;
    t.powers[usize::from(255 - t.logs[usize::from(a)])]
}

/// α to a power below 255.
fn power(exponent: usize) -> u8 {
    TABLES.powers[exponent % 255]
}

/// A polynomial, the constant first.
type Polynomial = [u8; MOST + 1];

fn value(polynomial: &[u8], x: u8) -> u8 {
    polynomial.iter().rev().fold(0, |sum, c| times(sum, x) ^ c)
}

/// Corrects a block of data and `checks` check words in place. `erased` names
/// places, from the first word, whose words are not to be trusted. `None` where
/// it cannot be corrected; how many words were changed otherwise.
pub fn correct(block: &mut [u8], checks: usize, erased: &[usize]) -> Option<usize> {
    if checks > MOST || checks >= block.len() || block.len() > 255 || erased.len() > checks {
        return None;
    }
    let mut syndromes = [0; MOST];
    for (power_of, s) in syndromes.iter_mut().take(checks).enumerate() {
        *s = block.iter().fold(0, |sum, word| times(sum, power(power_of)) ^ word);
    }
    let syndromes = syndromes.get(..checks)?;
    if syndromes.iter().all(|s| *s == 0) {
        return Some(0);
    }
    let last = block.len() - 1;
    let (locator, count) = locator(syndromes, erased, last)?;
    let evaluator = evaluator(syndromes, &locator);
    let mut changed = 0;
    for place in 0..block.len() {
        let x = power(last - place);
        let root = inverse(x);
        if value(&locator, root) == 0 {
            let slope = slope(&locator, root);
            if slope == 0 {
                return None;
            }
            let size = times(x, times(value(evaluator.get(..checks)?, root), inverse(slope)));
            *block.get_mut(place)? ^= size;
            changed += 1;
        }
    }
    (changed == count && is_whole(block, checks)).then_some(changed)
}

fn is_whole(block: &[u8], checks: usize) -> bool {
    (0..checks).all(|p| block.iter().fold(0, |sum, word| times(sum, power(p)) ^ word) == 0)
}

/// The polynomial whose roots name the wrong words, and its degree: Berlekamp
/// and Massey's algorithm, begun with the erasures.
fn locator(syndromes: &[u8], erased: &[usize], last: usize) -> Option<(Polynomial, usize)> {
    let mut locator: Polynomial = [0; MOST + 1];
    locator[0] = 1;
    for (done, place) in erased.iter().enumerate() {
        let x = power(last.checked_sub(*place)?);
        for at in (1..=done + 1).rev() {
            locator[at] ^= times(x, locator[at - 1]);
        }
    }
    let mut before = locator;
    let (mut length, erasures) = (erased.len(), erased.len());
    for step in erasures..syndromes.len() {
        before.rotate_right(1);
        before[0] = 0;
        let terms = locator.iter().take(step + 1).zip(syndromes.iter().take(step + 1).rev());
        let off = terms.fold(0, |sum, (c, s)| sum ^ times(*c, *s));
        if off == 0 {
            continue;
        }
        let old = locator;
        for (c, b) in locator.iter_mut().zip(&before) {
            *c ^= times(off, *b);
        }
        if 2 * length <= step + erasures {
            length = step + 1 + erasures - length;
            before = old.map(|c| times(c, inverse(off)));
        }
    }
    (2 * length <= syndromes.len() + erasures).then_some((locator, length))
}

/// Syndromes · locator, up to the number of syndromes.
fn evaluator(syndromes: &[u8], locator: &Polynomial) -> Polynomial {
    let mut product: Polynomial = [0; MOST + 1];
    for (i, s) in syndromes.iter().enumerate() {
        for (slot, c) in product.iter_mut().take(syndromes.len()).skip(i).zip(locator) {
            *slot ^= times(*s, *c);
        }
    }
    product
}

/// The derivative at a place: only odd powers are left.
fn slope(locator: &Polynomial, x: u8) -> u8 {
    let square = times(x, x);
    let odd = locator.iter().skip(1).step_by(2);
    odd.rev().fold(0, |sum, c| times(sum, square) ^ c)
}

/// ISO/IEC 18004, annex I: "01234567" in version 1-M, 16 data words and 10
/// check words.
#[cfg(test)]
pub const EXAMPLE: [u8; 26] = [
    0x10, 0x20, 0x0C, 0x56, 0x61, 0x80, 0xEC, 0x11, 0xEC, 0x11, 0xEC, 0x11, 0xEC, 0x11, 0xEC, 0x11,
    0xA5, 0x24, 0xD4, 0xC1, 0xED, 0x36, 0xC7, 0x87, 0x2C, 0x55,
];

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn the_standards_example_is_whole() {
        assert_eq!(correct(&mut EXAMPLE.clone(), 10, &[]), Some(0));
    }

    proptest! {
        #[test]
        fn errors_and_erasures_within_the_bound_are_corrected(
            places in proptest::sample::subsequence((0..26).collect::<Vec<usize>>(), 0..=10),
            erasures in 0..=10_usize,
            noise in proptest::collection::vec(1..=255_u8, 10),
        ) {
            let erasures = erasures.min(places.len());
            let errors = (places.len() - erasures).min((10 - erasures) / 2);
            let mut block = EXAMPLE;
            let hit = places.iter().take(erasures + errors);
            hit.zip(noise).for_each(|(place, noise)| block[*place] ^= noise);
            let erased: Vec<usize> = places.iter().copied().take(erasures).collect();
            prop_assert!(correct(&mut block, 10, &erased).is_some());
            prop_assert_eq!(block, EXAMPLE);
        }

        #[test]
        fn no_block_stops_it(
            mut block in proptest::collection::vec(any::<u8>(), 0..300),
            checks in 0..80_usize,
            erased in proptest::collection::vec(0..300_usize, 0..80),
        ) {
            let len = block.len();
            if correct(&mut block, checks, &erased).is_some() {
                prop_assert!(block.len() == len && is_whole(&block, checks));
            }
        }
    }
}
