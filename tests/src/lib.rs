//! What the whole-system tests share.

pub mod desk;
pub mod disk;
pub mod frames;
pub mod fuzzing;
pub mod imports;
pub mod kills;
pub mod network;
pub mod page;
pub mod peers;
pub mod pictures;
#[cfg(target_os = "linux")]
pub mod postgres;
pub mod sight;
pub mod terminal;
