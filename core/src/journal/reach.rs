//! Whom entries are about.

use std::collections::BTreeSet;

use crate::event::{SetId, Touched};
use crate::tag::Code;

/// Whom a merge touched.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Reach {
    /// Hoses.
    pub hoses: BTreeSet<Code>,
    /// Sets.
    pub sets: BTreeSet<SetId>,
    /// Limits or recalls.
    pub fleet: bool,
}

impl Reach {
    /// Adds whom another merge touched.
    pub(crate) fn join(&mut self, other: Self) {
        self.hoses.extend(other.hoses);
        self.sets.extend(other.sets);
        self.fleet |= other.fleet;
    }

    /// Adds whom an entry touched.
    pub fn add(&mut self, whom: Touched) {
        self.hoses.extend(whom.hoses);
        self.sets.extend(whom.sets);
        self.fleet |= whom.fleet;
    }
}
