//! The pages of a phone: what each holds, what a touch does, what follows from it,
//! what is asked about first, what "Try again" does, and what a camera saw already.
//! Kotlin and Swift hand touches over in their order, and draw what comes back.

mod counters;
mod does;
mod film;
mod films;
mod form;
mod meetings;
mod page;
mod record;
mod shown;
mod sight;
mod ticks;
mod touch;
mod trouble;
mod watching;

pub use film::{FilmOf, FilmShown, FilmStrip, PaceShown};
pub use page::Page;
pub use record::PhoneRecord;
pub use shown::{Follows, HoseShown, Question, Reply, Shown, nothing_shown};
pub use touch::{PageOf, Touch, Wanted, Written};
pub use trouble::{Near, Trouble};
pub use watching::{FilmSeen, WatchingShown};

#[cfg(test)]
mod tests;
