//! The sentences of a hand-out: what is still to scan, what the hirer is told, and
//! the slip that goes with the set.

use chrono::NaiveDate;

use super::counted;
use crate::event::PortName;
use crate::hose::{Label, Prose};

/// Said of a hose of the set that was scanned.
pub const SCANNED: &str = "Scanned";
/// Said of one that was not.
pub const NOT_YET: &str = "Not scanned yet";
/// Said of a hose that was scanned and belongs elsewhere.
pub const NOT_OF_THIS_SET: &str = "Not of this set";
/// Said of something that was scanned and names no hose.
pub const NOT_KNOWN: &str = "Not known";

/// How many hoses are to be scanned, `begun` if some were.
#[must_use]
pub fn to_scan(hoses: usize, begun: bool) -> String {
    let hoses = counted(i64::try_from(hoses).unwrap_or(i64::MAX), "hose");
    if begun { format!("{hoses} still to scan.") } else { format!("{hoses} to scan.") }
}

/// Said of a hose that was scanned just now, with so many still to scan.
#[must_use]
pub fn ticked(hose: &str, left: usize) -> String {
    match left {
        0 => format!("{hose} is here. That is all of them."),
        left => format!("{hose} is here. {left} to go."),
    }
}

/// Said of one that was scanned before.
#[must_use]
pub fn ticked_before(hose: &str, left: usize) -> String {
    format!("{hose} was scanned before. {left} to go.")
}

/// Said of one that belongs elsewhere.
#[must_use]
pub fn not_of_this(hose: &str) -> String {
    format!("{hose} is not of this set.")
}

/// Over what the hirer is told.
pub const TELL: &str = "Tell the hirer";

/// What the hirer is told of something that was seen on a hose, and does not stop it:
/// by whom and when is for the shop.
#[must_use]
pub(crate) fn seen_on(
    (port, number, hose): (Option<PortName>, Option<&Label>, &str),
    seen: &str,
) -> String {
    let port = port.map(|port| format!("{port}, ")).unwrap_or_default();
    let number = number.map(|number| format!("{number}, ")).unwrap_or_default();
    let (seen, _) = seen.split_once(super::SEEN).unwrap_or((seen.trim_end_matches('.'), ""));
    format!(
        "{port}{number}{hose}. {seen}. Look at it before each dive. If it has got worse, do not \
         dive it and bring it back."
    )
}

/// The title of the slip.
#[must_use]
pub fn slip(set: &Label) -> String {
    format!("Regulator set {set}")
}

/// When a set went out, and on which ticket.
#[must_use]
pub fn since(on: NaiveDate, ticket: &Label) -> String {
    format!("Ticket {ticket}, out since {on}")
}

/// Said of a set that went out although something spoke against it.
#[must_use]
pub fn over_objections(why: &Prose) -> String {
    let why = why.phrase();
    format!("It went out over the objections: {why}. The reason stays on record.")
}

/// Over what is to be watched, on the slip.
pub const SLIP_WATCH: &str = "Watch these";

/// Over the hoses of a slip.
pub const SLIP_HOSES: &str = "Hoses";

/// Over what a hirer heeds.
pub const SLIP_CAUTIONS: &str = "Before you dive";

/// What every hirer heeds (common practice, no source).
pub const CAUTIONS: [&str; 5] = [
    "This is breathing equipment: a hose that fails can kill.",
    "Before each day of diving, open the cylinder and look at every hose: no cut, lump, kink or \
     bubbles, no loose metal.",
    "If anything looks wrong, or you are in doubt, do not dive it. Bring it back.",
    "Do not take a hose off, and do not change one for another.",
    "After diving, rinse the set in fresh water and hang it up out of the sun.",
];

/// The button that prints the slip.
pub const PRINT_SLIP: &str = "Print the slip";
