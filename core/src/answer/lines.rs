//! What an answer shows in a line each: age, inspections, dives, what is due,
//! and how fresh the record is.

use super::{Answer, Due, Freshness, LastLook, SeenThere};
use crate::inspection::{InspectionKind, Place};
use crate::measure::{AgeRange, Period};
use crate::words::{NOT_KNOWN_HERE, counted, damage, observation};

/// Said if no inspection is on record.
pub const NOT_LOOKED_OVER: &str = "nothing on record";

/// A hose by its own number, where it has one, its code, and what it is, in one line.
#[must_use]
pub fn head(answer: &Answer) -> String {
    let number = answer.hose.origin.own.number.as_ref();
    let number = number.map(|number| format!("{number}  ")).unwrap_or_default();
    format!("{number}{}  {}", answer.code, what(answer))
}

/// What a hose is, beside its own number.
#[must_use]
pub fn what(answer: &Answer) -> &str {
    let words = answer.hose.words.as_str();
    let number = answer.hose.origin.own.number.as_ref();
    let rest = number.and_then(|number| words.strip_prefix(number.as_str())?.strip_prefix(", "));
    rest.unwrap_or(words)
}

/// How old a hose is, in one line.
#[must_use]
pub fn age(answer: &Answer) -> String {
    let origin = &answer.hose.origin;
    let made = match (answer.age.made, origin.made, origin.bought) {
        (Some(age), Some(made), _) => format!("{} from made ({made})", range(age)),
        (Some(age), None, Some(bought)) => {
            format!("{} or more, from bought ({bought}); made at an unknown date", range(age))
        }
        _ => "unknown: neither made nor bought date is known".to_owned(),
    };
    let service = match answer.age.fitted {
        Some(Period { years: 0, months: 0, days: 0 }) => "in service since today".to_owned(),
        Some(period) => format!("in service {}", period.in_words()),
        None => "never fitted".to_owned(),
    };
    format!("{made}; {service}")
}

/// An age whose date is partly known lies between two.
fn range(age: AgeRange) -> String {
    let words = |period: Period| period.in_words();
    let (youngest, oldest) = (words(age.youngest), words(age.oldest));
    if youngest == oldest { oldest } else { format!("{youngest} to {oldest}") }
}

/// The last inspection of a kind, in one line.
#[must_use]
pub fn last_look(look: &LastLook) -> String {
    let kind = kind(look.kind);
    let result = look.test.as_ref().map(crate::inspection::LeakTest::in_words);
    let seen: Vec<String> = look.findings.iter().map(seen_there).collect();
    let seen = match (seen.is_empty(), result.is_some()) {
        (true, true) => None,
        (true, false) => Some("nothing found".to_owned()),
        (false, _) => Some(seen.join("; ")),
    };
    let note = look.note.as_ref().map(|note| format!("note: {note}"));
    let gone = damage::gone(Some(&look.gone), look.why.as_ref());
    let said: Vec<String> = [result, seen, gone, note].into_iter().flatten().collect();
    format!("{kind} on {} by {}: {}", look.on, look.by, said.join("; "))
}

const fn kind(kind: InspectionKind) -> &'static str {
    match kind {
        InspectionKind::Quick => "quick",
        InspectionKind::Full => "full",
        InspectionKind::LeakTest => "leak test",
    }
}

fn seen_there(there: &SeenThere) -> String {
    observation(&there.seen, &there.words)
}

/// What was seen at a place the last time that each kind of inspection found
/// something there, in a line each.
#[must_use]
pub fn seen_before(answer: &Answer, place: Place) -> Vec<String> {
    let there = |look: &LastLook| {
        let seen = look.findings.iter().filter(|there| there.seen.place() == place);
        let seen: Vec<String> = seen.map(seen_there).collect();
        let (kind, on, by) = (kind(look.kind), look.on, &look.by);
        (!seen.is_empty()).then(|| format!("{kind} on {on} by {by}: {}", seen.join("; ")))
    };
    answer.inspections.iter().filter_map(there).collect()
}

/// The verdict with its reasons, for the ear: no shapes, and the code letter
/// by letter is left to the screen.
#[must_use]
pub fn spoken(answer: &Answer) -> String {
    let verdict = answer.verdict;
    let word = verdict.word();
    let worst = answer.reasons.iter().filter(|reason| reason.verdict == verdict);
    let why: String = worst.map(|reason| format!(" {} {}", reason.words, reason.todo)).collect();
    // Its set's status is said last: it is another thing than the hose.
    let set = answer.set.as_ref().map(|set| format!(" {}", set.words)).unwrap_or_default();
    format!("{}. {}{why}{set}", word.to_uppercase(), answer.meaning)
}

/// Dives on record, in words.
#[must_use]
pub fn dives(dives: Option<u32>) -> String {
    dives.map_or_else(
        || NOT_KNOWN_HERE.to_owned(),
        |dives| format!("{} on record", counted(i64::from(dives), "dive")),
    )
}

/// Something due, in words.
#[must_use]
pub fn due(due: &Due) -> String {
    format!("{} by {}", due.what.in_words(), due.on)
}

/// How fresh and whole the record is, in one line.
#[must_use]
pub fn freshness(record: &Freshness) -> String {
    let Some(newest) = record.newest_entry else {
        return "this device has no record of the hose".to_owned();
    };
    let devices = i64::try_from(record.devices).unwrap_or(i64::MAX);
    let missing =
        if record.complete { "" } else { "; some of a device's entries have not reached it" };
    let copied = if record.forked { "; one of them was copied, and both wrote on" } else { "" };
    format!(
        "newest entry about it of {newest}; the record has entries of {}{missing}{copied}",
        counted(devices, "device")
    )
}
