//! Damage that is on record: what is asked about it, and what was answered.

use super::{head_of, observation};
use crate::hose::Prose;
use crate::inspection::{Damage, Known};

/// Asked of damage that is on record.
pub const NOW: &str = "How is it now?";
/// It is as it was.
pub const SAME: &str = "The same";
/// It has another grade or count, which is chosen below.
pub const OTHERWISE: &str = "Worse, or another count: choose it below";
/// It is not there.
pub const NOT_THERE: &str = "Not there";
/// Asked if damage is not there.
pub const WHY_NOT_THERE: &str = "Why it isn't there, if something isn't";
/// What goes with that.
pub const WHY_HINT: &str = "Damage does not heal: it was dirt, or another hose";
/// Asked of bubbles that are on record, nobody having said where they come from.
pub const FROM_WHERE: &str = "Where do they come from? Put it under pressure and look: the joint \
(nut, port or swivel), or from under the crimped sleeve. Choose it below. If you can't tell yet, \
do a quick look.";

/// What is on record and wants an answer.
#[must_use]
pub fn on_record(known: &Known) -> String {
    format!("On record since {}: {}.", known.on, observation(&known.seen, known.words))
}

/// The choice that something on record is not there.
#[must_use]
pub fn not_there(known: &Known) -> String {
    format!("{NOT_THERE}: {}, of {}; say why in the note", known.words, known.on)
}

/// What a full inspection did not find any more, and why; nothing if there is
/// nothing.
#[must_use]
pub fn gone(gone: Option<&[Damage]>, why: Option<&Prose>) -> Option<String> {
    let gone = gone.filter(|gone| !gone.is_empty())?;
    let each = |damage: &Damage| {
        let place = head_of(damage.place()).to_lowercase();
        format!("{} {place}", damage.finding().word().replace('-', " "))
    };
    let gone: Vec<String> = gone.iter().map(each).collect();
    let why = why.map(|why| format!(" ({why})")).unwrap_or_default();
    Some(format!("no longer there: {}{why}", gone.join(", ")))
}

/// Fewer broken strands than last time.
#[must_use]
pub fn fewer_strands(known: &Known, now: u32) -> String {
    let Known { seen, on, .. } = known;
    let place = head_of(seen.place()).to_lowercase();
    let before = seen.count().unwrap_or(0);
    format!(
        "{before} broken strands {place} were counted on {on}, and {now} now: strands do not grow \
         back."
    )
}
