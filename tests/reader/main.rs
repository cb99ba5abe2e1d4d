//! The reader of tags on frames that are made from seeds.

mod films;
mod frames;
mod printed;
