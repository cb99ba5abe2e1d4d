//! What stands beside a tag, so that it is tied on the right hose.

use super::counted;
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

/// Over the choice of tags to print.
pub const TAGS_TITLE: &str = "Print tags";
/// How wide each is.
pub const TAGS_SIZE: &str = "Width of a tag";
/// What they are printed on.
pub const TAGS_FORM: &str = "Form";
/// A sheet to cut up.
pub const TAGS_SHEET_A4: &str = "Sheet, A4";
/// The same on the other paper.
pub const TAGS_SHEET_LETTER: &str = "Sheet, Letter";
/// A roll of labels.
pub const TAGS_ROLL: &str = "Label roll: one tag a label";
/// Sheets of labels that are cut already; their measures follow.
pub const TAGS_LABELS: &str = "Labels";
/// The tags of all of them.
pub const TAGS_ALL: &str = "Every hose in service";
/// How they come.
pub const TAGS_IN_ORDER: &str = "In the order of sets and ports.";

/// Asks for the hose that gets a tag.
pub const TIE_LEAD: &str = "Scan the hose's old tag, or search for the hose.";
/// The same over the box that is scanned into.
pub const TIE_SCAN: &str = "Which hose gets this tag?";
/// Said where no hose is found.
pub const TIE_NONE: &str = "No hose found.";
/// Leads from a blank tag to the choice of its hose.
pub const TIE: &str = "Tie this tag on a hose on record";

/// How many there are and on how many pages; what is to be known of them follows.
#[must_use]
pub fn printed(tags: u32, pages: u32) -> String {
    let (tags, pages) = (counted(tags.into(), "tag"), counted(pages.into(), "page"));
    format!("{tags}, {pages}. {TAGS_IN_ORDER}")
}

/// Said where there are so many hoses that their tags are not printed at once.
#[must_use]
pub fn too_many(most: u32) -> String {
    format!("There are more than {most} hoses; print their tags set by set.")
}
