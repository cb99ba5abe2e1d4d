//! The words of the forms about a set, and of limits.

use crate::event::PortName;

/// Over the form for a new set.
pub const NEW: &str = "New set";
/// Over the form that changes one.
pub const EDIT: &str = "Edit the set";
/// The button of that form.
pub const EDIT_GO: &str = "Save changes";
/// What a set is called.
pub const NAME: &str = "Name";
/// A usual set for hire.
pub const PATTERN_RENTAL: &str = "Rental: 1 gauge, 2 second stages, 1 inflator";
/// A usual set of a diver in a dry suit.
pub const PATTERN_SUIT: &str = "Personal, dry suit: 1 gauge, 2 second stages, 2 inflators";
/// A usual set for another cylinder.
pub const PATTERN_STAGE: &str = "Personal, stage cylinder: 1 gauge, 1 second stage";

/// Who dives with it.
pub const USE: &str = "Who uses it";
/// A set for hire.
pub const RENTAL: &str = "Rental";
/// A set of one diver's.
pub const PERSONAL: &str = "Personal";
/// It is not said who dives with it.
pub const NO_USE: &str = "Choose who uses it.";

/// A device in a port instead of a hose.
pub const DEVICES: &str = "Devices in ports instead of a hose";
/// How that is written.
pub const DEVICES_HINT: &str = "as LP4=relief valve, HP2=transmitter";
/// Why a set is changed.
pub const WHY_HINT: &str = "Needed if it lifts a reason against a hose";
/// More ports than any first stage has.
pub const TOO_MANY_PORTS: &str = "a first stage has at most 12 ports of a kind";

/// The pressure of a port that was named without a kind.
#[must_use]
pub fn gives(port: PortName) -> String {
    format!("Pressure of the port: {port}")
}
/// Nobody knows.
pub const KIND_NOT_KNOWN: &str = "kind not known";
/// The first stage's pressure.
pub const LOW: &str = "low pressure";
/// The cylinder's.
pub const HIGH: &str = "high pressure";

/// Over the form for limits, and on its button.
pub const LIMITS: &str = "Set limits";
/// Said over the fields of that form.
pub const LIMITS_LEAD: &str = "Empty fields stay as they are.";
/// Which hoses a limit is for.
pub const WHICH_USE: &str = "For which use";
/// Which hoses a limit is for.
pub const WHICH_SERVICE: &str = "For which service";
/// Which hoses a limit is for.
pub const WHICH_CONSTRUCTION: &str = "For which construction";
/// For all of them.
pub const ANY: &str = "Any";
/// How a time is written.
pub const TIME_HINT: &str = "as 60m or 5y";
/// How a limit of dives is written.
pub const DIVES_HINT: &str = "a number, or none";
/// Over the form for dives that nobody knows.
pub const UNKNOWN_DIVES: &str = "Dives a day, if a return doesn't know";
/// The button of that form.
pub const UNKNOWN_DIVES_GO: &str = "Set dives a day";
