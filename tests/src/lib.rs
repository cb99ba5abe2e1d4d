//! What the whole-system tests share.

pub mod desk;
