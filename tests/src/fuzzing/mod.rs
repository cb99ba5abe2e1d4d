//! What holds for any bytes at all: whatever is read is printed and read again
//! as the same, and nothing panics. The fuzzer (`core/fuzz`) and the ordinary
//! tests (`tests/outside/fuzzing.rs`) call these same functions.
//!
//! A new target is a function here, its row in [`TARGETS`], a file in
//! `core/fuzz/fuzz_targets`, its `[[bin]]`, and a first file in
//! `core/fuzz/corpus` and `core/fuzz/crashers`.

mod bars;
mod bundle;
mod film;
mod frame;
mod journal;
mod measures;
mod ndef;
mod payload;
mod sheet;
mod symbol;

pub use bars::bars;
pub use bundle::bundle;
pub use film::film;
pub use frame::frame;
pub use journal::journal;
pub use measures::measures;
pub use ndef::ndef;
pub use payload::payload;
pub use sheet::sheet;
pub use symbol::symbol;

use chrono::NaiveDate;

/// What became of some bytes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Taken {
    /// Everything that could read them refused them in words.
    Refused,
    /// Something read them, and what should hold of it held.
    Read,
}

/// A target's name and its property, which panics where it does not hold.
pub type Target = (&'static str, fn(&[u8]) -> Taken);

/// Every target.
pub const TARGETS: &[Target] = &[
    ("journal", journal),
    ("payload", payload),
    ("sheet", sheet),
    ("measures", measures),
    ("frame", frame),
    ("ndef", ndef),
    ("bundle", bundle),
    ("bars", bars),
    ("symbol", symbol),
    ("film", film),
];

/// Monday, 15 June 2026.
const TODAY: NaiveDate = match NaiveDate::from_ymd_opt(2026, 6, 15) {
    Some(day) => day,
    None => NaiveDate::MIN,
};

/// Passes a result on after putting its error in words, as a person would see it.
fn said<T, E: std::fmt::Display>(result: Result<T, E>) -> Option<T> {
    result.map_err(|error| assert!(!error.to_string().is_empty())).ok()
}

/// What is read from a text, printed and read again, is the same.
fn round<T, E: std::fmt::Display>(
    typed: &str,
    parse: impl Fn(&str) -> Result<T, E>,
    print: impl Fn(&T) -> String,
) -> Taken
where
    T: PartialEq + std::fmt::Debug,
{
    let Some(read) = said(parse(typed)) else { return Taken::Refused };
    let printed = print(&read);
    assert_eq!(said(parse(&printed)), Some(read), "{typed:?} was printed {printed:?}");
    Taken::Read
}
