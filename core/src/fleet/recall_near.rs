//! Lots and makers whose spelling comes near those of a recall: somebody may have slipped.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::hose::Label;
use crate::record::folded;
use crate::words::recall as say;

/// The most spellings that are asked about at once.
const MOST_ASKED: usize = 5;
/// A part of another spelling is asked about from so many letters on: less says nothing.
const LEAST_PART: usize = 3;

/// A lot whose spelling comes near the one that was asked for. Whether it is the
/// same is for a person to say.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct NearLot {
    /// The lot as it is recorded.
    pub lot: Label,
    /// The maker as recorded.
    pub maker: Option<Label>,
    /// How many hoses on record are of it.
    pub hoses: u32,
    /// Why it is named.
    pub words: &'static str,
}

/// A maker whose spelling comes near the one that was asked for.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct NearMaker {
    /// The maker as recorded.
    pub maker: Label,
    /// How many hoses on record are of it.
    pub hoses: u32,
}

pub(super) type OtherLots = BTreeMap<(String, String), NearLot>;

/// Of several spellings that come to the same, the first that is taken in is shown.
pub(super) fn near(
    others: &mut OtherLots,
    wanted: Option<&Label>,
    (lot, maker): (&Label, Option<&Label>),
    hoses: u32,
) {
    let Some(words) = wanted.and_then(|own| how_near(&folded(lot), &folded(own))) else {
        return;
    };
    let key = (folded(lot), maker.map(folded).unwrap_or_default());
    let new = || NearLot { lot: lot.clone(), maker: maker.cloned(), hoses: 0, words };
    others.entry(key).or_insert_with(new).hoses += hoses;
}

/// Why one spelling comes near another; nothing if it does not.
pub(super) fn how_near(one: &str, other: &str) -> Option<&'static str> {
    if one == other {
        return Some("the same lot of another maker");
    }
    if one_edit_apart(one, other) {
        return Some("one character apart");
    }
    let part = one.contains(other) || other.contains(one);
    part.then_some("one is a part of the other")
}

/// Whether one character more, less or other, or two neighbours swapped, turns
/// one text into the other.
fn one_edit_apart(one: &str, other: &str) -> bool {
    let (one, other): (Vec<char>, Vec<char>) = (one.chars().collect(), other.chars().collect());
    let (short, long) = if one.len() <= other.len() { (one, other) } else { (other, one) };
    let alike = short.iter().zip(&long).take_while(|(a, b)| a == b).count();
    let rest = |text: &[char], from: usize| text.get(from..).unwrap_or(&[]).to_vec();
    match long.len() - short.len() {
        0 => {
            let (a, b) = (rest(&short, alike), rest(&long, alike));
            let swapped = matches!((a.as_slice(), b.as_slice()), ([p, q, x @ ..], [r, s, y @ ..])
                if p == s && q == r && x == y);
            swapped || (!a.is_empty() && rest(&a, 1) == rest(&b, 1))
        }
        1 => rest(&short, alike) == rest(&long, alike + 1),
        _ => false,
    }
}

impl NearLot {
    /// It in words.
    #[must_use]
    pub fn in_words(&self) -> String {
        say::lot(&self.lot, self.maker.as_ref())
    }

    /// Whether a slip would explain it: not another lot that another maker has, nor a letter
    /// or two that are a part of everything.
    fn is_likely(&self, lot: &Label, maker: Option<&Label>) -> bool {
        let (wanted, own) = (folded(lot), folded(&self.lot));
        let makers = match (maker, &self.maker) {
            (Some(one), Some(other)) => {
                (folded(one) == folded(other) && own != wanted) || near_maker(one, other)
            }
            _ => own != wanted,
        };
        let short = own.chars().count().min(wanted.chars().count());
        makers && (own == wanted || one_edit_apart(&own, &wanted) || short >= LEAST_PART)
    }
}

/// What is asked before a recall of a lot and a maker starts: whether another spelling is
/// meant, the one with most hoses first.
pub(super) fn questions(
    (lot, maker): (Option<&Label>, Option<&Label>),
    lots: &[NearLot],
    makers: &[NearMaker],
) -> Vec<String> {
    let likely = |near: &&NearLot| lot.is_some_and(|lot| near.is_likely(lot, maker));
    let lots = lots.iter().filter(likely).map(|near| (near.hoses, near.in_words()));
    let makers = makers.iter().map(|near| (near.hoses, near.maker.to_string()));
    let mut all: Vec<(u32, String)> = lots.chain(makers).collect();
    all.sort_by(|one, other| other.0.cmp(&one.0).then_with(|| one.1.cmp(&other.1)));
    let asked = all.into_iter().take(MOST_ASKED);
    asked.map(|(hoses, what)| say::did_you_mean(&what, hoses)).collect()
}

/// Whether two makers are spelled nearly the same.
pub(super) fn near_maker(one: &Label, other: &Label) -> bool {
    let (one, other) = (folded(one), folded(other));
    one != other && one_edit_apart(&one, &other)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn spellings_that_come_near_and_those_that_do_not() {
        let table = [
            ("l12", "l12", Some("the same lot of another maker")),
            ("l12", "l13", Some("one character apart")),
            ("l12", "l1", Some("one character apart")),
            ("l12", "l212", Some("one character apart")),
            ("l12", "l21", Some("one character apart")),
            ("1l2", "l12", Some("one character apart")),
            ("l12", "kl1290", Some("one is a part of the other")),
            ("kl1290", "l12", Some("one is a part of the other")),
            ("l12", "l33", None),
            ("l12", "l231", None),
            ("", "l1", Some("one is a part of the other")),
            ("abcd", "badc", None),
            ("é1", "e1", Some("one character apart")),
        ];
        for (one, other, said) in table {
            assert_eq!(how_near(one, other), said, "{one} {other}");
            assert_eq!(how_near(other, one), said, "{other} {one}");
        }
    }
}
