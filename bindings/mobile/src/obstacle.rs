//! What can be in the way on a phone, what to do, and the ways on.

use hosewright_core::journal::StoreError;
use hosewright_core::words::notices::{HOLD_IN_DOUBT, HOLD_UNKNOWN};

use crate::Words;

/// What can be an obstacle on a phone.
#[derive(Debug, Clone, Copy, PartialEq, Eq, uniffi::Enum)]
pub enum Obstacle {
    /// The person did not let the app use the camera.
    CameraRefused,
    /// The system no longer asks whether the app may use the camera.
    CameraForbidden,
    /// Another app has the camera, or it failed.
    CameraBusy,
    /// The phone has no camera.
    NoCamera,
    /// NFC is switched off.
    ChipsOff,
    /// The phone has no NFC.
    NoChips,
    /// The chip was taken away too soon.
    ChipLost,
    /// A file that another app has could not be fetched.
    FileLost,
    /// No photo came of the camera or of the phone's own photos.
    PhotoFailed,
    /// The person, or the system, lets the app show no reminders.
    RemindersRefused,
    /// No room is left.
    StorageFull,
    /// Something else writes in the record just now.
    StoreInUse,
    /// The record cannot be written.
    StoreReadOnly,
    /// The record was written by a later version.
    StoreTooNew,
    /// The record's file is damaged, or something else.
    StoreDamaged,
    /// The record cannot be used for another reason.
    StoreFailed,
    /// Something went wrong inside the app.
    Fault,
}

/// The way on from an obstacle.
#[derive(Debug, Clone, Copy, PartialEq, Eq, uniffi::Enum)]
pub enum WayOn {
    /// Ask again for leave to use the camera.
    Ask,
    /// Open the system's settings of this app.
    AppSettings,
    /// Open the system's settings of NFC.
    ChipSettings,
    /// Open the system's settings of storage.
    StorageSettings,
    /// Type the code.
    TypeCode,
    /// Try again.
    TryAgain,
    /// Share a copy of what is here, for someone who can repair it.
    ShareCopy,
    /// Take what can still be read into a new record.
    Salvage,
}

/// A way on and what its button says.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct WayOnShown {
    /// Which way.
    pub way: WayOn,
    /// What its button says.
    pub words: Words,
}

/// An obstacle as a screen shows it.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct ObstacleShown {
    /// What blocks it.
    pub obstacle: Obstacle,
    /// What is the matter.
    pub words: Words,
    /// What to do.
    pub todo: Words,
    /// The ways on, the best first.
    pub ways_on: Vec<WayOnShown>,
}

/// An obstacle in words, with the ways on.
#[uniffi::export]
#[must_use]
pub fn obstacle_shown(obstacle: Obstacle) -> ObstacleShown {
    shown(obstacle, row(obstacle))
}

/// The same where a film is watched: there is no code to type in its place.
pub(crate) fn obstacle_to_watching(obstacle: Obstacle) -> ObstacleShown {
    shown(obstacle, row_of_watching(obstacle).unwrap_or_else(|| row(obstacle)))
}

type Row = (&'static str, &'static str, &'static [WayOn]);

fn shown(obstacle: Obstacle, (words, todo, ways): Row) -> ObstacleShown {
    let advice = match obstacle {
        Obstacle::StoreDamaged | Obstacle::StoreFailed => Some(HOLD_UNKNOWN),
        Obstacle::Fault => Some(HOLD_IN_DOUBT),
        _ => None,
    };
    let todo: Vec<&str> = [todo].into_iter().chain(advice).collect();
    let ways_on = ways.iter().map(|way| WayOnShown { way: *way, words: way.in_words().into() });
    ObstacleShown {
        obstacle,
        words: words.into(),
        todo: todo.join(" ").into(),
        ways_on: ways_on.collect(),
    }
}

impl WayOn {
    const fn in_words(self) -> &'static str {
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

/// What is in the way of a film that is watched.
const fn row_of_watching(obstacle: Obstacle) -> Option<Row> {
    Some(match obstacle {
        Obstacle::CameraRefused => (
            "Without the camera no film can be watched.",
            "Allow the camera, or import a file that the other device shares.",
            &[WayOn::Ask],
        ),
        Obstacle::CameraForbidden => (
            "This phone no longer asks whether this app may use the camera.",
            "Allow it in the app's settings, or import a file that the other device shares.",
            &[WayOn::AppSettings],
        ),
        Obstacle::CameraBusy => (
            "The camera cannot be used now; another app may have it.",
            "Close that app and try again, or import a file that the other device shares.",
            &[WayOn::TryAgain],
        ),
        Obstacle::NoCamera => (
            "This phone has no camera that can be used.",
            "Import a file that the other device shares.",
            &[],
        ),
        _ => return None,
    })
}

/// What is the matter, what to do, and the ways on, the best first.
const fn row(obstacle: Obstacle) -> Row {
    match obstacle {
        Obstacle::CameraRefused => (
            "Without the camera no tag can be scanned.",
            "Allow the camera, or type the code that is printed on the tag.",
            &[WayOn::Ask, WayOn::TypeCode],
        ),
        Obstacle::CameraForbidden => (
            "This phone no longer asks whether this app may use the camera.",
            "Allow it in the app's settings, or type the code that is printed on the tag.",
            &[WayOn::AppSettings, WayOn::TypeCode],
        ),
        Obstacle::CameraBusy => (
            "The camera cannot be used now; another app may have it.",
            "Close that app and try again, or type the code that is printed on the tag.",
            &[WayOn::TryAgain, WayOn::TypeCode],
        ),
        Obstacle::NoCamera => (
            "This phone has no camera that can be used.",
            "Type the code that is printed on the tag.",
            &[WayOn::TypeCode],
        ),
        Obstacle::ChipsOff => (
            "NFC is switched off, so no chip can be read or written.",
            "Switch it on in the settings; the printed tag can be scanned without it.",
            &[WayOn::ChipSettings, WayOn::TypeCode],
        ),
        Obstacle::NoChips => (
            "This phone cannot read or write chips.",
            "Scan the printed tag, or type its code.",
            &[WayOn::TypeCode],
        ),
        Obstacle::ChipLost => (
            "The chip was taken away too early.",
            "Hold it still at the back of the phone until the phone says that it is done.",
            &[WayOn::TryAgain],
        ),
        Obstacle::FileLost => (
            "The file could not be fetched from the app that has it.",
            "Save it on this phone first, or have it sent again.",
            &[WayOn::TryAgain],
        ),
        Obstacle::PhotoFailed => (
            "No photo came of it; nothing was lost.",
            "Allow the camera in the app's settings, choose a photo that is on the phone, or go \
             on without one.",
            &[WayOn::AppSettings],
        ),
        Obstacle::RemindersRefused => (
            "This phone does not let the app show reminders.",
            "Allow them in the app's settings, then switch them on here. What is due stands in \
             the app in any case.",
            &[WayOn::AppSettings],
        ),
        Obstacle::StorageFull => (
            "There is no room left on this phone. What you entered last is not on record.",
            "Make room, then enter it again; everything before it is safe.",
            &[WayOn::StorageSettings, WayOn::TryAgain],
        ),
        Obstacle::StoreInUse => (
            "The record is in use. What you entered last is not on record.",
            "Wait a moment and try again.",
            &[WayOn::TryAgain],
        ),
        Obstacle::StoreReadOnly => (
            "The record cannot be written. What you entered last is not on record.",
            "Try again; if that does not help, share a copy of the record and restart the phone.",
            &[WayOn::TryAgain, WayOn::ShareCopy],
        ),
        Obstacle::StoreTooNew => (
            "The record was written by a later version of this app.",
            "Update this app. Nothing was changed.",
            &[WayOn::ShareCopy],
        ),
        Obstacle::StoreDamaged => (
            "The record's file is damaged. Nothing was changed, and nothing was deleted.",
            "Share a copy of it, then save what can be read, and import the record of another \
             device.",
            &[WayOn::TryAgain, WayOn::ShareCopy, WayOn::Salvage],
        ),
        Obstacle::StoreFailed => {
            ("The record cannot be used. Nothing was changed.", "Try again.", &[WayOn::TryAgain])
        }
        Obstacle::Fault => (
            "Something went wrong inside this app. What you entered last may not be on record.",
            "Try again, and look whether it is there.",
            &[WayOn::TryAgain],
        ),
    }
}

impl Obstacle {
    /// The obstacle that an error of the store is on a phone, if nobody names
    /// another file.
    pub(crate) const fn of(error: &StoreError) -> Self {
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
            | StoreError::Stopped
            | StoreError::LogApart { .. } => Self::StoreFailed,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const ALL: [Obstacle; 17] = [
        Obstacle::CameraRefused,
        Obstacle::CameraForbidden,
        Obstacle::CameraBusy,
        Obstacle::NoCamera,
        Obstacle::ChipsOff,
        Obstacle::NoChips,
        Obstacle::ChipLost,
        Obstacle::FileLost,
        Obstacle::PhotoFailed,
        Obstacle::RemindersRefused,
        Obstacle::StorageFull,
        Obstacle::StoreInUse,
        Obstacle::StoreReadOnly,
        Obstacle::StoreTooNew,
        Obstacle::StoreDamaged,
        Obstacle::StoreFailed,
        Obstacle::Fault,
    ];

    #[test]
    fn each_obstacle_has_words_of_its_own_and_a_way_on() {
        let mut said = ALL.map(obstacle_shown).map(|shown| {
            assert!(shown.words.ends_with('.') && shown.todo.ends_with('.'), "{shown:?}");
            assert!(!shown.words.contains("--") && !shown.todo.contains("--"), "{shown:?}");
            assert!(!shown.ways_on.is_empty(), "{shown:?}");
            shown.words.to_string()
        });
        said.sort_unstable();
        let apart = said.windows(2).all(|two| two[0] != two[1]);
        assert!(apart, "two obstacles share their words");
    }

    #[test]
    fn an_error_of_the_store_is_the_obstacle_that_it_is() {
        let of = |error: StoreError| Obstacle::of(&error);
        assert_eq!(of(StoreError::Full), Obstacle::StorageFull);
        assert_eq!(of(StoreError::Locked), Obstacle::StoreInUse);
        assert_eq!(of(StoreError::TooNew { found: 9, known: 1 }), Obstacle::StoreTooNew);
        assert_eq!(of(StoreError::ReadOnly("a".into())), Obstacle::StoreReadOnly);
        assert_eq!(of(StoreError::NotOurs("a".into())), Obstacle::StoreDamaged);
    }
}
