//! How large the symbols of a film are.

use super::FilmError;
use super::frame::AROUND;
use crate::tag::{Level, Symbol};

/// How large the symbols of a film are: the more modules, the more each holds, and the nearer
/// a camera has to be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct FilmSize {
    version: u32,
    level: Level,
}

impl FilmSize {
    /// Symbols of so many modules a side, at a level of error correction.
    ///
    /// # Errors
    /// [`FilmError::BadSize`] if there are no such symbols, or they hold next to nothing.
    pub fn new(modules: u32, level: Level) -> Result<Self, FilmError> {
        let version = modules.checked_sub(17).filter(|more| more.is_multiple_of(4));
        let version = version.map(|more| more / 4).filter(|version| (10..=40).contains(version));
        version.map(|version| Self { version, level }).ok_or(FilmError::BadSize { modules })
    }

    /// Modules a side.
    #[must_use]
    pub const fn modules(self) -> u32 {
        17 + 4 * self.version
    }

    /// The level of error correction.
    #[must_use]
    pub const fn level(self) -> Level {
        self.level
    }

    pub(super) const fn version(self) -> u32 {
        self.version
    }

    /// The bytes of the film that one symbol has at most.
    pub(super) fn bytes(self) -> usize {
        let held = Symbol::bytes_held(self.version, self.level).unwrap_or(0);
        held.saturating_sub(AROUND).min(u16::MAX.into())
    }
}

impl Default for FilmSize {
    /// 97 modules, level L: see the README for what that reaches.
    fn default() -> Self {
        Self { version: 20, level: Level::L }
    }
}
