//! The record on disk: killed, damaged, full, read-only and of every format.

mod durability;
mod formats;
mod missing_tables;
mod read_only;
mod room;
mod safe_files;
mod salvage;
