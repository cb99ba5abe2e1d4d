//! The words of backups, and of bringing a record back from one.

use chrono::NaiveDate;

use super::{counted, day};

/// Downloads a backup.
pub const BACKUP: &str = "Back up now";
/// What it is called.
pub const TITLE: &str = "Backup";
/// What is in one, and what is not.
pub const WHAT: &str = "One file with the whole record. Keep it off this computer: on a stick, or \
    with somebody. The owner's words and the keys of devices are not in it. Anyone who has it can \
    read the record.";
/// Said if none was made.
pub const NEVER: &str = "No backup has been made on this device.";
/// The reminder.
pub const REMIND: &str = "Back up today: if this device is lost now, what was recorded since is \
    lost with it.";

/// When the last one was made.
#[must_use]
pub fn last(on: NaiveDate, today: NaiveDate) -> String {
    let days = (today - on).num_days();
    let ago = match days {
        ..=0 => "today".to_owned(),
        1 => "yesterday".to_owned(),
        days => format!("{}, {} ago", day(on, today), counted(days, "day")),
    };
    format!("Last backup on this device: {ago}.")
}

/// Beside that, where nothing came since.
pub const NOTHING_SINCE: &str = "Nothing was recorded since.";

/// Where an empty record begins again.
pub const RESTORE: &str = "Bring back a record from a backup";
/// When to do that.
pub const RESTORE_LEAD: &str = "For a new computer, if the old one is lost or broken.";
/// On the way to it.
pub const RESTORE_WAY: &str = "Choose the backup";
/// What will happen.
pub const RESTORE_STEPS: &str = "Everything in the backup comes here. This computer becomes a new \
    device of the record, and the owner's words admit it.";
/// The file.
pub const FILE: &str = "The backup (.hwbundle)";
/// The owner's key.
pub const WORDS: &str = "The owner's 24 words";
/// When they are needed, and what becomes of them.
pub const WORDS_HINT: &str = "Only if the record has an owner. They are used once and not kept.";
/// What this device is called from now on.
pub const NAME: &str = "This computer's name";
/// Whether the device that made the backup is gone.
pub const DISMISS: &str = "Dismiss the computer that made the backup: it is lost or was stolen. What \
    it writes after the backup can add warnings, and clears none.";
/// Sends the form.
pub const RESTORE_GO: &str = "Bring it back";
/// Over what came.
pub const RESTORED: &str = "The record is back";
/// Over what did not.
pub const MISSING: &str = "What may be missing";
/// What can be done about it.
pub const MISSING_LEAD: &str = "Import the record of each device that is still there: what it holds \
    and the backup does not comes with it.";
/// On the way to that.
pub const MISSING_GO: &str = "Import another device's record";

/// Said if the record already has something in it.
pub const NOT_EMPTY: &str = "this record already has entries; a backup is brought back into an \
    empty one. Import the backup instead, or begin another record";
/// Said if the owner's words are another fleet's.
pub const ANOTHER_FLEET: &str = "these words are another fleet's key: the backup's record has a \
    different owner";

/// How many entries came, of which day.
#[must_use]
pub fn came(entries: u64, made: Option<NaiveDate>) -> String {
    let entries = i64::try_from(entries).unwrap_or(i64::MAX);
    let entries = if entries == 1 { counted(1, "entry") } else { format!("{entries} entries") };
    let made = made.map(|made| format!(", from the backup of {made}")).unwrap_or_default();
    format!("{entries} came in{made}.")
}

/// What this device is in the record from now on.
#[must_use]
pub fn admitted(name: &str) -> String {
    format!("This computer is device {name} of it.")
}

/// The device that made the backup was dismissed.
#[must_use]
pub fn dismissed(name: &str) -> String {
    format!(
        "Device {name} is dismissed: what it writes after the backup can add warnings, and clears none."
    )
}

/// The device that made the backup: what it wrote afterwards is nowhere else, unless it met
/// somebody.
#[must_use]
pub fn lost_since(name: &str, made: Option<NaiveDate>) -> String {
    let since = made.map_or_else(|| "the backup".to_owned(), |made| made.to_string());
    format!(
        "Device {name} made the backup. What it recorded after {since} is lost, unless another \
         device has it."
    )
}

/// A device of which everything up to a number is here.
#[must_use]
pub fn complete(name: &str, newest: u64, on: Option<NaiveDate>) -> String {
    let on = on.map(|on| format!(", of {on}")).unwrap_or_default();
    format!("Device {name}: complete up to its entry {newest}{on}. What it wrote later is on it.")
}

/// A device of which numbers are known that are not here.
#[must_use]
pub fn missing(name: &str, runs: &[(u64, u64)]) -> String {
    let run = |(first, last): &(u64, u64)| match first == last {
        true => first.to_string(),
        false => format!("{first} to {last}"),
    };
    let runs: Vec<String> = runs.iter().map(run).collect();
    format!("Device {name}: its entries {} are missing here.", runs.join(", "))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::story::day;

    #[test]
    fn a_backup_is_said_by_its_day() {
        let today = day("2026-06-15");
        for (on, said) in [
            ("2026-06-15", "Last backup on this device: today."),
            ("2026-06-14", "Last backup on this device: yesterday."),
            ("2026-06-08", "Last backup on this device: 8 June, 7 days ago."),
        ] {
            assert_eq!(last(day(on), today), said);
        }
        assert_eq!(
            missing("5f2e", &[(2, 2), (5, 9)]),
            "Device 5f2e: its entries 2, 5 to 9 are missing here."
        );
    }
}
