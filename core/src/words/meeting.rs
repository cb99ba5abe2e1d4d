//! What came of records that met.

use chrono::NaiveDate;

use crate::device::{DeviceId, Role, Warrant};
use crate::journal::{Film, MergeReport, Turned, Writer};

/// Said where there is no fleet.
pub const NO_FLEET: &str = "this record belongs to no fleet; `device found` begins one";

/// Said where the owner's key is not on this device.
pub const NO_OWNER_KEY: &str = "the owner's key is not on this device; `device recover` brings it back \
    from its words";
/// Said where it rests under a pass phrase.
pub const GIVE_OWNER_PASS: &str = "the owner's key rests under a pass phrase; give it to go on. \
    Nothing was changed";
/// Said of an owner's key on this device.
pub const KEY_IS_SEALED: &str = "The owner's key is kept on this device, under a pass phrase.";
/// The same where whoever uses the computer can use it.
pub const KEY_IS_BARE: &str = "The owner's key is kept on this device, and whoever uses this account can \
    use it: put it under a pass phrase.";
/// Said once it is under one.
pub const SEALED_NOW: &str = "The owner's key rests under the pass phrase from now on. If it is \
    forgotten, the 24 words bring the key back.";

/// Said of the words of a key that another has followed.
pub const REPLACED: &str = "these words are of the owner's key that was replaced; only the words of \
    the newest one count";
/// Said where a fleet is to take itself in.
pub const SAME_FLEET: &str = "that is this fleet itself, or was before its key was replaced";
/// Said where every device of a fleet was taken in before.
pub const TAKEN_IN_ALREADY: &str = "every device of that fleet is known to this one already; nothing \
    was changed";
/// Said once a key was replaced.
pub const REPLACED_NOW: &str = "The owner's key is replaced. Each device follows the new one from when \
    it hears of it, so let them meet soon; until then a device that has not heard believes the old key. \
    Dismiss a device that was stolen, and destroy the old words.";

/// What the old key had granted since a day, and the new one does not, a sentence a line.
#[must_use]
pub fn not_granted(left_out: &[Warrant], since: NaiveDate) -> Vec<String> {
    if left_out.is_empty() {
        return vec![format!("The old key had granted nothing since {since}.")];
    }
    let mut said = vec![format!(
        "What the old key granted since {since} counts no more. Admit whom you know:"
    )];
    said.extend(left_out.iter().map(|word| {
        format!("Device {}: {}", named(&word.device, word.name.as_ref()), role(Some(word.role)))
    }));
    said
}

/// Said where nothing of a fleet is here.
#[must_use]
pub fn nothing_of(fleet: &DeviceId) -> String {
    format!(
        "no word of the owner of fleet {} is here; let its record come in first, by a file or in a \
         meeting",
        fleet.short()
    )
}

/// Said where a fleet can't follow another yet.
#[must_use]
pub fn not_taken_in(fleet: &DeviceId) -> String {
    format!(
        "the owner of fleet {} has not taken this one in, as far as is known here; let its owner do \
         that, and let its record come in here",
        fleet.short()
    )
}

/// Said once a fleet was taken in.
#[must_use]
pub fn taken_in(devices: usize, fleet: &DeviceId) -> String {
    let n = u64::try_from(devices).unwrap_or(u64::MAX);
    format!(
        "{} of fleet {} taken in, with all that they wrote. Let this record come in there; then its \
         owner lets that fleet follow this one.",
        counted_of(n, "device", "devices"),
        fleet.short()
    )
}

/// Said once a fleet follows another.
#[must_use]
pub fn follows(fleet: &DeviceId) -> String {
    format!(
        "This fleet follows fleet {} from now on; its devices do as they hear of it.",
        fleet.short()
    )
}

/// What a merge did, a sentence a line.
#[must_use]
pub fn merge(report: &MergeReport) -> Vec<String> {
    merge_and(report, |fleet| {
        format!(
            "It comes from fleet {}. To believe only the devices that its owner admitted: \
             hosewright device join {fleet}",
            fleet.short()
        )
    })
}

/// The same for the counter page, which joins a fleet among its devices.
#[must_use]
pub fn merge_at_the_counter(report: &MergeReport) -> Vec<String> {
    merge_and(report, |fleet| {
        format!(
            "It comes from fleet {}. To believe only the devices that its owner admitted, join it \
             under Devices: {fleet}",
            fleet.short()
        )
    })
}

/// The same, where another face has its own words for a fleet to join.
#[must_use]
pub fn merge_and(report: &MergeReport, of: impl Fn(&DeviceId) -> String) -> Vec<String> {
    let entries = |n: u64| counted_of(n, "entry", "entries");
    let mut said = vec![format!("{} new, {} known already", entries(report.new), report.known)];
    if report.hoses > 0 {
        said.push(format!("{} new here", counted_of(report.hoses, "hose is", "hoses are")));
    }
    said.extend(report.turned.iter().take(TURNED).map(turned));
    let more = report.turned.len().saturating_sub(TURNED);
    if more > 0 {
        said.push(format!("{more} more hoses stand otherwise than before"));
    }
    if report.left_out > 0 {
        said.push(format!("{} left out, as asked", entries(report.left_out)));
    }
    for (why, n) in &report.set_aside {
        said.push(format!("{} kept, {}", entries(*n), aside(why)));
    }
    if report.unread > 0 {
        said.push(format!(
            "{} of a later version kept unread; update this program",
            entries(report.unread)
        ));
    }
    for device in &report.forked {
        said.push(format!(
            "Device {} was copied: two wrote under its name. Both are kept; find out which store \
             is the copy, and go on with one.",
            device.short()
        ));
    }
    if report.copied {
        said.push(
            "Entries came in under this device's own name: this store was copied, or restored \
             from a copy. It takes a new identity before its next entry."
                .to_owned(),
        );
    }
    said.extend(report.fleet.as_ref().map(of));
    said.extend(report.refusals.iter().map(|why| format!("Refused: {why}.")));
    if report.refused > 0 {
        said.push("The rest was imported. Copy it again, or ask where it came from.".to_owned());
    }
    said
}

/// The most hoses that are named one by one because they stand otherwise.
const TURNED: usize = 20;

/// A hose that stands otherwise since others' entries came in.
fn turned(turned: &Turned) -> String {
    format!("{} is {} now; it was {}", turned.name, turned.now, turned.before)
}

/// What a film has, and how long it is in so many frames at so many a second; the name of its
/// file follows.
#[must_use]
pub fn film(entries: u64, film: &Film, (frames, rate): (u32, u16)) -> String {
    let parts = film.parts();
    if entries == 0 && frames == 1 && parts == 1 {
        return "Which entries are here, as a symbol in".to_owned();
    }
    let entries = counted_of(entries, "entry", "entries");
    let seconds = |frames: u32| f64::from(frames) / f64::from(rate.max(1));
    format!(
        "{entries} as a film of {:.1} s, of which {:.1} s are enough if no frame is lost, in",
        seconds(frames),
        seconds(parts)
    )
}

/// A writer of a file that was not taken in yet, and how far it is believed.
#[must_use]
pub fn writer(writer: &Writer) -> String {
    let name = named(&writer.device, writer.name.as_ref());
    let own = if writer.own { ", this one" } else { "" };
    let entries = counted_of(writer.entries, "entry", "entries");
    let mut said = vec![format!("Device {name}{own}: {entries}")];
    said.extend(writer.not_believed.iter().map(|(why, n)| format!("{n} {}", aside(why))));
    if writer.not_believed.is_empty() {
        said.push("believed".to_owned());
    }
    said.join("; ")
}

/// Before a file is taken in that has writers who are not believed.
pub const NOT_BELIEVED_HERE: &str = "Not everyone who wrote in it is believed here. Their \
    entries are kept and count as far as the owner allows, or are left out.";

/// Why an entry is kept but not, or not wholly, believed.
#[must_use]
pub fn aside(why: &str) -> &'static str {
    match why {
        "stranger" => "not believed: the owner has not admitted the device",
        "dismissed" => "not believed: written after the owner dismissed the device",
        "role" => "not believed: the device's role does not allow it",
        "warrant" => "not believed: it claims to be the owner's permission, and is not",
        "rights-taken" => "adds only: the owner withdrew the device's permission",
        "unsigned" => "not believed: written before devices had keys; look at it and admit it",
        "altered" => "not believed: its bytes are not those that its device wrote",
        "doubled" => "adds only: an unadmitted device used its number twice",
        "back-dated" => "adds only: its clock is before that of the entry it follows",
        _ => "not believed",
    }
}

/// What a device may write, in words.
#[must_use]
pub fn role(role: Option<Role>) -> &'static str {
    match role {
        None => "not admitted",
        Some(Role::Read) => "reads only",
        Some(Role::Bench) => "writes about hoses, sets and rentals",
        Some(Role::Owner) => "writes everything, limits and recalls too",
        Some(Role::Dismissed) => "dismissed",
    }
}

/// Shown with the words of an owner's key when a fleet is founded.
pub const KEEP_THE_WORDS: &str =
    "The owner's key, as words. Write them on paper, and keep them safe:";

/// Shown after it.
pub const ADMIT_THE_OTHERS: &str =
    "On each other device: hosewright device join, then device show; here: device admit.";

/// Before a fleet is founded.
pub const FOUNDING: &str = "From then on only devices that the owner admits are believed; those \
    that have written here so far are admitted. The owner's key is shown as 24 words: whoever \
    has them is the owner. If they and this device are lost, no device can be admitted again.";

/// Shown after the owner's key on the counter page.
pub const ADMIT_THE_OTHERS_HERE: &str =
    "On each other device: join this fleet; then admit it here, under Devices.";

/// Where the owner says what devices may write.
pub const OWNERS_WORD: &str = "What a device wrote so far stays as it is, unless the permission \
    applies from the start.";

/// If someone at another device asks for what the owner's own device does.
pub const AT_THE_DESK_ONLY: &str =
    "the owner's key is used on the desk's own computer alone; do it there";

/// What is said on a device that has joined a fleet.
#[must_use]
pub fn joined(fleet: &DeviceId, own: &DeviceId) -> [String; 2] {
    [
        format!("This record belongs to fleet {} now.", fleet.short()),
        format!("For its owner: hosewright device admit {own}"),
    ]
}

/// What a device may write from here on.
#[must_use]
pub fn enrolled(device: &DeviceId, given: Role) -> String {
    format!("Device {}: {}", device.short(), role(Some(given)))
}

/// What is said on a device to which the owner's key was brought back.
#[must_use]
pub fn recovered(fleet: &DeviceId) -> String {
    format!("The owner's key of fleet {} is kept on this device.", fleet.short())
}

/// A fleet or device, by the beginning of its number.
#[must_use]
pub fn named(device: &DeviceId, name: Option<&crate::hose::Label>) -> String {
    name.map_or_else(|| device.short(), |name| format!("{} ({name})", device.short()))
}

pub(super) fn counted_of(n: u64, one: &str, many: &str) -> String {
    if n == 1 { format!("1 {one}") } else { format!("{n} {many}") }
}
