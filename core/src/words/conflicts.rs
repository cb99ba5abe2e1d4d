//! What is in doubt on record, a sentence each.

use crate::device::DeviceId;
use crate::hose::Label;
use crate::record::Hold;
use crate::tag::Code;

/// Something in doubt about a hose.
#[must_use]
pub fn of_hose(hose: Code, words: &str, todo: &str) -> String {
    format!("{hose}: {words} {todo}")
}

/// A set in quarantine.
#[must_use]
pub fn quarantine(set: &Label, hold: &Hold) -> String {
    format!("Set {set} is in quarantine since {}: {}.", hold.when.0, hold.why)
}

/// Sets that were put on record under one name.
#[must_use]
pub fn sets_of_one_name(name: &str, ids: &[String]) -> String {
    format!(
        "“{name}” names {} sets: {}. Give one another name, or say that they are one.",
        ids.len(),
        ids.join(", ")
    )
}

/// Missing entries.
#[must_use]
pub fn gap(device: &DeviceId) -> String {
    format!(
        "Entries of device {} are missing: import its record; if it is gone, the owner declares \
         them lost.",
        device.short()
    )
}

/// Entries that are not, or not wholly, believed.
#[must_use]
pub fn set_aside(device: &DeviceId, entries: u64) -> String {
    let (them, are) = match entries {
        1 => ("1 entry".to_owned(), "is"),
        several => (format!("{several} entries"), "are"),
    };
    format!(
        "{them} of device {} {are} not, or not wholly, believed: list what it wrote, then admit \
         the device or dismiss it.",
        device.short()
    )
}

/// At the first start by stricter rules: descriptions without a reason.
#[must_use]
pub fn described_twice(hoses: &[String]) -> String {
    format!(
        "An earlier program described these hoses again without a reason, so both descriptions are \
         judged and the worse counts; describe them once more with a reason: {}.",
        hoses.join(", ")
    )
}

/// At the first start by stricter rules: leak tests without a pressure.
#[must_use]
pub fn tests_without_pressure(hoses: &[String]) -> String {
    format!(
        "Leak tests without a pressure count no more; test these hoses again, and write the \
         pressure down: {}.",
        hoses.join(", ")
    )
}

/// At the first start by stricter rules: entries of the time before keys.
#[must_use]
pub fn unsigned(entries: u64) -> String {
    format!(
        "{entries} entries were written before devices had keys. Nobody can tell who wrote them, \
         so they are kept and not believed: list them, then admit them or dismiss them."
    )
}
