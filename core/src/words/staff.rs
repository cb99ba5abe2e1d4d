//! The words about people who work here.

use chrono::NaiveDate;

use super::{capital, counted};
use crate::event::Staffed;
use crate::hose::Label;
use crate::staff::Deed;

/// What a deed is, after "may".
#[must_use]
pub const fn deed(deed: Deed) -> &'static str {
    match deed {
        Deed::Release => "release holds and quarantines",
        Deed::Retire => "retire hoses",
        Deed::Withdraw => "withdraw entries",
        Deed::Override => "hand out a set over objections",
        Deed::Limits => "set limits",
        Deed::Staff => "change the staff list",
    }
}

/// What somebody may do besides the everyday work.
#[must_use]
pub fn may(deeds: impl IntoIterator<Item = Deed>) -> String {
    let all: Vec<&str> = deeds.into_iter().map(deed).collect();
    match all.as_slice() {
        [] => "everyday work".to_owned(),
        all => format!("everyday work, and may {}", listed(all)),
    }
}

/// A person is on record, in a history.
pub(crate) fn on_record(person: &Staffed) -> String {
    let Staffed { name, may: deeds, carries, .. } = person;
    let carries = match carries.len() {
        0 => String::new(),
        devices => format!("; carries {}", counted(i64::try_from(devices).unwrap_or(0), "device")),
    };
    format!("{name} works here: {}{carries}", may(deeds.iter().copied()))
}

/// Somebody may not do that.
pub(crate) fn not_yours(name: &Label, what: Deed, who: &[Label]) -> String {
    let who: Vec<&str> = who.iter().map(Label::as_str).collect();
    format!(
        "{name} may not {}; {} may. Nothing was written",
        deed(what),
        if who.is_empty() { "somebody else".to_owned() } else { listed(&who) }
    )
}

/// Somebody no longer works here.
pub(crate) fn has_left(name: &Label, on: NaiveDate) -> String {
    format!(
        "{name} no longer works here, since {}; say who is writing. Nothing was written",
        long_day(on)
    )
}

/// A PIN is wanted.
pub(crate) fn pin_wanted(name: &Label, what: Deed) -> String {
    format!("to {}, give {name}'s PIN. Nothing was written yet", deed(what))
}

/// Wrong PINs of a person, for the owner.
#[must_use]
pub fn wrong_pins(tried: u32, since: NaiveDate) -> String {
    let all = if tried == 1 { "1 wrong PIN".to_owned() } else { format!("{tried} wrong PINs") };
    format!("{all} since {}", long_day(since))
}

/// Since when somebody works here, or when they left.
#[must_use]
pub fn here(since: NaiveDate, left: Option<NaiveDate>) -> String {
    left.map_or_else(
        || format!("since {}", long_day(since)),
        |left| format!("left on {}", long_day(left)),
    )
}

/// A device, and whether others write on it too.
#[must_use]
pub fn written_on(others: usize) -> String {
    match others {
        0 => "nobody else wrote on it".to_owned(),
        1 => "one other name wrote on it too".to_owned(),
        others => format!("{others} other names wrote on it too"),
    }
}

fn long_day(day: NaiveDate) -> String {
    day.format("%-d %B %Y").to_string()
}

fn listed(all: &[&str]) -> String {
    match all {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [all @ .., last] => format!("{} and {last}", all.join(", ")),
    }
}

/// A permission as a choice.
#[must_use]
pub fn choice(of: Deed) -> String {
    capital(deed(of))
}

/// Over the list of people.
pub const TITLE: &str = "Staff";
/// What the list is for.
pub const LEAD: &str = "Names stay in every entry for good, and go wherever the record goes. A \
    number does as well.";
/// Puts somebody on the list.
pub const NEW: &str = "Add a person";
/// What they are called.
pub const NAME: &str = "Short name or number";
/// How.
pub const NAME_HINT: &str = "As it stands in what they write, such as 7 or JB.";
/// Over the permissions.
pub const MAY: &str = "Besides everyday work, may";
/// Over the devices.
pub const CARRIES: &str = "Carries these devices";
/// Changes somebody.
pub const CHANGE: &str = "Save";
/// Over the form for a PIN.
pub const PIN_TITLE: &str = "PIN on this computer";
/// What it is for.
pub const PIN_LEAD: &str = "It is asked for releases, retirements, withdrawals, handing out over \
    objections, limits and this list, and only here. It is kept on this computer alone, as a hash.";
/// The PIN.
pub const PIN: &str = "PIN";
/// How it is written.
pub const PIN_HINT: &str = "4 to 12 digits.";
/// Chooses it.
pub const PIN_GO: &str = "Save the PIN";
/// Takes it away.
pub const PIN_FORGET: &str = "Remove the PIN";
/// Ends somebody's work here.
pub const LEAVES: &str = "No longer works here";
/// What that does.
pub const LEAVES_LEAD: &str = "From now on nothing is written under this name, and the PIN on this \
    computer is gone. What was written stays. A phone that goes with them still writes until you \
    dismiss it.";
/// Where they carried none.
pub const LEAVES_NO_DEVICE: &str = "No device is known that they carry.";
/// Who says yes instead.
pub const WHO_SAYS_YES: &str = "Who does this";
/// A PIN was chosen.
pub const PIN_SAVED: &str = "the PIN is kept on this computer, as a hash.";
/// A PIN was removed.
pub const PIN_REMOVED: &str = "no PIN on this computer any more.";
/// Beside a device that is on record as somebody's.
pub const CARRIED: &str = "theirs to carry";
/// The field of somebody's PIN.
#[must_use]
pub fn pin_of(name: &Label) -> String {
    format!("PIN of {name}")
}

/// Beside the form, where there is one.
pub const PIN_IS_CHOSEN: &str = "There is one; the new one takes its place.";
/// Beside the PIN of somebody who may have none here.
pub const PIN_IF_ANY: &str = "Empty, if they have none on this computer.";
/// The button with which somebody who may does it.
pub const SAYS_YES: &str = "Do it";
/// The badge.
pub const BADGE: &str = "Badge";
/// What it is for.
pub const BADGE_LEAD: &str = "Scan it in the box at the top of the page to write under this name. \
    It proves nothing: whoever holds it can scan it. That is what the PIN is for.";
/// Nobody is on the list.
pub const NOBODY: &str = "Nobody is on the list. Anybody may do everything, as long as that is so.";
/// Of people who left.
pub const GONE: &str = "No longer here";
