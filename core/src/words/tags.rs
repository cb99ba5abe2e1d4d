//! What stands beside a tag, so that it is tied on the right hose.

use crate::event::Seat;
use crate::hose::{Label, Service, Specification};

/// What a hose is, in the few words that a tag has room for: `2nd stage 75 cm`.
#[must_use]
pub fn what(hose: &Specification) -> String {
    let service = match hose.service() {
        Service::SecondStage => "2nd stage",
        Service::Inflator => "inflator",
        Service::Gauge => "gauge",
    };
    format!("{service} {}", hose.length())
}

/// Where a hose belongs, in few words: `R3 LP1`.
#[must_use]
pub fn place(seat: &Seat) -> String {
    format!("{} {}", seat.set, seat.port)
}

/// Where the tag of a set belongs.
pub const OF_SET: &str = "1st stage";

/// The name of a set on its tag.
#[must_use]
pub fn set(name: &Label) -> String {
    name.to_string()
}

/// Asks for the hose that gets a tag.
pub const TIE_LEAD: &str = "Scan the hose's old tag, or search for the hose.";
/// The same over the box that is scanned into.
pub const TIE_SCAN: &str = "Which hose gets this tag?";
/// Said where no hose is found.
pub const TIE_NONE: &str = "No hose found.";
/// Leads from a blank tag to the choice of its hose.
pub const TIE: &str = "Tie this tag on a hose on record";
