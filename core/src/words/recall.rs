//! The words of a recall: what is asked before it starts, and how far the search is.

use super::{capital, counted};
use crate::hose::Label;

/// Over spellings that come near.
pub const DID_YOU_MEAN: &str = "Did you mean";
/// Over the hoses that were not found yet.
pub const MISSING: &str = "Still to be found";
/// Over all hoses.
pub const ALL: &str = "All its hoses";
/// Over hoses that were scanned in a photo.
pub const SCANNED: &str = "Scanned";
/// What a scan does while a recall is open.
pub const SCAN: &str = "Scan a hose that you found and set aside";
/// What comes of it.
pub const SCAN_LEAD: &str = "Each scan ticks its hose off: it is set aside, and taken out of its \
    port.";

/// A lot and a maker as they are recorded.
#[must_use]
pub fn lot(lot: &Label, maker: Option<&Label>) -> String {
    let of = maker.map(|maker| format!(" of {maker}")).unwrap_or_default();
    format!("lot {lot}{of}")
}

/// Another spelling that may be meant, as a question.
#[must_use]
pub fn perhaps(what: &str) -> String {
    format!("{}?", capital(what))
}

/// How many hoses are of something.
#[must_use]
pub fn hoses(count: u32) -> String {
    counted(count.into(), "hose")
}

/// Asked before a recall starts that does not mean the hoses of a spelling near its own.
#[must_use]
pub fn did_you_mean(what: &str, count: u32) -> String {
    let (are, them) = if count == 1 { ("is", "it") } else { ("are", "them") };
    format!(
        "{DID_YOU_MEAN} {what}? {} on record {are} of it, and this recall does not hold {them}.",
        hoses(count)
    )
}

/// How many were found: `4 of 9 found`.
#[must_use]
pub fn progress(found: usize, of: usize) -> String {
    format!("{found} of {of} found")
}

/// What was ticked off.
#[must_use]
pub fn ticked(hose: &str) -> String {
    format!("{hose} is found and set aside.")
}
