//! What is said beside forms and in place of what is not there.

/// After the last step of a swap.
pub const SWAP_FINISHED: &str = "The swap is finished.";

/// If no hose in stock can take another's place.
pub const NO_REPLACEMENT: &str = "No hose in stock takes its place.";

/// If a set has no port for a hose.
pub const NO_FREE_PORT: &str = "No free port of this set takes this hose.";

/// If a hose has no entries.
pub const NO_HISTORY: &str = "Nothing is on record about it here.";

/// Beside the form that retires a hose.
pub const RETIRED_FOR_GOOD: &str = "A retired hose never comes back into service.";

/// Beside the form that gives a hose a new tag.
pub const OLD_TAG_WITHDRAWN: &str = "The old tag is withdrawn. Anyone who scans it is told.";

/// Beside the form that binds a maker's barcode to a hose.
pub const BARCODE_LEADS_TOO: &str = "The maker's barcode then opens this hose, like its tag.";

/// What a quick look takes for granted.
pub const UNTICKED_IS_LOOKED_AT: &str =
    "Tick what you see. Anything not ticked counts as checked, nothing found.";

/// What is done to a hose that is cleaned.
pub const CLEANED: &str = "Soaked in fresh water, cleaned and dried.";

/// Beside the form that starts a recall.
pub const RECALL_HOLDS: &str = "From then on every hose of the lot is on hold.";

/// If no hose can be followed in service.
pub const NONE_IN_SERVICE: &str = "No hose was in service yet.";

/// If a record can't be read.
pub const HOLD_UNKNOWN: &str = "Hold every hose that you cannot look up.";

/// If it is not sure that what was entered is on record.
pub const HOLD_IN_DOUBT: &str = "In doubt, hold the hose.";
