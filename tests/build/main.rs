//! What a compiler does not check of the sources.

mod layers;
mod words;
