//! How results look in a terminal. The words come from the core.

pub mod answer;
pub mod brief;
mod command;

pub use command::{command, written};
pub mod csv;
pub mod hand_out;
pub mod part;
pub mod progress;
pub mod set_answer;
pub mod sets;
pub mod sheet;
pub mod table;

use hosewright_core::HistoryLine;
use hosewright_core::hose::Label;
use hosewright_core::journal::Trust;
use hosewright_core::tag::Code;
use serde_json::{Value, json};

/// A hose in a row: the shop's own number for it, if there is one, above its code.
pub fn numbered(number: Option<&Label>, code: Code) -> String {
    number.map_or_else(|| code.to_string(), |number| format!("{number}\n{code}"))
}

/// A line of a history for a program, with the digits that name its entry.
pub fn line_as_json(line: &HistoryLine) -> Value {
    let entry = &line.entry;
    json!({
        "entry": line.id,
        "on": entry.on,
        "at": entry.at.time(),
        "by": entry.by,
        "kind": entry.kind,
        "words": line.words,
        "believed": line.trust > Trust::Disbelieved,
        "withdrawn": line.withdrawn.is_some(),
        "device": entry.device.to_string(),
        "seq": entry.seq,
    })
}
