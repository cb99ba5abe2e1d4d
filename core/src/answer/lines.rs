//! What an answer shows in a line each: age, inspections, dives, what is due,
//! and how fresh the record is.

use super::{Answer, Due, Freshness, LastLook, SeenThere};
use crate::inspection::{InspectionKind, LeakTest, Place};
use crate::measure::{AgeRange, PartialDate, Period};
use crate::words::{NOT_KNOWN_HERE, brought, by_number, counted, damage, day, observation};

/// Said if no inspection is on record.
pub const NOT_LOOKED_OVER: &str = "nothing on record";

/// A hose by its own number, where it has one, its code, and what it is, in one line.
#[must_use]
pub fn head(answer: &Answer) -> String {
    let number = answer.hose.origin.own.number.as_ref();
    format!("{}  {}", by_number(number, answer.code), what(answer))
}

/// What a hose is, beside its own number.
#[must_use]
pub fn what(answer: &Answer) -> &str {
    let words = answer.hose.words.as_str();
    let number = answer.hose.origin.own.number.as_ref();
    let rest = number.and_then(|number| words.strip_prefix(number.as_str())?.strip_prefix(", "));
    rest.unwrap_or(words)
}

/// How old a hose is, as short as people ask it: `8 months old`. Of an age that lies
/// between two it is the older, on which limits are judged; where the year is in doubt,
/// both.
#[must_use]
pub fn old(answer: &Answer) -> String {
    let origin = &answer.hose.origin;
    match (answer.age.made, origin.made, origin.bought) {
        (Some(age), None, Some(bought)) => {
            format!("Made at an unknown date, bought {} ago", range(age, bought))
        }
        (Some(AgeRange { oldest: Period { years: 0, months: 0, days: 0 }, .. }), ..) => {
            "Made today".to_owned()
        }
        (Some(age), made, _) => match made {
            Some(made) => format!("{} old", range(age, made)),
            None => format!("{} old", age.oldest.in_words()),
        },
        (None, ..) if answer.dives.is_none() => format!("Age {NOT_KNOWN_HERE}"),
        (None, ..) => "Age unknown: no made or bought date".to_owned(),
    }
}

/// The last look at a hose, of whatever kind, in one line: `12 June, rental desk:
/// nothing found`.
#[must_use]
pub fn looked(answer: &Answer) -> String {
    // Of two on one day the one that found more is told.
    let last = answer.inspections.iter().max_by_key(|look| (look.on, look.findings.len()));
    let Some(look) = last else {
        let none = if answer.dives.is_none() { NOT_KNOWN_HERE } else { NOT_LOOKED_OVER };
        return format!("Inspections: {none}");
    };
    let test = look.test.as_ref().map(|test| format!("{} {}", kind(look.kind), test.in_words()));
    let found = match look.findings.as_slice() {
        [] if test.is_some() => None,
        [] if look.list.is_some() => Some(brought::NO_FINDINGS.to_owned()),
        [] => Some("nothing found".to_owned()),
        [one] => Some(seen_there(one)),
        [first, rest @ ..] => Some(format!("{}, and {} more", seen_there(first), rest.len())),
    };
    let said: Vec<String> = [test, found].into_iter().flatten().collect();
    let who =
        [look.whose().map(ToString::to_string), look.list.as_ref().map(|l| brought::from(l.of))];
    let who: Vec<String> = who.into_iter().flatten().collect();
    format!("{}, {}: {}", day(look.on, answer.today), who.join(", "), said.join("; "))
}

/// How old a hose is and how long it has been in service, from which days, in one line.
#[must_use]
pub fn age(answer: &Answer) -> String {
    let origin = &answer.hose.origin;
    let made = match (answer.age.made, origin.made, origin.bought) {
        (Some(age), Some(made), _) => format!("{} from made ({made})", range(age, made)),
        (Some(age), None, Some(bought)) => {
            let range = range(age, bought);
            format!("{range} or more, from bought ({bought}); made at an unknown date")
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

/// An age from a date: the older end of it, and both ends where not even the year is
/// known for certain.
fn range(age: AgeRange, from: PartialDate) -> String {
    let oldest = age.oldest.in_words();
    if !matches!(from, PartialDate::Year(_)) {
        return oldest;
    }
    let months = (age.youngest.whole_months(), age.oldest.whole_months());
    let (least, most, unit) = match months {
        (_, ..24) => (months.0, months.1, "months"),
        _ => (age.youngest.years, age.oldest.years, "years"),
    };
    if least == most || least == 0 { oldest } else { format!("{least} to {most} {unit}") }
}

/// The last inspection of a kind, in one line.
#[must_use]
pub fn last_look(look: &LastLook) -> String {
    let kind = kind(look.kind);
    let result = look.test.as_ref().map(LeakTest::in_words);
    let seen: Vec<String> = look.findings.iter().map(seen_there).collect();
    let seen = match (seen.is_empty(), result.is_some()) {
        (true, true) => None,
        (true, false) if look.list.is_some() => Some(brought::NO_FINDINGS.to_owned()),
        (true, false) => Some("nothing found".to_owned()),
        (false, _) => Some(seen.join("; ")),
    };
    let note = look.note.as_ref().map(|note| format!("note: {note}"));
    let gone = damage::gone(Some(&look.gone), look.why.as_ref());
    let said: Vec<String> = [result, seen, gone, note].into_iter().flatten().collect();
    let by = look.list.as_ref().map_or_else(|| format!("by {}", look.by), brought::listed);
    format!("{kind} on {} {by}: {}", look.on, said.join("; "))
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
