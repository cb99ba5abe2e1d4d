//! What is said of a set whose hoses are inspected and leak-tested at once.

use super::{Damage, FindingError, Observation, TestMethod};
use crate::hose::Prose;
use crate::measure::TestPressure;

/// What someone says of the hoses of a set. Hoses are named by whatever names them; a place
/// that is not named was looked at, with nothing found.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct LookedOver {
    /// The hoses that were scanned.
    pub scanned: Vec<String>,
    /// What was found, on which hose.
    pub seen: Vec<SaidOn<Observation>>,
    /// Damage on record that is not there.
    pub gone: Vec<SaidOn<Damage>>,
    /// Why it is not there.
    pub why: Option<Prose>,
    /// A note, for every hose.
    pub note: Option<Prose>,
    /// The leak test, if there was one.
    pub test: Option<TestOfSet>,
}

/// One leak test of all hoses of a set.
#[derive(Debug, Clone, PartialEq)]
pub struct TestOfSet {
    /// The hoses that leaked; none if nothing did.
    pub leaked: Vec<String>,
    /// The pressure in the cylinder.
    pub pressure: Option<TestPressure>,
    /// How it was done.
    pub method: Option<TestMethod>,
}

/// Something at a place of one hose of a set, as it is typed: `CODE:run:cut:cover`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SaidOn<T> {
    /// The hose, by whatever names it; a tag's whole text has colons of its own.
    pub hose: String,
    /// What is said.
    pub seen: T,
}

impl<T: std::str::FromStr<Err = FindingError>> std::str::FromStr for SaidOn<T> {
    type Err = FindingError;

    fn from_str(typed: &str) -> Result<Self, FindingError> {
        let colons: Vec<usize> = typed.match_indices(':').map(|(at, _)| at).collect();
        // Place and finding are the last two words, or with a grade the last three.
        for words in [2, 3] {
            let at = colons.len().checked_sub(words).and_then(|first| colons.get(first));
            let parts = at.and_then(|at| typed.split_at_checked(*at));
            if let Some((hose, seen)) = parts
                && let Ok(seen) = seen.trim_start_matches(':').parse()
                && !hose.trim().is_empty()
            {
                return Ok(Self { hose: hose.trim().to_owned(), seen });
            }
        }
        let (_, seen) = typed.split_once(':').unwrap_or_default();
        let why = seen.parse::<T>().err();
        Err(why.unwrap_or_else(|| FindingError::BadForm(typed.trim().to_owned())))
    }
}
