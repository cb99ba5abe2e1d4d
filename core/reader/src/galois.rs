//! Reed-Solomon over GF(256), polynomial 0x11D, first root 1 (ISO/IEC 18004,
//! 7.5), with erasures. Written here because the libraries for symbols correct
//! errors only, and half as many of them as erasures.

/// The most check words of a block of versions 1 to 40.
const MOST: usize = 68;

struct Tables {
    powers: [u8; 512],
    logs: [u16; 256],
}

static TABLES: Tables = tables();

const fn tables() -> Tables {
    let (mut powers, mut logs) = ([0; 512], [0; 256]);
    let (mut value, mut at) = (1_u16, 0_u8);
    while at < 255 {
        let byte = value.to_le_bytes()[0];
        powers[at as usize] = byte;
        powers[at as usize + 255] = byte;
        logs[byte as usize] = at as u16;
        value <<= 1;
        if value > 255 {
            value ^= 0x11D;
        }
        at += 1;
    }
    Tables { powers, logs }
}

fn times(a: u8, b: u8) -> u8 {
    if a == 0 || b == 0 {
        return 0;
    }
    let t = &TABLES;
    t.powers[usize::from(t.logs[usize::from(a)] + t.logs[usize::from(b)])]
}

fn inverse(a: u8) -> u8 {
    let t = &TABLES;
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

/// What is wrong with a block, however much it is.
pub struct Syndromes {
    all: [u8; MOST],
    checks: usize,
}

impl Syndromes {
    /// Those of a block of data and `checks` check words. `None` of a block that cannot be.
    pub fn of(block: &[u8], checks: usize) -> Option<Self> {
        if checks > MOST || checks >= block.len() || block.len() > 255 {
            return None;
        }
        let mut all = [0; MOST];
        for (power_of, s) in all.iter_mut().take(checks).enumerate() {
            *s = syndrome(block, power_of);
        }
        Some(Self { all, checks })
    }

    /// Corrects their block in place. `erased` names places, from the first word, whose words
    /// are not to be trusted. `None` where it cannot be corrected, and then it may be spoilt;
    /// how many words were changed otherwise.
    pub fn correct(&self, block: &mut [u8], erased: &[usize]) -> Option<usize> {
        let checks = self.checks;
        if erased.len() > checks {
            return None;
        }
        let syndromes = self.all.get(..checks)?;
        if syndromes.iter().all(|s| *s == 0) {
            return Some(0);
        }
        let last = block.len().checked_sub(1)?;
        let (locator, count) = locator(syndromes, erased, last)?;
        let evaluator = evaluator(syndromes, &locator);
        let (terms, evaluator) = (locator.get(..=count)?, evaluator.get(..checks)?);
        let mut changed = 0;
        for place in 0..block.len() {
            let x = power(last - place);
            let root = inverse(x);
            if value(terms, root) == 0 {
                let slope = slope(terms, root);
                if slope == 0 {
                    return None;
                }
                let size = times(x, times(value(evaluator, root), inverse(slope)));
                *block.get_mut(place)? ^= size;
                changed += 1;
            }
        }
        (changed == count && is_whole(block, checks)).then_some(changed)
    }
}

/// A block's value at a power of α.
fn syndrome(block: &[u8], power_of: usize) -> u8 {
    let x = power(power_of);
    block.iter().fold(0, |sum, word| times(sum, x) ^ word)
}

fn is_whole(block: &[u8], checks: usize) -> bool {
    (0..checks).all(|power_of| syndrome(block, power_of) == 0)
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
        // No term is beyond the step.
        for (c, b) in locator.iter_mut().zip(&before).take(step + 2) {
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
fn slope(locator: &[u8], x: u8) -> u8 {
    let square = times(x, x);
    let odd = locator.iter().skip(1).step_by(2);
    odd.rev().fold(0, |sum, c| times(sum, square) ^ c)
}

/// Corrects a block by its own syndromes.
#[cfg(test)]
pub fn correct(block: &mut [u8], checks: usize, erased: &[usize]) -> Option<usize> {
    Syndromes::of(block, checks)?.correct(block, erased)
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
