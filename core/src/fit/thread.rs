//! Threads: their limits from the standards, and which thread a caliper has
//! between its jaws.

mod catalogue;
mod geometry;
mod identify;

pub use catalogue::{KnownThread, Sure, catalogue};
pub use geometry::{External, Internal, Limits, Series, UnifiedThread};
pub use identify::{Candidate, Gender, Identification, Pitch, Reading, identify};

#[cfg(test)]
mod simulation;
#[cfg(test)]
mod tests;
