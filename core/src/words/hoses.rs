//! What a hose is, in words.

use crate::hose::{Label, Origin, Specification};
use crate::tag::Code;

/// Said for where a hose is that nobody here knows.
pub const NOT_KNOWN_HERE: &str = "not known here";

/// Said if nothing tells what a hose is, and there is little room.
pub const UNKNOWN_BRIEFLY: &str = "unknown hose";

/// Said if nothing tells what a hose is.
pub const UNKNOWN_HOSE: &str = "a hose of unknown kind";

/// The title of what a tag says of itself on a device that has no record.
pub const TAG_TITLE: &str = "What the tag says";

/// Said there: whether the hose may be dived is known elsewhere alone.
pub const ASK_THE_DESK: &str = "Whether this hose may be dived is not known on this device. Ask the \
    desk, or open Hosewright and scan there.";

/// What a hose is, in the few words that a table has room for.
#[must_use]
pub fn hose_briefly(hose: Option<&Specification>) -> String {
    hose.map_or_else(
        || UNKNOWN_HOSE.to_owned(),
        |hose| format!("{} {}, {}", hose.construction(), hose.service(), hose.length()),
    )
}

/// A hose by the shop's own number for it, if it has one, and its code.
#[must_use]
pub fn by_number(number: Option<&Label>, code: Code) -> String {
    number.map_or_else(|| code.to_string(), |number| format!("{number}, {code}"))
}

/// What people call a hose: its own number, else its code.
#[must_use]
pub fn called(number: Option<&Label>, code: Code) -> String {
    number.map_or_else(|| code.to_string(), ToString::to_string)
}

/// What a hose is, in one line: by its own number first, and what the shop notes of it.
#[must_use]
pub fn hose_of(of: &Specification, origin: &Origin) -> String {
    let number = origin.own.number.as_ref().map(|number| format!("{number}, "));
    let note = origin.own.note.as_ref().map(|note| format!("; {note}"));
    let model = origin.model.as_ref().map(|model| format!(", model {model}"));
    let owner = origin.own.owner.as_ref().filter(|owner| owner.ticket().is_some());
    let owner = owner.map(|owner| format!(", {owner}"));
    format!(
        "{}{}{}{}{}",
        number.unwrap_or_default(),
        hose(of, origin.maker.as_ref(), origin.lot.as_ref()),
        model.unwrap_or_default(),
        owner.unwrap_or_default(),
        note.unwrap_or_default()
    )
}

/// What a hose to buy is, in one line.
#[must_use]
pub fn hose_to_buy(hose: &Specification) -> String {
    let oxygen = if hose.oxygen() { ", cleaned for oxygen" } else { "" };
    format!("{hose}{oxygen}")
}

/// What a hose is, in one line.
#[must_use]
pub fn hose(hose: &Specification, maker: Option<&Label>, lot: Option<&Label>) -> String {
    let mut line = hose.to_string();
    if hose.protector() {
        line.push_str(", with protector");
    }
    if hose.oxygen() {
        line.push_str(", cleaned for oxygen");
    }
    if let Some(maker) = maker {
        line.push_str(&format!(", by {maker}"));
    }
    if let Some(lot) = lot {
        line.push_str(&format!(", lot {lot}"));
    }
    line
}
