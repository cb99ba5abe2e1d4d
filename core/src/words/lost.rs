//! The words of what is to be done when a device is gone, or somebody with one.

use chrono::NaiveDate;

use super::counted;

/// Over the ways to these screens.
pub const TITLE: &str = "If something is lost";

/// A phone: its title, when to use it, and its three steps.
pub const PHONE: [&str; 5] = [
    "A phone is lost",
    "What this record has of it stays. What comes of it later can add warnings, and clears none.",
    "Which phone is it?",
    "Dismiss it",
    "Get back what it had",
];
/// A laptop, or a counter's computer.
pub const LAPTOP: [&str; 5] = [
    "A laptop is lost or stolen",
    "What this record has of it stays. What comes of it later can add warnings, and clears none.",
    "Which computer is it?",
    "Dismiss it",
    "Go on without it",
];
/// Somebody who had a device.
pub const LEFT: [&str; 5] = [
    "Somebody left",
    "What this record has of theirs stays, under their name. If the device that they had is at hand, \
     import its record first.",
    "Which device did they have?",
    "Dismiss it",
    "Change what they know",
];

/// Before the steps, if somebody left.
pub const LEFT_STAFF: &str = "If they are on the staff list, end that first: nothing is written under \
    their name any more, and it names the devices that they carry.";

/// The last step of a phone.
pub const PHONE_AFTER: &str = "If the phone is found, import its record: the findings and holds that \
    had not reached this record count, and what it cleared counts once the owner lets it write \
    again, from the start. If it opened the counter page, choose a new pass phrase for the page.";
/// Of a laptop.
pub const LAPTOP_AFTER: &str = "On a new computer, begin with the newest backup: an empty record \
    offers “Bring back a record from a backup”. If this computer has the record, make a backup here \
    now. Choose a new pass phrase for the counter page. If it had the owner's key, replace that under \
    Devices, with the day on which it was lost.";
/// Of somebody who left.
pub const LEFT_AFTER: &str = "Choose a new pass phrase for the counter page. If they know the owner's \
    words, replace the owner's key under Devices: until then they can still admit devices.";

/// The field that names the device.
pub const DEVICE: &str = "The device";
/// Sends the form.
pub const DISMISS: &str = "Dismiss this device";
/// The owner's key.
pub const WORDS: &str = "The owner's 24 words";
/// What becomes of them.
pub const WORDS_HINT: &str = "They are used once. They are not kept, and not shown again.";
/// Said where the owner's key is at hand.
pub const KEY_HERE: &str = "The owner's key is kept on this device: no words are needed.";
/// Said where the record has no owner.
pub const NO_OWNER: &str = "This record has no owner, so every device is believed and none can be \
    dismissed. Set up a fleet first: the devices that wrote so far are admitted, and then one can \
    be dismissed.";
/// On the way to that.
pub const NO_OWNER_GO: &str = "Set up a fleet";
/// Said where there is no other device.
pub const NO_DEVICE: &str = "No other device that may write is on record here.";
/// On the way to importing.
pub const IMPORT: &str = "Import its record";
/// Said if the device in the hand is meant.
pub const THIS_ONE: &str = "this is the device that you are using; dismiss it from another one";

/// A device to choose: its name, and when it last wrote.
#[must_use]
pub fn choice(name: &str, newest: Option<NaiveDate>) -> String {
    match newest {
        Some(on) => format!("{name}, newest entry of {on}"),
        None => format!("{name}, nothing of it is here"),
    }
}

/// What stands of a device that was dismissed.
#[must_use]
pub fn stands(name: &str, entries: u64, newest: u64) -> String {
    if entries == 0 {
        return format!("Device {name} is dismissed. Nothing of it is here.");
    }
    let count = i64::try_from(entries).unwrap_or(i64::MAX);
    let entries = if count == 1 { counted(1, "entry") } else { format!("{entries} entries") };
    format!(
        "Device {name} is dismissed. What it wrote up to its number {newest} stands: {entries} here. \
         What comes of it later can add warnings, and clears none."
    )
}
