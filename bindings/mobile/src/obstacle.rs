//! What can be an obstacle on a phone, and the ways on.

use hosewright_core::words::phone;

use crate::Words;

macro_rules! crossing {
    ($(#[$meta:meta])* $name:ident, { $($(#[$vmeta:meta])* $variant:ident),+ $(,)? }) => {
        $(#[$meta])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, uniffi::Enum)]
        pub enum $name { $($(#[$vmeta])* $variant),+ }

        impl From<phone::$name> for $name {
            fn from(value: phone::$name) -> Self {
                match value { $(phone::$name::$variant => Self::$variant),+ }
            }
        }

        impl From<$name> for phone::$name {
            fn from(value: $name) -> Self {
                match value { $($name::$variant => Self::$variant),+ }
            }
        }
    };
}

crossing!(
    /// What can be an obstacle on a phone.
    Obstacle, {
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
);

crossing!(
    /// The way on from an obstacle.
    WayOn, {
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
        /// Share a copy of what is here.
        ShareCopy,
        /// Take what can still be read into a new record.
        Salvage,
    }
);

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
    /// The ways on, the best first; never none.
    pub ways_on: Vec<WayOnShown>,
}

/// An obstacle in words, with the ways on.
#[uniffi::export]
#[must_use]
pub fn obstacle_shown(obstacle: Obstacle) -> ObstacleShown {
    let core = phone::Obstacle::from(obstacle);
    let said = core.in_words();
    let ways = core.ways_on().iter();
    let ways_on = ways.map(|way| WayOnShown { way: (*way).into(), words: way.in_words().into() });
    ObstacleShown {
        obstacle,
        words: said.words.into(),
        todo: said.todo.into(),
        ways_on: ways_on.collect(),
    }
}
