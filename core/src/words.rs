//! The sentences of an answer: why, and what to do. Every face of the product
//! shows these and writes none of its own.

pub mod backup;
pub mod bench;
pub mod branches;
pub mod brief;
pub mod brought;
pub mod calendar;
pub mod care;
pub mod case;
pub mod chip;
pub mod conflicts;
pub mod counters;
pub mod damage;
mod doubt;
pub mod due_sheet;
pub mod form;
pub mod help;
mod history;
mod hoses;
pub mod inspection;
pub mod job;
pub mod labels;
pub mod limits;
pub mod lists;
pub mod lost;
pub mod meeting;
pub mod notices;
pub mod order_message;
pub mod owner;
pub mod packing;
pub mod pictures;
pub mod recall;
pub mod reminder;
pub mod rental;
pub mod returns;
pub mod screens;
mod seats;
pub mod set_form;
pub mod sets;
pub mod sharing;
pub mod sight;
pub mod slips;
pub mod staff;
pub mod survival;
pub mod swap;
pub mod tags;
pub mod today;
pub mod units;
pub mod withdrawal;

pub use doubt::{
    CUSTOMERS_IN_RENTAL, IN_STOCK, KEEP_AS_IT_IS, NO_SUCH_PORT, NOT_FOR_OXYGEN, PORT_DISPUTED,
    PORT_NOT_KNOWN_HP, PORT_NOT_KNOWN_LP, counted_so, meaning, wrong_pressure, wrong_thread,
};
pub(crate) use doubt::{
    corrected, held, identity_contested, misfit, not_believed, of_another, place_contested,
    recall_not_believed, recall_open, record_gap, record_old, rented_twice, set_contested,
    set_corrected, set_not_made, set_quarantined, swap_in_set,
};
pub use history::event;
pub use hoses::{
    ASK_THE_DESK, NOT_KNOWN_HERE, TAG_TITLE, UNKNOWN_BRIEFLY, UNKNOWN_HOSE, by_number, called,
    hose, hose_briefly, hose_of, hose_to_buy,
};
pub(crate) use seats::place_of;
pub use seats::{seat, seat_of, whereabouts};

use chrono::{Datelike, NaiveDate};

use crate::hose::End;
use crate::inspection::{Finding, Observation, Place, Verdict};
use crate::measure::PartialDate;
use crate::record::{LeakDue, LeakDueBecause, OpenFinding, OpenSwap, Recall, Retirement};

/// A text as it begins a sentence.
pub(crate) fn capital(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next().into_iter().flat_map(char::to_uppercase);
    first.chain(letters).collect()
}

/// A reason in words, and what to do about it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Said {
    /// Why.
    pub words: String,
    /// What to do.
    pub todo: String,
}

fn said(words: String, todo: &str) -> Said {
    Said { words, todo: todo.to_owned() }
}

/// Shown wherever an answer is shown.
pub const CAUTION: &str = "This answer reports records; it does not test the hose. A failed hose \
can kill. In doubt, hold it. The maker's instructions, local codes and a licensed technician come \
first. Never work on a pressurised regulator.";

/// What a verdict means, in one line.
#[must_use]
pub const fn verdict(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Ready => "Nothing is known against diving this hose.",
        Verdict::Watch => "Usable; something is to be compared next time.",
        Verdict::Hold => "Not to be dived until it is put right.",
        Verdict::Retire => "Never to be dived again.",
    }
}

/// The shape of a verdict in plain characters: a square, a triangle, a disc, a
/// ring with a bar, after the shapes of ISO 3864-1.
#[must_use]
pub const fn shape(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Ready => "[#]",
        Verdict::Watch => "/!\\",
        Verdict::Hold => "(!)",
        Verdict::Retire => "(/)",
    }
}

/// Months as people say them: `5 years`, `18 months`.
#[must_use]
pub fn months(months: u32) -> String {
    let (n, unit) =
        if months.is_multiple_of(12) { (months / 12, "year") } else { (months, "month") };
    counted(i64::from(n), unit)
}

/// `1 day`, `2 days`.
#[must_use]
pub fn counted(n: i64, unit: &str) -> String {
    format!("{n} {unit}{}", if n == 1 { "" } else { "s" })
}

/// A day as people say it, in the year of today without its year: `12 June`, `3 May 2025`.
#[must_use]
pub fn day(day: NaiveDate, today: NaiveDate) -> String {
    let form = if day.year() == today.year() { "%-d %B" } else { "%-d %B %Y" };
    day.format(form).to_string()
}

/// Days from today, in words: `today`, `in 3 days`, `3 days overdue`.
#[must_use]
pub fn days_in_words(days: i64) -> String {
    match days {
        0 => "today".to_owned(),
        1.. => format!("in {}", counted(days, "day")),
        _ => format!("{} overdue", counted(days.saturating_neg(), "day")),
    }
}

/// From where an age is counted: its words differ.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CountedFrom {
    /// The made date.
    Made(PartialDate),
    /// The bought date, used instead.
    Bought(PartialDate),
    /// The first fitting.
    Service(NaiveDate),
}

impl std::fmt::Display for CountedFrom {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Made(date) => write!(f, "Made {date}"),
            Self::Bought(date) => write!(f, "Bought {date}, made at an unknown date before"),
            Self::Service(date) => write!(f, "In service since {date}"),
        }
    }
}

pub(crate) fn age_over(from: CountedFrom, limit: u32, last_day: NaiveDate) -> Said {
    said(
        format!("{from}: its limit of {} ended on {last_day}.", months(limit)),
        "Replace it; do not dive it.",
    )
}

pub(crate) fn age_near(from: CountedFrom, limit: u32, last_day: NaiveDate, left: i64) -> Said {
    let when = if left == 0 { "today".to_owned() } else { format!("in {}", counted(left, "day")) };
    said(
        format!("{from}: its limit of {} ends on {last_day}, {when}.", months(limit)),
        "Plan its replacement now.",
    )
}

pub(crate) fn age_unknown() -> Said {
    said(
        "Neither its made nor its bought date is known, so its age is unknown.".to_owned(),
        "Read the date on the hose or ask who sold it, and record it.",
    )
}

pub(crate) fn stored_long(from: CountedFrom, years: u32) -> Said {
    said(
        format!("{from}: never fitted, and more than {years} years old."),
        "Give it a full inspection before it is fitted.",
    )
}

pub(crate) fn dives_over(dives: u32, limit: u32) -> Said {
    said(
        format!("{}: over its limit of {limit}.", counted(i64::from(dives), "dive")),
        "Replace it; do not dive it.",
    )
}

pub(crate) fn dives_near(dives: u32, limit: u32) -> Said {
    said(
        format!("{} of a limit of {limit}.", counted(i64::from(dives), "dive")),
        "Plan its replacement now.",
    )
}

pub(crate) fn inspection_never() -> Said {
    said("No full inspection is on record.".to_owned(), "Give it a full inspection.")
}

pub(crate) fn inspection_over(last: NaiveDate, last_day: NaiveDate) -> Said {
    said(
        format!("The last full inspection was on {last}; the next was due by {last_day}."),
        "Give it a full inspection.",
    )
}

pub(crate) fn inspection_near(last_day: NaiveDate, left: i64) -> Said {
    let when = if left == 0 { "today".to_owned() } else { format!("in {}", counted(left, "day")) };
    said(format!("A full inspection is due by {last_day}, {when}."), "Plan a full inspection.")
}

pub(crate) fn leak_test_due(due: LeakDue) -> Said {
    let what = match due.because {
        LeakDueBecause::Fitted => "It was fitted",
        LeakDueBecause::Moved => "It was moved to another port",
        LeakDueBecause::Resealed => "It was resealed",
        LeakDueBecause::Recoupled => "It got a new valve core or coupling",
        LeakDueBecause::Failed => "It failed its leak test",
        LeakDueBecause::Loosened => "It was loosened by a swap that was given up",
    };
    let then = match due.because {
        LeakDueBecause::Failed => "and has not passed one since",
        _ => "and has not passed a leak test since",
    };
    said(
        format!("{what} on {} {then}.", due.since),
        "Do a leak test under pressure and record its result.",
    )
}

pub(crate) fn recalled(recall: &Recall) -> Said {
    let of = capital(&recall.of.to_string());
    said(
        format!("{of} is recalled since {}: {}.", recall.on, recall.why),
        "Take it out of use and follow the maker's recall.",
    )
}

pub(crate) fn retired(end: &Retirement) -> Said {
    said(
        format!("Retired on {} by {}: {}.", end.on, end.by, end.why),
        "Cut it through, so that nobody dives it by mistake.",
    )
}

pub(crate) fn tag_old(since: NaiveDate, own: &str) -> Said {
    said(
        format!("This tag was replaced on {since}; the hose's own tag is {own}."),
        "Take the old tag off and scan the hose's own.",
    )
}

pub(crate) fn tag_only() -> Said {
    said(
        "This device has no record of the hose; what is shown comes from its tag alone.".to_owned(),
        "Ask where its record is kept and what it says before you dive it.",
    )
}

pub(crate) fn not_all_read(unread: u32) -> Said {
    let words = if unread == 0 {
        "This device does not know yet what kind of hose it is.".to_owned()
    } else {
        let those = if unread == 1 { "it" } else { "them" };
        format!(
            "Its record has {} that this version cannot read; {those} may change the answer.",
            if unread == 1 { "an entry".to_owned() } else { format!("{unread} entries") }
        )
    };
    said(words, "Update this program, or ask a device that is up to date.")
}

pub(crate) fn clock_odd(today: NaiveDate, newest: NaiveDate) -> Said {
    said(
        format!("Today is {today} on this device, but a record is dated {newest}."),
        "Set this device's date; if it is right, look at who wrote the record.",
    )
}

/// Between what was seen, and when and by whom.
const SEEN: &str = ", seen on ";

/// An open finding: what was seen, where, when and by whom.
pub(crate) fn finding(open: &OpenFinding, seen: &str, todo: &str) -> Said {
    let count = open.seen.count().filter(|n| *n > 0).map(|n| format!(" ({n})")).unwrap_or_default();
    let grown = open
        .grown_from
        .map(|(before, on)| format!(", up from {before} on {on}"))
        .unwrap_or_default();
    let place = place(&open.seen);
    let coupling = matches!(open.seen.finding(), Finding::CouplingLeaks | Finding::CouplingSticks);
    let waits = match (open.resealed, coupling) {
        (None, _) => "",
        (Some(_), false) => "; resealed since, not leak-tested yet",
        (Some(_), true) => "; a new valve core or coupling since, not leak-tested yet",
    };
    let words = format!("{place}: {seen}{count}{grown}{SEEN}{} by {}{waits}.", open.on, open.by);
    let todo = if open.resealed.is_some() { "Do a leak test under pressure." } else { todo };
    said(words, todo)
}

/// What a photograph shows: `photo: on the run`.
#[must_use]
pub fn photograph_of(place: Place) -> String {
    format!("photo: {}", head_of(place).to_lowercase())
}

/// Where something was seen, at the head of a sentence.
fn place(seen: &Observation) -> &'static str {
    head_of(seen.place())
}

const fn head_of(place: Place) -> &'static str {
    match place {
        Place::Run => "On the run",
        Place::EndA => "At the first-stage end",
        Place::EndB => "At the far end",
        Place::SealA => "At the first-stage seal",
        Place::SealB => "At the far seal",
    }
}

/// Said when an end gets new O-rings.
#[must_use]
pub fn resealed(end: End) -> String {
    let place = match end {
        End::A => "first-stage end",
        End::B => "far end (both O-rings of a swivel pin)",
    };
    format!("New O-rings at the {place} are on record; a leak test is due once the hose is fitted.")
}

/// A refusal as a sentence of its own: it begins in a small letter and ends without a
/// stop, for a program's name goes before it on a command line.
#[must_use]
pub fn sentence(words: &str) -> String {
    let mut letters = words.chars();
    let first: String = letters.next().map(|c| c.to_uppercase().collect()).unwrap_or_default();
    let ended = if words.ends_with(['.', '!', '?']) { "" } else { "." };
    format!("{first}{}{ended}", letters.as_str())
}

/// Said if an inflator hose gets a new valve core or coupling.
pub const RECOUPLE: &str = "For a coupling that leaks or sticks: a new valve core, or a new \
    coupling. A leak test, connected and disconnected, is due then once the hose is fitted.";

pub(crate) fn swap_open(swap: &OpenSwap, seat: &str, of_old: bool) -> Said {
    let role = if of_old { "being taken off" } else { "being put on" };
    let other = if of_old { swap.new } else { swap.old };
    said(
        format!(
            "A swap with {other} at {} was started on {} and is not finished: this hose is {role}.",
            seat, swap.since
        ),
        "Continue the swap and finish it, leak test included, or give it up.",
    )
}

/// Said of an entry that this version cannot read.
pub const UNREAD_ENTRY: &str = "something that this version cannot read; update this program";

/// What was seen, with its place and count: `on the run, broken threads (2)`.
#[must_use]
pub fn observation(seen: &Observation, words: &str) -> String {
    let count = seen.count().filter(|n| *n > 0).map(|n| format!(" ({n})")).unwrap_or_default();
    format!("{}, {words}{count}", place(seen).to_lowercase())
}
