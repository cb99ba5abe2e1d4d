//! What a chip says about its hose.

use crate::hose::Label;
use crate::tag::ndef::LastLook;

/// The last inspection as a chip carries it, in one sentence.
#[must_use]
pub fn look(look: &LastLook) -> String {
    let passed = match look.passed {
        Some(true) => ", passed",
        Some(false) => ", failed",
        None => "",
    };
    let open: Vec<&str> = look.open.iter().map(Label::as_str).collect();
    let open = if open.is_empty() { "nothing open".to_owned() } else { open.join(", ") };
    format!("Last inspection on the chip: {} on {}{passed}; {open}.", look.kind, look.on)
}
