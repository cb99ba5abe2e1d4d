//! The sentences of doubt: what is in doubt, between whom, and what ends it.

use chrono::NaiveDate;

use super::{Said, event, said};
use crate::event::SetId;
use crate::hose::{Fitting, Label, Owner, Pressure, Prose, Service, Specification, Thread};
use crate::inspection::Verdict;
use crate::journal::Trust;
use crate::record::{
    CorrectedThing, Correction, Disbelieved, Hold, OpenSwap, Recall, SetCorrection,
};

/// Where a hose is that is in no port.
pub const IN_STOCK: &str = "in stock";

/// What to do with a hose after an accident, whatever else is known of it.
pub const KEEP_AS_IT_IS: &str =
    "Keep it as it is: mark it, put it aside and let nobody work on it.";

/// Said of a port of which not all say the same.
pub const PORT_DISPUTED: &str = "two devices describe this port differently";

/// Said of a port that the set does not have.
pub const NO_SUCH_PORT: &str = "the set has no such port";

/// Said of an ordinary hose on a set that is cleaned for oxygen.
pub const NOT_FOR_OXYGEN: &str =
    "the set is cleaned for oxygen, and this hose is not on record as cleaned for it";

/// Said of a customer's hose in a set that is for rental.
pub const CUSTOMERS_IN_RENTAL: &str =
    "it is a customer's, and the set is for rental: a customer's set is never handed out";

/// Why a customer's hose is not to be in a set of someone else.
pub(crate) fn of_another(ticket: &Label, set: &Owner) -> String {
    format!("it is on record as a customer's, ticket {ticket}, and the set is {set}")
}

/// Said of a low-pressure hose in a port that may give high pressure.
pub const PORT_NOT_KNOWN_LP: &str = "it is not known whether this 3/8-24 port gives low \
    pressure; a high-pressure port with that thread bursts the hose. Measure it first";

/// Said of a high-pressure hose in a port that may give low pressure.
pub const PORT_NOT_KNOWN_HP: &str =
    "it is not known whether this port gives high pressure, and it is a high-pressure hose";

/// What an answer means here, in one sentence: by its verdict and the first of
/// the reasons that are as bad.
#[must_use]
pub fn meaning(verdict: Verdict, code: &str, after_incident: bool) -> &'static str {
    match (verdict, code) {
        (Verdict::Ready, _) => "Nothing is known against diving this hose.",
        (_, _) if after_incident => {
            "Not to be dived: kept unchanged while an accident is investigated."
        }
        (Verdict::Retire, _) => "Never to be dived again: cut it through.",
        (Verdict::Hold, "tag-only") => "Not known here: ask before you dive it.",
        (Verdict::Hold, "tag-old") => "Not to be dived by this tag: scan the hose's own.",
        (Verdict::Hold, "leak-test-due") => "Not to be dived until it passes a leak test. Mark it.",
        (Verdict::Hold, "recalled") => "Not to be dived: it is recalled. Mark it and put it aside.",
        (Verdict::Hold, "recall-open") => {
            "Not to be dived until you know whether a recall covers it. Mark it and put it aside."
        }
        (Verdict::Hold, "identity-contested") => {
            "Not to be dived: it could be either of two hoses. Mark it and put it aside."
        }
        (Verdict::Hold, "inspection-never" | "inspection-over") => {
            "Not to be dived until it has a full inspection. Mark it."
        }
        (Verdict::Hold, _) => "Not to be dived until it is put right. Mark it and put it aside.",
        (Verdict::Watch, "finding-strands") => "Usable; count the strands again next time.",
        (Verdict::Watch, "age-near" | "dives-near") => "Usable; plan its replacement now.",
        (Verdict::Watch, "age-unknown") => "Usable; find out how old it is.",
        (Verdict::Watch, "stored-long" | "inspection-over" | "corrected") => {
            "Usable; give it a full inspection soon."
        }
        (Verdict::Watch, "place-contested" | "set-contested") => {
            "Usable; check which set it belongs to."
        }
        (Verdict::Watch, "not-believed") => {
            "Usable by what is believed; an entry that is not believed says more."
        }
        (Verdict::Watch, "not-all-read" | "record-gap" | "record-old" | "clock-odd") => {
            "Usable as far as this device knows; it may not know everything."
        }
        (Verdict::Watch, "rented-twice") => "Usable; find out which hirer has it.",
        (Verdict::Watch, _) => "Usable; compare it next time.",
    }
}

/// What happened in words, with how it counts if that is not wholly.
#[must_use]
pub fn counted_so(
    said: &str,
    trust: Trust,
    withdrawn: Option<(NaiveDate, &Label, &Prose)>,
) -> String {
    let mark = match (withdrawn, trust) {
        (Some((on, by, why)), _) => format!(" [withdrawn on {on} by {by}: {why}]"),
        (None, Trust::Disbelieved) => " [not believed]".to_owned(),
        (None, Trust::AddsOnly) => " [in doubt: it adds warnings and clears none]".to_owned(),
        (None, Trust::Full) => String::new(),
    };
    format!("{said}{mark}")
}

/// Why a hose of a service does not go into a port of a kind.
#[must_use]
pub fn wrong_pressure(service: Service, port: Pressure) -> String {
    let (hose, port) = match port {
        Pressure::High => ("a low-pressure hose", "a high-pressure port"),
        Pressure::Low => ("a high-pressure hose", "a low-pressure port"),
    };
    format!("it is {hose} ({service}), and that is {port}")
}

/// Why a fitting does not go into a port of a thread.
#[must_use]
pub fn wrong_thread(end: &Fitting, cut: Thread) -> String {
    format!("{end} will not go into a {cut} port")
}

pub(crate) fn held(hold: &Hold, set: Option<&Label>) -> Said {
    let what = set.map_or_else(|| "Put on hold".to_owned(), |set| format!("Set {set} put on hold"));
    let (on, by, why) = (hold.when.0, &hold.by, hold.why.phrase());
    if hold.incident {
        return said(
            format!("{what} after an incident, on {on} by {by}: {why}."),
            "Keep it as it is, mark it and put it aside; the owner releases it.",
        );
    }
    // What it says was true of that return alone.
    let back = if hold.return_withdrawn { RETURN_WITHDRAWN } else { "" };
    said(
        format!("{what} on {on} by {by}: {why}.{back}"),
        "Settle what it is about, then release it with a reason.",
    )
}

const RETURN_WITHDRAWN: &str = " The return that said so has been withdrawn.";

pub(crate) fn set_quarantined(hold: &Hold, set: &Label) -> Said {
    said(
        format!("Set {set} is in quarantine since {}: {}.", hold.when.0, hold.why.phrase()),
        "Fix what was found, then release the set with a reason.",
    )
}

pub(crate) fn corrected(correction: &Correction) -> Said {
    let what = match correction.what {
        CorrectedThing::Withdrawal => "Something on record was withdrawn",
        CorrectedThing::Dismissal => "What is not believed was dismissed",
        CorrectedThing::Description => "Its details were changed",
        CorrectedThing::Set => "Its set was changed",
    };
    let Correction { on, by, why, .. } = correction;
    let why = why.phrase();
    said(
        format!("{what} on {on} by {by}: {why}."),
        "Give it a full inspection to confirm the correction.",
    )
}

pub(crate) fn set_corrected(correction: &SetCorrection, set: &Label) -> Said {
    let (on, by, why) = (correction.when.0, &correction.by, correction.why.phrase());
    said(
        format!("{} of set {set} were corrected on {on} by {by}: {why}.", what(correction)),
        "Give it a full inspection to confirm that it fits its port.",
    )
}

const fn what(correction: &SetCorrection) -> &'static str {
    if correction.oxygen { "The ports or the oxygen cleaning" } else { "The ports" }
}

pub(crate) fn misfit(seat: &str, why: &str) -> Said {
    said(
        format!("The record has it in {seat}, where it does not fit: {why}."),
        "Check which is right. Take it off, or correct the hose or the port with a reason.",
    )
}

pub(crate) fn place_contested(seats: &[String], rivals: &[String]) -> Said {
    let words = if rivals.is_empty() {
        format!("Two devices put it in different places while apart: {}.", seats.join("; "))
    } else {
        format!("Two devices used its port while apart: {} is there too.", rivals.join(", "))
    };
    said(words, "Look where it is and confirm its place.")
}

pub(crate) fn set_contested(set: &Label) -> Said {
    said(
        format!("Two devices changed set {set} differently."),
        "Look at the set and save its use and ports again.",
    )
}

pub(crate) fn identity_contested() -> Said {
    said(
        "Two hoses have this tag: two devices registered one each.".to_owned(),
        "Give the hose in your hand a new tag and a full inspection; this tag no longer answers.",
    )
}

pub(crate) fn not_believed(
    entry: &Disbelieved,
    hose: Option<&Specification>,
    name: &dyn Fn(SetId) -> Label,
) -> Said {
    let says = entry
        .says
        .as_ref()
        .map_or_else(|| super::UNREAD_ENTRY.to_owned(), |says| event(says, hose, name));
    said(
        format!(
            "An entry of {} by {} is not believed, because nobody vouches for its writer. It \
             says: {says}.",
            entry.on, entry.by
        ),
        "Give it a full inspection, or have the owner admit the device or dismiss the entry.",
    )
}

pub(crate) fn recall_not_believed(recall: &Recall) -> Said {
    said(
        format!("A recall of {} may cover it, but is not believed: {}.", recall.of, recall.why),
        "Ask the owner to admit the device that wrote it, or to dismiss the entry.",
    )
}

pub(crate) fn recall_open(recall: &Recall) -> Said {
    let of = super::capital(&recall.of.to_string());
    let (open, todo) = if recall.of.lot_alone().is_some() {
        (
            "Its own lot or maker is not known, so it may be one of them.",
            "Read lot and maker off the hose and record them, with that as the reason.",
        )
    } else {
        (
            "Not all of that is known about this hose, so it may be one of them.",
            "Read maker, lot, model and made date off the hose and record them, with that as the \
             reason.",
        )
    };
    said(format!("{of} is recalled since {}: {}. {open}", recall.on, recall.why), todo)
}

pub(crate) fn swap_in_set(swap: &OpenSwap, set: &Label) -> Said {
    said(
        format!(
            "In set {set} a swap of {} for {} was started on {} and is not finished.",
            swap.old, swap.new, swap.since
        ),
        "Continue the swap and finish it, leak test included, or give it up.",
    )
}

pub(crate) fn set_not_made(seat: &str) -> Said {
    said(
        format!("It is in {seat}, but this device does not have that set's record."),
        "Import the record of the device that registered the set.",
    )
}

pub(crate) fn record_gap() -> Said {
    said(
        "Some entries of a device are missing here; they may be about this hose.".to_owned(),
        "Import that device's record; if it is gone, the owner declares the entries lost.",
    )
}

pub(crate) fn record_old(met: NaiveDate) -> Said {
    said(
        format!("This is what this device knew on {met}, when it last met another."),
        "Import another device's record before you rely on it.",
    )
}

pub(crate) fn rented_twice(tickets: &[&Label]) -> Said {
    let tickets: Vec<String> = tickets.iter().map(ToString::to_string).collect();
    said(
        format!("Two devices handed it out, under tickets {}.", tickets.join(" and ")),
        "Find out which hirer has it, then take both tickets back.",
    )
}
