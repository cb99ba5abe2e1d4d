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
//! write    brings all of it up to date
//! filter   which hoses are listed, and in which order
//! ask      the questions
//! find     looking for a hose
//! sets     which sets are listed
//! ```

mod ask;
mod days;
mod filter;
mod find;
mod location;
mod row;
mod sets;
mod sums;
mod text;
mod write;

pub use ask::{
    AgeSum, Day, DueThing, Life, age_sums, condemned, count, due_up_to, lives, of_code, of_verdict,
    page, standing_counts, unsettled,
};
pub use days::NEVER;
pub use filter::{Filter, Sort};
pub use find::{Hit, Numbered, doubled, find, numbered};
pub use location::Location;
pub use row::{Row, due_of};
pub use sets::{SetFilter, sets};
pub use text::spelled;
pub use write::{project, project_reach, rebuild, stale};
