//! The texts that a hose is looked for by, as they are compared: without capitals,
//! spaces and hyphens.

use crate::event::Seat;
use crate::hose::Label;
use crate::record::{HoseRecord, folded};

/// A typed text as texts are compared.
#[must_use]
pub fn spelled(typed: &str) -> String {
    let letters = typed.chars().filter(|c| !c.is_whitespace() && *c != '-');
    letters.flat_map(char::to_lowercase).collect()
}

/// What own numbers sort by: numbers in them by their size, so that LP-2 comes
/// before LP-10.
#[must_use]
pub fn sorting(text: &str) -> String {
    let mut key = String::new();
    let mut digits = String::new();
    for c in text.chars().map(Some).chain([None]) {
        match c {
            Some(digit) if digit.is_ascii_digit() => digits.push(digit),
            other => {
                if !digits.is_empty() {
                    key.push_str(&format!("{:0>10}", digits.trim_start_matches('0')));
                    digits.clear();
                }
                key.extend(other);
            }
        }
    }
    key
}

/// The texts of a hose, in the order of the table's columns.
pub(super) type Texts = [String; 8];

/// A text word by word, and its words run together: people type either.
fn spellings(text: &str) -> String {
    let words: Vec<String> =
        text.split_whitespace().map(spelled).filter(|word| !word.is_empty()).collect();
    match words.as_slice() {
        [] => String::new(),
        [word] => word.clone(),
        words => format!("{} {}", words.join(" "), words.concat()),
    }
}

/// The texts of a hose; `seat` is its place with the set's name.
pub(super) fn of_record(record: &HoseRecord, seat: Option<&Seat>) -> Texts {
    let (origin, others) = (&record.origin, &record.alternatives);
    let one = |label: &Label| spellings(label.as_str());
    let all = |shown: &Option<Label>, others: &[Option<Label>]| {
        let mut all: Vec<String> = shown.iter().chain(others.iter().flatten()).map(one).collect();
        all.dedup();
        all.join(" ")
    };
    let tickets = record.outs.iter().map(|out| &out.ticket);
    let tickets = tickets.chain(origin.own.owner.as_ref().and_then(|owner| owner.ticket()));
    let place = seat.map(|seat| one(&seat.set)).into_iter().chain(tickets.map(one));
    let place: Vec<String> = place.chain(origin.own.branch.as_ref().map(one)).collect();
    let description = record.specification.as_ref().map(|hose| {
        let oxygen = if hose.oxygen() { " oxygen" } else { "" };
        let protector = if hose.protector() { " protector" } else { "" };
        let words = format!("{hose}{oxygen}{protector}");
        words.split_whitespace().map(spelled).collect::<Vec<_>>().join(" ")
    });
    [
        origin.own.number.as_ref().map(folded).unwrap_or_default(),
        spelled(&record.tag().to_string()),
        all(&origin.lot, &others.lots),
        all(&origin.maker, &others.makers),
        all(&origin.model, &others.models),
        place.join(" "),
        description.unwrap_or_default(),
        origin.own.note.as_ref().map(|note| spellings(note.as_str())).unwrap_or_default(),
    ]
}

#[cfg(test)]
mod tests {
    use super::{sorting, spelled};

    #[test]
    fn spelling_is_folded() {
        for (typed, same) in [("LP-17", "lp 17"), (" Lp17 ", "lp17"), ("KÄRE 9", "käre9")] {
            assert_eq!(spelled(typed), spelled(same));
        }
        assert_ne!(spelled("LP17"), spelled("LP71"));
    }

    #[test]
    fn numbers_sort_by_size() {
        let mut all = ["lp10", "lp2", "lp1", "hp3", "lp002b", "lp2a", "7", "lp"];
        all.sort_by_key(|text| sorting(text));
        assert_eq!(all, ["7", "hp3", "lp", "lp1", "lp2", "lp2a", "lp002b", "lp10"]);
    }
}
