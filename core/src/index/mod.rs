//! What hoses are found, listed and counted by: a row a hose, when its reasons hold,
//! sums, and the texts that it is looked for by. All of it is kept beside what is
//! folded, in the same transaction, so that a question about many hoses reads what
//! it prints and not every record.
//!
//! ```text
//! location where a hose is
//! row      a hose's row
//! sums     what a hose adds to the sums
//! text     the texts that it is looked for by
//! kept     what is kept of a hose, read and written
//! write    brings all of it up to date
//! filter   which hoses are listed, and in which order
//! ask      which hoses, and how many
//! due      what is due, by day
//! fleet    how old the fleet is, and how long its hoses lasted
//! find     looking for a hose
//! stood    how bad a hose stands
//! slips    how many slips are between two texts
//! sets     which sets are listed
//! ```

mod ask;
mod days;
mod due;
mod filter;
mod find;
mod fleet;
mod kept;
mod location;
mod row;
mod searched;
mod sets;
mod slips;
mod stood;
mod sums;
mod text;
mod write;

pub use ask::{Day, count, of_code, page, standing_counts, unsettled};
pub use days::NEVER;
pub use due::{DueThing, condemned, due_of_kinds, due_up_to};
pub use filter::{Filter, Sort};
pub use find::{Hit, Numbered, doubled, find, numbered};
pub use fleet::{AgeSum, Life, age_sums, lives};
pub use location::Location;
pub use row::{Row, due_of};
pub use sets::{SetFilter, sets};
pub use stood::stood;
pub use text::{sorting, spelled};
pub use write::{project, project_reach, rebuild, stale};
