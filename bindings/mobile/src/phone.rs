//! What a phone says of itself: of files, chips, and records that come and go. What
//! is said of a hose, the core says.

use std::io;

use chrono::NaiveDate;
use hosewright_core::journal::{BundleError, MergeReport};
use hosewright_core::tag::ndef::{Held, Message, Ours};
use hosewright_core::words::{meeting, notices};

/// What to do if a phone has no screen for it.
pub(crate) fn at_the_counter(action: &str) -> String {
    format!("At the counter: {action}")
}

/// A file that was to be taken in is no bundle.
pub(crate) fn not_a_bundle(why: &BundleError) -> String {
    match why {
        BundleError::NotOurs => "This file is not a Hosewright bundle. Have the record shared \
                                 again from the other device."
            .to_owned(),
        BundleError::TooNew => {
            "A later version made this bundle. Update this app, and bring it in again.".to_owned()
        }
        BundleError::Spoilt => "The beginning of this bundle was cut off or changed on the way. \
                                Have it sent again."
            .to_owned(),
        BundleError::Io(why) => file_failed(why),
    }
}

/// A file, whose name means nothing on a phone, cannot be read or written.
pub(crate) fn file_failed(why: &io::Error) -> String {
    if why.kind() == io::ErrorKind::StorageFull {
        return "There is no room left on this phone for the file. Make room, and try again."
            .to_owned();
    }
    format!("The file cannot be read or written ({why}). Try again, or have it sent again.")
}

/// Several texts where one was asked for.
pub(crate) const SEVERAL: &str =
    "Several codes are in view. Hold one of them alone before the camera.";

/// What a file would bring, before it is taken in.
pub(crate) fn brings(entries: u64, made: Option<NaiveDate>) -> String {
    let entries = counted(entries);
    let made = made.map(|day| format!(", of {day}")).unwrap_or_default();
    format!(
        "This is the record of another device{made}: {entries}. Import it only if you know whose it is."
    )
}

/// Some of many hoses are shown.
pub(crate) fn of_all(shown: u64, all: u64) -> String {
    format!("{shown} of {all} hoses")
}

/// Some of the hoses that come near are shown.
pub(crate) fn nearest(shown: u64) -> String {
    format!("The nearest {shown} hoses")
}

/// Whether it speaks. It buzzes in any case.
pub(crate) const SPEAKS: &str = "Say aloud what is scanned";

/// Beside a photo that is asked for: what the record keeps of it.
pub(crate) const PHOTO_HINT: &str = "It is made small, and the place is taken out of it.";

/// A photo for a field that takes none.
pub(crate) const NO_PHOTO_HERE: &str = "No photo is kept here.";

/// A photo that was kept with a form, and whose file is gone.
pub(crate) const PHOTO_GONE: &str =
    "The photo is not there any more. Take it again, or leave it out.";

/// How far a merge is.
pub(crate) fn merging(done: u64, all: u64) -> String {
    format!("{done} of {all} entries are read. Nothing is recorded until all are.")
}

/// How far the saving of a damaged record is.
pub(crate) fn salvaging(done: u64, all: u64) -> String {
    format!("{done} of {all} pages of the damaged file are read. The file is not changed.")
}

/// After a damaged record was set aside in which nothing could be read.
pub(crate) fn nothing_to_save() -> [&'static str; 2] {
    [
        "No entry can be read in the damaged file. It was set aside as it is, and a new record \
         was started. Import the record of another device.",
        notices::HOLD_UNKNOWN,
    ]
}

/// Before a damaged record is saved.
pub(crate) const SALVAGE_LEAD: &str = "What can still be read is taken into a new record. The \
damaged file is set aside as it is and can be shared with someone who repairs it.";

/// What a merge did, a sentence a line.
pub(crate) fn merged(report: &MergeReport) -> Vec<String> {
    meeting::merge_and(report, |fleet| {
        format!(
            "It comes from fleet {}. This phone belongs to none, so it also believes devices that \
             the fleet's owner did not admit. A counter of that fleet lets it in by its symbol.",
            fleet.short()
        )
    })
}

/// What a chip holds, in one sentence.
pub(crate) fn chip_holds(held: &Held) -> String {
    match held {
        Held::Nothing => "This chip is empty.".to_owned(),
        Held::Ours(Ours { payload, besides: None, .. }) => {
            format!("This chip holds the tag {}.", payload.code)
        }
        Held::Ours(Ours { payload, besides: Some(besides), .. }) => {
            format!("This chip holds the tag {} and {besides}.", payload.code)
        }
        Held::Another(what) => format!("This chip holds something else: {what}."),
        Held::Unreadable(why) => format!("This chip cannot be understood: {why}."),
    }
}

/// What was written on a chip, and what had no room.
pub(crate) fn chip_written(message: &Message) -> &'static str {
    match (message.has_look, message.has_application) {
        (true, true) => "The chip carries the tag and the last inspection.",
        (true, false) => {
            "The chip carries the tag and the last inspection; it has no room for the app's name, \
             so a phone asks which app is to open it."
        }
        (false, true) => "The chip carries the tag; no inspection is on record.",
        (false, false) => "The chip carries the tag alone; it has no room for more.",
    }
}

/// Said over a bundle that is to be shared.
pub(crate) fn bundled(entries: u64) -> String {
    let entries = counted(entries);
    format!(
        "The whole record of this phone, {entries}, is in the file. Anyone who gets it can read it."
    )
}

fn counted(entries: u64) -> String {
    if entries == 1 { "1 entry".to_owned() } else { format!("{entries} entries") }
}

#[cfg(test)]
#[path = "phone_tests.rs"]
mod tests;
