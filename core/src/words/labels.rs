//! What headings, buttons and lines are called on more than one face.

use crate::hose::Label;

macro_rules! labels {
    ($($(#[$meta:meta])* $name:ident = $text:literal;)+) => {
        $($(#[$meta])* pub const $name: &str = $text;)+
    };
}

labels! {
    /// The way to scanning a hose.
    SCAN = "Scan";
    /// Asked where the camera sees more than one tag.
    SCAN_WHICH = "Two tags are in view. Which hose is it?";
    /// Said while nothing is seen.
    SCAN_LOOKING = "Hold the tag in view.";
    /// The way to the regulator sets.
    SETS = "Sets";
    /// What is due, and the way there.
    DUE = "Due";
    /// The way back from something that is done.
    FINISHED = "Finished";
    /// Begins a form again.
    START_AGAIN = "Start again";
    /// How old a hose is.
    AGE = "Age";
    /// Its last inspections.
    LOOKED_OVER = "Looked over";
    /// Dives on record.
    DIVES = "Dives";
    /// Where it is.
    WHERE = "Where";
    /// How fresh and whole the record is.
    RECORD = "Record";
    /// What happened to it.
    HISTORY = "History";
    /// Every hose, and the way there.
    HOSES_TITLE = "Hoses";
    /// Hoses of whatever verdict.
    HOSES_ALL = "all";
    /// Over the field that finds hoses.
    FIND = "Find by anything known of it";
    /// The next part of a list.
    MORE = "More";
    /// Hoses of a set that were scanned.
    FOUND = "Found";
    /// Hoses of a set that were not.
    MISSING = "Missing";
    /// What was scanned and belongs elsewhere.
    FOREIGN = "Not of this set";
    /// Hoses that came back and are not fine.
    STOPS = "Why it can't go out";
    /// Hoses that did not come back.
    LOST = "Hoses that did not come back";
    /// Hoses that came back.
    CAME_BACK = "The hoses that came back";
}

/// A set, as a heading and on the button that leads to it.
#[must_use]
pub fn set(name: &Label) -> String {
    format!("Set {name}")
}
