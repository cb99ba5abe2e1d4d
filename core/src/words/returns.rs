//! The sentences about a set that comes back: its dives, what was found, and what
//! is missing.

use chrono::NaiveDate;

use super::counted;
use super::sets::{ON_HOLD, QUARANTINED, plug_back};
use crate::event::PortName;
use crate::hose::Label;
use crate::tag::Code;

/// Dives of a return, and whether someone said how many.
fn dives_of_return(dives: u32, estimated: bool) -> String {
    let words = counted(i64::from(dives), "dive");
    if estimated { format!("{words} (estimated: nobody knew)") } else { words }
}

/// A return in a history.
pub(crate) fn came_back(
    set: &Label,
    tickets: &[Label],
    missing: &[Code],
    (dives, estimated): (u32, bool),
) -> String {
    let tickets: Vec<String> = tickets.iter().map(ToString::to_string).collect();
    let missing: Vec<String> = missing.iter().map(ToString::to_string).collect();
    let without = match missing.as_slice() {
        [] => String::new(),
        _ => format!(", without {}, missing", missing.join(", ")),
    };
    let dives = dives_of_return(dives, estimated);
    format!("came back with set {set}, ticket {}{without}; {dives}", tickets.join(", "))
}

/// Said when a set came back; `looked` is [`looked_at`].
#[must_use]
pub fn taken_back(
    set: &Label,
    ticket: &Label,
    (dives, estimated): (u32, bool),
    looked: &str,
    (stopped, quarantined): (bool, bool),
) -> String {
    let dives = dives_of_return(dives, estimated);
    let then = match (stopped, quarantined) {
        (_, true) => QUARANTINED,
        (true, false) => ON_HOLD,
        (false, false) => "Nothing keeps it from going out again.",
    };
    format!("Set {set} is back from ticket {ticket}, {dives} each on record. {looked} {then}")
}

/// That each hose that was scanned at a return counts as looked at, and on how
/// many of them nothing was found.
#[must_use]
pub fn looked_at(hoses: usize, found: usize) -> String {
    let hoses_in_words = counted(i64::try_from(hoses).unwrap_or(i64::MAX), "hose");
    let clean = match (found, hoses.saturating_sub(found)) {
        _ if hoses == 0 => return "No hose came back, so none was looked at.".to_owned(),
        (0, _) => "nothing found".to_owned(),
        (_, 0) => "something found on each".to_owned(),
        (_, 1) => "nothing found on one of them".to_owned(),
        (_, clean) => format!("nothing found on {clean} of them"),
    };
    format!("A quick look is on record for {hoses_in_words}, with {clean}.")
}

/// Why a hose is on hold that did not come back.
#[must_use]
pub fn missing_since(on: NaiveDate, ticket: &Label) -> String {
    format!("missing since {on}, ticket {ticket}")
}

/// Said of a hose that did not come back.
#[must_use]
pub fn did_not_come_back(hose: Code, port: Option<PortName>) -> String {
    let open = port.map(|port| format!(" {}", plug_back(port))).unwrap_or_default();
    format!("{hose} did not come back: it is on hold, and out of the set on record.{open}")
}

/// Why a return is refused: these hoses are out, and nobody says where they are.
#[must_use]
pub fn unaccounted(set: &Label, ticket: &Label, hoses: &[String]) -> String {
    let was = if hoses.len() == 1 { "was" } else { "were" };
    format!(
        "set {set} can't be taken back yet: out on ticket {ticket}, and neither scanned nor named \
         missing, {was} {}. Scan each hose that you have, or name it missing. Nothing was written",
        hoses.join("; ")
    )
}

/// What the form for a return asks for.
pub const RETURN_LEAD: &str = "Every hose that went out is scanned, or named missing. One that is \
missing is taken off the set on record, and is on hold until it is found. Look at each hose that \
came back, and say what you found on it or that you found nothing. A finding that you tick counts \
in any case.";

/// Submits a return, and says of some hoses that nothing was found on them; `others` if
/// something is said of others already.
#[must_use]
pub fn nothing_found_on(hoses: &[String], others: bool) -> String {
    let these = match (others, hoses.len()) {
        (false, 1) => "this one".to_owned(),
        (false, n) => format!("these {}", number(n)),
        (true, 1) => "the other one".to_owned(),
        (true, n) => format!("the other {}", number(n)),
    };
    format!("Nothing found on {these}, {}: take back", hoses.join(", "))
}

/// Submits a return with what is ticked of each hose.
pub const TAKE_BACK_AS_TICKED: &str = "Take back as ticked above";

/// A small number in words.
fn number(n: usize) -> String {
    let words = ["two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"];
    let word = n.checked_sub(2).and_then(|nth| words.get(nth));
    word.map_or_else(|| n.to_string(), ToString::to_string)
}

/// Why a return is refused: nobody says that these hoses were looked at.
#[must_use]
pub fn not_looked_at(hoses: &[String]) -> String {
    format!(
        "nothing is said of how {} looked: name what was found, or say that nothing was. Nothing \
         was written",
        hoses.join("; ")
    )
}

/// Said of a hose that was scanned at a return and is not out.
#[must_use]
pub fn not_out(hose: &str, place: &str) -> String {
    format!(
        "{hose} is not out. On record: {place}. If it came in place of another, name that one \
         missing"
    )
}

/// The way to taking hoses back, whatever set they are of.
pub const SCAN_THEM_BACK: &str = "Scan hoses that came back";

/// The way to the list of hoses that did not come back.
pub const EVERY_MISSING: &str = "Every missing hose";

/// The way to the hoses of other sets that were scanned with these.
pub const THE_REST: &str = "Take back the others";

/// What is done before any hose is scanned.
pub const SCAN_ANY: &str = "Scan every hose that came back, of any set, in any order.";

/// Beside the dives of a return.
#[must_use]
pub fn dives_unknown(a_day: u32) -> String {
    format!(
        "If nobody knows, {} for each day it was out are counted, and marked as estimated.",
        counted(i64::from(a_day), "dive")
    )
}

/// Said of a hose that was out with a set and is no longer in it.
#[must_use]
pub fn no_longer_in(set: &Label, hose: Code, place: &str) -> String {
    format!(
        "{hose} was out with set {set} and is not in it on record ({place}): the dives and the \
         look are recorded for it; check where it is."
    )
}

/// Said of a hose that is in a set and was not out with it.
#[must_use]
pub fn was_not_out(set: &Label, port: PortName, hose: Code) -> String {
    format!(
        "{hose} is in {port} of set {set} on record and was not out with it: no dives and no \
         look are recorded for it; check whether it is there."
    )
}
