//! An owner's questions about many hoses at once.

pub mod survival;
