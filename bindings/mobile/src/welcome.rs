//! The greeting of a record that has no hose yet, with the ways in.

use hosewright_core::words::form as say;

use crate::{Logbook, RefusedError, Words};

/// A way into a record that has no hose yet.
#[derive(Debug, Clone, Copy, PartialEq, Eq, uniffi::Enum)]
pub enum WayIn {
    /// Register the first hose.
    Register,
    /// Import the record of another device.
    BringIn,
}

/// A way in, with its words.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct WayInShown {
    /// Which way.
    pub way: WayIn,
    /// For whom it is, and what it takes.
    pub lead: Words,
    /// What its button says.
    pub words: Words,
}

/// What greets a person whose record has no hose yet.
#[derive(Debug, Clone, PartialEq, Eq, uniffi::Record)]
pub struct Welcome {
    /// The greeting.
    pub words: Words,
    /// The ways in, the one for most people first.
    pub ways: Vec<WayInShown>,
}

impl Logbook {
    /// The greeting of a record that has no hose yet; none if it has one.
    ///
    /// # Errors
    /// [`RefusedError`] if the store cannot be read.
    pub fn welcome(&self) -> Result<Option<Welcome>, RefusedError> {
        let empty = self.core().hose_page(None, None, 1)?.is_empty();
        let shown = |way: &say::WayIn| WayInShown {
            way: match way {
                say::WayIn::Register => WayIn::Register,
                say::WayIn::BringIn => WayIn::BringIn,
            },
            lead: way.lead().into(),
            words: way.in_words().into(),
        };
        let ways = || say::WayIn::ALL.iter().map(shown).collect();
        Ok(empty.then(|| Welcome { words: say::WELCOME.into(), ways: ways() }))
    }
}
