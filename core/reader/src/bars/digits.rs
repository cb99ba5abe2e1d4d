//! The likeliest digits of an EAN or UPC whose check digit is right.

use super::ean::{Kind, Table};

/// Which of six digits are of set B, by the digit that this tells (ISO/IEC
/// 15420, table 2).
const EAN_13_SETS: [u8; 10] = [
    0b000000, 0b001011, 0b001101, 0b001110, 0b010011, 0b011001, 0b011100, 0b010101, 0b010110,
    0b011010,
];
/// The same of a UPC-E of number system 0, by its check digit; of number system
/// 1 the other sets.
const UPC_E_SETS: [u8; 10] = [
    0b111000, 0b110100, 0b110010, 0b110001, 0b101100, 0b100110, 0b100011, 0b101010, 0b101001,
    0b100101,
];

/// What is asked of the digits: set B or not, their weights in the check sum,
/// and what that sum must leave of ten.
struct Rule {
    set_b: u8,
    weights: [u8; 12],
    rest: u8,
    count: usize,
    last: Option<u8>,
    /// What the sets say beside the digits.
    told: (u8, u8),
}

/// A text, how likely it is, and by how much it is likelier than any other.
pub struct Likeliest {
    pub text: String,
    pub score: f32,
    pub lead: f32,
}

/// The likeliest text of a table.
pub fn likeliest(kind: Kind, table: &Table) -> Option<Likeliest> {
    let rules = rules(kind);
    let mut paths: Vec<(f32, [u8; 12], &Rule)> = Vec::new();
    for rule in &rules {
        let (score, digits) = best_path(rule, table, None);
        paths.push((score, digits, rule));
    }
    let best = paths.iter().max_by(|a, b| a.0.total_cmp(&b.0))?;
    let (score, digits, rule) = (best.0, best.1, best.2);
    let other_rule = paths.iter().filter(|p| p.1 != digits || !std::ptr::eq(p.2, rule));
    let mut second = other_rule.map(|p| p.0).fold(f32::MIN, f32::max);
    // Another text differs somewhere: the best that does so at each place.
    for (at, digit) in digits.iter().enumerate().take(rule.count) {
        second = second.max(best_path(rule, table, Some((at, *digit))).0);
    }
    let text = text(kind, &digits, rule)?;
    Some(Likeliest { text, score, lead: score - second })
}

fn rules(kind: Kind) -> Vec<Rule> {
    match kind {
        Kind::Ean13 => (0..10)
            .map(|first| Rule {
                set_b: EAN_13_SETS[usize::from(first)],
                weights: [3, 1, 3, 1, 3, 1, 3, 1, 3, 1, 3, 1],
                rest: (10 - first) % 10,
                count: 12,
                last: None,
                told: (first, 0),
            })
            .collect(),
        Kind::Ean8 => vec![Rule {
            set_b: 0,
            weights: [3, 1, 3, 1, 3, 1, 3, 1, 0, 0, 0, 0],
            rest: 0,
            count: 8,
            last: None,
            told: (0, 0),
        }],
        Kind::UpcE => {
            let all = (0..2).flat_map(|s| (0..10).map(move |c| (s, c)));
            all.flat_map(|told| (0..10).map(move |last| upc_e_rule(told, last))).collect()
        }
    }
}

/// The zeros that a UPC-E leaves out depend on its last digit, and so do the
/// weights of the others.
fn upc_e_rule((system, check): (u8, u8), last: u8) -> Rule {
    let weights = match last {
        0..=2 => [1, 3, 3, 1, 3, 1],
        3 => [1, 3, 1, 1, 3, 0],
        4 => [1, 3, 1, 3, 3, 0],
        _ => [1, 3, 1, 3, 1, 3],
    };
    let mut all = [0; 12];
    all[..6].copy_from_slice(&weights);
    let sets = UPC_E_SETS[usize::from(check)];
    Rule {
        set_b: if system == 0 { sets } else { !sets & 0b11_1111 },
        weights: all,
        rest: (40 - 3 * system - check) % 10,
        count: 6,
        last: Some(last),
        told: (system, check),
    }
}

/// The likeliest digits under a rule, one of them barred.
fn best_path(rule: &Rule, table: &Table, barred: Option<(usize, u8)>) -> (f32, [u8; 12]) {
    const NONE: f32 = -1e9;
    let mut scores = [[NONE; 10]; 13];
    let mut came = [[0_u8; 10]; 13];
    scores[0][0] = 0.0;
    for at in 0..rule.count {
        let left = if rule.count == 8 { 4 } else { 6 };
        let set = if at < left && rule.set_b >> (left - 1 - at) & 1 == 1 { 10 } else { 0 };
        for digit in 0..10_u8 {
            let last = at + 1 == rule.count && rule.last.is_some_and(|last| last != digit);
            if last || barred == Some((at, digit)) {
                continue;
            }
            let gain = table[at][set + usize::from(digit)];
            for sum in 0..10_u8 {
                let next = usize::from((sum + digit * rule.weights[at]) % 10);
                let score = scores[at][usize::from(sum)] + gain;
                if score > scores[at + 1][next] {
                    scores[at + 1][next] = score;
                    came[at + 1][next] = digit;
                }
            }
        }
    }
    let mut digits = [0; 12];
    let mut sum = rule.rest;
    let score = scores[rule.count][usize::from(sum)];
    for at in (0..rule.count).rev() {
        let digit = came[at + 1][usize::from(sum)];
        digits[at] = digit;
        sum = (sum + 100 - digit * rule.weights[at] % 10) % 10;
    }
    (score, digits)
}

fn text(kind: Kind, digits: &[u8; 12], rule: &Rule) -> Option<String> {
    let digit = |d: u8| char::from(b'0' + d);
    let inner: String = digits.iter().take(rule.count).map(|d| digit(*d)).collect();
    let all_one = digits.iter().take(rule.count).all(|d| *d == digits[0]);
    let (first, check) = rule.told;
    match kind {
        // Stripes look like one digit over and over.
        _ if all_one => None,
        Kind::Ean13 if first == 0 => Some(inner),
        Kind::Ean13 => Some(format!("{}{inner}", digit(first))),
        Kind::Ean8 => Some(inner),
        Kind::UpcE => Some(format!("{}{inner}{}", digit(first), digit(check))),
    }
}
