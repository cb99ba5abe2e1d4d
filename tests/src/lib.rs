//! What the whole-system tests share.

pub mod peers;
pub mod pictures;
