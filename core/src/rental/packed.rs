//! A packed set as it stands now.

use super::HandOutCheck;
use crate::event::SetId;
use crate::hose::Label;
use crate::record::PackedSet;

/// A packed set as it stands now.
#[derive(Debug, Clone, PartialEq)]
pub struct PackedView {
    /// The set.
    pub id: SetId,
    /// Its name.
    pub set: Label,
    /// How it was packed.
    pub packed: PackedSet,
    /// The same in one line.
    pub words: String,
    /// What is new since, a line each: then it does not go out by one scan.
    pub news: Vec<String>,
    /// What a hand-out of the hoses that were scanned then comes to now.
    pub check: HandOutCheck,
}
