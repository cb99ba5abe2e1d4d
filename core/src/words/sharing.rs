//! What other devices have of what is here, in words.

use chrono::NaiveDate;

use super::day;

/// Over it on the day's view.
pub const TITLE: &str = "Before you close";
/// Over the other devices.
pub const OTHERS: &str = "What other devices have";
/// Where no other device was heard of.
pub const NOBODY: &str = "No other device was heard of yet.";
/// Over what is in doubt between people.
pub const CONTESTED: &str = "Contested, and what settles it";
/// Where nothing is.
pub const NOTHING_CONTESTED: &str = "Nothing is contested.";
/// What to do with entries that are on one device alone.
pub const BEFORE_CLOSING: &str = "Before you close: let another device take them, or back up.";
/// The same once a day was closed without it.
pub const CLOSED: &str = "A day was closed since. If this device is lost now, they are lost with \
    it: let another device take them today, or back up.";
/// If a backup has them.
pub const BACKED_UP: &str = "A backup has them.";

/// How many entries are on this device alone, and since when.
#[must_use]
pub fn alone(entries: u64, since: Option<NaiveDate>, today: NaiveDate) -> String {
    let since = since.map_or_else(String::new, |since| match (today - since).num_days() {
        ..=0 => ", since today".to_owned(),
        1 => ", since yesterday".to_owned(),
        _ => format!(", since {}", day(since, today)),
    });
    match entries {
        0 => "Everything that was written here is on another device too, as they said.".to_owned(),
        1 => format!("1 entry is on this device alone, as far as it knows{since}."),
        several => {
            format!("{several} entries are on this device alone, as far as it knows{since}.")
        }
    }
}

/// Another device: how fresh what it wrote is here, and what it has of what is here.
#[must_use]
pub fn other(
    name: &str,
    newest: Option<NaiveDate>,
    (met, lacks): (Option<NaiveDate>, u64),
    today: NaiveDate,
) -> String {
    let fresh = newest.map_or_else(
        || "nothing that it wrote is here".to_owned(),
        |newest| format!("its newest entry here is of {}", day(newest, today)),
    );
    let has = met.map_or_else(
        || "it never said what it has".to_owned(),
        |met| {
            let when =
                if met == today { "today".to_owned() } else { format!("on {}", day(met, today)) };
            match lacks {
                0 => format!("{when} it had all that is here"),
                1 => format!("it lacks 1 entry of what is here, by what it said {when}"),
                n => format!("it lacks {n} entries of what is here, by what it said {when}"),
            }
        },
    );
    format!("{name}: {fresh}; {has}.")
}
