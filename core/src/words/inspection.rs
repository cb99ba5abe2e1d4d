//! The words of the forms in which a hose is inspected, and a set taken back.

use crate::inspection::InspectionKind;

/// What a kind of inspection is called.
#[must_use]
pub const fn title(kind: InspectionKind) -> &'static str {
    match kind {
        InspectionKind::Full => "Full inspection",
        InspectionKind::Quick => "Quick look",
        InspectionKind::LeakTest => "Leak test",
    }
}

/// Said of a full inspection.
pub const FULL_LEAD: &str = "Every place needs an answer.";

/// Ticked at a checkpoint.
pub const NOTHING_FOUND: &str = "Looked at, nothing found";

/// Which of so many places is asked about.
#[must_use]
pub fn place_of(place: usize, all: usize) -> String {
    format!("Place {place} of {all}")
}

/// Answers a place at which nothing was found.
pub const NOTHING_HERE: &str = "Nothing found";
/// Begins the answer for a place at which something was.
pub const SOMETHING_HERE: &str = "Something…";
/// Goes on to the next place.
pub const NEXT_PLACE: &str = "Next place";
/// Goes back to the place before.
pub const PLACE_BEFORE: &str = "Previous place";
/// Said of a place that has no answer yet.
pub const NO_ANSWER_YET: &str = "No answer yet";

/// Over what can be found at a checkpoint.
pub const FOUND_HERE: &str = "Found here:";

/// What was found at a place last time.
#[must_use]
pub fn last_time(on: chrono::NaiveDate, found: &[String]) -> String {
    match found {
        [] => format!("Last time: nothing found ({on})"),
        found => format!("Last time ({on}): {}", found.join("; ")),
    }
}

/// A finding that is counted.
#[must_use]
pub fn how_many(what: &str) -> String {
    format!("How many: {what}")
}

/// A photo of what was found.
pub const PHOTO: &str = "Photo";
/// What is done with it.
pub const PHOTO_HINT: &str = "JPEG or PNG. It is made small and its location is removed.";
/// Of a place with one, where it is listed.
pub const WITH_PHOTO: &str = "with a photo";

/// Asked after a leak test.
pub const RESULT: &str = "Did nothing leak?";
/// It did not leak.
pub const PASSED: &str = "Passed: nothing leaked";
/// It did.
pub const FAILED: &str = "Failed: it leaked";
/// The pressure of a leak test.
pub const PRESSURE: &str = "Pressure";
/// How it is written.
pub const PRESSURE_HINT: &str = "for example 200 bar or 3000 psi; needed if nothing leaked";
/// How a leak test was done.
pub const METHOD: &str = "How it was tested";

/// What to do at a place of one of several hoses.
#[must_use]
pub fn of_hose(hose: &str, todo: &str) -> String {
    format!("{hose}. {todo}")
}

/// Over the form with which every hose of a set is inspected.
pub const SET_TITLE: &str = "Inspect the whole set";
/// Said before anything is scanned.
pub const SET_LEAD: &str =
    "Scan every hose of the set first, in any order; then answer for each of them, and save once.";
/// Said if nothing was scanned.
pub const SET_SCAN_FIRST: &str = "scan the hoses of the set first";
/// Over those that are not scanned yet; they are left as they are.
pub const SET_NOT_SCANNED: &str = "Not scanned: these stay as they are";
/// Over the leak test of a set.
pub const SET_LEAK_TEST: &str = "Leak test of all of these";
/// None leaked.
pub const SET_PASSED: &str = "Passed: none of them leaked";
/// Some did.
pub const SET_FAILED: &str = "Some leaked: tick them below";
/// There was none.
pub const SET_NOT_TESTED: &str = "Not tested";
/// Which did.
pub const SET_LEAKED: &str = "These leaked";
/// The result is missing.
pub const SET_SAY_RESULT: &str = "say what the leak test came to, or that there was none";
/// The result and the ticks don't go together.
pub const SET_WHICH: &str = "tick the hoses that leaked, and choose that some did; or neither";

/// A note.
pub const NOTE: &str = "Note";
/// A field that may stay empty.
pub const OPTIONAL: &str = "Optional";
/// The day on which something was done.
pub const ON_DAY: &str = "Date, if not today";

/// Over the form for a set that goes out, and on its button.
pub const HAND_OUT: &str = "Hand out";
/// The same in spite of what stops it.
pub const HAND_OUT_OVER: &str = "Hand out anyway";
/// The hirer's ticket.
pub const TICKET: &str = "Ticket number";
/// What is written there.
pub const TICKET_HINT: &str = "As 4711 or T-17, never a person's name";
/// Who overrides what stops a hand-out.
pub const OWN_NAME: &str = "Your name";
/// The name is missing.
pub const NO_NAME: &str = "an override needs your name";

/// Over the form for a set that comes back, and on its button.
pub const TAKE_BACK: &str = "Take back";

/// Asks for the tags of the hoses that go out.
pub const SCAN_SET: &str = "Scan every hose, in any order";
/// Beside what was scanned and is not of the set.
pub const UNTICK_SCANNED: &str = "Untick what was scanned by mistake.";

/// Dives since a set was handed out.
pub const DIVES: &str = "Dives made with it";
/// How many is not known.
pub const DIVES_UNKNOWN: &str = "Not known";
/// A hose that came back.
pub const HERE: &str = "Here";
/// A hose that did not.
pub const MISSING: &str = "Missing";
/// Asks for the tags of the hoses that came back.
pub const SCAN_RETURN: &str = "Scan the hoses that came back";
/// Over what was found on a hose that came back.
pub const REPORT: &str = "Report a finding";
/// The number of dives is missing.
pub const NO_DIVES: &str = "Enter how many dives were made with it, or tick that it is not known.";
