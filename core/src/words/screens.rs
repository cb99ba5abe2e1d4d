//! What a screen says about hoses above its list or form, for every face.

use chrono::NaiveDate;

/// The question that the first screen answers.
pub const START_TITLE: &str = "May this hose go in the water?";

/// How to ask it.
pub const START_LEAD: &str = "Scan the tag on a hose with a barcode scanner, the camera or a \
    photo, or type its code in the box above.";

/// Said if no hose is on record yet.
pub const EMPTY_LEAD: &str = "Look around first, or start with your own hoses.";

/// What to do with a first hose.
pub const EMPTY_FIRST_LEAD: &str =
    "Register a hose, print its tag and tie it on. It takes two minutes.";

/// Said if a list of hoses is empty.
pub const HOSES_NONE: &str = "No such hose is on record.";

/// What the order list is.
pub const ORDER_LEAD: &str = "Hoses to buy to replace those that are due, less what is in stock.";

/// What the list of ages is.
pub const AGES_LEAD: &str = "Hoses by years, from made and in service.";

/// What the survival table shows.
pub const SURVIVAL_LEAD: &str =
    "The share of hoses still good, by years in service, with its 95 % band.";

/// What a recall lists.
pub const RECALL_LEAD: &str =
    "Every hose that a recall could mean, where it is, and which have been found.";

/// When a hose is checked off a recall.
pub const RECALL_CHECK_OFF_LEAD: &str =
    "For a hose that the owner has checked and the recall does not cover.";

/// What the limits are.
pub const LIMITS_LEAD: &str =
    "How long a hose may serve, how many dives, how often it is inspected, and who set each limit.";

/// What can be imported and exported.
pub const RECORD_LEAD: &str =
    "Import a list of hoses or another device's record; export the whole record.";

/// How tags are printed.
pub const TAGS_LEAD: &str = "Choose the hoses and the print. Try one page before you print many.";

/// Said if no hose is chosen to print a tag for.
pub const TAGS_NONE: &str = "No hose is chosen yet.";

/// When two sets are merged.
pub const SET_JOIN_LEAD: &str = "If two devices registered the same set: the merged set has the \
    hoses, holds and hand-outs of both.";

/// What the list of what is due shows.
pub const DUE_LEAD: &str = "Every inspection, leak test and replacement, overdue first.";

/// Said if a tag names only one hose.
pub const IDENTIFY_NONE: &str = "Only one hose was registered with this tag.";

/// How to confirm a place.
pub const CONFIRM_LEAD: &str = "See where the hose is. If the record is right, confirm it; \
    otherwise fit it or take it off here.";

/// What is asked if a tag names two hoses.
pub const IDENTIFY_LEAD: &str = "Which of these is the hose in your hand? It gets a new tag and a \
    full inspection. The old tag no longer answers.";

/// Asked before a swap: a hose is chosen from the stock.
pub const SWAP_CHOOSE: &str = "Which hose goes on?";

/// Said if no lot is under a recall.
pub const RECALL_NONE: &str = "Nothing is under a recall.";

/// Said if nothing has to be ordered.
#[must_use]
pub fn nothing_to_replace(until: NaiveDate) -> String {
    format!("No hose needs replacing up to {until}.")
}
