//! Check characters: arithmetic alone, no meaning.

/// The 32 characters of Crockford's base 32, by value: no I, L, O or U.
pub(crate) const CROCKFORD: &[u8; 32] = b"0123456789ABCDEFGHJKMNPQRSTVWXYZ";

/// The alphabet of MOD 37-2, by value; the last is a check character only.
const ALPHABET: &[u8; 37] = b"0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ*";

/// The character of a value below 32.
pub(crate) fn crockford(value: u8) -> char {
    CROCKFORD.get(usize::from(value & 31)).map_or('0', |b| char::from(*b))
}

/// The value of each ASCII character in an alphabet: codes are read with every record, so none
/// is looked for.
const fn values<const N: usize>(alphabet: &[u8; N]) -> [Option<u8>; 128] {
    let mut values = [None; 128];
    let mut value = 0;
    while (value as usize) < N {
        values[alphabet[value as usize] as usize] = Some(value);
        value += 1;
    }
    values
}

const CROCKFORD_VALUES: [Option<u8>; 128] = values(CROCKFORD);
const VALUES: [Option<u8>; 128] = values(ALPHABET);

fn value_in(values: &[Option<u8>; 128], character: char) -> Option<u8> {
    values.get(usize::try_from(u32::from(character)).ok()?).copied().flatten()
}

/// The value of an upper-case Crockford character.
pub(crate) fn crockford_value(character: char) -> Option<u8> {
    value_in(&CROCKFORD_VALUES, character)
}

/// The check character of ISO/IEC 7064 MOD 37-2 over a text of `0-9 A-Z`;
/// `None` if the text holds anything else. The answer may be `*`.
///
/// The standard's pure system with radix 2: `P = 2 (P + a) mod 37` from 0, and
/// the check is `(1 - P) mod 37`. It catches every single substitution and
/// every swap of two neighbours.
#[must_use]
pub fn mod_37_2(text: &str) -> Option<char> {
    mod_37_2_of(text.chars())
}

/// The same of characters that stand in no text: codes are read with every record.
pub(crate) fn mod_37_2_of(characters: impl Iterator<Item = char>) -> Option<char> {
    let mut sum = 0;
    for character in characters {
        let value = value_in(&VALUES, character).filter(|value| *value < 36)?;
        sum = 2 * (sum + usize::from(value)) % 37;
    }
    ALPHABET.get((38 - sum) % 37).map(|b| char::from(*b))
}

/// Two check values, each below 32, over values below 32: the weighted sums
/// `Σ c·αⁱ` and `Σ c·α²ⁱ` in GF(32), `i` counted from the right and from 1,
/// with α a root of x⁵ + x² + 1.
///
/// For up to 30 values any two substitutions are noticed: two errors that
/// cancel in the one sum would need equal weights to cancel in the other too.
/// A swap of any two characters is such a pair. Longer texts lose that, for the
/// weights come round again after 31. This is arithmetic of our own choice, not
/// a published check system.
#[must_use]
pub fn gf32_checks(values: &[u8]) -> [u8; 2] {
    let mut sums = [0, 0];
    for value in values.iter().copied() {
        // Horner's rule: each step moves all earlier values one place left.
        sums = [times_alpha(sums[0] ^ value), times_alpha(times_alpha(sums[1] ^ value))];
    }
    sums
}

fn times_alpha(value: u8) -> u8 {
    let doubled = (value & 31) << 1;
    if doubled & 32 == 0 { doubled } else { doubled ^ 0b10_0101 }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_digits_and_capitals_have_a_check() {
        for text in ["a", "A-1", "*", "É", " "] {
            assert_eq!(mod_37_2(text), None, "{text}");
        }
        assert_eq!(mod_37_2(""), Some('1'));
    }

    #[test]
    fn the_first_sum_is_the_tabled_one() {
        // Computed beforehand by other code from the same description.
        let table = [
            ("000000000000", '0'),
            ("000000000001", '2'),
            ("H7K2M9A1B2C3", '9'),
            ("ZZZZZZZZZZZZ", 'R'),
            ("0123456789AB", 'V'),
        ];
        for (text, check) in table {
            let values: Vec<u8> = text.chars().filter_map(crockford_value).collect();
            let [first, _] = gf32_checks(&values);
            assert_eq!(crockford(first), check, "{text}");
        }
    }

    #[test]
    fn any_two_wrong_values_are_noticed() {
        // The sums are linear, so it is enough that no pair of errors is silent.
        let length = 22;
        for i in 0..length {
            for j in 0..i {
                for (one, other) in (1..32).flat_map(|a| (0..32).map(move |b| (a, b))) {
                    let mut error = vec![0; length];
                    error[i] = one;
                    error[j] = other;
                    assert_ne!(gf32_checks(&error), [0, 0], "{i} {j} {one} {other}");
                }
            }
        }
    }
}
