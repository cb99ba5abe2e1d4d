//! The reader of tags on frames that are made from seeds.

mod by_sight;
mod films;
mod frames;
mod printed;
