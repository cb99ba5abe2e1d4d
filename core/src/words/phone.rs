//! The sentences of a phone: what keeps a phone from scanning or from the
//! record, and the way on from there; refusals that are worded for a command
//! line elsewhere; what a chip holds.

use std::io;

use super::{Said, meeting};
use crate::hose::{Label, words};
use crate::journal::{BundleError, MergeReport, StoreError};
use crate::tag::ndef::{Held, LastLook, Message, Ours};

words!(
    /// What can be an obstacle on a phone.
    Obstacle, "thing in the way", {
        /// The person did not let the app use the camera.
        CameraRefused = "camera-refused",
        /// The system no longer asks whether the app may use the camera.
        CameraForbidden = "camera-forbidden",
        /// Another app has the camera, or it failed.
        CameraBusy = "camera-busy",
        /// The phone has no camera.
        NoCamera = "no-camera",
        /// NFC is switched off.
        ChipsOff = "nfc-off",
        /// The phone has no NFC.
        NoChips = "no-nfc",
        /// The chip was taken away too soon.
        ChipLost = "chip-lost",
        /// A file that another app has could not be fetched.
        FileLost = "file-lost",
        /// No room is left.
        StorageFull = "storage-full",
        /// Something else writes in the record just now.
        StoreInUse = "store-in-use",
        /// The record cannot be written.
        StoreReadOnly = "store-read-only",
        /// The record was written by a later version.
        StoreTooNew = "store-too-new",
        /// The record's file is damaged, or something else.
        StoreDamaged = "store-damaged",
        /// The record cannot be used for another reason.
        StoreFailed = "store-failed",
        /// Something went wrong inside the app.
        Fault = "fault",
    }
);

words!(
    /// The way on from an obstacle.
    WayOn, "way on", {
        /// Ask again for leave to use the camera.
        Ask = "ask",
        /// Open the system's settings of this app.
        AppSettings = "app-settings",
        /// Open the system's settings of NFC.
        ChipSettings = "nfc-settings",
        /// Open the system's settings of storage.
        StorageSettings = "storage-settings",
        /// Type the code.
        TypeCode = "type-code",
        /// Try again.
        TryAgain = "try-again",
        /// Share a copy of what is here, for someone who can repair it.
        ShareCopy = "share-copy",
        /// Take what can still be read into a new record.
        Salvage = "salvage",
    }
);

impl WayOn {
    /// What its button says.
    #[must_use]
    pub const fn in_words(self) -> &'static str {
        match self {
            Self::Ask => "Ask me again",
            Self::AppSettings => "Open this app's settings",
            Self::ChipSettings => "Open the NFC settings",
            Self::StorageSettings => "Make room",
            Self::TypeCode => "Type the code",
            Self::TryAgain => "Try again",
            Self::ShareCopy => "Share a copy of the record",
            Self::Salvage => "Save what can be read",
        }
    }
}

/// What to do if a phone has no screen for it.
#[must_use]
pub fn at_the_counter(action: &str) -> String {
    format!("At the counter: {action}")
}

impl Obstacle {
    /// What is the matter, and what to do.
    #[must_use]
    pub fn in_words(self) -> Said {
        let (words, todo) = match self {
            Self::CameraRefused => (
                "Without the camera no tag can be scanned.",
                "Allow the camera, or type the code that is printed on the tag.",
            ),
            Self::CameraForbidden => (
                "This phone no longer asks whether this app may use the camera.",
                "Allow it in the app's settings, or type the code that is printed on the tag.",
            ),
            Self::CameraBusy => (
                "The camera cannot be used now; another app may have it.",
                "Close that app and try again, or type the code that is printed on the tag.",
            ),
            Self::NoCamera => (
                "This phone has no camera that can be used.",
                "Type the code that is printed on the tag.",
            ),
            Self::ChipsOff => (
                "NFC is switched off, so no chip can be read or written.",
                "Switch it on in the settings; the printed tag can be scanned without it.",
            ),
            Self::NoChips => (
                "This phone cannot read or write chips.",
                "Scan the printed tag, or type its code.",
            ),
            Self::ChipLost => (
                "The chip was taken away too early.",
                "Hold it still at the back of the phone until the phone says that it is done.",
            ),
            Self::FileLost => (
                "The file could not be fetched from the app that has it.",
                "Save it on this phone first, or have it sent again.",
            ),
            Self::StorageFull => (
                "There is no room left on this phone. What you entered last is not on record.",
                "Make room, then enter it again; everything before it is safe.",
            ),
            Self::StoreInUse => (
                "The record is in use. What you entered last is not on record.",
                "Wait a moment and try again.",
            ),
            Self::StoreReadOnly => (
                "The record cannot be written. What you entered last is not on record.",
                "Try again; if that does not help, share a copy of the record and restart the \
                 phone.",
            ),
            Self::StoreTooNew => (
                "The record was written by a later version of this app.",
                "Update this app. Nothing was changed.",
            ),
            Self::StoreDamaged => (
                "The record's file is damaged. Nothing was changed, and nothing was deleted.",
                "Share a copy of it, then save what can be read, and import the record of \
                 another device. Hold every hose that you cannot look up.",
            ),
            Self::StoreFailed => (
                "The record cannot be used. Nothing was changed.",
                "Try again; if that does not help, hold every hose that you cannot look up.",
            ),
            Self::Fault => (
                "Something went wrong inside this app. What you entered last may not be on record.",
                "Try again, and look whether it is there. In doubt, hold the hose.",
            ),
        };
        Said { words: words.to_owned(), todo: todo.to_owned() }
    }

    /// The ways on, the best first; never none.
    #[must_use]
    pub const fn ways_on(self) -> &'static [WayOn] {
        match self {
            Self::CameraRefused => &[WayOn::Ask, WayOn::TypeCode],
            Self::CameraForbidden => &[WayOn::AppSettings, WayOn::TypeCode],
            Self::CameraBusy => &[WayOn::TryAgain, WayOn::TypeCode],
            Self::NoCamera | Self::NoChips => &[WayOn::TypeCode],
            Self::ChipsOff => &[WayOn::ChipSettings, WayOn::TypeCode],
            Self::ChipLost
            | Self::FileLost
            | Self::StoreInUse
            | Self::StoreFailed
            | Self::Fault => &[WayOn::TryAgain],
            Self::StorageFull => &[WayOn::StorageSettings, WayOn::TryAgain],
            Self::StoreReadOnly => &[WayOn::TryAgain, WayOn::ShareCopy],
            Self::StoreDamaged => &[WayOn::TryAgain, WayOn::ShareCopy, WayOn::Salvage],
            Self::StoreTooNew => &[WayOn::ShareCopy],
        }
    }

    /// The obstacle that an error of the store is on a phone, if nobody
    /// names another file.
    #[must_use]
    pub const fn of(error: &StoreError) -> Self {
        match error {
            StoreError::Locked => Self::StoreInUse,
            StoreError::Full => Self::StorageFull,
            StoreError::ReadOnly(_) | StoreError::Io { .. } => Self::StoreReadOnly,
            StoreError::TooNew { .. } => Self::StoreTooNew,
            StoreError::NotOurs(_)
            | StoreError::Empty(_)
            | StoreError::Damaged { .. }
            | StoreError::Unreadable(_) => Self::StoreDamaged,
            StoreError::Keys(_)
            | StoreError::Sql(_)
            | StoreError::Missing(_)
            | StoreError::LogApart { .. } => Self::StoreFailed,
        }
    }
}

/// A file that was to be taken in is no bundle.
#[must_use]
pub fn not_a_bundle(why: &BundleError) -> String {
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
#[must_use]
pub fn file_failed(why: &io::Error) -> String {
    if why.kind() == io::ErrorKind::StorageFull {
        return "There is no room left on this phone for the file. Make room, and try again."
            .to_owned();
    }
    format!("The file cannot be read or written ({why}). Try again, or have it sent again.")
}

/// How far a merge is.
#[must_use]
pub fn merging(done: u64, all: u64) -> String {
    format!("{done} of {all} entries are read. Nothing is recorded until all are.")
}

/// How far the saving of a damaged record is.
#[must_use]
pub fn salvaging(done: u64, all: u64) -> String {
    format!("{done} of {all} pages of the damaged file are read. The file is not changed.")
}

/// After a damaged record was set aside in which nothing could be read.
pub const NOTHING_TO_SAVE: &str = "No entry can be read in the damaged file. It was set aside as \
it is, and a new record was started. Import the record of another device, and hold every hose that \
you cannot look up.";

/// Before a damaged record is saved.
pub const SALVAGE_LEAD: &str = "What can still be read is taken into a new record. The damaged \
file is set aside as it is and can be shared with someone who repairs it.";

/// What a merge did, a sentence a line. A phone cannot join a fleet yet.
#[must_use]
pub fn merged(report: &MergeReport) -> Vec<String> {
    meeting::merge_and(report, |fleet| {
        format!(
            "It comes from fleet {}. A phone cannot join a fleet yet, so this one also believes \
             devices that the fleet's owner did not admit.",
            fleet.short()
        )
    })
}

/// What a chip holds, in one sentence.
#[must_use]
pub fn chip_holds(held: &Held) -> String {
    match held {
        Held::Nothing => "This chip is empty.".to_owned(),
        Held::Ours(Ours { payload, besides: None, .. }) => {
            format!("This chip holds the tag {}.", payload.code)
        }
        Held::Ours(Ours { payload, besides: Some(besides), .. }) => {
            format!("This chip holds the tag {} and {besides}.", payload.code)
        }
        Held::Another(what) => format!("This chip is not a hose's: it holds {what}."),
        Held::Unreadable(why) => format!("This chip cannot be understood: {why}."),
    }
}

/// The last inspection as a chip carries it, in one sentence.
#[must_use]
pub fn chip_look(look: &LastLook) -> String {
    let passed = match look.passed {
        Some(true) => ", passed",
        Some(false) => ", failed",
        None => "",
    };
    let open: Vec<&str> = look.open.iter().map(Label::as_str).collect();
    let open = if open.is_empty() { "nothing open".to_owned() } else { open.join(", ") };
    format!("Last inspection on the chip: {} on {}{passed}; {open}.", look.kind, look.on)
}

/// What was written on a chip, and what had no room.
#[must_use]
pub fn chip_written(message: &Message) -> &'static str {
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
#[must_use]
pub fn bundled(entries: u64) -> String {
    let entries = if entries == 1 { "1 entry".to_owned() } else { format!("{entries} entries") };
    format!(
        "The whole record of this phone, {entries}, is in the file. Anyone who gets it can read it."
    )
}

#[cfg(test)]
#[path = "phone_tests.rs"]
mod tests;
