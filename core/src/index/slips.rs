//! How many slips of a character are between what was typed and the texts of a hose.

use super::text::Texts;

/// Of longer texts it does not matter how near each word comes, and no more words than
/// these are one of a hose's that was typed in pieces.
pub(super) const MOST_WORDS: usize = 6;

/// How many slips of a character turn what was typed into words of a hose's texts: a
/// typed word alone, or some that belong together. More than `most` are not counted.
pub(super) fn apart(texts: &Texts, typed: &[String], most: usize) -> usize {
    let own: Vec<(&str, usize)> = texts
        .iter()
        .flat_map(|text| text.split(' '))
        .filter(|word| !word.is_empty())
        .map(|word| (word, word.chars().count()))
        .collect();
    let nearest = |typed: &str| {
        let length = typed.chars().count();
        let near = own.iter().filter(|(_, own)| own.abs_diff(length) <= most);
        near.map(|(word, _)| slips(typed, word)).min().unwrap_or(FAR)
    };
    let mut best = vec![0];
    for to in 1..=typed.len() {
        let first = to.saturating_sub(MOST_WORDS);
        let runs = typed.iter().take(to).enumerate().skip(first).map(|(from, _)| {
            let before = best.get(from).copied().unwrap_or(FAR);
            let run: String = typed.iter().take(to).skip(from).map(String::as_str).collect();
            before + nearest(&run)
        });
        let least = runs.min().unwrap_or(FAR);
        best.push(least);
    }
    best.last().copied().unwrap_or(FAR)
}

/// More slips than anybody makes.
pub(super) const FAR: usize = 1_000;

/// The least number of characters more, less or other, or of neighbours swapped
/// (optimal string alignment; from memory).
fn slips(one: &str, other: &str) -> usize {
    let (one, other): (Vec<char>, Vec<char>) = (one.chars().collect(), other.chars().collect());
    let mut before: Vec<usize> = Vec::new();
    let mut last: Vec<usize> = (0..=other.len()).collect();
    for (at, a) in one.iter().enumerate() {
        let mut row = vec![at + 1];
        for (to, b) in other.iter().enumerate() {
            let get = |row: &[usize], at: usize| row.get(at).copied().unwrap_or(usize::MAX / 2);
            let mut least = get(&last, to) + usize::from(a != b);
            least = least.min(get(&last, to + 1) + 1).min(get(&row, to) + 1);
            let swapped =
                at > 0 && to > 0 && one.get(at - 1) == Some(b) && other.get(to - 1) == Some(a);
            if swapped {
                least = least.min(get(&before, to - 1) + 1);
            }
            row.push(least);
        }
        before = std::mem::replace(&mut last, row);
    }
    last.last().copied().unwrap_or(one.len())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn slips_are_counted() {
        let table = [
            ("", "", 0),
            ("lp17", "lp17", 0),
            ("lp17", "lp71", 1),
            ("lp17", "lp1", 1),
            ("lp17", "lp18", 1),
            ("kelplnie", "kelpline", 1),
            ("kelp", "reef", 3),
            ("", "abc", 3),
        ];
        for (one, other, count) in table {
            assert_eq!((slips(one, other), slips(other, one)), (count, count), "{one} {other}");
        }
    }
}
