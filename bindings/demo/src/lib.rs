//! An invented dive centre with five years of history, for trying things out and for
//! tests: always the same, with the same codes. Whoever shows it brings an empty record.

#![deny(missing_docs)]

mod error;
mod history;
mod scenario;

use hosewright_core::Logbook;
use rand_chacha::ChaCha20Rng;
use rand_chacha::rand_core::SeedableRng;

pub use error::StoryError;
pub use history::Written;
pub use scenario::{CENTRE, OLD_LIST, PHOTOGRAPHED, RETAGGED, TODAY, WANTS_A_SEAL};

/// The chance from which the codes of the demonstration's record come.
#[must_use]
pub fn chance() -> ChaCha20Rng {
    stream(0)
}

/// Writes the story into a record that has nothing in it; `tell` is told of each year.
///
/// # Errors
/// [`StoryError`] if the record refuses something.
pub fn tell(
    logbook: &mut Logbook,
    mut tell: impl FnMut(i32) -> std::io::Result<()>,
) -> Result<Written, StoryError> {
    history::write(logbook, stream(1), |year| tell(year).map_err(StoryError::Told))
}

/// A source of chance of its own for each use, so that a draw more in one
/// does not change the other.
fn stream(number: u64) -> ChaCha20Rng {
    ChaCha20Rng::seed_from_u64(scenario::SEED + number)
}
